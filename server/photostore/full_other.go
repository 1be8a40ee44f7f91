//go:build !unix

package photostore

import (
	"errors"
	"syscall"
)

// isFull knows Windows' ERROR_HANDLE_DISK_FULL and ERROR_DISK_FULL.
func isFull(err error) bool {
	return errors.Is(err, syscall.Errno(39)) || errors.Is(err, syscall.Errno(112))
}

// isReadOnly knows ERROR_WRITE_PROTECT.
func isReadOnly(err error) bool { return errors.Is(err, syscall.Errno(19)) }

// isUnreadable knows ERROR_CRC, ERROR_SECTOR_NOT_FOUND, ERROR_READ_FAULT and
// ERROR_IO_DEVICE.
func isUnreadable(err error) bool {
	for _, code := range []syscall.Errno{23, 27, 30, 1117} {
		if errors.Is(err, code) {
			return true
		}
	}
	return false
}
