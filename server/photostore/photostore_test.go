package photostore

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"encoding/binary"
	"encoding/hex"
	"errors"
	"fmt"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"pgregory.net/rapid"

	"panside/internal/fault"
	"panside/internal/journal"
	"panside/server/testjpeg"
)

func open(t testing.TB, dir string) *Store {
	t.Helper()
	s, err := Open(dir, time.Now())
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func sumOf(b []byte) string {
	sum := sha256.Sum256(b)
	return hex.EncodeToString(sum[:])
}

func code(err error) fault.Code {
	if err == nil {
		return ""
	}
	return fault.Of(err).Code
}

func put(t testing.TB, s *Store, b []byte, chunk int) {
	t.Helper()
	at := int64(0)
	for {
		end := min(at+int64(chunk), int64(len(b)))
		p, err := s.Put(sumOf(b), at, int64(len(b)), b[at:end])
		if err != nil {
			t.Fatal(err)
		}
		if at = p.Have; p.Complete {
			return
		}
	}
}

func TestAPhotoIsKeptByteByByte(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "photos")
	s := open(t, dir)
	for i, chunk := range []int{1000, 4096, 1 << 20} {
		b := testjpeg.Noise(uint64(i), 64)
		if _, err := s.Find(sumOf(b)); code(err) != fault.NotFound {
			t.Errorf("before: %v", err)
		}
		put(t, s, b, chunk)
		p, err := s.Find(sumOf(b))
		if err != nil || p.Type != "image/jpeg" || p.Size != int64(len(b)) {
			t.Fatalf("%+v, %v", p, err)
		}
		got, err := os.ReadFile(p.Path)
		if err != nil || !bytes.Equal(got, b) {
			t.Error("other bytes")
		}
		if _, err := os.Stat(s.part(sumOf(b))); err == nil {
			t.Error("its part is still there")
		}
		again := open(t, dir) // after a restart
		if have, err := again.Have(sumOf(b)); err != nil || !have.Complete {
			t.Errorf("after a restart %+v, %v", have, err)
		}
		if have, err := again.Put(sumOf(b), 0, int64(len(b)), b[:10]); err != nil || !have.Complete {
			t.Errorf("sent again %+v, %v", have, err)
		}
	}
	var all []string
	if err := s.Each(func(p Photo) error { all = append(all, p.Sum); return nil }); err != nil || len(all) != 3 || !slices.IsSorted(all) {
		t.Errorf("each: %v, %v", all, err)
	}
	strange := strings.Repeat("0", 64)
	half := testjpeg.Noise(9, 64)
	if p, err := s.Put(sumOf(half), 0, int64(len(half)), half[:len(half)-1]); err != nil || p.Complete {
		t.Errorf("all but the last byte: %+v, %v", p, err)
	}
	lacking := []string{strange, sumOf(half)}
	if missing, _, err := s.Missing(append(all, lacking...), false); err != nil || !slices.Equal(missing, lacking) {
		t.Errorf("missing: %v, %v", missing, err)
	}
}

// TestOnTheDiskBeforeItCounts: bytes and name are synced before anybody is told
// that the photo is here, and a sync that fails is tried again, also by the
// program's next run.
func TestOnTheDiskBeforeItCounts(t *testing.T) {
	b := testjpeg.Noise(1, 16)
	dir := t.TempDir()
	var did []string
	broken := "" // the sync that fails
	watched := func() *Store {
		s := open(t, dir)
		s.Probe = func(step string) error { did = append(did, step); return nil }
		s.sync = func(f *os.File) error {
			what := "photo on the disk"
			if f.Name() == dir {
				what = "name on the disk"
			}
			if what == broken {
				return errors.New("no more")
			}
			did = append(did, what)
			return f.Sync()
		}
		return s
	}
	s := watched()
	send := func() (journal.PhotoProgress, error) { return s.Put(sumOf(b), 0, int64(len(b)), b) }
	for _, tc := range []struct {
		broken string
		want   []string
	}{
		{"photo on the disk", []string{"write", "sync"}},
		{"name on the disk", []string{"sync", "photo on the disk", "check", "rename", "sync-folder"}},
		{"name on the disk", nil},
		{"", []string{"name on the disk"}},
		{"", nil},
	} {
		did, broken = nil, tc.broken
		p, err := send()
		if p.Complete != (broken == "") || (err == nil) != (broken == "") {
			t.Errorf("without %q: %+v, %v", broken, p, err)
		}
		if missing, _, err := s.Missing([]string{sumOf(b)}, false); err == nil && len(missing) == 0 && broken != "" {
			t.Errorf("without %q it isn't missing", broken)
		}
		if !slices.Equal(did, tc.want) {
			t.Errorf("without %q: %q, want %q", broken, did, tc.want)
		}
	}
	// Its name may be from a run that was killed before it was on the disk.
	s, did = watched(), nil
	if p, err := s.Have(sumOf(b)); err != nil || !p.Complete || !slices.Equal(did, []string{"name on the disk"}) {
		t.Errorf("the next run: %+v, %v, %q", p, err, did)
	}
}

