package photostore

import (
	"os"

	"golang.org/x/sys/unix"
)

// passCache asks Linux to forget what it holds of a file, so that the next
// reading comes from the disk (posix_fadvise, POSIX_FADV_DONTNEED). What isn't
// synced yet stays, so sync first. It is advice: another program that has the
// file mapped keeps it in memory. What the disk's own cache holds, or another
// computer's that shares the folder, can't be passed by from here.
func passCache(f *os.File) {
	_ = unix.Fadvise(int(f.Fd()), 0, 0, unix.FADV_DONTNEED) // then it is read from memory, as on any other day
}
