package backup

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"

	"panside/internal/fault"
	"panside/internal/say"
	"panside/server/archive"
	"panside/server/durable"
)

const (
	// CopiesFolder holds the automatic copies of the records, one a day. Photos
	// are not in them: they lie on the same disk and are never changed.
	CopiesFolder = "backups"
	backupPrefix = "records-"
	backupEnding = ".zip"

	// keepDays is how many days' copies are kept, and keepMonths of how many
	// earlier months the last one.
	keepDays   = 14
	keepMonths = 12

	// CopyEntries and CopyWithin are how many entries, and for how long anything
	// new, may be in no copy while the server runs.
	CopyEntries = 200
	CopyWithin  = 20 * time.Minute

	// restAfter is how many times as long as a copy took no other is made, except
	// at the end: a copy is of all the records, and phones wait meanwhile.
	restAfter = 20
)

// Copies makes the copies of the records.
type Copies struct {
	dir     string
	version string // of the program
	second  secondFolder
	// hold keeps all that is there, because entries are missing that an older
	// copy may have.
	hold func() bool

	mu     sync.Mutex // one at a time
	mark   string     // of the records at the newest copy of this run
	place  int64      // entries in it
	since  time.Time  // when something was first seen that it doesn't have
	took   time.Duration
	ended  time.Time
	absent say.Line // why the second folder has none
}

// Copied is where a copy is.
type Copied struct {
	File   string
	Second string // where else it is; empty without a second folder, or if that failed
}

// OpenCopies looks at the second folder and cleans up what killed programs left.
// named is the second folder given now, ours the name of this laptop's folder in
// it. While hold says so nothing is thrown away.
func OpenCopies(dir, named, ours, version string, hold func() bool) (*Copies, error) {
	c := &Copies{dir: dir, version: version, hold: hold}
	var err error
	if c.second, err = openSecondFolder(dir, named, ours); err != nil {
		return nil, err
	}
	return c, c.begin()
}

// Second is the folder for copies on another disk; empty if there is none.
func (c *Copies) Second() string {
	if c.second.Folder == "" {
		return ""
	}
	return c.second.place()
}

// Due reports whether it is time for a copy. place counts the entries.
func (c *Copies) Due(mark string, place int64, now time.Time) bool {
	c.mu.Lock()
	defer c.mu.Unlock()
	if mark == c.mark {
		c.since = time.Time{}
		return false
	}
	// A clock that was set back begins the waiting anew.
	if c.since.IsZero() || now.Before(c.since) {
		c.since = now
	}
	if time.Since(c.ended) < restAfter*c.took {
		return false
	}
	_, err := os.Stat(c.file(now))
	return errors.Is(err, fs.ErrNotExist) || place-c.place >= CopyEntries || now.Sub(c.since) >= CopyWithin
}

func (c *Copies) file(now time.Time) string { return filepath.Join(c.dir, CopiesFolder, CopyName(now)) }

// CopyName is the name of a day's copy.
func CopyName(day time.Time) string { return backupPrefix + day.Format(time.DateOnly) + backupEnding }

// Make copies the records into the day's file, in the place of an earlier copy
// of the day, and into the second folder. mark and place are of before.
func (c *Copies) Make(ctx context.Context, mark string, place int64, now time.Time) (made Copied, err error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	folder := filepath.Join(c.dir, CopiesFolder)
	// Not its parents: a data folder that was taken away isn't made again.
	if err := os.Mkdir(folder, 0o700); err != nil && !errors.Is(err, fs.ErrExist) {
		return made, fault.Wrap(fault.DataFolder, say.New("copies-folder", say.Text("folder", folder)), err)
	}
	file := c.file(now)
	if err := c.keepBeforeLoss(file); err != nil {
		return made, err
	}
	began := time.Now()
	if _, err := Make(ctx, Job{Dir: c.dir, File: file, Now: now, Version: c.version}); err != nil {
		return made, err
	}
	c.ended = time.Now()
	c.took = c.ended.Sub(began)
	made.File = file
	c.mark, c.place, c.since = mark, place, time.Time{}
	if err := c.remember(file); err != nil {
		return made, err
	}
	if err := c.removeOldest(folder, now); err != nil {
		return made, err
	}
	made.Second, err = c.second.take(ctx, file)
	c.absent = say.Line{}
	if err != nil {
		c.absent = fault.Of(err).Said()
		return made, err
	}
	if made.Second != "" {
		err = c.removeOldest(filepath.Dir(made.Second), now)
	}
	return made, err
}

// keepBeforeLoss gives the day's copy another name, for good, if entries went
// missing since: it may be the only one that has them.
func (c *Copies) keepBeforeLoss(file string) error {
	kept := strings.TrimSuffix(file, backupEnding) + "-before-loss" + backupEnding
	if !c.hold() {
		return nil
	}
	if _, err := os.Lstat(kept); err == nil {
		return nil
	}
	if err := os.Rename(file, kept); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return nil
}

