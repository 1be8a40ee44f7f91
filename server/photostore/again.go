package photostore

import (
	"cmp"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"time"

	"panside/internal/fault"
	"panside/internal/say"
)

// Pace is how often photos are read again, and how long the disk is left alone
// in between.
type Pace struct {
	// Again is how long after its last reading a photo is due. One that was never
	// read back is due at once.
	Again time.Duration
	// Rest is how many times as long as a reading took nothing is read, RestNew
	// likewise after a photo that was read back for the first time.
	Rest, RestNew int
	// Quiet is how long after a part of a photo came nothing is read, since the
	// phone waits for the disk; unless parts have been coming for longer than
	// Patience.
	Quiet, Patience time.Duration
	// LookEvery is how often the folder is compared with what was read before.
	LookEvery time.Duration
}

// Calm reads every photo within a week and takes at most a twentieth of the
// disk's time, a fifth while new photos wait, whose phones keep them until they
// are read back. At 100 MB/s, 20 GB of photos are 200 s a week, 0.03 % of the
// disk's time; up to 432 GB are done within the day that is left between six
// days and a week.
var Calm = Pace{Again: 6 * 24 * time.Hour, Rest: 20, RestNew: 4, Quiet: time.Second, Patience: 10 * time.Minute, LookEvery: time.Hour}

// trustFor is how long a reading counts: a week and a day, since a photo that is
// due on the sixth day is read by the seventh.
const trustFor = 8 * 24 * time.Hour

// reading is the last time that all of a photo was read from the disk and was
// right.
type reading struct {
	at   time.Time
	size int64
	mod  time.Time // when the file was last changed, as the system says
}

// of reports whether it was a reading of this very file.
func (r reading) of(info fs.FileInfo) bool {
	return !r.at.IsZero() && r.size == info.Size() && r.mod.Equal(info.ModTime())
}

// counts reports whether it is recent enough. One from the future is from a clock
// that was wrong.
func (r reading) counts(now time.Time) bool {
	age := now.Sub(r.at)
	return age >= -time.Hour && age < trustFor
}

// due is when the photo is to be read again.
func (p Pace) due(r reading, now time.Time) time.Time {
	if r.at.IsZero() || r.at.After(now.Add(time.Hour)) {
		return time.Time{}
	}
	return r.at.Add(p.Again)
}

// rest is how long to leave the disk alone after a reading.
func (p Pace) rest(took time.Duration, first bool) time.Duration {
	if first {
		return took * time.Duration(p.RestNew)
	}
	return took * time.Duration(p.Rest)
}

// next chooses the photo that is due first, by name among equals, and says when.
func (p Pace) next(photos map[string]reading, now time.Time) (sum string, due time.Time, ok bool) {
	for name, r := range photos {
		at := p.due(r, now)
		if !ok || cmp.Or(at.Compare(due), cmp.Compare(name, sum)) < 0 {
			sum, due, ok = name, at, true
		}
	}
	return sum, due, ok
}

// Found is what one step of reading again found.
type Found string

// What ReadNext finds.
const (
	Nothing Found = ""        // nothing was due
	Right   Found = "right"   // as it was
	Damaged Found = "damaged" // other bytes than its name stands for; it is set apart
	Gone    Found = "gone"    // its file isn't there any more
)

// Step is one step of reading again.
type Step struct {
	Sum   string // of the photo read
	Found Found
	First bool // it was read back for the first time
	// Waiting is how many photos were never read back.
	Waiting int
	// Wait is how long to wait before the next step.
	Wait time.Duration
}

