// Package virtualscale lets a simulated scale work behind a serial line, as a
// cheap laboratory scale would: it sends its lines by itself, loses them when
// nobody listens, can be unplugged, and takes coins from a demo tray, by hand
// or by a script.
package virtualscale

import (
	"context"
	"errors"
	"io"
	"log/slog"
	"math/rand/v2"
	"slices"
	"sync"
	"time"

	"panside/internal/fault"
	"panside/internal/say"
	"panside/internal/simscale"
)

const (
	beat        = 10 * time.Millisecond  // how often time is passed on to the simulation
	longestBeat = 500 * time.Millisecond // more is lost: the computer slept
	noiseLasts  = 5 * time.Second
)

// Line is the scale's end of a serial line with a device name on the other.
type Line interface {
	Name() string
	io.ReadWriteCloser
}

// Options describe a virtual scale.
type Options struct {
	// Config is the simulated scale; if zero simscale.DefaultConfig, but never off by itself, since nobody
	// stands at its power button.
	Config simscale.Config
	// Dialect is the format of its lines; "status-comma" if empty.
	Dialect string
	// OnDemand makes it send a line only when a command arrives.
	OnDemand bool
	Tray     []Coin
	// NewLine plugs it in.
	NewLine func() (Line, error)
	Log     *slog.Logger
}

// Scale is a virtual scale. Its methods may be called from any goroutine.
type Scale struct {
	opts Options

	mu     sync.Mutex
	sim    *simscale.Scale
	line   Line // nil while unplugged
	pan    []Coin
	noise  *rand.Rand
	noisy  time.Duration // of garbage still to come
	landed int
	script *performance
}

// New returns a scale that is switched on and plugged in. Errors of NewLine.
func New(opts Options) (*Scale, error) {
	if opts.Config == (simscale.Config{}) {
		opts.Config = simscale.DefaultConfig()
		opts.Config.AutoOff = 0
	}
	if opts.Dialect == "" {
		opts.Dialect = "status-comma"
	}
	if opts.Log == nil {
		opts.Log = slog.New(slog.DiscardHandler)
	}
	s := &Scale{opts: opts, sim: simscale.New(opts.Config), noise: rand.New(rand.NewPCG(opts.Config.Seed, 0x9a5b))}
	return s, s.Plug()
}

// Run lets time pass until ctx ends, and then unplugs the scale.
func (s *Scale) Run(ctx context.Context) {
	defer s.Unplug()
	tick := time.NewTicker(beat)
	defer tick.Stop()
	last := time.Now()
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		}
		now := time.Now()
		s.pass(min(now.Sub(last), longestBeat))
		last = now
	}
}

// pass advances the simulation, a beat at a time so that lines are sent when
// they are due.
func (s *Scale) pass(dt time.Duration) {
	s.mu.Lock()
	defer s.mu.Unlock()
	for dt > 0 {
		step := min(dt, beat)
		dt -= step
		s.noisy = max(0, s.noisy-step)
		if s.sim.Step(step) > 0 && !s.opts.OnDemand {
			s.send()
		}
	}
}

// send sends what the display shows. s.mu is held.
func (s *Scale) send() {
	if s.line == nil {
		return
	}
	out := s.sim.Line(s.opts.Dialect)
	if s.noisy > 0 {
		out = s.scrambled(len(out))
	}
	if len(out) == 0 {
		return
	}
	if _, err := s.line.Write(out); err != nil {
		s.opts.Log.Debug("virtual scale: sending", "cause", err)
	}
}

// scrambled is noise of n bytes with a line end in it, as a wrong line speed
// gives.
func (s *Scale) scrambled(n int) []byte {
	out := make([]byte, n)
	for i := range out {
		out[i] = byte(s.noise.Uint32())
	}
	if n > 0 {
		out[n-1] = '\n'
	}
	return out
}

// Name is the device behind which the scale is at the moment. Error:
// fault.PortMissing while it is unplugged.
func (s *Scale) Name() (string, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.line == nil {
		return "", fault.New(fault.PortMissing, say.New("practice-unplugged"))
	}
	return s.line.Name(), nil
}

// Plug plugs the scale in, behind a new device. Errors of Options.NewLine.
func (s *Scale) Plug() error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.line != nil {
		return nil
	}
	line, err := s.opts.NewLine()
	if err != nil {
		return err
	}
	s.line = line
	go s.listen(line)
	return nil
}