// newestCopy is what the newest copy has, so that the next start knows whether
// there is anything new.
type newestCopy struct {
	File  string `json:"file"`
	Mark  string `json:"mark"`
	Place int64  `json:"place"`
}

func (c *Copies) newest() string { return filepath.Join(c.dir, CopiesFolder, "newest.json") }

func (c *Copies) remember(file string) error {
	raw, err := json.MarshalIndent(newestCopy{filepath.Base(file), c.mark, c.place}, "", "  ")
	if err != nil {
		return err
	}
	return durable.WriteFile(c.newest(), append(raw, '\n'))
}

// recall is a convenience: without it there is one copy more.
func (c *Copies) recall() {
	var n newestCopy
	raw, err := os.ReadFile(c.newest())
	if err != nil || json.Unmarshal(raw, &n) != nil {
		return
	}
	if _, err := os.Stat(filepath.Join(c.dir, CopiesFolder, filepath.Base(n.File))); err == nil {
		c.mark, c.place = n.Mark, n.Place
	}
}

// removeOldest keeps the newest copies, however long ago they were made: a
// laptop that was off for a month has lost none of them when it starts.
func (c *Copies) removeOldest(folder string, now time.Time) error {
	if c.hold() {
		return nil
	}
	list, err := os.ReadDir(folder)
	if err != nil {
		return err
	}
	var names []string
	for _, e := range list {
		names = append(names, e.Name())
	}
	for _, old := range superfluous(names, now) {
		if err := os.Remove(filepath.Join(folder, old)); err != nil {
			return err
		}
	}
	return nil
}

// superfluous picks those of a folder's files that are copies and not kept: the
// last fourteen days with one, and the last one of each of twelve months before.
// Copies dated ahead come from a clock that was wrong, or this clock is wrong
// now: they are counted apart, so that neither pushes the other out.
func superfluous(names []string, now time.Time) (old []string) {
	today := now.Format(time.DateOnly)
	var days, ahead []string
	for _, name := range names {
		day, ok := dayOf(name)
		switch {
		case !ok:
		case day > today:
			ahead = append(ahead, day)
		default:
			days = append(days, day)
		}
	}
	for _, list := range [][]string{days, ahead} {
		slices.Sort(list)
		slices.Reverse(list) // the newest first
		months := map[string]bool{}
		for i, day := range list {
			month := day[:len("2006-01")]
			if i >= keepDays && (months[month] || len(months) >= keepMonths) {
				old = append(old, backupPrefix+day+backupEnding)
				continue
			}
			if i >= keepDays {
				months[month] = true
			}
		}
	}
	return old
}

// dayOf reads the day out of a copy's name.
func dayOf(name string) (day string, ok bool) {
	day, begins := strings.CutPrefix(name, backupPrefix)
	day, ends := strings.CutSuffix(day, backupEnding)
	_, err := time.Parse(time.DateOnly, day)
	return day, begins && ends && err == nil
}

// Behind reports whether there is something that the newest copy doesn't have.
func (c *Copies) Behind(mark string) bool {
	c.mu.Lock()
	defer c.mu.Unlock()
	return mark != c.mark
}

// Missing says what is wrong with the second folder, nothing if all is well.
func (c *Copies) Missing() say.Line {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.absent
}

// Words say where copies go.
func (c *Copies) Words() string {
	own := filepath.Join(c.dir, CopiesFolder)
	if c.second.Folder == "" {
		return fmt.Sprintf("Copies of the records go to “%s”. Name a folder on another disk with --copies, and they go there too.", own)
	}
	return fmt.Sprintf("Copies of the records go to “%s” and to “%s”.", own, c.second.place())
}

func (c *Copies) begin() error {
	if err := sweepWork(filepath.Join(c.dir, CopiesFolder)); err != nil {
		return err
	}
	c.recall()
	if _, err := c.second.ready(); err != nil {
		c.absent = fault.Of(err).Said()
		return nil
	}
	if c.second.Folder != "" {
		return sweepWork(c.second.place())
	}
	return nil
}

// take puts a finished copy into the second folder too. It returns its name
// there, empty if there is no second folder.
func (s *secondFolder) take(ctx context.Context, file string) (string, error) {
	if s.Folder == "" {
		return "", nil
	}
	place, err := s.ready()
	if err != nil {
		return "", err
	}
	target := filepath.Join(place, filepath.Base(file))
	work, err := workIn(place)
	if err != nil {
		return "", s.absent(err)
	}
	defer work.remove()
	fresh := filepath.Join(work.dir, filepath.Base(file))
	if err := copyFile(file, fresh); err != nil {
		return "", s.absent(err)
	}
	back, err := archive.Open(ctx, fresh)
	if err != nil {
		return "", err
	}
	if err := back.Close(); err != nil {
		return "", err
	}
	if err := os.Rename(fresh, target); err != nil {
		return "", s.absent(err)
	}
	_ = durable.SyncFolder(place) // some disks for carrying about can't; the file itself is safe
	return target, nil
}
