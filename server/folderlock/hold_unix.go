//go:build unix

package folderlock

import (
	"errors"
	"os"
	"syscall"
)

func hold(path string) (f *os.File, busy bool, err error) {
	f, err = os.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o600)
	if err != nil {
		return nil, false, err
	}
	if err := lock(f); err != nil {
		return nil, errors.Is(err, syscall.EWOULDBLOCK), errors.Join(err, f.Close())
	}
	return f, false, nil
}

// holdFolder locks the folder itself. Some network disks can't; there the file
// has to do.
func holdFolder(dir string) (f *os.File, busy bool, err error) {
	f, err = os.Open(dir)
	if err != nil {
		return nil, false, err
	}
	switch err := lock(f); {
	case errors.Is(err, syscall.EWOULDBLOCK):
		return nil, true, errors.Join(err, f.Close())
	case err != nil:
		return nil, false, f.Close()
	}
	return f, false, nil
}

func lock(f *os.File) error {
	return syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB)
}
