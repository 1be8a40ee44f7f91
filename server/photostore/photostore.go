// Package photostore keeps photos as files named by the SHA-256 of their bytes.
//
// A photo arrives in chunks, which may be repeated and resumed at any time. It
// counts as kept only once all of it is on the disk, its hash is right, it is a
// picture of a kind that is taken, and the rename that gives it its name is on
// the disk too. Files are never changed afterwards.
//
//	DIR/2cf24d….jpg          a kept photo
//	DIR/arriving/2cf24d…     one of which a part is here
//	DIR/damaged/2cf24d….jpg  one that was set apart, with the time in its name
//	DIR/read-again.log       when each was last read back
//
// A disk may lose what it held without a word, so all photos are read again from
// time to time (ReadNext). One whose bytes are no longer those of its name is set
// apart and counts as not here, so that a phone that has it sends it again. New
// ones come first, the rest within a week, and uploads go before all (Pace, a pure
// function of the clock that is passed in). When each was read is noted with the
// file's size and time of change, so an emptied or changed file is looked at
// without waiting for its turn.
//
// So a photo is arriving, complete (checked and synced), and verified (read back
// from the disk). One that is asked for by itself, to show it or to free a phone's
// copy, is read for that answer: a damaged one is neither called complete nor shown.
//
// A photo is read back past the system's cache as far as the system allows:
// on Linux its pages are dropped first (advice, which a file mapped elsewhere
// outlasts), on macOS only new ones are kept out, on Windows nothing is done.
// What can't be proved from here: that the bytes didn't come from the disk's own
// cache, or from that of another computer that shares the folder; so a reading
// right after an upload proves less than the next one, a week later.
package photostore

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"sync"
	"time"

	"panside/internal/fault"
	"panside/internal/journal"
	"panside/internal/say"
)

const (
	arriving = "arriving"
	damaged  = "damaged"

	// forgetAfter is how long a part of a photo waits for the rest.
	forgetAfter = 30 * 24 * time.Hour
)

// Store keeps photos below one folder. Its methods are safe for concurrent use.
type Store struct {
	// Probe, if set, is asked before each step that changes the disk, by the
	// step's name: write, sync, check, rename, sync-folder, and kept after the
	// last; and set-apart. Its error fails the step. Tests let the program fail or end there.
	Probe func(step string) error
	// Now is the clock by which readings are dated; tests set another.
	Now func() time.Time

	dir string
	// sync puts what a file or folder holds on the disk; tests look on.
	sync func(*os.File) error

	mu   sync.Mutex
	busy map[string]*work // photos being written
	// renamed counts the names given, synced how many of them are known to be on
	// the disk. One more than was given is not known when the program starts.
	renamed, synced int
	readings        map[string]reading   // the last right one of each, also of those that are gone
	here            map[string]reading   // of each kept photo, zero if it was never read back
	apart           map[string]bool      // of which a damaged copy is set apart
	sure            map[string]time.Time // found right in the last minute, from wherever the system had it
	fresh           chan struct{}
	// lastPart is when a part of a photo came last, partsSince when the first of
	// those that came shortly after one another.
	lastPart, partsSince time.Time

	reader       sync.Mutex // over what follows
	looked       time.Time  // when the folder was looked through
	ledgerIsTidy bool
}

// work keeps two uploads of one photo from mixing.
type work struct {
	sync.Mutex
	users int
}

// Open makes the folder if it isn't there, and forgets parts of photos that
// nobody continued for a month. Error: fault.DataFolder.
func Open(dir string, now time.Time) (*Store, error) {
	s := &Store{
		dir: dir, Now: time.Now, sync: (*os.File).Sync, renamed: 1, fresh: make(chan struct{}, 1),
		busy: map[string]*work{}, readings: map[string]reading{}, here: map[string]reading{},
		apart: map[string]bool{}, sure: map[string]time.Time{},
	}
	parts := filepath.Join(dir, arriving)
	if err := os.MkdirAll(parts, 0o700); err != nil {
		return nil, s.explain(err)
	}
	list, err := os.ReadDir(parts)
	if err != nil {
		return nil, s.explain(err)
	}
	for _, e := range list {
		info, err := e.Info()
		if err == nil && now.Sub(info.ModTime()) > forgetAfter {
			err = os.Remove(filepath.Join(parts, e.Name()))
		}
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return nil, s.explain(err)
		}
	}
	if err := errors.Join(s.loadLedger(), s.loadApart()); err != nil {
		return nil, s.explain(err)
	}
	return s, nil
}

