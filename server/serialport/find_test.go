package serialport

import (
	"io"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"panside/internal/fault"
)

// tree builds a device folder: a name ending in "->TARGET" is a link.
func tree(t *testing.T, files map[string]string) Devices {
	t.Helper()
	root := t.TempDir()
	for name, content := range files {
		path := filepath.Join(root, name)
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		var err error
		if target, isLink := cutLink(content); isLink {
			err = os.Symlink(target, path)
		} else {
			err = os.WriteFile(path, []byte(content), 0o600)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	return Devices{Dev: filepath.Join(root, "dev"), Sys: filepath.Join(root, "sys")}
}

func cutLink(s string) (string, bool) {
	if len(s) > 2 && s[:2] == "->" {
		return s[2:], true
	}
	return "", false
}

func TestListPrefersNamesThatStay(t *testing.T) {
	d := tree(t, map[string]string{
		"dev/ttyUSB0":                       "",
		"dev/ttyUSB10":                      "",
		"dev/ttyUSB2":                       "",
		"dev/ttyACM0":                       "",
		"dev/rfcomm0":                       "",
		"dev/ttyS0":                         "",
		"dev/ttyS1":                         "",
		"dev/tty1":                          "",
		"dev/serial/by-id/usb-adapter-if00": "->../../ttyUSB2",
		"sys/class/tty/ttyS0/type":          "4\n",
		"sys/class/tty/ttyS1/type":          "0\n",
	})
	var got []string
	for _, f := range d.List() {
		name, err := filepath.Rel(d.Dev, f.Name)
		if err != nil {
			t.Fatal(err)
		}
		got = append(got, name)
	}
	want := []string{"serial/by-id/usb-adapter-if00", "ttyUSB0", "ttyUSB10", "ttyACM0", "rfcomm0", "ttyS0"}
	if !slices.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
	if got := (Devices{Dev: t.TempDir()}).List(); len(got) != 0 {
		t.Errorf("an empty folder lists %v", got)
	}
}

// The cable is pulled, and the device comes back under another number.
func TestNamedFindsThePortUnderItsNewNumber(t *testing.T) {
	first, firstName := pair(t)
	d := tree(t, map[string]string{"dev/serial/by-id/usb-scale": "->" + firstName})
	n := &Named{Devices: d, Name: firstName}
	p, err := n.Open(t.Context(), Usual)
	if err != nil {
		t.Fatal(err)
	}
	first.Close()
	_, err = p.Read(make([]byte, 1))
	wantCode(t, err, fault.PortLost)
	p.Close()

	link := d.dev("serial", "by-id", "usb-scale")
	if err := os.Remove(link); err != nil {
		t.Fatal(err)
	}
	_, err = n.Open(t.Context(), Usual)
	wantCode(t, err, fault.PortMissing)

	second, secondName := pair(t)
	if err := os.Symlink(secondName, link); err != nil {
		t.Fatal(err)
	}
	p, err = n.Open(t.Context(), Usual)
	if err != nil {
		t.Fatal(err)
	}
	defer p.Close()
	if _, err := second.WriteString("back"); err != nil {
		t.Fatal(err)
	}
	got := make([]byte, 4)
	if _, err := io.ReadFull(p, got); err != nil || string(got) != "back" {
		t.Errorf("read %q, %v", got, err)
	}
}