// TestAnyChunksInAnyOrder: chunks that overlap, repeat, jump ahead, restarts in
// between, and torn ends of the part: the photo is kept right or not at all.
func TestAnyChunksInAnyOrder(t *testing.T) {
	b := testjpeg.Noise(1, 24)
	base := t.TempDir()
	n := 0
	rapid.Check(t, func(t *rapid.T) {
		n++
		dir := filepath.Join(base, fmt.Sprint(n))
		s, err := Open(dir, time.Now())
		if err != nil {
			t.Fatal(err)
		}
		complete := false
		for !complete {
			var p journal.PhotoProgress
			var err error
			switch rapid.IntRange(0, 9).Draw(t, "what") {
			case 0:
				if s, err = Open(dir, time.Now()); err != nil {
					t.Fatal(err)
				}
				continue
			case 1: // the power goes: the part's end is lost or garbled
				if raw, err := os.ReadFile(s.part(sumOf(b))); err == nil && len(raw) > 0 {
					cut := rapid.IntRange(0, len(raw)).Draw(t, "cut")
					for i := cut; i < len(raw); i++ {
						raw[i] = 0
					}
					if rapid.Bool().Draw(t, "shorter") {
						raw = raw[:cut]
					}
					if err := os.WriteFile(s.part(sumOf(b)), raw, 0o600); err != nil {
						t.Fatal(err)
					}
				}
				continue
			case 2:
				at := rapid.IntRange(0, len(b)).Draw(t, "from")
				to := rapid.IntRange(at, len(b)).Draw(t, "to")
				p, err = s.Put(sumOf(b), int64(at), int64(len(b)), b[at:to])
			default:
				if p, err = s.Have(sumOf(b)); err != nil {
					t.Fatal(err)
				}
				if !p.Complete {
					to := min(int(p.Have)+rapid.IntRange(1, 400).Draw(t, "length"), len(b))
					p, err = s.Put(sumOf(b), p.Have, int64(len(b)), b[p.Have:to])
				}
			}
			if err != nil {
				if code(err) != fault.PhotoTorn {
					t.Fatal(err)
				}
				if left, err := s.Have(sumOf(b)); err != nil || left.Have != 0 {
					t.Fatalf("of a torn photo %d bytes are kept, %v: it never gets through", left.Have, err)
				}
			}
			if _, err := s.Find(sumOf(b)); (err == nil) != p.Complete && code(err) != fault.NotFound {
				t.Fatalf("found: %v, complete: %v", err, p.Complete)
			}
			complete = p.Complete
		}
		kept, err := s.Find(sumOf(b))
		if err != nil {
			t.Fatal(err)
		}
		if got, err := os.ReadFile(kept.Path); err != nil || !bytes.Equal(got, b) {
			t.Fatal("kept with other bytes")
		}
	})
}

