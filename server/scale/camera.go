package scale

import (
	"context"
	"io"
	"sync"

	"panside/internal/camerascale"
	"panside/internal/mass"
	"panside/server/cameraport"
	"panside/server/livehub"
	"panside/server/scaleapi"
	"panside/server/scalefeed"
)

// Camera hears the phones that read a display, and keeps what they read from counting until a
// person has confirmed it. It is a livehub.Camera.
type Camera struct {
	port *cameraport.Port
	feed *scalefeed.Feed

	mu      sync.Mutex // held while a state is handed on, so that each goes out in order
	gate    camerascale.Gate
	publish func(livehub.State)
}

// Shows is livehub.Camera's.
func (c *Camera) Shows(id, name, shown, why string) {
	if c.port != nil {
		c.port.Shows(id, name, shown, why)
	}
}

// Confirm is livehub.Camera's.
func (c *Camera) Confirm(placement uint64, shown string) {
	c.mu.Lock()
	defer c.mu.Unlock()
	s := c.feed.Latest()
	if c.publish == nil || s.Info.Kind != scalefeed.Camera || s.Problem != nil {
		return
	}
	if c.gate.Confirm(s.Estimate, s.Reading, placement, shown) {
		c.publish(c.judged(s))
	}
}

// goesTo sets whom states are handed on to.
func (c *Camera) goesTo(publish func(livehub.State)) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.publish = publish
}

// pass hands a state on, marked by whether it may be used.
func (c *Camera) pass(s scalefeed.Snapshot) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.publish(c.judged(s))
}

func (c *Camera) judged(s scalefeed.Snapshot) livehub.State {
	state := stateOf(s)
	if s.Info.Kind != scalefeed.Camera || s.Problem != nil {
		return state
	}
	switch {
	case camerascale.OnPile(s.Estimate):
		state.Estimate.Phase = mass.PhaseWithheld
	case s.Estimate.HasLoad():
		if state.Unconfirmed = !c.gate.Passes(s.Estimate, s.Reading); !s.Reading.HasValue {
			state.Estimate.Phase = mass.PhaseMoving
		}
	}
	return state
}

// cameraSource is the display that the next phone to speak reads.
type cameraSource struct {
	search
	port *cameraport.Port
}

func (s *cameraSource) Open(ctx context.Context) (io.ReadWriteCloser, scalefeed.Info, error) {
	info := scalefeed.Info{Name: scaleapi.Camera, Kind: scalefeed.Camera}
	return lookFor(&s.search, info, cameraport.Waiting(), func() (*cameraport.Scale, error) { return s.port.Open(ctx) })
}
