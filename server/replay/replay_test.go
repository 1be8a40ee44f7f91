package replay_test

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"testing"
	"testing/synctest"
	"time"

	"panside/internal/dialect/capture"
	"panside/internal/fault"
	"panside/server/pseudoport"
	"panside/server/replay"
	"panside/server/serialport"
)

var coin = capture.Capture{
	Header: capture.Header{Shape: "status-comma", Port: "9600 8N1", Unit: "-"},
	Chunks: []capture.Chunk{
		{After: 0, Bytes: []byte("ST,GS,+   0.00  g\r\n")},
		{After: 2 * time.Second, Bytes: []byte("US,GS,+   2.8")},
		{After: time.Second}, // a pause with nothing in it
		{After: 10 * time.Millisecond, Bytes: []byte("7  g\r\n")},
	},
}

// piece is what one read gave and when.
type piece struct {
	text string
	at   time.Duration // since the capture's start
}

func readAll(t *testing.T, s *replay.Stream, start time.Time, limit int) (all []piece) {
	t.Helper()
	buf := make([]byte, 4096)
	for len(all) < limit {
		n, err := s.Read(buf)
		if err != nil {
			if fault.Of(err).Code != fault.ReplayEnded {
				t.Fatalf("after %v: %v", all, err)
			}
			return all
		}
		at := s.Now().Sub(start)
		if k := len(all) - 1; k >= 0 && all[k].at == at {
			all[k].text += string(buf[:n])
			continue
		}
		all = append(all, piece{string(buf[:n]), at})
	}
	return all
}

var want = []piece{
	{"ST,GS,+   0.00  g\r\n", 0},
	{"US,GS,+   2.8", 2 * time.Second},
	{"7  g\r\n", 3010 * time.Millisecond},
}

func check(t *testing.T, got, want []piece) {
	t.Helper()
	if len(got) != len(want) {
		t.Fatalf("got %v, want %v", got, want)
	}
	for i := range want {
		if got[i] != want[i] {
			t.Errorf("piece %d: got %v, want %v", i, got[i], want[i])
		}
	}
}

func TestThroughAPseudoTerminalAsFastAsItIsRead(t *testing.T) {
	far, err := pseudoport.Open()
	if err != nil {
		t.Skip(err)
	}
	near, err := serialport.Open(t.Context(), far.Name(), serialport.Usual)
	if err != nil {
		t.Fatal(err)
	}
	start := time.Date(2025, 1, 31, 20, 0, 0, 0, time.UTC)
	s := replay.Play(coin, replay.Options{Start: start}, far, near)
	check(t, readAll(t, s, start, 99), want)
	if !s.Ended() {
		t.Error("it does not know that it ended")
	}
	if n, err := s.Write([]byte("Q\r\n")); n != 3 || err != nil {
		t.Errorf("asking a recorded scale: %d, %v", n, err)
	}
	if err := s.Close(); err != nil {
		t.Error(err)
	}
}

// ends is a pair of pipe ends for tests in which time is not real.
type ends struct {
	io.Reader
	io.Writer
	io.Closer
}

func pipe() (far io.WriteCloser, near io.ReadWriteCloser) {
	r, w := io.Pipe()
	return w, ends{r, io.Discard, r}
}

func TestSpeedDividesThePauses(t *testing.T) {
	for _, c := range []struct {
		speed float64
		takes time.Duration
	}{{1, 3010 * time.Millisecond}, {10, 301 * time.Millisecond}} {
		synctest.Test(t, func(t *testing.T) {
			far, near := pipe()
			start := time.Now()
			s := replay.Play(coin, replay.Options{Speed: c.speed, Start: start}, far, near)
			defer s.Close()
			check(t, readAll(t, s, start, 99), want)
			if took := time.Since(start); took != c.takes {
				t.Errorf("speed %v took %v, want %v", c.speed, took, c.takes)
			}
		})
	}
}

func TestLoopBeginsAgainAndCloseEndsIt(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		far, near := pipe()
		start := time.Now()
		s := replay.Play(coin, replay.Options{Speed: 5, Loop: true, Start: start}, far, near)
		got := readAll(t, s, start, 5)
		again := append([]piece{}, want[0], want[1], piece{"7  g\r\nST,GS,+   0.00  g\r\n", 3010 * time.Millisecond}, piece{"US,GS,+   2.8", 5010 * time.Millisecond}, piece{"7  g\r\nST,GS,+   0.00  g\r\n", 6020 * time.Millisecond})
		check(t, got[:4], again[:4])
		if s.Ended() {
			t.Error("a loop has no end")
		}
		s.Close()
		if _, err := s.Read(make([]byte, 1)); !errors.Is(err, io.ErrClosedPipe) {
			t.Errorf("after Close: %v", err)
		}
	})
}

func TestLoadSaysWhatIsWrongWithAFile(t *testing.T) {
	dir := t.TempDir()
	for name, content := range map[string]string{
		"good":    string(coin.Bytes()),
		"damaged": "shape: x\n",
		"empty":   string(capture.Capture{Header: coin.Header}.Bytes()),
	} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(content), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	for name, want := range map[string]fault.Code{
		"none": fault.PortMissing, "damaged": fault.Damaged, "empty": fault.BadInput, ".": fault.BadInput,
	} {
		_, err := replay.Load(filepath.Join(dir, name))
		if err == nil || fault.Of(err).Code != want {
			t.Errorf("%s: got %v, want the fault %s", name, err, want)
		}
	}
	c, err := replay.Load(filepath.Join(dir, "good"))
	if err != nil || len(c.Chunks) != 4 {
		t.Errorf("good: %v, %v", c, err)
	}
}
