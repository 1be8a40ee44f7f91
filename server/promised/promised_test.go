package promised_test

import (
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"sync"
	"testing"

	"pgregory.net/rapid"

	"panside/internal/fault"
	"panside/internal/journal"
	"panside/server/promised"
)

func head(w string, seq uint64) journal.Head {
	return journal.Head{Writer: journal.Writer(w), Seq: seq, Hash: journal.Hash(fmt.Sprintf("%064d", seq)), At: int64(seq), By: "Kitchen phone"}
}

func read(t testing.TB, file string) promised.State {
	t.Helper()
	s, damaged, err := promised.Read(file)
	if err != nil || damaged > 0 {
		t.Fatalf("%d damaged, %v", damaged, err)
	}
	return s
}

// TestWhatIsKeptIsRead goes far beyond the file's room.
func TestWhatIsKeptIsRead(t *testing.T) {
	file := filepath.Join(t.TempDir(), "promised")
	b, err := promised.Begin(file, 2, []journal.Head{head("a", 2)})
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	longest := int64(0)
	for n := uint64(3); n < 3000; n++ {
		if err := b.Keep(int64(n), []journal.Head{head("a", n), head(fmt.Sprint("b", n%40), n)}); err != nil {
			t.Fatal(err)
		}
		if n%97 == 0 || n < 10 {
			if s := read(t, file); s.Count != int64(n) || !maps.Equal(s.Heads, b.State().Heads) || s.Heads["a"] != head("a", n) {
				t.Fatalf("after %d: %+v", n, s)
			}
		}
		info, err := os.Stat(file)
		if err != nil {
			t.Fatal(err)
		}
		longest = max(longest, info.Size())
	}
	if longest > 128<<10 {
		t.Errorf("the file grows to %d bytes", longest)
	}
	if err := b.Keep(1, []journal.Head{head("a", 7)}); err != nil || b.State().Heads["a"] != head("a", 2999) {
		t.Errorf("what is known made it smaller: %v", err)
	}
}

func TestNoFileSaysNothing(t *testing.T) {
	if s := read(t, filepath.Join(t.TempDir(), "none")); s.Count != 0 || len(s.List()) != 0 {
		t.Errorf("%+v", s)
	}
}

// TestTornAndDamaged: whatever happens to the file's end, or to one byte of it,
// no more is read than was kept, and every whole line counts.
func TestTornAndDamaged(t *testing.T) {
	file := filepath.Join(t.TempDir(), "promised")
	b, err := promised.Begin(file, 0, nil)
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	for n := uint64(1); n <= 30; n++ {
		if err := b.Keep(int64(n), []journal.Head{head("a", n)}); err != nil {
			t.Fatal(err)
		}
	}
	raw, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	harmed := filepath.Join(t.TempDir(), "harmed")
	rapid.Check(t, func(t *rapid.T) {
		c := append([]byte(nil), raw...)
		if rapid.Bool().Draw(t, "torn") {
			clear(c[rapid.IntRange(0, len(c)).Draw(t, "from"):])
		} else {
			c[rapid.IntRange(0, 4000).Draw(t, "at")] ^= byte(rapid.IntRange(1, 255).Draw(t, "by"))
		}
		if err := os.WriteFile(harmed, c, 0o600); err != nil {
			t.Fatal(err)
		}
		s, _, err := promised.Read(harmed)
		if err != nil || s.Count > 30 || s.Heads["a"].Seq > 30 {
			t.Fatalf("%+v, %v", s, err)
		}
		if seq := s.Heads["a"].Seq; seq > 0 && s.Heads["a"] != head("a", seq) {
			t.Fatalf("%+v was never kept", s.Heads["a"])
		}
	})
	c := append([]byte(nil), raw...)
	c[30] ^= 1 // the first line
	if err := os.WriteFile(harmed, c, 0o600); err != nil {
		t.Fatal(err)
	}
	if s, damaged, err := promised.Read(harmed); err != nil || damaged != 1 || s.Count != 30 {
		t.Errorf("with a damaged first line: %+v, %d damaged, %v", s, damaged, err)
	}
}

// TestWhatCanNotBeKept is an error, and is kept the next time.
func TestWhatCanNotBeKept(t *testing.T) {
	file := filepath.Join(t.TempDir(), "promised")
	b, err := promised.Begin(file, 0, nil)
	if err != nil {
		t.Fatal(err)
	}
	if err := b.Close(); err != nil { // as when the disk is gone
		t.Fatal(err)
	}
	if err := b.Keep(1, []journal.Head{head("a", 1)}); err == nil || fault.Of(err).Code != fault.DataFolder {
		t.Errorf("kept on a closed file: %v", err)
	}
	if s := b.State(); s.Count != 0 || len(s.Heads) != 0 {
		t.Errorf("it counts what it couldn't keep: %+v", s)
	}
	if _, err := promised.Begin(filepath.Join(t.TempDir(), "none", "promised"), 0, nil); err == nil || fault.Of(err).Code != fault.DataFolder {
		t.Errorf("no folder: %v", err)
	}
}

func TestManyAtOnce(t *testing.T) {
	file := filepath.Join(t.TempDir(), "promised")
	b, err := promised.Begin(file, 0, nil)
	if err != nil {
		t.Fatal(err)
	}
	var all sync.WaitGroup
	for i := range 8 {
		all.Go(func() {
			for n := uint64(1); n <= 40; n++ {
				if err := b.Keep(int64(n), []journal.Head{head(fmt.Sprint("w", i), n)}); err != nil {
					t.Error(err)
				}
			}
		})
	}
	all.Wait()
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
	s := read(t, file)
	for i := range 8 {
		if w := fmt.Sprint("w", i); s.Heads[journal.Writer(w)] != head(w, 40) {
			t.Errorf("%s is at %+v", w, s.Heads[journal.Writer(w)])
		}
	}
	if err := promised.Write(file, s); err != nil {
		t.Fatal(err)
	}
	if again := read(t, file); !maps.Equal(again.Heads, s.Heads) {
		t.Errorf("written anew: %+v", again)
	}
}
