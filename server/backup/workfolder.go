package backup

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"panside/internal/fault"
	"panside/internal/say"
	"panside/server/folderlock"
)

// WorkPrefix begins the names of folders in which a copy or backup is made.
const WorkPrefix = ".panside-backup-"

// workFolder is where a copy is made, beside where it will lie. It is locked
// while its program lives, so that one that was left behind can be told.
type workFolder struct {
	dir  string
	lock *folderlock.Lock
}

// workIn makes one, and removes what killed programs left in the folder.
func workIn(folder string) (*workFolder, error) {
	if err := sweepWork(folder); err != nil {
		return nil, err
	}
	for tries := 0; ; tries++ {
		dir, err := os.MkdirTemp(folder, WorkPrefix+"*")
		if err != nil {
			return nil, err
		}
		lock, err := folderlock.Hold(dir)
		if err == nil {
			return &workFolder{dir, lock}, nil
		}
		// Another program that cleans up may have been quicker.
		if tries == 3 {
			return nil, errors.Join(err, os.RemoveAll(dir))
		}
	}
}

func (w *workFolder) remove() {
	_ = w.lock.Release()
	_ = os.RemoveAll(w.dir)
}

// sweepWork removes the working folders whose programs are gone. A folder that
// isn't there has none.
func sweepWork(folder string) error {
	list, err := os.ReadDir(folder)
	if err != nil {
		if errors.Is(err, fs.ErrNotExist) {
			return nil
		}
		return err
	}
	for _, e := range list {
		if !strings.HasPrefix(e.Name(), WorkPrefix) {
			continue
		}
		dir := filepath.Join(folder, e.Name())
		if e.IsDir() {
			lock, err := folderlock.Hold(dir)
			if err != nil {
				continue // its program lives
			}
			_ = os.RemoveAll(dir) // while it is locked; Windows needs it free for the rest
			if err := lock.Release(); err != nil {
				return err
			}
		}
		if err := os.RemoveAll(dir); err != nil {
			return fault.Wrap(fault.DataFolder, say.New("backup-leftovers", say.Text("folder", dir)), err)
		}
	}
	return nil
}

// notePrefix begins the names of notes in the data folder of where a backup is
// being made, so that the server finds what a killed one left.
const notePrefix = ".backing-up-in-"

// noteWork leaves a note and gives what removes it. Without it, as on a full
// disk, leftovers are found by the next backup to the same place.
func noteWork(dir, work string) (done func()) {
	f, err := os.CreateTemp(dir, notePrefix+"*")
	if err != nil {
		return func() {}
	}
	_, err = f.WriteString(work)
	if err := errors.Join(err, f.Close()); err != nil {
		_ = os.Remove(f.Name())
		return func() {}
	}
	return func() { _ = os.Remove(f.Name()) }
}

// sweepNoted cleans up where notes say that backups were being made. One that
// goes on keeps its folder and its note.
func sweepNoted(dir string) error {
	list, err := os.ReadDir(dir)
	if err != nil {
		return err
	}
	for _, e := range list {
		if !strings.HasPrefix(e.Name(), notePrefix) {
			continue
		}
		note := filepath.Join(dir, e.Name())
		work, err := os.ReadFile(note)
		if err != nil {
			return err
		}
		if err := sweepWork(filepath.Dir(string(work))); err != nil {
			return err
		}
		if _, err := os.Stat(string(work)); err == nil {
			continue
		}
		if err := os.Remove(note); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	return nil
}

// Sweep removes what programs that were killed left behind in the data folder,
// whose lock is held: so no restore is under way. A backup of an earlier version
// may be, and keeps its folder for a day.
func Sweep(dir string, now time.Time) error {
	list, err := os.ReadDir(dir)
	if err != nil {
		return err
	}
	for _, e := range list {
		if strings.HasPrefix(e.Name(), notePrefix) {
			continue
		}
		if strings.HasPrefix(e.Name(), backingUp) {
			if info, err := e.Info(); err != nil || now.Sub(info.ModTime()) < 24*time.Hour {
				continue // or gone meanwhile
			}
		} else if !strings.HasPrefix(e.Name(), restoringInto) {
			continue
		}
		if err := os.RemoveAll(filepath.Join(dir, e.Name())); err != nil {
			return err
		}
	}
	return sweepNoted(dir)
}
