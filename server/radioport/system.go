package radioport

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"runtime"
	"strings"
	"sync"

	"github.com/godbus/dbus/v5"
	"tinygo.org/x/bluetooth"

	"panside/internal/radioscale"
)

// System is this computer's Bluetooth: BlueZ over D-Bus on Linux, where its first
// adapter counts, CoreBluetooth on macOS, WinRT on Windows.
//
// No adapter was there when this was written, so what this file does with one has
// never been tried; only how errors are told apart is tested.
var System Radio = &system{adapter: bluetooth.DefaultAdapter}

// Present reports whether this computer may have Bluetooth. It touches nothing but
// the system's list of devices, and where there is none it says yes.
func Present() bool { return present("/sys") }

func present(sys string) bool {
	if runtime.GOOS != "linux" {
		return true
	}
	adapters, _ := filepath.Glob(filepath.Join(sys, "class", "bluetooth", "hci*")) // the pattern is fine
	return len(adapters) > 0
}

type system struct {
	adapter *bluetooth.Adapter

	mu      sync.Mutex // one search or connection at a time
	enabled bool       // macOS refuses to be asked twice
}

// Connect is Radio's. It may outlast ctx where the system hangs.
func (s *system) Connect(ctx context.Context) (Link, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if ctx.Err() != nil {
		return nil, ErrNotFound
	}
	if !s.enabled {
		if err := guarded(s.adapter.Enable); err != nil {
			return nil, told(err)
		}
		s.enabled = true
	}
	found, err := s.search(ctx)
	if err != nil {
		return nil, err
	}
	l := &link{name: found.LocalName()}
	err = guarded(func() (err error) {
		if l.device, err = s.adapter.Connect(found.Address, bluetooth.ConnectionParams{}); err != nil {
			return err
		}
		if err = l.discover(); err != nil {
			_ = l.device.Disconnect() // the first error counts
		}
		return err
	})
	if err != nil {
		return nil, told(err)
	}
	return l, nil
}

// search waits for a device that announces the service.
func (s *system) search(ctx context.Context) (found bluetooth.ScanResult, err error) {
	unlessFound := context.AfterFunc(ctx, func() {
		_ = guarded(s.adapter.StopScan) // it may have ended by itself
	})
	defer unlessFound()
	seen := false
	err = guarded(func() error {
		return s.adapter.Scan(func(a *bluetooth.Adapter, r bluetooth.ScanResult) {
			if seen || !r.HasServiceUUID(bluetooth.New16BitUUID(radioscale.Service)) {
				return
			}
			found, seen = r, true
			_ = a.StopScan() // the search is over either way
		})
	})
	switch {
	case seen:
		return found, nil
	case err != nil && ctx.Err() == nil:
		return found, told(err)
	}
	return found, ErrNotFound
}

// link is a connection of the library's.
type link struct {
	name                 string
	device               bluetooth.Device
	measurement, feature *bluetooth.DeviceCharacteristic
}

func (l *link) discover() error {
	services, err := l.device.DiscoverServices([]bluetooth.UUID{bluetooth.New16BitUUID(radioscale.Service)})
	if err != nil {
		return err
	}
	for _, s := range services {
		all, err := s.DiscoverCharacteristics(nil)
		if err != nil {
			return err
		}
		for _, c := range all {
			switch c.UUID() {
			case bluetooth.New16BitUUID(radioscale.Measurement):
				l.measurement = &c
			case bluetooth.New16BitUUID(radioscale.Feature):
				l.feature = &c
			}
		}
	}
	if l.measurement == nil {
		return ErrNoWeight
	}
	return nil
}

func (l *link) Name() string { return l.name }

func (l *link) Feature() (value []byte, err error) {
	if l.feature == nil {
		return nil, nil
	}
	err = guarded(func() error {
		buf := make([]byte, 32)
		n, err := l.feature.Read(buf)
		value = buf[:n]
		return err
	})
	return value, told(err)
}

func (l *link) Subscribe(take func([]byte)) error {
	return told(guarded(func() error { return l.measurement.EnableNotifications(take) }))
}

func (l *link) Connected() (yes bool) {
	err := guarded(func() (err error) {
		yes, err = l.device.Connected()
		return err
	})
	return err == nil && yes
}

func (l *link) Close() error {
	return guarded(func() error {
		return errors.Join(l.measurement.EnableNotifications(nil), l.device.Disconnect())
	})
}

// guarded turns a panic of the library into an error: it takes for granted what
// the system answers, and that nobody stops a search which just ended.
func guarded(do func() error) (err error) {
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("the Bluetooth library panicked: %v", p)
		}
	}()
	return do()
}

// told says what an error of the library or the system comes down to. Those of
// BlueZ have names; the others can be told by their words only.
func told(err error) error {
	var bus dbus.Error
	var words string
	switch {
	case err == nil:
		return nil
	case errors.As(err, &bus):
		words = bus.Name
	default:
		words = err.Error()
	}
	of := func(of error) error { return fmt.Errorf("%w: %w", of, err) }
	has := func(some ...string) bool {
		for _, s := range some {
			if strings.Contains(words, s) {
				return true
			}
		}
		return false
	}
	switch {
	case errors.Is(err, fs.ErrPermission), has("AccessDenied", "NotAuthorized", "NotPermitted", "not authorized"):
		return of(ErrRefused)
	case has("NotReady", "not powered", "powered off"):
		return of(ErrOff)
	case errors.Is(err, fs.ErrNotExist), has("ServiceUnknown", "NameHasNoOwner", "UnknownObject", "Spawn.", "does not exist", "not supported on this device"):
		return of(ErrNone)
	case has("could not find some", "did not find all"): // services
		return of(ErrNoWeight)
	}
	return err
}
