package photostore

import (
	"os"

	"golang.org/x/sys/unix"
)

// passCache asks macOS not to keep what is read from now on (fcntl, F_NOCACHE).
// Pages that are in memory already may still answer.
func passCache(f *os.File) {
	_, _ = unix.FcntlInt(f.Fd(), unix.F_NOCACHE, 1) // then it is read from memory, as on any other day
}
