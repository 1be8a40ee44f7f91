// Package pseudoport makes pseudo-terminals: pairs of which one end has a
// device name and is opened like any serial port, and the other end, this one,
// plays the scale. The virtual scale and replayed captures go through them, so
// that they take the same way into the program as a real scale.
package pseudoport

import (
	"context"
	"errors"
	"io"
	"os"
	"sync"
	"time"

	"github.com/creack/pty"
	"go.bug.st/serial"

	"panside/internal/fault"
	"panside/internal/say"
)

const (
	// backlog is how many bytes may wait unread before a lossy port loses the
	// next ones: about as much as the buffer of a serial chip.
	backlog = 256
	// stuck is how long a write may wait for room.
	stuck = 50 * time.Millisecond
)

// Port is the scale's end of a pseudo-terminal. One goroutine may read and
// another write and close.
type Port struct {
	far  *os.File
	near *os.File // kept open, so that the device stays as it is between users
	once sync.Once
	// Lossy makes Write throw bytes away when nobody reads, as a scale's cable
	// does. Set it before the first Write.
	Lossy bool
}

// Open makes a new pair. Error: fault.PortMissing where the system has no
// pseudo-terminals.
func Open() (*Port, error) {
	far, near, err := pty.Open()
	if err != nil {
		return nil, noTerminals(err)
	}
	far, err = pollable(far)
	if err != nil {
		near.Close()
		return nil, noTerminals(err)
	}
	p := &Port{far: far, near: near}
	// The serial library sets the device to raw bytes, and that lasts. Without
	// it the terminal driver would echo what the scale sends.
	raw, err := serial.Open(near.Name(), &serial.Mode{BaudRate: 9600})
	if err != nil {
		p.Close()
		return nil, noTerminals(err)
	}
	raw.Close()
	return p, nil
}

func noTerminals(err error) error {
	return fault.Wrap(fault.PortMissing, say.New("port-no-pseudo-terminal"), err)
}

// Name is the device to open on the other side.
func (p *Port) Name() string { return p.near.Name() }

// Write sends bytes as the scale. On a lossy port it never waits for long and
// never fails because nobody reads.
func (p *Port) Write(b []byte) (int, error) {
	if !p.Lossy {
		return p.far.Write(b)
	}
	if unread(p.near) > backlog {
		return len(b), nil
	}
	if err := p.far.SetWriteDeadline(time.Now().Add(stuck)); err != nil {
		return 0, err
	}
	_, err := p.far.Write(b)
	if err != nil && !errors.Is(err, os.ErrDeadlineExceeded) {
		return 0, err
	}
	return len(b), nil
}

// Read waits for what the other side sends to the scale. Error: io.EOF after
// Close.
func (p *Port) Read(b []byte) (int, error) {
	n, err := p.far.Read(b)
	if err != nil {
		return n, io.EOF
	}
	return n, nil
}

// Close pulls the cable: the device vanishes, and whoever has it open is told.
func (p *Port) Close() error {
	var err error
	p.once.Do(func() { err = errors.Join(p.far.Close(), p.near.Close()) })
	return err
}

// Repeat says a line ten times a second, as scales do, until ctx ends; what
// nobody reads is lost. It returns once it has ended.
func (p *Port) Repeat(ctx context.Context, line string) {
	p.Lossy = true
	tick := time.NewTicker(100 * time.Millisecond)
	defer tick.Stop()
	for {
		select {
		case <-tick.C:
			_, _ = p.Write([]byte(line)) // fails once the port is closed
		case <-ctx.Done():
			return
		}
	}
}