func (s *Store) probe(step string) error {
	if s.Probe == nil {
		return nil
	}
	return s.Probe(step)
}

func progress(have int64, complete bool) journal.PhotoProgress {
	return journal.PhotoProgress{V: journal.WireVersion, Have: have, Complete: complete}
}

// IsName reports whether sum can name a photo: a SHA-256 in lower-case hex.
func IsName(sum string) bool {
	raw, err := hex.DecodeString(sum)
	return err == nil && len(raw) == sha256.Size && hex.EncodeToString(raw) == sum
}

func (s *Store) lock(sum string) (unlock func()) {
	s.mu.Lock()
	w := s.busy[sum]
	if w == nil {
		w = &work{}
		s.busy[sum] = w
	}
	w.users++
	s.mu.Unlock()
	w.Lock()
	return func() {
		w.Unlock()
		s.mu.Lock()
		defer s.mu.Unlock()
		if w.users--; w.users == 0 {
			delete(s.busy, sum)
		}
	}
}

func (s *Store) part(sum string) string { return filepath.Join(s.dir, arriving, sum) }

// Have tells how much of a photo is here. A kept one is read for the answer, so
// that a damaged one isn't called complete. Errors: fault.BadInput for what is no
// name, fault.DataFolder.
func (s *Store) Have(sum string) (journal.PhotoProgress, error) {
	if !IsName(sum) {
		return journal.PhotoProgress{}, noName
	}
	defer s.lock(sum)()
	return s.have(sum, true)
}

var noName = fault.New(fault.BadInput, say.New("photo-name-unreadable"))

// have is Have under the lock. Without reading, only a file that can't be right
// is read: an empty one, or one that somebody changed since it was read back.
func (s *Store) have(sum string, read bool) (journal.PhotoProgress, error) {
	path, info, err := s.find(sum)
	if err == nil {
		err = s.hold(sum, path, info, read)
	}
	if err == nil {
		// Its name may be from a run that ended before the folder was synced.
		if err := s.syncNames(); err != nil {
			return journal.PhotoProgress{}, s.explain(err)
		}
		p := progress(info.Size(), true)
		p.Verified = s.verified(sum, info)
		return p, nil
	}
	if !errors.Is(err, fs.ErrNotExist) {
		return journal.PhotoProgress{}, s.explain(err)
	}
	info, err = os.Stat(s.part(sum))
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return progress(0, false), nil
	case err != nil:
		return journal.PhotoProgress{}, s.explain(err)
	}
	return progress(info.Size(), false), nil
}

// sureFor is how long a photo that was just read counts as right, so that one
// fetched in many parts isn't read for each.
const sureFor = time.Minute

// hold lets only a whole photo through; a damaged one is set apart, and is
// fs.ErrNotExist then.
func (s *Store) hold(sum, path string, info fs.FileInfo, read bool) error {
	now := s.Now()
	s.mu.Lock()
	r, known := s.readings[sum]
	changed := info.Size() == 0 || known && !r.of(info)
	age := now.Sub(s.sure[sum])
	s.mu.Unlock()
	if !changed && (!read || age >= 0 && age < sureFor) {
		return nil
	}
	right, err := s.isRight(sum, path, anyhow)
	if err != nil {
		return err
	}
	if !right {
		if err := s.setApart(sum, path); err != nil {
			return err
		}
		return fs.ErrNotExist
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if changed { // and is right: it was put back by hand, and is to be read from the disk
		delete(s.readings, sum)
		s.here[sum] = reading{}
		s.poke()
	}
	if len(s.sure) >= mostSure {
		clear(s.sure)
	}
	s.sure[sum] = now
	return nil
}

const mostSure = 1000

// poke tells whoever waits for Fresh.
func (s *Store) poke() {
	select {
	case s.fresh <- struct{}{}:
	default: // told already
	}
}

// verified reports whether a photo was read back from the disk, not too long ago.
func (s *Store) verified(sum string, info fs.FileInfo) bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	r := s.readings[sum]
	return r.of(info) && r.counts(s.Now())
}

