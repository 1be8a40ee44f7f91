// Package folderlock keeps two programs from working in one data folder. The
// lock is the system's own and ends with the program, however that ends; the
// file itself says nothing by being there.
package folderlock

import (
	"errors"
	"os"
	"path/filepath"

	"panside/internal/fault"
	"panside/internal/say"
)

const name = "panside.lock"

// Lock is held until Release.
type Lock struct {
	file *os.File
	// dir is the folder itself, locked too where the system can: somebody may
	// remove the file, and a new one would be free. Nil elsewhere.
	dir *os.File
}

// Hold takes the folder's lock. Error: fault.DataFolder if another program has
// it, or the folder can't be written.
func Hold(dir string) (*Lock, error) {
	f, busy, err := hold(filepath.Join(dir, name))
	var folder *os.File
	if err == nil {
		if folder, busy, err = holdFolder(dir); err != nil {
			err = errors.Join(err, f.Close())
		}
	}
	switch {
	case busy:
		return nil, fault.Wrap(fault.DataFolder, say.New("folder-in-use", say.Text("folder", dir)), err)
	case err != nil:
		return nil, fault.Wrap(fault.DataFolder, say.New("folder-unwritable", say.Text("folder", dir)), err)
	}
	return &Lock{f, folder}, nil
}

// Release gives the folder free.
func (l *Lock) Release() error {
	err := l.file.Close()
	if l.dir != nil {
		err = errors.Join(err, l.dir.Close())
	}
	return err
}