// real WebP pictures of 37 by 23 pixels: lossy, lossless, and lossy with
// transparency, as a browser's canvas wrote them.
var webps = []string{
	"UklGRkQAAABXRUJQVlA4IDgAAABQAwCdASolABcAPtFmrFEoJaQipWgBABoJZwB2AABYzxr3gADxj/6FGyiVS/+LYpDbObOG5AAAAA==",
	"UklGRh4AAABXRUJQVlA4TBEAAAAvJIAFAAfQueJ2pv+BiOh/AAA=",
	"UklGRogAAABXRUJQVlA4WAoAAAAQAAAAJAAAFgAAQUxQSBkAAAABDzD/ERFCTQACjCb6d1w/BSL6H1DLcXsHAFZQOCBIAAAAkAMAnQEqJQAXAD7RZqxRKCWkIqVoAQAaCWUAyvALf0RTOl1UwAD+93ElPuUSaJ+Mh2iDf27vIuJdfvYawXunee5IK8QKAAAA",
}

func TestKindsAreReadFromTheBytes(t *testing.T) {
	s := open(t, t.TempDir())
	var p bytes.Buffer
	if err := png.Encode(&p, image.NewGray(image.Rect(0, 0, 37, 23))); err != nil {
		t.Fatal(err)
	}
	pictures := map[string][][]byte{"image/png": {p.Bytes()}, "image/jpeg": {testjpeg.Noise(1, 8)}}
	for _, text := range webps {
		raw, err := base64.StdEncoding.DecodeString(text)
		if err != nil {
			t.Fatal(err)
		}
		if w, h := webpSize(raw); w != 37 || h != 23 {
			t.Errorf("WebP of %d by %d, want 37 by 23", w, h)
		}
		pictures["image/webp"] = append(pictures["image/webp"], raw)
	}
	for want, list := range pictures {
		for _, b := range list {
			put(t, s, b, 1<<20)
			if got, err := s.Find(sumOf(b)); err != nil || got.Type != want {
				t.Errorf("%+v, %v, want %s", got, err, want)
			}
		}
	}
}

// bomb is a PNG of a few bytes that claims to be huge.
func bomb(width, height uint32) []byte {
	chunk := func(name string, data []byte) []byte {
		b := binary.BigEndian.AppendUint32(nil, uint32(len(data)))
		b = append(append(b, name...), data...)
		return binary.BigEndian.AppendUint32(b, crc32.ChecksumIEEE(b[4:]))
	}
	head := binary.BigEndian.AppendUint32(nil, width)
	head = binary.BigEndian.AppendUint32(head, height)
	head = append(head, 8, 0, 0, 0, 0)
	b := []byte("\x89PNG\r\n\x1a\n")
	b = append(b, chunk("IHDR", head)...)
	b = append(b, chunk("IDAT", nil)...)
	return append(b, chunk("IEND", nil)...)
}

func webpBomb() []byte {
	b := append([]byte("RIFF\x16\x00\x00\x00WEBPVP8X\x0a\x00\x00\x00\x00\x00\x00\x00"), 0xff, 0xff, 0xff, 0xff, 0xff, 0xff)
	return append(b, make([]byte, 16)...)
}

