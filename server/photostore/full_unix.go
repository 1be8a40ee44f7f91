//go:build unix

package photostore

import (
	"errors"
	"syscall"
)

func isFull(err error) bool { return errors.Is(err, syscall.ENOSPC) || errors.Is(err, syscall.EDQUOT) }

func isReadOnly(err error) bool { return errors.Is(err, syscall.EROFS) }

// isUnreadable knows what a disk says of bytes that it lost.
func isUnreadable(err error) bool {
	return errors.Is(err, syscall.EIO) || errors.Is(err, syscall.EBADMSG)
}
