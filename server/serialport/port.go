// Package serialport opens serial ports: USB adapters, Bluetooth serial links,
// built-in ports and pseudo-terminals. It finds them under names that stay the
// same when a cable is pulled and plugged in again, and turns what the
// operating system says into sentences for the person at the table.
package serialport

import (
	"context"
	"errors"
	"io"
	"os"
	"sync"
	"sync/atomic"
	"syscall"
	"time"

	"go.bug.st/serial"

	"panside/internal/fault"
	"panside/internal/say"
)

const (
	// openLimit is how long a port may take to open. A Bluetooth link that is
	// out of reach takes ten seconds to say so.
	openLimit = 15 * time.Second
	// readPause is how long one read waits before it looks whether the port was
	// closed meanwhile.
	readPause = 100 * time.Millisecond
	// closePatience is how long Close waits for a reader to leave. A driver can
	// hang in a read; such a port is abandoned.
	closePatience = time.Second
)

// raw is what is used of the library's port.
type raw interface {
	io.ReadWriteCloser
	SetMode(*serial.Mode) error
	SetReadTimeout(time.Duration) error
	ResetInputBuffer() error
}

// system opens ports; tests put a fake in its place.
type system struct {
	open func(name string, mode *serial.Mode) (raw, error)
	hold func(name string) (io.Closer, error) // keeps other programs out
}

var theSystem = system{
	open: func(name string, mode *serial.Mode) (raw, error) { return serial.Open(name, mode) },
	hold: hold,
}

// Port is an open serial port. One goroutine may read while others write or
// close.
type Port struct {
	name    string
	raw     raw
	held    io.Closer
	closed  atomic.Bool
	reading sync.Mutex // held while in the library's Read
	once    sync.Once
}

// Open opens a port for this program alone and throws away what had piled up
// in its buffer, because an old weight is a wrong weight. It waits no longer
// than 15 seconds or ctx; a port that opens later than that is closed again.
//
// Errors: fault.PortMissing, PortBusy, PortPermission, PortSettings, BadInput.
func Open(ctx context.Context, name string, s Settings) (*Port, error) {
	return theSystem.openPort(ctx, name, s)
}

func (sys system) openPort(ctx context.Context, name string, s Settings) (*Port, error) {
	mode, err := modeOf(s)
	if err != nil {
		return nil, err
	}
	limit, cancel := context.WithTimeout(ctx, openLimit)
	defer cancel()
	type result struct {
		port *Port
		err  error
	}
	done := make(chan result, 1)
	go func() {
		port, err := sys.openNow(name, s, mode)
		done <- result{port, err}
	}()
	select {
	case r := <-done:
		return r.port, r.err
	case <-limit.Done():
		go func() {
			if r := <-done; r.port != nil {
				r.port.Close()
			}
		}()
		return nil, fault.Wrap(fault.PortMissing, say.New("port-does-not-open", say.Text("port", name)), limit.Err())
	}
}

func (sys system) openNow(name string, s Settings, mode *serial.Mode) (*Port, error) {
	if err := isSerial(name); err != nil {
		return nil, openFault(name, s, err)
	}
	held, err := sys.hold(name)
	if err != nil {
		return nil, openFault(name, s, err)
	}
	r, err := sys.open(name, mode)
	if err != nil {
		held.Close()
		return nil, openFault(name, s, err)
	}
	p := &Port{name: name, raw: r, held: held}
	if err := r.SetReadTimeout(readPause); err != nil {
		p.Close()
		return nil, openFault(name, s, err)
	}
	// A port without a buffer to empty is fine.
	_ = r.ResetInputBuffer()
	return p, nil
}

// Name is the name the port was opened by.
func (p *Port) Name() string { return p.name }

// Set changes the line settings and throws away what arrived under the old
// ones. Errors: fault.BadInput, fault.PortSettings, fault.PortLost.
func (p *Port) Set(s Settings) error {
	mode, err := modeOf(s)
	if err != nil {
		return err
	}
	if err := p.raw.SetMode(mode); err != nil {
		if errors.Is(err, syscall.EIO) || kind(err) == serial.PortNotFound {
			return p.lost(err)
		}
		return openFault(p.name, s, err)
	}
	_ = p.raw.ResetInputBuffer()
	return nil
}

// Read waits for at least one byte. Errors: os.ErrClosed after Close,
// fault.PortLost when the device went away.
func (p *Port) Read(b []byte) (int, error) {
	for {
		n, err := p.readOnce(b)
		switch {
		case p.closed.Load():
			return 0, os.ErrClosed
		case err != nil:
			return 0, p.lost(err)
		case n > 0:
			return n, nil
		}
	}
}

func (p *Port) readOnce(b []byte) (int, error) {
	p.reading.Lock()
	defer p.reading.Unlock()
	if p.closed.Load() {
		return 0, os.ErrClosed
	}
	return p.raw.Read(b)
}

// Write sends bytes. Errors: os.ErrClosed after Close, fault.PortLost.
func (p *Port) Write(b []byte) (int, error) {
	if p.closed.Load() {
		return 0, os.ErrClosed
	}
	n, err := p.raw.Write(b)
	if err != nil {
		return n, p.lost(err)
	}
	return n, nil
}

// Close gives the port back. It waits for a running Read to leave, so that the
// handle is not taken away under it, but no longer than a second: a driver that
// hangs does not hang the program.
func (p *Port) Close() error {
	p.once.Do(func() {
		p.closed.Store(true)
		left := make(chan struct{})
		go func() {
			p.reading.Lock()
			p.raw.Close()
			p.reading.Unlock()
			close(left)
		}()
		select {
		case <-left:
		case <-time.After(closePatience):
		}
		p.held.Close()
	})
	return nil
}

// lost tells our own Close from a device that went away: the library reports
// both alike.
func (p *Port) lost(cause error) error {
	if p.closed.Load() {
		return os.ErrClosed
	}
	return fault.Wrap(fault.PortLost, say.New("port-cable-lost"), cause)
}

// isSerial looks at the name before anything is opened, because opening some
// other device may do something. Names that are no paths (COM3) are passed.
func isSerial(name string) error {
	if name == "" || name[0] != '/' {
		return nil
	}
	info, err := os.Stat(name)
	if err != nil {
		return err
	}
	if info.Mode()&os.ModeCharDevice == 0 {
		return errNotSerial
	}
	return nil
}

var errNotSerial = errors.New("not a character device")
