//go:build unix

package serialport

import (
	"errors"
	"fmt"
	"io"
	"os"
	"os/user"
	"strconv"
	"syscall"
)

// hold takes the advisory lock of a device. The library asks the terminal
// driver for exclusive use as well, but the driver lets the administrator
// through, and two readers would each get half the bytes.
func hold(name string) (io.Closer, error) {
	f, err := os.OpenFile(name, os.O_RDWR|syscall.O_NOCTTY|syscall.O_NONBLOCK, 0)
	if err != nil {
		return nil, err
	}
	conn, err := f.SyscallConn()
	if err != nil {
		f.Close()
		return nil, err
	}
	var lockErr error
	err = conn.Control(func(fd uintptr) { lockErr = syscall.Flock(int(fd), syscall.LOCK_EX|syscall.LOCK_NB) })
	if err = errors.Join(err, lockErr); err == nil {
		return f, nil
	}
	f.Close()
	if errors.Is(err, syscall.EWOULDBLOCK) {
		return nil, fmt.Errorf("%w: %w", errHeld, err)
	}
	return nil, err
}

// groupOf is the name of the group that owns a device; "" if there is none to
// be found.
func groupOf(name string) string {
	info, err := os.Stat(name)
	if err != nil {
		return ""
	}
	stat, ok := info.Sys().(*syscall.Stat_t)
	if !ok {
		return ""
	}
	g, err := user.LookupGroupId(strconv.FormatUint(uint64(stat.Gid), 10))
	if err != nil {
		return ""
	}
	return g.Name
}
