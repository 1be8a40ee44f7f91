package scale

import (
	"context"
	"sync"
	"testing"

	"panside/internal/fault"
	"panside/internal/mass"
	"panside/server/radioport"
	"panside/server/scaleapi"
	"panside/server/scalefeed"
)

// nearScale stands for a Bluetooth whose only scale weighs a whole kilogram, goes
// out of reach once, and is back.
type nearScale struct {
	mu    sync.Mutex
	times int
	away  bool
}

func (n *nearScale) Connect(context.Context) (radioport.Link, error) {
	n.mu.Lock()
	defer n.mu.Unlock()
	n.times++
	if n.times == 1 {
		return nil, radioport.ErrOff
	}
	n.away = false
	return n, nil
}

func (n *nearScale) Name() string             { return "kitchen scale" }
func (n *nearScale) Feature() ([]byte, error) { return nil, nil }
func (n *nearScale) Close() error             { return nil }

func (n *nearScale) Subscribe(take func([]byte)) error {
	take([]byte{0, 200, 0})
	return nil
}

func (n *nearScale) Connected() bool {
	n.mu.Lock()
	defer n.mu.Unlock()
	return !n.away
}

func (n *nearScale) leave() {
	n.mu.Lock()
	defer n.mu.Unlock()
	n.away = true
}

// TestBluetoothScaleIsSaidToBeTooCoarse: from a Bluetooth that is off to a scale
// that goes away and is back, what is shown is a sentence, never a weight.
func TestBluetoothScaleIsSaidToBeTooCoarse(t *testing.T) {
	near := &nearScale{}
	choice := Choice{Source: &radioSource{radio: near}}
	c := &chain{Choice: choice, states: make(chan scalefeed.Snapshot, 10_000)}
	c.feed = scalefeed.New(choice.Source, scalefeed.Options{})
	ctx, cancel := context.WithCancel(t.Context())
	done := make(chan struct{})
	c.feed.Subscribe(func(s scalefeed.Snapshot) {
		if s.Estimate.Phase != mass.PhaseNone || s.Reading.HasValue {
			t.Errorf("a weight: %+v", s)
		}
		c.states <- s
	})
	go func() { c.feed.Run(ctx); close(done) }()
	defer func() { cancel(); <-done }()

	c.until(t, "the search", problem(fault.NoScale))
	c.until(t, "Bluetooth off", problem(fault.PortMissing))
	s := c.until(t, "the scale", problem(fault.TooCoarse))
	if s.Info.Name != "kitchen scale" || s.Info.Kind != scalefeed.Radio || c.feed.Evidence().Dialect == "" {
		t.Errorf("%+v, %+v", s, c.feed.Evidence())
	}
	near.leave()
	c.until(t, "the scale gone", problem(fault.PortLost))
	c.until(t, "the scale back", problem(fault.TooCoarse))
}

func TestBluetoothIsChosenByName(t *testing.T) {
	c, err := Choose(Settings{Port: scaleapi.Bluetooth}, Options{})
	if _, ok := c.Source.(*radioSource); err != nil || !ok {
		t.Errorf("%T, %v", c.Source, err)
	}
}