// ReadNext reads the photo back that is due first, if one is, at a pace. One
// whose bytes aren't those of its name is read a second time, and then set
// apart, never deleted. It is for one caller at a time; uploads and downloads go
// on meanwhile. Error: fault.DataFolder; then Wait says when to try again.
func (s *Store) ReadNext(p Pace) (step Step, err error) {
	s.reader.Lock()
	defer s.reader.Unlock()
	defer func() {
		if err != nil {
			err = fault.Wrap(fault.DataFolder, say.New("photos-unreadable", say.Text("folder", s.dir)), err)
		}
	}()
	now := s.Now()
	if !s.looked.IsZero() && now.Before(s.looked) { // the clock was set back
		s.looked = time.Time{}
	}
	if s.looked.IsZero() || now.Sub(s.looked) >= p.LookEvery {
		if err := s.look(); err != nil {
			return Step{Wait: p.LookEvery}, err
		}
		s.looked = now
	}
	s.mu.Lock()
	sum, due, ok := p.next(s.here, now)
	s.mu.Unlock()
	untilLook := p.LookEvery - now.Sub(s.looked)
	if !ok || due.After(now) {
		if ok {
			untilLook = min(untilLook, due.Sub(now))
		}
		return Step{Wait: max(untilLook, time.Millisecond)}, nil
	}
	if wait := s.untilQuiet(p, now); wait > 0 {
		return Step{Wait: wait}, nil
	}
	began := time.Now()
	step, err = s.readBack(sum)
	step.Wait = max(p.rest(time.Since(began), step.First), time.Millisecond)
	if err != nil {
		// Not to be tried for ever at the full pace: the others come first.
		s.mu.Lock()
		delete(s.here, sum) // until the folder is looked through again
		s.mu.Unlock()
	}
	return step, err
}

// untilQuiet is how long to let uploads go first.
func (s *Store) untilQuiet(p Pace, now time.Time) time.Duration {
	s.mu.Lock()
	defer s.mu.Unlock()
	since := now.Sub(s.lastPart)
	if since < 0 || since >= p.Quiet || now.Sub(s.partsSince) >= p.Patience {
		return 0
	}
	return p.Quiet - since
}

// partCame notes that a phone is sending. Parts that come seconds apart leave
// the disk time enough.
func (s *Store) partCame() {
	now := s.Now()
	s.mu.Lock()
	defer s.mu.Unlock()
	if since := now.Sub(s.lastPart); since < 0 || since >= Calm.Quiet {
		s.partsSince = now
	}
	s.lastPart = now
}

// Fresh tells of photos that came in and wait to be read back, and of such that
// were set apart.
func (s *Store) Fresh() <-chan struct{} { return s.fresh }

// look compares the folder with what was read before: files that came or were
// changed by somebody else are due at once.
func (s *Store) look() error {
	here := map[string]reading{}
	err := s.Each(func(p Photo) error {
		info, err := os.Stat(p.Path)
		if errors.Is(err, fs.ErrNotExist) {
			return nil
		}
		if err != nil {
			return err
		}
		s.mu.Lock()
		defer s.mu.Unlock()
		here[p.Sum] = reading{}
		if r := s.readings[p.Sum]; r.of(info) && info.Size() > 0 {
			here[p.Sum] = r
		}
		return nil
	})
	if err != nil {
		return err
	}
	s.mu.Lock()
	for sum, r := range s.here {
		if _, ok := here[sum]; !ok && r.at.IsZero() { // it came in meanwhile, or went
			here[sum] = r
		}
	}
	s.here = here
	s.mu.Unlock()
	if s.ledgerIsTidy {
		return nil
	}
	if err := s.tidyLedger(); err != nil {
		return err
	}
	s.ledgerIsTidy = true
	return nil
}

// readBack reads a photo from the disk, as far as the system lets us pass by its
// cache.
func (s *Store) readBack(sum string) (Step, error) {
	defer s.lock(sum)()
	path, info, err := s.find(sum)
	s.mu.Lock()
	step := Step{Sum: sum, First: s.readings[sum].at.IsZero()}
	s.mu.Unlock()
	if errors.Is(err, fs.ErrNotExist) {
		s.notHere(sum)
		step.Found = Gone
		return step, nil
	}
	if err != nil {
		return step, err
	}
	right, err := s.isRight(sum, path, fromDisk)
	switch {
	case err != nil:
		return step, err
	case !right:
		step.Found = Damaged
		return step, s.setApart(sum, path)
	}
	if err := s.syncNames(); err != nil { // a name that isn't on the disk may not be there tomorrow
		return step, err
	}
	step.Found = Right
	err = s.noteReading(sum, reading{at: s.Now(), size: info.Size(), mod: info.ModTime()})
	step.Waiting = s.waiting()
	return step, err
}

