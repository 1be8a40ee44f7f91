// Package radioport reads scales that speak the Weight Scale Service over the
// computer's Bluetooth. Nothing is sent to them but the wish to be told.
//
// Such a scale is looked for only once a person has chosen this way: none sends
// finely enough for coins, and the radio is left alone until then.
package radioport

import (
	"context"
	"errors"
	"os"
	"sync"
	"sync/atomic"
	"time"

	"panside/internal/fault"
	"panside/internal/mass"
	"panside/internal/radioscale"
	"panside/internal/say"
)

const (
	// searchLimit is how long one attempt to find and open a scale may take. Many
	// scales announce themselves only while something moves on them.
	searchLimit = 30 * time.Second
	// lookEvery is how often an open connection is looked at while nothing comes:
	// the system doesn't tell when a scale goes out of reach.
	lookEvery = time.Second
)

// What can keep a Radio from a connection; an error that is none of these is one
// of the connection itself.
var (
	ErrNone     = errors.New("no Bluetooth on this computer")
	ErrOff      = errors.New("radio: Bluetooth is switched off")
	ErrRefused  = errors.New("not allowed to use Bluetooth")
	ErrNotFound = errors.New("no scale announces itself")
	ErrNoWeight = errors.New("the device has no weight measurement")
)

// Radio is what is needed of a computer's Bluetooth.
type Radio interface {
	// Connect finds the nearest device that announces the Weight Scale Service and
	// connects with it, for as long as ctx lasts.
	Connect(ctx context.Context) (Link, error)
}

// Link is a connection with a scale.
type Link interface {
	// Name is what the scale calls itself; it may be empty.
	Name() string
	// Feature is the value of the Weight Scale Feature; nil if there is none.
	Feature() ([]byte, error)
	// Subscribe has take called with each Weight Measurement. take returns at once
	// and may keep what it is given.
	Subscribe(take func([]byte)) error
	// Connected reports whether the scale is still there.
	Connected() bool
	Close() error
}

// Scale is a connected scale. Its Read gives one message at a time, and it decodes
// its own messages.
type Scale struct {
	link      Link
	steps     radioscale.Steps
	messages  chan []byte
	lookEvery time.Duration
	closed    chan struct{}
	closing   sync.Once
	count     atomic.Int64
	says      *fault.Error // what stands while nothing new comes; used by Feed alone
}

// A chunk of Read begins with one of these, so that Feed knows what follows.
const (
	measurement = 'm'
	stillThere  = 's' // nothing follows
)

// Open finds a scale and connects with it, waiting no longer than 30 s or ctx.
// Errors: fault.PortMissing, PortPermission, NotAScale, PortLost.
func Open(ctx context.Context, r Radio) (*Scale, error) {
	ctx, cancel := context.WithTimeout(ctx, searchLimit)
	defer cancel()
	type opened struct {
		s   *Scale
		err error
	}
	done := make(chan opened)
	go func() {
		s, err := open(ctx, r)
		select {
		case done <- opened{s, err}:
		case <-ctx.Done(): // nobody waits any more
			if s != nil {
				_ = s.Close() // it was never used
			}
		}
	}()
	select {
	case o := <-done:
		return o.s, o.err
	case <-ctx.Done(): // the system hangs
		return nil, faultOf(ErrNotFound)
	}
}

func open(ctx context.Context, r Radio) (*Scale, error) {
	link, err := r.Connect(ctx)
	if err != nil {
		return nil, faultOf(err)
	}
	s := &Scale{link: link, messages: make(chan []byte, 16), lookEvery: lookEvery, closed: make(chan struct{})}
	if err := s.prepare(); err != nil {
		_ = s.Close() // the first error counts
		return nil, faultOf(err)
	}
	return s, nil
}

func (s *Scale) prepare() error {
	feature, err := s.link.Feature()
	if err != nil {
		return err
	}
	if feature != nil {
		if s.steps, err = radioscale.ParseFeature(feature); err != nil {
			return err
		}
	}
	s.says = s.steps.TooCoarse(false)
	return s.link.Subscribe(s.take)
}

// take never makes the radio wait: of messages that nobody reads the newest count.
func (s *Scale) take(message []byte) {
	for {
		select {
		case s.messages <- append([]byte{measurement}, message...):
			return
		default:
		}
		select {
		case <-s.messages:
		default:
		}
	}
}

func faultOf(err error) error {
	var known *fault.Error
	switch {
	case errors.As(err, &known):
		return known
	case errors.Is(err, ErrNone):
		return fault.Wrap(fault.PortMissing, say.New("bluetooth-none"), err)
	case errors.Is(err, ErrOff):
		return fault.Wrap(fault.PortMissing, say.New("bluetooth-off"), err)
	case errors.Is(err, ErrRefused):
		return fault.Wrap(fault.PortPermission, say.New("bluetooth-not-allowed"), err)
	case errors.Is(err, ErrNotFound), errors.Is(err, context.Canceled), errors.Is(err, context.DeadlineExceeded):
		return fault.Wrap(fault.PortMissing, say.New("bluetooth-no-scale"), err)
	case errors.Is(err, ErrNoWeight):
		return fault.Wrap(fault.NotAScale, say.New("bluetooth-no-weight"), err)
	}
	return fault.Wrap(fault.PortLost, say.New("bluetooth-not-connected"), err)
}

// Looking is what is said while a scale is looked for.
func Looking() *fault.Error { return fault.New(fault.NoScale, say.New("bluetooth-looking")) }

// Name is what the scale calls itself.
func (s *Scale) Name() string { return s.link.Name() }

// Read waits for one message, or gives a sign every second that the scale is still
// there: scales of this kind say nothing while nothing is put on them. Errors:
// os.ErrClosed after Close, fault.PortLost.
func (s *Scale) Read(b []byte) (int, error) {
	t := time.NewTimer(s.lookEvery)
	defer t.Stop()
	select {
	case <-s.closed:
		return 0, os.ErrClosed
	case m := <-s.messages:
		return copy(b, m), nil
	case <-t.C:
	}
	if !s.link.Connected() {
		return 0, fault.New(fault.PortLost, say.New("bluetooth-lost"))
	}
	return copy(b, []byte{stillThere}), nil
}

// Write sends nothing: a scale of this kind is only listened to.
func (s *Scale) Write(b []byte) (int, error) { return len(b), nil }

// Close ends a Read that waits and lets the scale go.
func (s *Scale) Close() (err error) {
	s.closing.Do(func() {
		close(s.closed)
		err = s.link.Close()
	})
	return err
}

// Feed decodes one message. Its readings carry no weight that a coin could be
// judged by; while nothing new comes they repeat what was said last.
func (s *Scale) Feed(message []byte, at time.Time) []mass.Reading {
	if len(message) == 0 {
		return nil
	}
	if message[0] != measurement {
		return []mass.Reading{{At: at, Status: mass.StatusError, Dialect: radioscale.Dialect, Problem: s.says}}
	}
	s.count.Add(1)
	r := s.steps.Refuse(radioscale.Read(message[1:], s.steps, at))
	if r.Problem.Code != fault.Garbled {
		s.says = r.Problem
	}
	return []mass.Reading{r}
}

// Evidence is certain: the device says itself what it is.
func (s *Scale) Evidence() (name string, sure float64, messages int) {
	return radioscale.Dialect, 1, int(s.count.Load())
}
