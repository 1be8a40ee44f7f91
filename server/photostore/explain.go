package photostore

import (
	"errors"
	"io/fs"

	"panside/internal/fault"
	"panside/internal/say"
	"panside/server/durable"
)

// explain turns what the system says into a sentence. A fault passes through.
func (s *Store) explain(err error) error {
	var f *fault.Error
	switch {
	case err == nil || errors.As(err, &f):
		return err
	case isFull(err):
		return fault.Wrap(fault.DataFolder, say.New("photos-disk-full", say.Text("folder", s.dir)), err)
	case errors.Is(err, fs.ErrPermission) || isReadOnly(err):
		return fault.Wrap(fault.DataFolder, say.New("photos-not-allowed", say.Text("folder", s.dir)), err)
	}
	return fault.Wrap(fault.DataFolder, say.New("photos-disk-fault", say.Text("folder", s.dir)), err)
}

// syncFolder makes the names in the folder outlive a loss of power.
func (s *Store) syncFolder(dir string) error { return durable.Disk{Sync: s.sync}.SyncFolder(dir) }
