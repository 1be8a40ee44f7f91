//go:build unix

package pseudoport

import (
	"errors"
	"os"
	"syscall"
)

// pollable returns f in a form in which closing it ends a read that waits, and
// a write can have a deadline. The one that comes from the pty library blocks
// in the system call. f is closed.
func pollable(f *os.File) (*os.File, error) {
	fd, err := syscall.Dup(int(f.Fd()))
	if err != nil {
		return nil, errors.Join(err, f.Close())
	}
	syscall.CloseOnExec(fd)
	if err := syscall.SetNonblock(fd, true); err != nil {
		return nil, errors.Join(err, syscall.Close(fd), f.Close())
	}
	return os.NewFile(uintptr(fd), f.Name()), f.Close()
}