// listen takes the commands that arrive until the line is closed.
func (s *Scale) listen(line Line) {
	buf := make([]byte, 64)
	for {
		n, err := line.Read(buf)
		if err != nil {
			return
		}
		if n > 0 {
			s.heard()
		}
	}
}

// heard is called when a command arrives. Any counts as the read command: the
// simulation has no others.
func (s *Scale) heard() {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.sim.Touch()
	if s.opts.OnDemand {
		s.send()
	}
}

// Unplug pulls the cable, if need be in the middle of a line: the device is
// gone.
func (s *Scale) Unplug() {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.line == nil {
		return
	}
	if out := s.sim.Line(s.opts.Dialect); !s.opts.OnDemand && len(out) > 1 {
		_, _ = s.line.Write(out[:len(out)/2]) // it is being pulled anyway
	}
	s.line.Close()
	s.line = nil
}

// Put lays a coin of the tray on the pan; "" for how varies from coin to coin.
// A scale that switched itself off is switched on first. Errors:
// fault.NotFound, fault.BadInput if it lies there already.
func (s *Scale) Put(id string, how simscale.How) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	i := slices.IndexFunc(s.opts.Tray, func(c Coin) bool { return c.ID == id })
	switch {
	case i < 0:
		return fault.New(fault.NotFound, say.New("practice-no-such-coin"))
	case slices.ContainsFunc(s.pan, func(c Coin) bool { return c.ID == id }):
		return fault.New(fault.BadInput, say.New("practice-coin-on-pan"))
	}
	if how == "" {
		how = [...]simscale.How{simscale.Gentle, simscale.Gentle, simscale.Dropped, simscale.Gentle, simscale.SlowHand}[s.landed%5]
		s.landed++
	}
	s.sim.Wake()
	s.sim.Put(s.opts.Tray[i].Grams, how)
	s.pan = append(s.pan, s.opts.Tray[i])
	return nil
}

// Lift takes a coin off the pan. Error: fault.NotFound if it isn't there.
func (s *Scale) Lift(id string) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	i := slices.IndexFunc(s.pan, func(c Coin) bool { return c.ID == id })
	if i < 0 {
		return fault.New(fault.NotFound, say.New("practice-coin-not-on-pan"))
	}
	s.sim.Lift(s.pan[i].Grams)
	s.pan = slices.Delete(s.pan, i, i+1)
	return nil
}

// Clear takes everything off the pan.
func (s *Scale) Clear() {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.sim.Clear()
	s.pan = nil
}

// Bump knocks against the table.
func (s *Scale) Bump() { s.locked((*simscale.Scale).Bump) }

// Tare presses the tare key.
func (s *Scale) Tare() { s.locked((*simscale.Scale).Tare) }

func (s *Scale) locked(do func(*simscale.Scale)) {
	s.mu.Lock()
	defer s.mu.Unlock()
	do(s.sim)
}

// Garbage sends noise instead of lines for five seconds.
func (s *Scale) Garbage() {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.noisy = noiseLasts
}

// State is what lies where.
type State struct {
	Pan       []Coin // in the order they were put down
	Tray      []Coin // the others
	PluggedIn bool
	Shows     simscale.Display
	Script    *Progress // nil if none was started
}

// Progress tells how far a script is.
type Progress struct {
	Name    string
	Running bool
	Step    int // steps done in this round
	Of      int
	Next    string // the next step in words of the script; "" at the end
}

// State is the present state.
func (s *Scale) State() State {
	s.mu.Lock()
	defer s.mu.Unlock()
	st := State{Pan: slices.Clone(s.pan), PluggedIn: s.line != nil, Shows: s.sim.Display()}
	for _, c := range s.opts.Tray {
		if !slices.Contains(s.pan, c) {
			st.Tray = append(st.Tray, c)
		}
	}
	if s.script != nil {
		p := s.script.progress()
		st.Script = &p
	}
	return st
}

// Perform does one step at once, whatever its After. Again does nothing.
// Errors of Put, Lift and Plug.
func (s *Scale) Perform(step Step) error {
	switch step.Do {
	case Put:
		return s.Put(step.Coin, step.How)
	case Lift:
		return s.Lift(step.Coin)
	case Clear:
		s.Clear()
	case Bump:
		s.Bump()
	case Tare:
		s.Tare()
	case Unplug:
		s.Unplug()
	case Plug:
		return s.Plug()
	case Garbage:
		s.Garbage()
	case Again:
	default:
		return fault.Wrap(fault.BadInput, say.New("practice-cannot"), errors.New(string(step.Do)))
	}
	return nil
}
