package scalefeed

import (
	"context"

	"panside/internal/dialect"
	"panside/internal/mass"
)

// Handling is how a source is read.
type Handling struct {
	Decode     dialect.Options
	KeepAwake  bool          // as in Options
	Resolution mass.Quantity // as in Options
}

type change struct {
	src Source
	how Handling
}

// Change lets the feed go on with a source, read in a certain way, as soon as
// what is under way has ended. What was known of the load no longer counts;
// placements go on being counted.
func (f *Feed) Change(src Source, how Handling) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.change = &change{src, how}
	if f.leave != nil {
		f.leave()
	}
}

// begin takes a change in, if there is one. leave ends what begins now.
func (f *Feed) begin(leave context.CancelFunc) (changed bool) {
	f.mu.Lock()
	c := f.change
	f.change, f.leave = nil, leave
	f.mu.Unlock()
	if c == nil {
		return false
	}
	f.src = c.src
	f.opts.Decode, f.opts.KeepAwake, f.opts.Resolution = c.how.Decode, c.how.KeepAwake, c.how.Resolution
	f.hearSearch()
	f.name = ""
	f.learnt(Evidence{})
	e := f.estimate()
	f.publish(Snapshot{
		Estimate: mass.Estimate{Phase: mass.PhaseNone, Placement: e.Placement},
		Assumed:  !f.opts.Scale.Measured,
	})
	return true
}

// Evidence is what is known of the format by now, also while it isn't certain.
func (f *Feed) Evidence() Evidence {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.evidence
}

func (f *Feed) learnt(e Evidence) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.evidence = e
}

// coarsened gives a reading the step that the person named.
func (f *Feed) coarsened(r mass.Reading) mass.Reading {
	step := f.opts.Resolution
	if r.HasValue && r.Quantity.Unit == step.Unit && step.Value.Cmp(r.Resolution) > 0 {
		r.Resolution = step.Value
	}
	return r
}