// waiting is how many photos were never read back.
func (s *Store) waiting() (n int) {
	s.mu.Lock()
	defer s.mu.Unlock()
	for _, r := range s.here {
		if r.at.IsZero() {
			n++
		}
	}
	return n
}

// isRight reports whether a file has the bytes of the name. What differs, or the
// disk can't read, is read once more: a loose cable or a bad cell of the memory
// is no damage to the file.
func (s *Store) isRight(sum, path string, hash func(path string) (string, error)) (bool, error) {
	for try := range 2 {
		got, err := hash(path)
		switch {
		case err == nil && got == sum:
			return true, nil
		case err != nil && !isUnreadable(err):
			return false, err
		case try == 0:
			hash = fromDisk
		}
	}
	return false, nil
}

// fromDisk hashes a file past the system's cache.
func fromDisk(path string) (string, error) {
	f, err := os.Open(path)
	if err != nil {
		return "", err
	}
	defer f.Close()
	passCache(f)
	sum, err := hashOf(f)
	passCache(f) // what nobody asked for isn't to push out what somebody needs
	return sum, err
}

// anyhow hashes a file from wherever the system has it.
func anyhow(path string) (string, error) {
	f, err := os.Open(path)
	if err != nil {
		return "", err
	}
	defer f.Close()
	return hashOf(f)
}

// apartAs is the time in the name of a photo that is set apart.
const apartAs = "20060102T150405.000000000"

// setApart moves a damaged photo out of the way. It is kept: a part of it may
// still be worth something, and a disk may read again tomorrow.
func (s *Store) setApart(sum, path string) (err error) {
	defer func() {
		if err != nil {
			s.invalidate(sum)
		}
	}()
	if err := s.probe("set-apart"); err != nil {
		return err
	}
	dir := filepath.Join(s.dir, damaged)
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return err
	}
	base := filepath.Join(dir, sum+"."+s.Now().UTC().Format(apartAs))
	to := base + filepath.Ext(path)
	for n := 2; exists(to); n++ {
		to = base + "-" + strconv.Itoa(n) + filepath.Ext(path)
	}
	if err := os.Rename(path, to); err != nil {
		return err
	}
	s.mu.Lock()
	s.apart[sum] = true
	s.poke() // whoever reads photos again tells of it
	s.mu.Unlock()
	s.notHere(sum)
	// If the power goes before this, it is found once more.
	return errors.Join(s.syncFolder(dir), s.syncFolder(s.dir))
}

func exists(path string) bool {
	_, err := os.Lstat(path)
	return err == nil
}

// invalidate makes a photo that can't be moved away count as changed, so that it is
// looked at whenever somebody asks for it.
func (s *Store) invalidate(sum string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.readings[sum] = reading{at: s.Now(), size: -1}
}

func (s *Store) notHere(sum string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	delete(s.here, sum)
	delete(s.sure, sum)
}

// Trouble is a photo that was here and isn't any more.
type Trouble struct {
	Sum string
	Why Found // Damaged or Gone
}

// Troubled lists the photos that were here and aren't any more, by name: those
// set apart and those whose file went away. One that came again is none.
func (s *Store) Troubled() ([]Trouble, error) {
	s.mu.Lock()
	was := map[string]Found{}
	for sum := range s.readings {
		was[sum] = Gone
	}
	for sum := range s.apart {
		was[sum] = Damaged
	}
	s.mu.Unlock()
	list := []Trouble{}
	for sum, why := range was {
		if _, _, err := s.find(sum); errors.Is(err, fs.ErrNotExist) {
			list = append(list, Trouble{sum, why})
		} else if err != nil {
			return nil, s.explain(err)
		}
	}
	slices.SortFunc(list, func(a, b Trouble) int { return cmp.Compare(a.Sum, b.Sum) })
	return list, nil
}
