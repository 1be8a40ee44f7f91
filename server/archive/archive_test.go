package archive_test

import (
	"archive/zip"
	"bytes"
	"context"
	"encoding/json"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"panside/internal/fault"
	"panside/server/archive"
)

var noon = time.Date(2026, 3, 1, 12, 0, 0, 5, time.UTC)

func code(err error) fault.Code {
	if err == nil {
		return ""
	}
	return fault.Of(err).Code
}

// made writes an archive of two files and returns its path.
func made(t *testing.T) (path string, files map[string][]byte) {
	t.Helper()
	dir := t.TempDir()
	records := make([]byte, 20_000)
	rng := rand.New(rand.NewPCG(1, 1))
	for i := range records {
		records[i] = "abcdefgh"[rng.IntN(8)] // packs, and no two ways say the same
	}
	files = map[string][]byte{"panside.db": records, "photos/a.jpg": bytes.Repeat([]byte{0xff, 0xd8, 7}, 1000)}
	path = filepath.Join(dir, "b.zip")
	w, err := archive.Create(path, filepath.Dir(path), noon, "v1", true)
	if err != nil {
		t.Fatal(err)
	}
	for name, raw := range files {
		from := filepath.Join(t.TempDir(), "file")
		if err := os.WriteFile(from, raw, 0o600); err != nil {
			t.Fatal(err)
		}
		if _, err := w.Add(t.Context(), name, from); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := os.Stat(path); err == nil {
		t.Error("it has its name before it is whole")
	}
	if err := w.Close(t.Context()); err != nil {
		t.Fatal(err)
	}
	return path, files
}

func TestWhatGoesInComesOut(t *testing.T) {
	path, files := made(t)
	info, err := os.Stat(path)
	if err != nil || info.Mode().Perm()&0o077 != 0 {
		t.Errorf("others may read it: %v %v", info.Mode(), err)
	}
	a, err := archive.Open(t.Context(), path)
	if err != nil {
		t.Fatal(err)
	}
	defer a.Close()
	if !a.Whole || a.Program != "v1" || !a.Made.Equal(noon.Truncate(time.Second)) || len(a.Files) != 2 {
		t.Errorf("%+v", a.Contents)
	}
	for name, raw := range files {
		f, ok := a.Find(name)
		if !ok {
			t.Fatalf("no %s", name)
		}
		to := filepath.Join(t.TempDir(), "out")
		if err := a.Extract(t.Context(), f, to); err != nil {
			t.Fatal(err)
		}
		if got, err := os.ReadFile(to); err != nil || !bytes.Equal(got, raw) {
			t.Errorf("%s came out otherwise", name)
		}
		if err := a.Extract(t.Context(), f, to); code(err) != fault.DataFolder {
			t.Errorf("over an existing file: %v", err)
		}
	}
}

// TestAnyDamageIsFound changes, cuts and mixes the archive's bytes.
func TestAnyDamageIsFound(t *testing.T) {
	path, _ := made(t)
	raw, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	bad := filepath.Join(t.TempDir(), "bad.zip")
	try := func(what string, b []byte) {
		t.Helper()
		if err := os.WriteFile(bad, b, 0o600); err != nil {
			t.Fatal(err)
		}
		a, err := archive.Open(t.Context(), bad)
		if err == nil {
			a.Close()
		}
		if err == nil || !strings.Contains(fault.Of(err).English(), "Nothing was changed") && !strings.Contains(fault.Of(err).English(), "is changed") {
			t.Errorf("%s: %v", what, err)
		}
	}
	for _, cut := range []int{0, 1, 100, len(raw) / 2, len(raw) - 30, len(raw) - 1} {
		try("cut", raw[:cut])
	}
	// Every byte of the two files' contents counts; times of the zip format don't.
	z, err := zip.OpenReader(path)
	if err != nil {
		t.Fatal(err)
	}
	defer z.Close()
	for _, f := range z.File {
		from, err := f.DataOffset()
		if err != nil {
			t.Fatal(err)
		}
		// The last byte of packed data may hold bits that nothing reads.
		for i := from; i < from+int64(f.CompressedSize64)-1; i += max(1, int64(f.CompressedSize64)/40) {
			b := bytes.Clone(raw)
			b[i] ^= 0x10
			try("a changed byte of "+f.Name, b)
		}
	}
	try("no zip at all", bytes.Repeat([]byte("x"), 5000))
}

// TestAListThatLies builds archives whose list and files disagree.
func TestAListThatLies(t *testing.T) {
	empty := "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"
	for what, tc := range map[string]struct {
		list string
		want fault.Code
	}{
		"good":           {`{"format":"panside backup","v":1,"files":[{"name":"a","bytes":0,"sha256":"` + empty + `"}]}`, ""},
		"a newer one":    {`{"format":"panside backup","v":2,"files":[{"name":"a","bytes":0,"sha256":"` + empty + `"}]}`, fault.WireVersion},
		"another format": {`{"format":"other","v":1,"files":[{"name":"a","bytes":0,"sha256":"` + empty + `"}]}`, fault.Damaged},
		"file left out":  {`{"format":"panside backup","v":1,"files":[]}`, fault.Damaged},
		"file too many":  {`{"format":"panside backup","v":1,"files":[{"name":"a","bytes":0,"sha256":"` + empty + `"},{"name":"b","bytes":0,"sha256":"` + empty + `"}]}`, fault.Damaged},
		"wrong length":   {`{"format":"panside backup","v":1,"files":[{"name":"a","bytes":1,"sha256":"` + empty + `"}]}`, fault.Damaged},
		"wrong hash":     {`{"format":"panside backup","v":1,"files":[{"name":"a","bytes":0,"sha256":"` + strings.Repeat("0", 64) + `"}]}`, fault.Damaged},
		"way out":        {`{"format":"panside backup","v":1,"files":[{"name":"../a","bytes":0,"sha256":"` + empty + `"}]}`, fault.Damaged},
		"no list":        {``, fault.Damaged},
	} {
		path := filepath.Join(t.TempDir(), "x.zip")
		f, err := os.Create(path)
		if err != nil {
			t.Fatal(err)
		}
		z := zip.NewWriter(f)
		if _, err := z.Create("a"); err != nil {
			t.Fatal(err)
		}
		if tc.list != "" {
			if !json.Valid([]byte(tc.list)) {
				t.Fatal(tc.list)
			}
			part, err := z.Create("contents.json")
			if err != nil {
				t.Fatal(err)
			}
			if _, err := part.Write([]byte(tc.list)); err != nil {
				t.Fatal(err)
			}
		}
		if err := z.Close(); err != nil {
			t.Fatal(err)
		}
		f.Close()
		a, err := archive.Open(t.Context(), path)
		if code(err) != tc.want {
			t.Errorf("%s: %v, want %q", what, err, tc.want)
		}
		if err == nil {
			a.Close()
		}
	}
}

// TestAnArchiveIsReadBack: what the disk made of it while it was written shows
// before it gets its name.
func TestAnArchiveIsReadBack(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "b.zip")
	from := filepath.Join(t.TempDir(), "photo.jpg")
	if err := os.WriteFile(from, make([]byte, 100_000), 0o600); err != nil {
		t.Fatal(err)
	}
	w, err := archive.Create(path, filepath.Dir(path), noon, "v1", false)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := w.Add(t.Context(), "photo.jpg", from); err != nil {
		t.Fatal(err)
	}
	unfinished, err := filepath.Glob(filepath.Join(dir, "unfinished-*"))
	if err != nil || len(unfinished) != 1 {
		t.Fatal(unfinished, err)
	}
	disk, err := os.OpenFile(unfinished[0], os.O_WRONLY, 0)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := disk.WriteAt([]byte{1}, 50_000); err != nil {
		t.Fatal(err)
	}
	disk.Close()
	if err := w.Close(t.Context()); code(err) != fault.Damaged {
		t.Errorf("closed with %v", err)
	}
	if list, err := os.ReadDir(dir); err != nil || len(list) != 0 {
		t.Errorf("a damaged backup is left: %v, %v", list, err)
	}
}

func TestWhatFailsLeavesNothing(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "b.zip")
	w, err := archive.Create(path, filepath.Dir(path), noon, "v1", false)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := w.Add(t.Context(), "a", filepath.Join(dir, "none")); code(err) != fault.DataFolder {
		t.Errorf("a file that isn't there: %v", err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if err := os.WriteFile(filepath.Join(dir, "some"), []byte("x"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := w.Add(ctx, "a", filepath.Join(dir, "some")); err == nil {
		t.Error("went on after the end")
	}
	w.Abandon()
	if list, err := os.ReadDir(dir); err != nil || len(list) != 1 {
		t.Errorf("left behind %v, %v", list, err)
	}
	if _, err := archive.Create(filepath.Join(dir, "none", "b.zip"), filepath.Join(dir, "none"), noon, "v1", false); code(err) != fault.DataFolder {
		t.Errorf("no folder: %v", err)
	}
	if _, err := archive.Open(t.Context(), filepath.Join(dir, "none.zip")); code(err) != fault.DataFolder {
		t.Errorf("no file: %v", err)
	}
}
