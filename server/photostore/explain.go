package photostore

import (
	"errors"
	"io/fs"

	"panside/internal/fault"
	"panside/server/durable"
)

// explain turns what the system says into a sentence. A fault passes through.
func (s *Store) explain(err error) error {
	var f *fault.Error
	switch {
	case err == nil || errors.As(err, &f):
		return err
	case isFull(err):
		return fault.Wrap(fault.DataFolder, "The disk that holds the photos in “"+s.dir+"” is full. Nothing is lost, the photo is still on the phone; free some space, and it is sent again.", err)
	case errors.Is(err, fs.ErrPermission) || isReadOnly(err):
		return fault.Wrap(fault.DataFolder, "Photos can’t be written to “"+s.dir+"”: this user isn’t allowed to, or the disk is read-only. Nothing is lost, the photo is still on the phone; give the user the right to the folder.", err)
	}
	return fault.Wrap(fault.DataFolder, "The disk that holds the photos in “"+s.dir+"” reports a fault. Nothing is lost, the photo is still on the phone; check the disk.", err)
}

// syncFolder makes the names in the folder outlive a loss of power.
func (s *Store) syncFolder(dir string) error { return durable.Disk{Sync: s.sync}.SyncFolder(dir) }
