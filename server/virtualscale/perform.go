package virtualscale

import (
	"context"
	"time"
)

// performance is a script being played. Its fields are guarded by Scale.mu.
type performance struct {
	script Script
	done   int // steps done in this round
	over   bool
	stop   context.CancelFunc
}

func (p *performance) progress() Progress {
	g := Progress{Name: p.script.Name, Running: !p.over, Step: p.done, Of: len(p.script.Steps)}
	if !p.over && p.done < len(p.script.Steps) {
		g.Next = p.script.Steps[p.done].String()
	}
	return g
}

// Play starts a script in the background; one that runs already is stopped. A
// step that can't be done, because somebody took the coin off by hand
// meanwhile, is left out. It ends by itself, with Stop or with ctx.
func (s *Scale) Play(ctx context.Context, script Script) {
	ctx, stop := context.WithCancel(ctx)
	p := &performance{script: script, stop: stop}
	s.mu.Lock()
	if s.script != nil {
		s.script.stop()
	}
	s.script = p
	s.mu.Unlock()
	go s.perform(ctx, p)
}

// Stop stops the running script, if there is one. The coins stay where they
// are.
func (s *Scale) Stop() {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.script != nil {
		s.script.stop()
	}
}

func (s *Scale) perform(ctx context.Context, p *performance) {
	defer s.noted(func() { p.over = true })
	defer p.stop()
	for again := true; again; {
		s.noted(func() { p.done = 0 })
		again = false
		for i, step := range p.script.Steps {
			if !pause(ctx, step.After) {
				return
			}
			if err := s.Perform(step); err != nil {
				s.opts.Log.Info("script of the virtual scale: step left out", "step", step.String(), "cause", err)
			}
			s.noted(func() { p.done = i + 1 })
			again = step.Do == Again
		}
	}
}

// noted makes a change under the scale's lock.
func (s *Scale) noted(change func()) {
	s.mu.Lock()
	defer s.mu.Unlock()
	change()
}

// pause waits unless ctx ends first.
func pause(ctx context.Context, d time.Duration) bool {
	t := time.NewTimer(d)
	defer t.Stop()
	select {
	case <-t.C:
		return ctx.Err() == nil
	case <-ctx.Done():
		return false
	}
}