// Put takes the bytes of a photo of total bytes from offset on, and says how
// much is here then; the next chunk begins there, wherever this one began. With
// the last one the photo is checked and kept.
//
// Errors: fault.BadInput for an impossible range, fault.PhotoRefused for what is
// not taken at all, fault.PhotoTorn if the bytes aren't those of the name (they
// are forgotten; begin again), fault.DataFolder.
func (s *Store) Put(sum string, offset, total int64, chunk []byte) (journal.PhotoProgress, error) {
	switch {
	case !IsName(sum):
		return journal.PhotoProgress{}, noName
	case total > journal.MaxPhoto:
		return journal.PhotoProgress{}, fault.New(fault.PhotoRefused, say.New("photo-too-large"))
	case offset < 0 || total <= 0 || offset > total || int64(len(chunk)) > total-offset:
		return journal.PhotoProgress{}, fault.New(fault.BadInput, say.New("photo-size-exceeded"))
	}
	s.partCame()
	defer s.lock(sum)()
	p, err := s.have(sum, false)
	if err != nil || p.Complete {
		return p, err
	}
	if p.Have > total { // of an upload that said otherwise
		if err := os.Remove(s.part(sum)); err != nil {
			return journal.PhotoProgress{}, s.explain(err)
		}
		p.Have = 0
	}
	// Bytes that are here already are passed over; a chunk beyond a hole has to
	// wait for what is missing.
	if end := offset + int64(len(chunk)); offset <= p.Have && p.Have < end {
		if p.Have == 0 {
			if _, err := typeOf(chunk); err != nil && len(chunk) >= headLen {
				return journal.PhotoProgress{}, err
			}
		}
		if err := s.write(sum, p.Have, chunk[p.Have-offset:]); err != nil {
			return journal.PhotoProgress{}, s.explain(err)
		}
		p.Have = end
	}
	if p.Have < total {
		return p, nil
	}
	if err := s.keep(sum); err != nil {
		return journal.PhotoProgress{}, s.explain(err)
	}
	return progress(total, true), nil
}

// write adds bytes to the part that is here. A write that fails takes back what
// it left, as far as it can; the check at the end would find it too.
func (s *Store) write(sum string, at int64, chunk []byte) (err error) {
	f, err := os.OpenFile(s.part(sum), os.O_WRONLY|os.O_CREATE, 0o600)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	if err = s.probe("write"); err == nil {
		_, err = f.WriteAt(chunk, at)
	}
	if err != nil {
		return errors.Join(err, f.Truncate(at))
	}
	return nil
}

// keep checks a photo that is here whole and gives it its name.
func (s *Store) keep(sum string) error {
	f, err := os.OpenFile(s.part(sum), os.O_RDWR, 0)
	if err != nil {
		return err
	}
	defer f.Close() // read only from here on; writing ends with Sync
	if err := s.probe("sync"); err != nil {
		return err
	}
	// The disk and the processor work at the same time; both have to be done with
	// it before it gets its name.
	synced := make(chan error, 1)
	go func() { synced <- s.sync(f) }()
	got, err := hashOf(f)
	if err := errors.Join(<-synced, err); err != nil {
		return err
	}
	if err := s.probe("check"); err != nil {
		return err
	}
	if got != sum {
		return errors.Join(s.forget(sum), fault.New(fault.PhotoTorn, say.New("photo-torn")))
	}
	kind, err := check(f)
	if err != nil {
		return errors.Join(s.forget(sum), err)
	}
	return s.give(sum, kind)
}

func (s *Store) forget(sum string) error { return os.Remove(s.part(sum)) }

func hashOf(f io.ReadSeeker) (string, error) {
	if _, err := f.Seek(0, io.SeekStart); err != nil {
		return "", err
	}
	h := sha256.New()
	if _, err := io.Copy(h, f); err != nil {
		return "", err
	}
	return hex.EncodeToString(h.Sum(nil)), nil
}

// give renames a checked photo to where it stays. Afterwards both the file and
// its name outlive a loss of power.
func (s *Store) give(sum, ending string) error {
	if err := s.probe("rename"); err != nil {
		return err
	}
	if err := os.Rename(s.part(sum), filepath.Join(s.dir, sum+"."+ending)); err != nil {
		return err
	}
	s.mu.Lock()
	s.renamed++
	delete(s.readings, sum) // of an earlier file
	s.here[sum] = reading{}
	s.poke()
	s.mu.Unlock()
	if err := s.probe("sync-folder"); err != nil {
		return err
	}
	if err := s.syncNames(); err != nil {
		return err
	}
	return s.probe("kept")
}

// syncNames puts the names given so far on the disk, unless they are there.
func (s *Store) syncNames() error {
	s.mu.Lock()
	renamed, synced := s.renamed, s.synced
	s.mu.Unlock()
	if synced >= renamed {
		return nil
	}
	if err := s.syncFolder(s.dir); err != nil {
		return err
	}
	s.mu.Lock()
	s.synced = max(s.synced, renamed)
	s.mu.Unlock()
	return nil
}
