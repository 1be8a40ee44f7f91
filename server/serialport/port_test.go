package serialport

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"os/user"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/creack/pty"
	"go.bug.st/serial"

	"panside/internal/fault"
	"panside/internal/say"
)

// pair makes a pseudo-terminal: the scale's end and the name of ours.
func pair(t *testing.T) (far *os.File, name string) {
	t.Helper()
	far, near, err := pty.Open()
	if err != nil {
		t.Skipf("no pseudo-terminals here: %v", err)
	}
	t.Cleanup(func() { far.Close(); near.Close() })
	return far, near.Name()
}

func open(t *testing.T, name string) *Port {
	t.Helper()
	p, err := Open(t.Context(), name, Usual)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { p.Close() })
	return p
}

func wantCode(t *testing.T, err error, want fault.Code) *fault.Error {
	t.Helper()
	if err == nil || fault.Of(err).Code != want {
		t.Fatalf("got %v, want the fault %s", err, want)
	}
	return fault.Of(err)
}

func TestBytesGoBothWays(t *testing.T) {
	far, name := pair(t)
	p := open(t, name)
	if _, err := far.WriteString("ST,GS,+   3.11  g\r\n"); err != nil {
		t.Fatal(err)
	}
	got := make([]byte, 19)
	if _, err := io.ReadFull(p, got); err != nil || string(got) != "ST,GS,+   3.11  g\r\n" {
		t.Fatalf("read %q, %v: raw bytes must come through unchanged", got, err)
	}
	if _, err := p.Write([]byte("Q\r\n")); err != nil {
		t.Fatal(err)
	}
	got = make([]byte, 3)
	if _, err := io.ReadFull(far, got); err != nil || string(got) != "Q\r\n" {
		t.Fatalf("the scale got %q, %v", got, err)
	}
}

// A weight that lay in the buffer since before is a wrong weight.
func TestOpeningThrowsOldBytesAway(t *testing.T) {
	far, near, err := pty.Open()
	if err != nil {
		t.Skipf("no pseudo-terminals here: %v", err)
	}
	defer far.Close()
	defer near.Close()
	if _, err := far.WriteString("ST,GS,+   9.99  g\r\n"); err != nil {
		t.Fatal(err)
	}
	p := open(t, near.Name())
	if _, err := far.WriteString("new"); err != nil {
		t.Fatal(err)
	}
	got := make([]byte, 3)
	if _, err := io.ReadFull(p, got); err != nil || string(got) != "new" {
		t.Errorf("read %q, %v", got, err)
	}
}

func TestSecondUserIsToldItIsBusyAndTheFirstKeepsReading(t *testing.T) {
	far, name := pair(t)
	p := open(t, name)
	_, err := Open(t.Context(), name, Usual)
	f := wantCode(t, err, fault.PortBusy)
	if !strings.Contains(f.English(), name) {
		t.Errorf("the sentence does not name the port: %s", f.English())
	}
	if _, err := far.WriteString("x"); err != nil {
		t.Fatal(err)
	}
	if _, err := io.ReadFull(p, make([]byte, 1)); err != nil {
		t.Error(err)
	}
	p.Close()
	again, err := Open(t.Context(), name, Usual)
	if err != nil {
		t.Fatalf("after closing it must be free: %v", err)
	}
	again.Close()
}

func TestPulledCableAndOwnCloseDiffer(t *testing.T) {
	far, name := pair(t)
	p := open(t, name)
	if _, err := far.WriteString("ST,GS,+  "); err != nil { // mid-line
		t.Fatal(err)
	}
	if _, err := io.ReadFull(p, make([]byte, 9)); err != nil {
		t.Fatal(err)
	}
	far.Close()
	_, err := p.Read(make([]byte, 64))
	wantCode(t, err, fault.PortLost)

	_, name = pair(t)
	p = open(t, name)
	done := make(chan error, 1)
	go func() { _, err := p.Read(make([]byte, 1)); done <- err }()
	p.Close()
	if err := <-done; !errors.Is(err, os.ErrClosed) {
		t.Errorf("our own Close gives %v, want os.ErrClosed", err)
	}
	if _, err := p.Write([]byte("x")); !errors.Is(err, os.ErrClosed) {
		t.Errorf("writing after Close gives %v", err)
	}
}

func TestMissingPort(t *testing.T) {
	_, err := Open(t.Context(), filepath.Join(t.TempDir(), "ttyUSB0"), Usual)
	wantCode(t, err, fault.PortMissing)
}

func TestOrdinaryFileIsNoPort(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{file, os.DevNull} {
		_, err := Open(t.Context(), name, Usual)
		wantCode(t, err, fault.PortSettings)
	}
}

// fake stands for a driver that does what no pseudo-terminal can be made to do.
type fake struct {
	mode    *serial.Mode
	modeErr error
	hang    chan struct{} // Read waits for it, whatever else happens
	closed  chan struct{}
}

func (f *fake) SetMode(m *serial.Mode) error       { f.mode = m; return f.modeErr }
func (f *fake) SetReadTimeout(time.Duration) error { return nil }
func (f *fake) ResetInputBuffer() error            { return syscall.ENOTTY }
func (f *fake) Write(b []byte) (int, error)        { return len(b), nil }
func (f *fake) Read([]byte) (int, error)           { <-f.hang; return 0, nil }
func (f *fake) Close() error                       { close(f.closed); return nil }

type noLock struct{}

func (noLock) Close() error { return nil }

