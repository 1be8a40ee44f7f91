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
	if err := syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB); err != nil {
		return nil, errors.Is(err, syscall.EWOULDBLOCK), errors.Join(err, f.Close())
	}
	return f, false, nil
}
