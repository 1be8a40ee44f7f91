package photostore

import (
	"errors"
	"os"
	"path/filepath"
	"testing"

	"golang.org/x/sys/unix"
)

// TestReadBackPassesTheCache asks Linux for a byte only if it is in memory
// (preadv2 with RWF_NOWAIT): before a photo is read back it is there, afterwards
// it isn't.
func TestReadBackPassesTheCache(t *testing.T) {
	file := filepath.Join(t.TempDir(), "photo")
	if err := os.WriteFile(file, make([]byte, 1<<20), 0o600); err != nil {
		t.Fatal(err)
	}
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := f.Sync(); err != nil {
		t.Fatal(err)
	}
	inMemory := func() bool {
		t.Helper()
		_, err := unix.Preadv2(int(f.Fd()), [][]byte{make([]byte, 1)}, 0, unix.RWF_NOWAIT)
		if errors.Is(err, unix.EOPNOTSUPP) || errors.Is(err, unix.ENOSYS) {
			t.Skipf("this file system doesn't tell what it has in memory: %v", err)
		}
		if err != nil && !errors.Is(err, unix.EAGAIN) {
			t.Fatal(err)
		}
		return err == nil
	}
	if !inMemory() {
		t.Skip("what was just written isn't in memory, so nothing shows here")
	}
	passCache(f)
	if inMemory() {
		var fs unix.Statfs_t
		if unix.Fstatfs(int(f.Fd()), &fs) == nil && fs.Type == unix.TMPFS_MAGIC {
			t.Skip("the folder for tests is in memory itself")
		}
		t.Error("it would be read from memory")
	}
}
