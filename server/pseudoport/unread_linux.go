package pseudoport

import (
	"os"

	"golang.org/x/sys/unix"
)

// unread counts the bytes that wait for the other side.
func unread(near *os.File) int {
	conn, err := near.SyscallConn()
	if err != nil {
		return 0
	}
	waiting := 0
	_ = conn.Control(func(fd uintptr) {
		if n, err := unix.IoctlGetInt(int(fd), unix.TIOCINQ); err == nil {
			waiting = n
		}
	})
	return waiting
}
