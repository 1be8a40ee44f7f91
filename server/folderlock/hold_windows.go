package folderlock

import (
	"errors"
	"os"
	"syscall"
)

// errorSharingViolation is Windows' ERROR_SHARING_VIOLATION.
const errorSharingViolation = syscall.Errno(32)

// hold opens the file so that nobody else can, which is Windows' own lock.
func hold(path string) (f *os.File, busy bool, err error) {
	p, err := syscall.UTF16PtrFromString(path)
	if err != nil {
		return nil, false, err
	}
	h, err := syscall.CreateFile(p, syscall.GENERIC_READ|syscall.GENERIC_WRITE, 0, nil, syscall.OPEN_ALWAYS, syscall.FILE_ATTRIBUTE_NORMAL, 0)
	if err != nil {
		return nil, errors.Is(err, errorSharingViolation), err
	}
	return os.NewFile(uintptr(h), path), false, nil
}

// holdFolder does nothing: Windows removes no file that is open, so the lock's
// file is enough.
func holdFolder(string) (f *os.File, busy bool, err error) { return nil, false, nil }
