package radioport

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/godbus/dbus/v5"

	"panside/internal/fault"
	"panside/internal/mass"
)

// fakeScale stands for a Bluetooth with one scale.
type fakeScale struct {
	trouble    error // of connecting
	hangs      bool  // connecting never ends
	feature    []byte
	featureErr error
	notifyErr  error

	mu   sync.Mutex
	take func([]byte)
	away atomic.Bool
	shut atomic.Int64
}

func (f *fakeScale) Connect(ctx context.Context) (Link, error) {
	if f.hangs {
		<-ctx.Done()
		return nil, ctx.Err()
	}
	if f.trouble != nil {
		return nil, f.trouble
	}
	return f, nil
}

func (f *fakeScale) Name() string             { return "kitchen scale" }
func (f *fakeScale) Feature() ([]byte, error) { return f.feature, f.featureErr }
func (f *fakeScale) Connected() bool          { return !f.away.Load() }
func (f *fakeScale) Close() error             { f.shut.Add(1); return nil }

func (f *fakeScale) Subscribe(take func([]byte)) error {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.take = take
	return f.notifyErr
}

func (f *fakeScale) sends(value ...byte) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.take(value)
}

func open1(t *testing.T, f *fakeScale) *Scale {
	t.Helper()
	s, err := Open(t.Context(), f)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	return s
}

// next is what the next Read makes.
func next(t *testing.T, s *Scale) mass.Reading {
	t.Helper()
	buf := make([]byte, 512)
	n, err := s.Read(buf)
	if err != nil {
		t.Fatal(err)
	}
	rs := s.Feed(buf[:n], time.Now())
	if len(rs) != 1 || rs[0].HasValue || rs[0].Problem == nil {
		t.Fatalf("% x gives %+v, want one reason and no weight", buf[:n], rs)
	}
	return rs[0]
}

func wantCode(t *testing.T, err error, want fault.Code) {
	t.Helper()
	if err == nil || fault.Of(err).Code != want {
		t.Errorf("got %v, want the fault %s", err, want)
	}
}

func TestWeightsBecomeASentenceAndNoNumber(t *testing.T) {
	f := &fakeScale{feature: []byte{6 << 3, 0, 0, 0}}
	s := open1(t, f)
	if s.Name() != "kitchen scale" {
		t.Error(s.Name())
	}
	f.sends(0, 2, 0)
	if r := next(t, s); r.Problem.Code != fault.TooCoarse || !strings.Contains(r.Problem.English(), "10 g") {
		t.Errorf("kilograms: %+v", r)
	}
	f.sends(1, 2, 0)
	if r := next(t, s); !strings.Contains(r.Problem.English(), "0.02 lb") {
		t.Errorf("pounds: %+v", r)
	}
	f.sends(0, 0xFF, 0xFF)
	if r := next(t, s); r.Problem.Code != fault.ScaleFault {
		t.Errorf("unsuccessful: %+v", r)
	}
	if name, sure, n := s.Evidence(); name == "" || sure != 1 || n != 3 {
		t.Errorf("%s %v %d", name, sure, n)
	}
	if n, err := s.Write([]byte("x")); n != 1 || err != nil {
		t.Errorf("%d, %v", n, err)
	}
}

// TestWhatWasSaidStandsWhileNothingComes: a scale of this kind is silent until
// something is put on it, which is no fault.
func TestWhatWasSaidStandsWhileNothingComes(t *testing.T) {
	f := &fakeScale{}
	s := open1(t, f)
	s.lookEvery = time.Millisecond
	if r := next(t, s); r.Problem.Code != fault.TooCoarse || !strings.Contains(r.Problem.English(), "steps of 5 g") {
		t.Errorf("before the first: %+v", r)
	}
	f.sends(0, 0xFF, 0xFF)
	for range 2 {
		if r := next(t, s); r.Problem.Code != fault.ScaleFault {
			t.Errorf("after an unsuccessful one: %+v", r)
		}
	}
	f.sends(0, 1) // cut short: one message only
	if r := next(t, s); r.Problem.Code != fault.Garbled {
		t.Errorf("%+v", r)
	}
	if r := next(t, s); r.Problem.Code != fault.ScaleFault {
		t.Errorf("after a broken one: %+v", r)
	}
}

func TestScaleOutOfReach(t *testing.T) {
	f := &fakeScale{}
	s := open1(t, f)
	s.lookEvery = time.Millisecond
	f.away.Store(true)
	_, err := s.Read(make([]byte, 512))
	wantCode(t, err, fault.PortLost)
}