func faking(f *fake, openErr error) system {
	return system{
		hold: func(string) (io.Closer, error) { return noLock{}, nil },
		open: func(_ string, m *serial.Mode) (raw, error) {
			if openErr != nil {
				return nil, openErr
			}
			f.mode = m
			return f, nil
		},
	}
}

func TestEveryFaultHasItsSentence(t *testing.T) {
	seen := map[string]error{}
	for _, c := range []struct {
		err  error
		want fault.Code
	}{
		{fs.ErrNotExist, fault.PortMissing},
		{&fs.PathError{Op: "open", Path: "x", Err: syscall.ENXIO}, fault.PortMissing},
		{fmt.Errorf("%w: %w", errHeld, syscall.EWOULDBLOCK), fault.PortBusy},
		{syscall.EBUSY, fault.PortBusy},
		{syscall.EACCES, fault.PortPermission},
		{&fs.PathError{Op: "open", Path: "x", Err: syscall.EPERM}, fault.PortPermission},
		{syscall.EINVAL, fault.PortSettings},
		{&serial.PortError{}, fault.PortBusy}, // the library's zero code is “busy”
	} {
		_, err := faking(&fake{}, c.err).openPort(t.Context(), "COM3", Usual)
		f := wantCode(t, err, c.want)
		if !errors.Is(f, c.err) {
			t.Errorf("%v: the cause is lost to the log", c.err)
		}
		for sentence, other := range seen {
			if sentence == f.English() && fault.Of(other).Code != c.want {
				t.Errorf("%s and %s share a sentence", c.want, fault.Of(other).Code)
			}
		}
		seen[f.English()] = err
	}
}

func TestPermissionSaysWhichGroupToJoin(t *testing.T) {
	file := filepath.Join(t.TempDir(), "tty")
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	group := groupOf(file)
	if own, err := user.LookupGroupId(fmt.Sprint(os.Getegid())); err == nil && group != own.Name {
		t.Errorf("the file's group is %q, want %q", group, own.Name)
	}
	t.Setenv("USER", "anna")
	if s := say.English.Write(notAllowed("/dev/ttyUSB0", "dialout")); !strings.Contains(s, "usermod -aG dialout anna") {
		t.Errorf("no way out in: %s", s)
	}
	for _, group := range []string{"", "root"} {
		if s := say.English.Write(notAllowed("/dev/ttyUSB0", group)); strings.Contains(s, "usermod") {
			t.Errorf("group %q is not to be joined: %s", group, s)
		}
	}
}

// A pseudo-terminal takes any framing and keeps 8N1, so the translation is
// looked at where it is handed over.
func TestSettingsReachTheDriver(t *testing.T) {
	for _, c := range []struct {
		s    Settings
		want serial.Mode
	}{
		{Settings{Baud: 1200, Framing: "7E1"}, serial.Mode{BaudRate: 1200, DataBits: 7, Parity: serial.EvenParity}},
		{Settings{Baud: 2400, Framing: "7N2"}, serial.Mode{BaudRate: 2400, DataBits: 7, StopBits: serial.TwoStopBits}},
		{Settings{Baud: 9600, Framing: "8n1"}, serial.Mode{BaudRate: 9600, DataBits: 8}},
		{Settings{Baud: 115200, Framing: "7O1"}, serial.Mode{BaudRate: 115200, DataBits: 7, Parity: serial.OddParity}},
	} {
		f := &fake{closed: make(chan struct{})}
		p, err := faking(f, nil).openPort(t.Context(), "COM3", c.s)
		if err != nil {
			t.Fatal(err)
		}
		if *f.mode != c.want {
			t.Errorf("%v opens with %+v, want %+v", c.s, *f.mode, c.want)
		}
		if err := p.Set(c.s); err != nil || *f.mode != c.want {
			t.Errorf("%v sets %+v, %v", c.s, *f.mode, err)
		}
		f.modeErr = syscall.EINVAL
		wantCode(t, p.Set(c.s), fault.PortSettings)
		f.modeErr = syscall.EIO
		wantCode(t, p.Set(c.s), fault.PortLost)
	}
	for _, s := range []Settings{{Framing: "8N1"}, {Baud: 9600}, {Baud: 9600, Framing: "9N1"}, {Baud: 9600, Framing: "8X1"}, {Baud: 9600, Framing: "8N3"}, {Baud: -5, Framing: "8N1"}} {
		wantCode(t, Check(s), fault.BadInput)
	}
}

func TestHangingReadDoesNotHangClose(t *testing.T) {
	t.Parallel()
	f := &fake{hang: make(chan struct{}), closed: make(chan struct{})}
	p, err := faking(f, nil).openPort(t.Context(), "COM3", Usual)
	if err != nil {
		t.Fatal(err)
	}
	done := make(chan error, 1)
	go func() { _, err := p.Read(make([]byte, 1)); done <- err }()
	p.Close() // returns, or the test times out
	close(f.hang)
	<-f.closed
	if err := <-done; !errors.Is(err, os.ErrClosed) {
		t.Errorf("the read that came back late gives %v", err)
	}
}

func TestHangingOpenGivesUpAndIsClosedLater(t *testing.T) {
	f := &fake{hang: make(chan struct{}), closed: make(chan struct{})}
	sys := faking(f, nil)
	ready := make(chan struct{})
	inner := sys.open
	sys.open = func(name string, m *serial.Mode) (raw, error) { <-ready; return inner(name, m) }
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err := sys.openPort(ctx, "COM3", Usual)
	wantCode(t, err, fault.PortMissing)
	close(ready)
	<-f.closed
}
