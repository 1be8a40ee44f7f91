package main

import (
	"archive/zip"
	"bytes"
	"compress/flate"
	"crypto/sha256"
	"database/sql"
	"encoding/binary"
	"encoding/hex"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"panside/internal/device"
	"panside/server/archive"
	"panside/server/backup"
	"panside/server/sqlite"
)

// childCalls holds, in the environment, the words of a command that runs in a
// process of its own, one a line.
const childCalls = "PANSIDE_TEST_CHILD_CALLS"

// TestChildCall is no test but a process whose memory is measured.
func TestChildCall(t *testing.T) {
	words := os.Getenv(childCalls)
	if words == "" {
		t.Skip("runs only as a process of another test")
	}
	code := run(t.Context(), strings.Split(words, "\n"), &stdio{strings.NewReader(""), os.Stdout, os.Stdout})
	status, err := os.ReadFile("/proc/self/status")
	if err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(string(status)) {
		if kb, ok := strings.CutPrefix(line, "VmHWM:"); ok {
			fmt.Printf("MEMORY %s CODE %d\n", strings.Fields(kb)[0], code)
		}
	}
}

// measured runs a command and gives the most memory that it had.
func measured(t *testing.T, words ...string) (megabytes, code int, out string) {
	t.Helper()
	cmd := exec.Command(os.Args[0], "-test.run=^TestChildCall$", "-test.v")
	cmd.Env = append(os.Environ(), childCalls+"="+strings.Join(words, "\n"))
	raw, err := cmd.CombinedOutput()
	if err != nil {
		t.Fatalf("%v: %s", err, raw)
	}
	out = string(raw)
	_, tail, ok := strings.Cut(out, "MEMORY ")
	f := strings.Fields(tail)
	if !ok || len(f) < 3 {
		t.Fatal(out)
	}
	kb, err1 := strconv.Atoi(f[0])
	code, err2 := strconv.Atoi(f[2])
	if err1 != nil || err2 != nil {
		t.Fatal(out)
	}
	return kb >> 10, code, out
}

