//go:build unix

package hidscale

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"panside/internal/fault"
	"panside/internal/mass"
)

// weighing is a report descriptor written after HID 1.11 and the point-of-sale
// usage tables: one report of status, unit, scaling (a byte each) and a 16-bit
// weight.
var weighing = []byte{
	0x05, 0x8D, 0x09, 0x20, 0xA1, 0x01, // weighing devices: scale device, application
	0x09, 0x32, 0xA1, 0x02, 0x85, 0x03, // data report, number 3
	0x15, 0x01, 0x25, 0x08, 0x75, 0x08, 0x95, 0x01, 0x19, 0x71, 0x29, 0x78, 0x81, 0x00, // status
	0x25, 0x0C, 0x19, 0x51, 0x29, 0x5C, 0x81, 0x00, // unit
	0x15, 0x81, 0x25, 0x7F, 0x09, 0x41, 0x81, 0x02, // scaling
	0x15, 0x00, 0x27, 0xFF, 0xFF, 0x00, 0x00, 0x75, 0x10, 0x09, 0x40, 0x81, 0x02, // weight
	0xC0, 0xC0,
}

// keyboard begins as a keyboard's descriptor does.
var keyboard = []byte{0x05, 0x01, 0x09, 0x06, 0xA1, 0x01, 0x05, 0x07, 0x75, 0x08, 0x95, 0x06, 0x15, 0x00, 0x25, 0x65, 0x19, 0x00, 0x29, 0x65, 0x81, 0x00, 0xC0}

// system builds device folders with a keyboard as hidraw0 and a scale as node,
// which is a named pipe that the test writes reports into.
func system(t *testing.T, node string) (d Devices, far *os.File) {
	t.Helper()
	d = Devices{Dev: t.TempDir(), Sys: t.TempDir()}
	for name, descriptor := range map[string][]byte{"hidraw0": keyboard, node: weighing, "hidraw9": {0xFF}} {
		dir := filepath.Join(d.Sys, "class", "hidraw", name, "device")
		if err := os.MkdirAll(dir, 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, "report_descriptor"), descriptor, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	uevent := "DRIVER=hid-generic\nHID_ID=0003:00001234:00005678\nHID_NAME=Weighing Device\nHID_PHYS=usb-0000:00:14.0-2/input0\n"
	if err := os.WriteFile(filepath.Join(d.Sys, "class", "hidraw", node, "device", "uevent"), []byte(uevent), 0o600); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(d.Dev, node)
	if err := syscall.Mkfifo(path, 0o600); err != nil {
		t.Skipf("no named pipes here: %v", err)
	}
	far, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { far.Close() })
	return d, far
}

func only(t *testing.T, d Devices) Found {
	t.Helper()
	all := d.List()
	if len(all) != 1 {
		t.Fatalf("found %+v, want the scale alone", all)
	}
	return all[0]
}

func wantCode(t *testing.T, err error, want fault.Code) {
	t.Helper()
	if err == nil || fault.Of(err).Code != want {
		t.Errorf("got %v, want the fault %s", err, want)
	}
}

func TestScaleIsFoundAmongOtherDevicesAndRead(t *testing.T) {
	d, far := system(t, "hidraw3")
	f := only(t, d)
	if f.Name != "Weighing Device (usb-0000:00:14.0-2/input0)" || f.Node != filepath.Join(d.Dev, "hidraw3") {
		t.Errorf("%+v", f)
	}
	s, err := Open(f)
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	now := time.Date(2025, 1, 31, 20, 0, 0, 0, time.UTC)
	for _, c := range []struct {
		report []byte
		want   string
		status mass.Status
	}{
		{[]byte{3, 4, 2, 0xFE, 0x37, 0x01}, "3.11 g", mass.StatusStable}, // 311 × 10⁻² g
		{[]byte{3, 3, 2, 0xFE, 0xFA, 0x00}, "2.50 g", mass.StatusMoving},
	} {
		if _, err := far.Write(c.report); err != nil {
			t.Fatal(err)
		}
		buf := make([]byte, 64)
		n, err := s.Read(buf)
		if err != nil {
			t.Fatal(err)
		}
		rs := s.Feed(buf[:n], now)
		if len(rs) != 1 || rs[0].Quantity.String() != c.want || rs[0].Status != c.status || !rs[0].At.Equal(now) {
			t.Errorf("% x gives %+v", c.report, rs)
		}
	}
	if rs := s.Feed([]byte{1, 0, 0}, now); rs != nil {
		t.Errorf("another report gives %+v", rs)
	}
	if name, sure, n := s.Evidence(); name == "" || sure != 1 || n != 2 {
		t.Errorf("%s %v %d", name, sure, n)
	}
	if n, err := s.Write([]byte("x")); n != 1 || err != nil {
		t.Errorf("%d, %v", n, err)
	}
}

func TestOwnCloseEndsARead(t *testing.T) {
	d, _ := system(t, "hidraw1")
	s, err := Open(only(t, d))
	if err != nil {
		t.Fatal(err)
	}
	done := make(chan error, 1)
	go func() { _, err := s.Read(make([]byte, 64)); done <- err }()
	s.Close()
	if err := <-done; !errors.Is(err, os.ErrClosed) {
		t.Errorf("got %v, want os.ErrClosed", err)
	}
}

func TestUnpluggedWhileOpen(t *testing.T) {
	d, far := system(t, "hidraw1")
	s, err := Open(only(t, d))
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	far.Close() // a pipe without a writer ends
	_, err = s.Read(make([]byte, 64))
	wantCode(t, err, fault.PortLost)
}

func TestFaultsOfOpening(t *testing.T) {
	dir := t.TempDir()
	_, err := Open(Found{Name: "scale", Node: filepath.Join(dir, "hidraw0")})
	wantCode(t, err, fault.PortMissing)

	closed := filepath.Join(dir, "closed")
	if err := os.WriteFile(closed, nil, 0); err != nil {
		t.Fatal(err)
	}
	if os.Geteuid() != 0 { // the administrator may open everything
		_, err = Open(Found{Name: "scale", Node: closed})
		wantCode(t, err, fault.PortPermission)
	}
	for cause, want := range map[error]fault.Code{
		&fs.PathError{Op: "open", Path: "x", Err: syscall.EACCES}: fault.PortPermission,
		&fs.PathError{Op: "open", Path: "x", Err: syscall.ENODEV}: fault.PortMissing,
		&fs.PathError{Op: "open", Path: "x", Err: syscall.EIO}:    fault.PortSettings,
	} {
		wantCode(t, openFault(Found{Name: "kitchen scale"}, cause), want)
		if f := fault.Of(openFault(Found{Name: "kitchen scale"}, cause)); !strings.Contains(f.English(), "kitchen scale") {
			t.Errorf("the sentence does not name the scale: %s", f.English())
		}
	}
}

func TestNoDevicesAtAll(t *testing.T) {
	if all := (Devices{Dev: t.TempDir(), Sys: t.TempDir()}).List(); len(all) != 0 {
		t.Errorf("found %+v", all)
	}
}
