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