// hostile writes a zip of names, each with what writes its content, or for an
// empty file its comment.
func hostile(t *testing.T, path string, files ...any) {
	t.Helper()
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	z := zip.NewWriter(f)
	z.RegisterCompressor(zip.Deflate, func(w io.Writer) (io.WriteCloser, error) { return flate.NewWriter(w, flate.BestSpeed) })
	for i := 0; i < len(files); i += 2 {
		comment, empty := files[i+1].(string)
		method := zip.Deflate
		if empty {
			method = zip.Store
		}
		part, err := z.CreateHeader(&zip.FileHeader{Name: files[i].(string), Comment: comment, Method: method})
		if err != nil {
			t.Fatal(err)
		}
		if empty {
			continue
		}
		if err := files[i+1].(func(io.Writer) error)(part); err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
}

func repeated(before, again string, times int, after string) func(io.Writer) error {
	return func(w io.Writer) error {
		block := []byte(strings.Repeat(again, 1000))
		if _, err := io.WriteString(w, before); err != nil {
			return err
		}
		for range times / 1000 {
			if _, err := w.Write(block); err != nil {
				return err
			}
		}
		_, err := io.WriteString(w, after)
		return err
	}
}

// TestAHostileArchive costs little memory, is refused, and nothing that is there
// is changed.
func TestAHostileArchive(t *testing.T) {
	if raceEnabled {
		t.Skip("the race detector's own memory would be measured; `go run ./server/up test` runs it again without")
	}
	dir := t.TempDir()
	db, err := sqlite.Open(t.Context(), filepath.Join(dir, backup.RecordsFile))
	if err != nil {
		t.Fatal(err)
	}
	if err := db.AddDevice(t.Context(), device.Device{ID: "D", Name: "phone", Role: device.Phone}, [32]byte{1}); err != nil {
		t.Fatal(err)
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	good := filepath.Join(t.TempDir(), "good.zip")
	if code, _, errOut := call(t, "backup", good, "--data", dir); code != exitGood {
		t.Fatal(errOut)
	}
	usual, code, out := measured(t, "restore", good, "--data", t.TempDir())
	if code != exitGood {
		t.Fatal(out)
	}
	const list = `{"format":"panside backup","v":1,"files":[`
	zeros := func(n int) func(io.Writer) error {
		return func(w io.Writer) error { _, err := io.CopyN(w, zeroReader{}, int64(n)); return err }
	}
	for name, build := range map[string]func(path string){
		"a list without end": func(path string) {
			hostile(t, path, "contents.json", repeated(list, " ", 100_000_000, "]}"))
		},
		"a list of nothings": func(path string) {
			hostile(t, path, "contents.json", repeated(list+"{}", ",{}", 3_000_000, "]}"))
		},
		"a list with a long word": func(path string) {
			hostile(t, path, "contents.json", repeated(`{"format":"`, "x", 120_000_000, `"}`))
		},
		"a long directory": func(path string) {
			var files []any
			for range 120_000 {
				files = append(files, "a", "")
			}
			hostile(t, path, append(files, "contents.json", repeated(list, "", 0, "]}"))...)
		},
		"a directory of long words": func(path string) {
			var files []any
			for range 2000 {
				files = append(files, "a", strings.Repeat("x", 60_000))
			}
			hostile(t, path, append(files, "contents.json", repeated(list, "", 0, "]}"))...)
		},
		"a directory that claims to be longer still": func(path string) { claimsMany(t, path) },
		"a photo without end": func(path string) {
			h := sha256.New()
			if err := zeros(120 << 20)(h); err != nil {
				t.Fatal(err)
			}
			sum := hex.EncodeToString(h.Sum(nil))
			rec, err := os.ReadFile(filepath.Join(dir, backup.RecordsFile))
			if err != nil {
				t.Fatal(err)
			}
			hostile(t, path,
				backup.RecordsFile, func(w io.Writer) error { _, err := w.Write(rec); return err },
				backup.PhotosIn+sum+".jpg", zeros(120<<20),
				"contents.json", func(w io.Writer) error {
					_, err := fmt.Fprintf(w, `%s{"name":%q,"bytes":%d,"sha256":%q},{"name":%q,"bytes":%d,"sha256":%q}]}`, list, backup.RecordsFile, len(rec), sha(rec), backup.PhotosIn+sum+".jpg", 120<<20, sum)
					return err
				})
		},
		"records with a value without end": func(path string) {
			big := filepath.Join(t.TempDir(), "big.db")
			if err := copyOver(filepath.Join(dir, backup.RecordsFile), big); err != nil {
				t.Fatal(err)
			}
			pool, err := sql.Open("sqlite3", big)
			if err != nil {
				t.Fatal(err)
			}
			if _, err := pool.Exec(`INSERT INTO scale_checks (scale, dialect, taken, record) VALUES ('s', 'd', 0, printf('%.*c', 120000000, 'x'))`); err != nil {
				t.Fatal(err)
			}
			if err := pool.Close(); err != nil {
				t.Fatal(err)
			}
			w, err := archive.Create(path, filepath.Dir(path), time.Now(), "v", false)
			if err != nil {
				t.Fatal(err)
			}
			if _, err := w.Add(t.Context(), backup.RecordsFile, big); err != nil {
				t.Fatal(err)
			}
			if err := w.Close(t.Context()); err != nil {
				t.Fatal(err)
			}
		},
	} {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "hostile.zip")
			build(path)
			before := files(t, dir)
			delete(before, filepath.Join(dir, "panside.lock"))
			most, code, out := measured(t, "restore", path, "--data", dir, "--force")
			t.Logf("%d MB more than a good one: %s", most-usual, strings.ReplaceAll(out, "\n", " "))
			if code != exitBad {
				t.Errorf("it was put back: %s", out)
			}
			if most-usual > 64 {
				t.Errorf("it cost %d MB more than a good one", most-usual)
			}
			after := files(t, dir)
			delete(after, filepath.Join(dir, "panside.lock"))
			for file, was := range before {
				if after[file] != was {
					t.Errorf("%s was changed", file)
				}
			}
			if len(after) != len(before) {
				t.Errorf("%d files, %d before", len(after), len(before))
			}
		})
	}
}

type zeroReader struct{}

func (zeroReader) Read(b []byte) (int, error) { clear(b); return len(b), nil }

// claimsMany makes a file with a hole of eight gigabytes and a zip's end that
// says it has as many files as would fit.
func claimsMany(t *testing.T, path string) {
	t.Helper()
	const size = 8 << 30
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var end bytes.Buffer
	put := func(values ...any) {
		for _, v := range values {
			if err := binary.Write(&end, binary.LittleEndian, v); err != nil {
				t.Fatal(err)
			}
		}
	}
	many := uint64(size / 31)
	put([]byte("PK\x06\x06"), uint64(44), uint16(45), uint16(45), uint32(0), uint32(0), many, many, uint64(0), uint64(0))
	put([]byte("PK\x06\x07"), uint32(0), uint64(size), uint32(1))
	put([]byte("PK\x05\x06"), uint16(0xffff), uint16(0xffff), uint16(0xffff), uint16(0xffff), uint32(0xffffffff), uint32(0xffffffff), uint16(0))
	if _, err := f.WriteAt(end.Bytes(), size); err != nil {
		t.Fatal(err)
	}
}
