// Package cameraport is the way to a scale whose display a phone's camera reads. The picture stays
// on the phone, which sends what it read, or why it read nothing, on the line that it has anyway.
package cameraport

import (
	"context"
	"os"
	"sync"
	"sync/atomic"
	"time"

	"panside/internal/camerascale"
	"panside/internal/fault"
	"panside/internal/mass"
	"panside/internal/moment"
	"panside/internal/say"
)

const (
	// waitLimit is how long one attempt waits for a phone; then it is said anew what is waited for.
	waitLimit = 30 * time.Second
	// silentAfter is how long a phone may say nothing before it counts as gone. It speaks with every
	// picture, several times a second.
	silentAfter = 2 * time.Second
	// longest is more than any display holds.
	longest = 32
)

// A chunk of Read begins with one of these, so that Feed knows what follows.
const (
	number = 'n'
	reason = 'w'
)

// Port is where phones say what they read. Only one is listened to at a time: the first, until it
// falls silent.
type Port struct {
	mu    sync.Mutex
	reads *Scale      // nil while nobody listens, or no phone has spoken
	wants chan *Scale // the attempt that waits for a phone; nil if none does
}

// New returns a Port that nobody listens to yet.
func New() *Port { return &Port{} }

// Shows takes what a phone's camera reads: the number on the display, or why there is none. What
// comes while nobody listens, or another phone reads, is passed over.
func (p *Port) Shows(id, name, shown, why string) {
	if len(shown) > longest || len(why) > longest || (shown == "") == (why == "") {
		return
	}
	chunk := string(number) + shown
	if why != "" {
		chunk = string(reason) + why
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.wants != nil {
		p.reads = &Scale{port: p, id: id, name: name, chunks: make(chan string, 16), closed: make(chan struct{})}
		p.wants <- p.reads // has room for one
		p.wants = nil
	}
	if p.reads != nil && p.reads.id == id {
		p.reads.take(chunk)
	}
}

// Open waits for a phone that reads a display, no longer than 30 s or ctx. Errors:
// fault.PortMissing.
func (p *Port) Open(ctx context.Context) (*Scale, error) {
	wants := make(chan *Scale, 1)
	p.mu.Lock()
	p.wants = wants
	p.mu.Unlock()
	t := time.NewTimer(waitLimit)
	defer t.Stop()
	select {
	case s := <-wants:
		return s, nil
	case <-ctx.Done():
	case <-t.C:
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.wants == wants {
		p.wants = nil
	}
	select {
	case s := <-wants: // it came at the last moment
		return s, nil
	default:
	}
	return nil, fault.New(fault.PortMissing, say.New("camera-none"))
}

// Waiting is what is said until a phone reads.
func Waiting() *fault.Error { return fault.New(fault.NoScale, say.New("camera-waiting")) }

// Scale is a display that a phone reads. Its Read gives one word at a time, and it decodes its own.
type Scale struct {
	port     *Port
	id, name string
	chunks   chan string
	closed   chan struct{}
	closing  sync.Once
	count    atomic.Int64
}

// take never makes the phone's line wait: of words that nobody reads the newest count.
func (s *Scale) take(chunk string) {
	for {
		select {
		case s.chunks <- chunk:
			return
		default:
		}
		select {
		case <-s.chunks:
		default:
		}
	}
}

// Name is that of the phone.
func (s *Scale) Name() string { return s.name }

// Read waits for a word. Errors: os.ErrClosed after Close, fault.PortLost when the phone says
// nothing any more.
func (s *Scale) Read(b []byte) (int, error) {
	t := time.NewTimer(silentAfter)
	defer t.Stop()
	select {
	case <-s.closed:
		return 0, os.ErrClosed
	case chunk := <-s.chunks:
		return copy(b, chunk), nil
	case <-t.C:
		return 0, fault.New(fault.PortLost, say.New("camera-lost"))
	}
}

// Write sends nothing: a display is only looked at.
func (s *Scale) Write(b []byte) (int, error) { return len(b), nil }

// Close ends a Read that waits and frees the port for another phone.
func (s *Scale) Close() error {
	s.closing.Do(func() {
		close(s.closed)
		s.port.mu.Lock()
		defer s.port.mu.Unlock()
		if s.port.reads == s {
			s.port.reads = nil
		}
	})
	return nil
}

// Feed decodes one word.
func (s *Scale) Feed(chunk []byte, at time.Time) []mass.Reading {
	if len(chunk) == 0 {
		return nil
	}
	s.count.Add(1)
	said, when := string(chunk[1:]), moment.Time(at)
	if chunk[0] == number {
		return []mass.Reading{camerascale.Read(said, when)}
	}
	return []mass.Reading{camerascale.Unread(said, when)}
}

// Evidence is certain: the phone says itself what it reads.
func (s *Scale) Evidence() (name string, sure float64, words int) {
	return camerascale.Dialect, 1, int(s.count.Load())
}
