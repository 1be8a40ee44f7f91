// Package hidscale reads weighing devices that say over USB HID what they are,
// through Linux's hidraw nodes. Nothing is ever sent to them.
package hidscale

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"syscall"
	"time"

	"panside/internal/fault"
	"panside/internal/hidreport"
	"panside/internal/mass"
	"panside/internal/say"
)

// Devices is where the system lists its devices; the zero value is the real
// place.
type Devices struct {
	Dev string // "/dev" if empty
	Sys string // "/sys" if empty
}

// Found is a weighing device.
type Found struct {
	// Name is what the device calls itself, with where it is plugged in: it
	// stays the same when it is plugged in there again.
	Name string
	// Node is its hidraw node at this moment.
	Node   string
	layout *hidreport.Layout
}

// List gives the weighing devices that are plugged in. Where there is no
// hidraw there are none. The list needs no right to open them.
func (d Devices) List() []Found {
	nodes, _ := filepath.Glob(filepath.Join(or(d.Sys, "/sys"), "class", "hidraw", "*")) // the pattern is fine
	var all []Found
	for _, node := range nodes {
		descriptor, err := os.ReadFile(filepath.Join(node, "device", "report_descriptor"))
		if err != nil {
			continue
		}
		layout, err := hidreport.ParseDescriptor(descriptor)
		if err != nil {
			continue // a keyboard, a mouse, …
		}
		base := filepath.Base(node)
		all = append(all, Found{Name: name(node, base), Node: filepath.Join(or(d.Dev, "/dev"), base), layout: layout})
	}
	return all
}

func or(path, usual string) string {
	if path == "" {
		return usual
	}
	return path
}

// name puts together what the kernel knows of a device; its node's name if
// that is nothing.
func name(node, base string) string {
	text, err := os.ReadFile(filepath.Join(node, "device", "uevent"))
	if err != nil {
		return base
	}
	fields := map[string]string{}
	for _, line := range strings.Split(string(text), "\n") {
		if key, value, ok := strings.Cut(line, "="); ok {
			fields[key] = strings.TrimSpace(value)
		}
	}
	title, place := fields["HID_NAME"], fields["HID_PHYS"]
	switch {
	case title == "" && place == "":
		return base
	case place == "":
		return title
	}
	return title + " (" + place + ")"
}

// Scale is an open weighing device. Its Read gives one report at a time, and it
// decodes its own reports.
type Scale struct {
	file   *os.File
	layout *hidreport.Layout
	closed atomic.Bool
	read   atomic.Int64 // reports with a weight
}

// Open opens a device for reading. Errors: fault.PortMissing, PortPermission,
// PortSettings.
func Open(f Found) (*Scale, error) {
	// Without the flag, opening and reading could not be ended by Close.
	file, err := os.OpenFile(f.Node, os.O_RDONLY|syscall.O_NONBLOCK, 0)
	if err != nil {
		return nil, openFault(f, err)
	}
	return &Scale{file: file, layout: f.layout}, nil
}

func openFault(f Found, err error) error {
	switch {
	case errors.Is(err, fs.ErrNotExist), errors.Is(err, syscall.ENXIO), errors.Is(err, syscall.ENODEV):
		return fault.Wrap(fault.PortMissing, say.New("usb-gone", say.Text("name", f.Name)), err)
	case errors.Is(err, fs.ErrPermission):
		return fault.Wrap(fault.PortPermission, say.New("usb-not-allowed", say.Text("name", f.Name), say.Text("node", f.Node)), err)
	}
	return fault.Wrap(fault.PortSettings, say.New("usb-unopened", say.Text("name", f.Name)), err)
}

// Read waits for one report. Errors: os.ErrClosed after Close, fault.PortLost.
func (s *Scale) Read(b []byte) (int, error) {
	n, err := s.file.Read(b)
	switch {
	case err == nil:
		return n, nil
	case s.closed.Load():
		return 0, os.ErrClosed
	}
	return 0, fault.Wrap(fault.PortLost, say.New("usb-cable-loose"), err)
}

// Write sends nothing: a scale of this kind is only listened to.
func (s *Scale) Write(b []byte) (int, error) { return len(b), nil }

// Close ends a Read that waits.
func (s *Scale) Close() error {
	s.closed.Store(true)
	return s.file.Close()
}

// Feed decodes one report.
func (s *Scale) Feed(report []byte, at time.Time) []mass.Reading {
	r, ours := s.layout.Read(report, at)
	if !ours {
		return nil
	}
	s.read.Add(1)
	return []mass.Reading{r}
}

// Evidence is certain: the device says itself what it is.
func (s *Scale) Evidence() (name string, sure float64, reports int) {
	return hidreport.Dialect, 1, int(s.read.Load())
}