func TestWhatIsNotTaken(t *testing.T) {
	s := open(t, t.TempDir())
	cut := testjpeg.Noise(1, 64)[:40]
	for what, b := range map[string][]byte{
		"text":                []byte("just some text that is long enough to be looked at"),
		"short text":          []byte("x"),
		"a moving picture":    append([]byte("GIF89a"), make([]byte, 100)...),
		"a script in a JPEG":  append([]byte("\xff\xd8\xff<script>"), make([]byte, 100)...),
		"only a beginning":    cut,
		"a wide bomb":         bomb(1<<30, 1),
		"a long strip":        bomb(1, 20_001),
		"a wide strip":        bomb(20_001, 1),
		"a big bomb":          bomb(19_000, 19_000),
		"no pixels":           bomb(0, 10),
		"a WebP bomb":         webpBomb(),
		"a WebP without size": append([]byte("RIFF\x20\x00\x00\x00WEBPVP8 "), make([]byte, 24)...),
	} {
		_, err := s.Put(sumOf(b), 0, int64(len(b)), b)
		if code(err) != fault.PhotoRefused {
			t.Errorf("%s: %v", what, err)
		}
		if p, err := s.Have(sumOf(b)); err != nil || p.Have != 0 || p.Complete {
			t.Errorf("%s left %+v, %v", what, p, err)
		}
	}
	good := bomb(8000, 8000)
	if _, err := s.Put(sumOf(good), 0, int64(len(good)), good); err != nil {
		t.Errorf("64 million pixels: %v", err)
	}

	b := testjpeg.Noise(2, 16)
	sum := sumOf(b)
	for what, tc := range map[string]struct {
		sum           string
		offset, total int64
		chunk         []byte
		want          fault.Code
	}{
		"a path as name":    {"../../../../etc/passwd", 0, 10, b[:10], fault.BadInput},
		"capital letters":   {strings.ToUpper(sum), 0, 10, b[:10], fault.BadInput},
		"no name":           {"", 0, 10, b[:10], fault.BadInput},
		"before the start":  {sum, -1, 10, b[:5], fault.BadInput},
		"beyond the end":    {sum, 5, 10, b[:6], fault.BadInput},
		"nothing":           {sum, 0, 0, nil, fault.BadInput},
		"a text's start":    {sum, 0, 1000, bytes.Repeat([]byte("text"), 20), fault.PhotoRefused},
		"more than 25 MB":   {sum, 0, journal.MaxPhoto + 1, b[:10], fault.PhotoRefused},
		"someone else's":    {sumOf([]byte("other")), 0, int64(len(b)), b, fault.PhotoTorn},
		"an overflowing at": {sum, 1<<63 - 1, 10, b[:6], fault.BadInput},
	} {
		if _, err := s.Put(tc.sum, tc.offset, tc.total, tc.chunk); code(err) != tc.want {
			t.Errorf("%s: %v, want %s", what, err, tc.want)
		}
	}
	// What comes before the bytes in front of it changes nothing.
	if p, err := s.Put(sum, 100, int64(len(b)), b[100:]); err != nil || p.Have != 0 || p.Complete {
		t.Errorf("beyond a hole: %+v, %v", p, err)
	}
	// Another size than the first time begins again.
	if _, err := s.Put(sum, 0, int64(len(b))+100, append(slices.Clone(b), make([]byte, 50)...)); err != nil {
		t.Fatal(err)
	}
	put(t, s, b, 1<<20)
}

// TestAFailureAtAnyStep lets each step of an upload fail in turn, as a full
// disk or a loss of power would. Nothing counts as kept before its last step,
// and sending it again keeps it.
func TestAFailureAtAnyStep(t *testing.T) {
	b := testjpeg.Noise(1, 32)
	broken := &fs.PathError{Op: "write", Path: "x", Err: errors.New("no more")}
	for failing := 1; ; failing++ {
		dir := t.TempDir()
		s := open(t, dir)
		steps, last := 0, ""
		s.Probe = func(step string) error {
			last = step
			if steps++; steps == failing {
				return broken
			}
			return nil
		}
		third := int64(len(b) / 3)
		var err error
		for at, complete := int64(0), false; !complete && err == nil; {
			var p journal.PhotoProgress
			p, err = s.Put(sumOf(b), at, int64(len(b)), b[at:min(at+third, int64(len(b)))])
			at, complete = p.Have, p.Complete
		}
		if err == nil {
			if failing < 7 {
				t.Errorf("only %d steps", failing)
			}
			break
		}
		if f := fault.Of(err); f.Code != fault.DataFolder || !strings.Contains(f.English(), "still on the phone") {
			t.Errorf("%v", err)
		}
		s = open(t, dir)
		if _, err := s.Find(sumOf(b)); (err == nil) != (last == "sync-folder" || last == "kept") {
			t.Errorf("after a failure before %s: %v", last, err)
		}
		p, err := s.Have(sumOf(b))
		for err == nil && !p.Complete {
			p, err = s.Put(sumOf(b), p.Have, int64(len(b)), b[p.Have:])
		}
		if err != nil {
			t.Errorf("again after %s: %v", last, err)
		}
	}
}