func TestOwnCloseEndsARead(t *testing.T) {
	f := &fakeScale{}
	s := open1(t, f)
	s.lookEvery = time.Hour
	done := make(chan error, 1)
	go func() { _, err := s.Read(make([]byte, 512)); done <- err }()
	s.Close()
	if err := <-done; !errors.Is(err, os.ErrClosed) {
		t.Errorf("got %v, want os.ErrClosed", err)
	}
	s.Close()
	if n := f.shut.Load(); n != 1 {
		t.Errorf("let go %d times", n)
	}
}

// TestTheRadioNeverWaits: what nobody reads makes room for what is newer.
func TestTheRadioNeverWaits(t *testing.T) {
	f := &fakeScale{}
	s := open1(t, f)
	for n := range byte(100) {
		f.sends(0, n, 0)
	}
	var last byte
	for len(s.messages) > 0 {
		last = (<-s.messages)[2]
	}
	if last != 99 {
		t.Errorf("the newest left is %d", last)
	}
}

func TestFaultsOfOpening(t *testing.T) {
	for name, c := range map[string]struct {
		radio *fakeScale
		want  fault.Code
	}{
		"no adapter":            {&fakeScale{trouble: ErrNone}, fault.PortMissing},
		"adapter off":           {&fakeScale{trouble: ErrOff}, fault.PortMissing},
		"permission refused":    {&fakeScale{trouble: ErrRefused}, fault.PortPermission},
		"no scale near":         {&fakeScale{trouble: ErrNotFound}, fault.PortMissing},
		"not a weighing device": {&fakeScale{trouble: ErrNoWeight}, fault.NotAScale},
		"connection refused":    {&fakeScale{trouble: errors.New("le-connection-abort-by-local")}, fault.PortLost},
		"feature unreadable":    {&fakeScale{featureErr: ErrRefused}, fault.PortPermission},
		"steps nobody knows":    {&fakeScale{feature: []byte{15 << 3, 0, 0, 0}}, fault.NotAScale},
		"no notices":            {&fakeScale{notifyErr: errors.New("no")}, fault.PortLost},
	} {
		s, err := Open(t.Context(), c.radio)
		wantCode(t, err, c.want)
		if s != nil {
			t.Errorf("%s: a scale beside the error", name)
		}
		if connected := c.radio.trouble == nil; connected && c.radio.shut.Load() != 1 {
			t.Errorf("%s: the connection stays", name)
		}
	}
}

func TestOpeningEndsWithItsContext(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err := Open(ctx, &fakeScale{hangs: true})
	wantCode(t, err, fault.PortMissing)
}

// TestErrorsOfTheSystemAreToldApart: names as D-Bus and BlueZ document them, words
// as the library has them.
func TestErrorsOfTheSystemAreToldApart(t *testing.T) {
	for _, c := range []struct {
		err, want error
	}{
		{&fs.PathError{Op: "dial", Path: "/run/dbus/system_bus_socket", Err: fs.ErrNotExist}, ErrNone},
		{&fs.PathError{Op: "dial", Path: "/run/dbus/system_bus_socket", Err: fs.ErrPermission}, ErrRefused},
		{dbus.Error{Name: "org.freedesktop.DBus.Error.ServiceUnknown", Body: []any{"The name org.bluez was not provided"}}, ErrNone},
		{dbus.Error{Name: "org.freedesktop.DBus.Error.AccessDenied"}, ErrRefused},
		{dbus.Error{Name: "org.bluez.Error.NotReady"}, ErrOff},
		{dbus.Error{Name: "org.bluez.Error.NotAuthorized"}, ErrRefused},
		{errors.New("bluetooth: adapter /org/bluez/hci0 does not exist"), ErrNone},
		{errors.New("bluetooth: adaptor is not powered"), ErrOff},
		{errors.New("bluetooth is not authorized for this app"), ErrRefused},
		{errors.New("bluetooth: could not find some services"), ErrNoWeight},
	} {
		if err := told(c.err); !errors.Is(err, c.want) || !strings.Contains(err.Error(), c.err.Error()) {
			t.Errorf("%v counts as %v, want %v", c.err, err, c.want)
		}
	}
	other := errors.New("le-connection-abort-by-local")
	if err := told(other); err != other || told(nil) != nil {
		t.Errorf("%v", err)
	}
	if err := guarded(func() error { panic("close of closed channel") }); err == nil {
		t.Error("a panic of the library is no error")
	}
}

func TestBluetoothIsThereByTheSystemsList(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("only Linux lists it")
	}
	sys := t.TempDir()
	if present(sys) {
		t.Error("where nothing is listed")
	}
	if err := os.MkdirAll(filepath.Join(sys, "class", "bluetooth", "hci0"), 0o755); err != nil {
		t.Fatal(err)
	}
	if !present(sys) {
		t.Error("not with an adapter")
	}
}