func TestTwoPhonesSendTheSamePhoto(t *testing.T) {
	s := open(t, t.TempDir())
	b := testjpeg.Noise(1, 64)
	var wg sync.WaitGroup
	for range 4 {
		wg.Go(func() {
			for at := int64(0); ; {
				p, err := s.Put(sumOf(b), at, int64(len(b)), b[at:min(at+500, int64(len(b)))])
				if err != nil {
					t.Error(err)
					return
				}
				if at = p.Have; p.Complete {
					return
				}
			}
		})
	}
	wg.Wait()
	if p, err := s.Find(sumOf(b)); err != nil || p.Size != int64(len(b)) {
		t.Errorf("%+v, %v", p, err)
	}
	if len(s.busy) != 0 {
		t.Errorf("%d photos still count as being written", len(s.busy))
	}
}

func TestPartsAreForgottenAfterAMonth(t *testing.T) {
	dir := t.TempDir()
	s := open(t, dir)
	b := testjpeg.Noise(1, 64)
	if _, err := s.Put(sumOf(b), 0, int64(len(b)), b[:100]); err != nil {
		t.Fatal(err)
	}
	for _, tc := range []struct {
		wait time.Duration
		want int64
	}{{forgetAfter - time.Hour, 100}, {forgetAfter + time.Hour, 0}} {
		s, err := Open(dir, time.Now().Add(tc.wait))
		if err != nil {
			t.Fatal(err)
		}
		if p, err := s.Have(sumOf(b)); err != nil || p.Have != tc.want {
			t.Errorf("after %v: %+v, %v", tc.wait, p, err)
		}
	}
}

func TestAFolderThatCanNotBeWritten(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := Open(filepath.Join(file, "photos"), time.Now()); code(err) != fault.DataFolder {
		t.Errorf("below a file: %v", err)
	}
	s := &Store{dir: "D"}
	for want, err := range map[string]error{
		"full":        &fs.PathError{Op: "write", Err: fullDisk},
		"not allowed": fs.ErrPermission,
		"isn’t":       fs.ErrPermission,
		"check the":   errors.New("I/O error"),
	} {
		if f := fault.Of(s.explain(err)); f.Code != fault.DataFolder || (!strings.Contains(f.English(), want) && want != "not allowed") {
			t.Errorf("%v: %q", err, f.English())
		}
	}
}

func FuzzHeader(f *testing.F) {
	f.Add(testjpeg.Noise(1, 8))
	f.Add(bomb(10, 10))
	f.Add(webpBomb())
	for _, text := range webps {
		raw, _ := base64.StdEncoding.DecodeString(text)
		f.Add(raw)
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		ending, err := check(bytes.NewReader(b))
		if (err == nil) != slices.Contains([]string{"jpg", "png", "webp"}, ending) {
			t.Errorf("%q with %v", ending, err)
		}
	})
}

// BenchmarkPhotos compares keeping photos with writing the same bytes to plain
// files that are synced, in the same run.
func BenchmarkPhotos(b *testing.B) {
	const count = 8
	var photos [count][]byte
	for i := range photos {
		m := image.NewRGBA(image.Rect(0, 0, 1600, 1200))
		rng := rand.New(rand.NewPCG(uint64(i), 1))
		for j := 0; j < len(m.Pix); j += 4 {
			v := uint8(rng.Uint32())
			m.Pix[j], m.Pix[j+1], m.Pix[j+2], m.Pix[j+3] = v, v/2, v/3, 255
		}
		m.Set(0, 0, color.White)
		var buf bytes.Buffer
		if err := jpeg.Encode(&buf, m, nil); err != nil {
			b.Fatal(err)
		}
		photos[i] = buf.Bytes()
	}
	var bare, kept time.Duration
	for b.Loop() {
		dir := b.TempDir()
		began := time.Now()
		for i, p := range photos {
			f, err := os.Create(filepath.Join(dir, fmt.Sprint(i)))
			if err != nil {
				b.Fatal(err)
			}
			_, err = f.Write(p)
			if err := errors.Join(err, f.Sync(), f.Close()); err != nil {
				b.Fatal(err)
			}
		}
		bare += time.Since(began)
		s := open(b, filepath.Join(dir, "photos"))
		began = time.Now()
		for _, p := range photos {
			put(b, s, p, 1<<20)
		}
		kept += time.Since(began)
	}
	b.ReportMetric(float64(bare)/float64(kept), "speed-of-bare-files")
}
