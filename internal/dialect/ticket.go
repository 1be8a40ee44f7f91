package dialect

import (
	"time"

	"panside/internal/say"
)

// A ticket prints several weights of one load: gross, tare and net, each on a
// line of its own, perhaps under a date. One ticket is one load, and the net is
// the reading.

// ticket is what is known of the tickets of a sitting.
type ticket struct {
	// held is a gross weight that waits for what follows it.
	held *heldLine
	// lastGross: the newest named weight was a gross weight.
	lastGross bool
	// prints: gross weights come with net or tare, and are never the load.
	prints bool
	// alone: gross weights come without either, and are the load.
	alone bool

	// dated counts headings: dates, times, counters. nameless counts weights
	// without a name since the newest heading.
	dated    bool
	headed   time.Time // when the newest heading came
	fresh    bool      // the newest line was a heading
	nameless int
	// single and several: a dated ticket held one such weight, or more.
	single, several bool
}

// heldLine is a line put back.
type heldLine struct {
	frame frame
	r     Result
	name  string
}

// A ticket is printed within ticketTime of its heading, and has no more than
// ticketLines weights. What goes on for longer is a scale that sends all the
// time.
const (
	ticketTime  = 3 * time.Second
	ticketLines = 8
)

// heading takes a line with a date, a time or a counter.
func (t *ticket) heading(now time.Time) {
	t.headed = now
	if !t.fresh && t.dated {
		t.several = t.several || t.nameless > 1
		t.single = t.single || t.nameless == 1
	}
	if !t.fresh {
		t.nameless = 0
	}
	t.dated, t.fresh = true, true
}

// overhear takes a line of a format that isn't certain yet.
func (t *ticket) overhear(r Result, now time.Time) {
	if r.heading {
		t.heading(now)
		return
	}
	t.fresh = false
	t.lastGross = r.label == saysGross
}

// take says what a line counts for. released is a gross weight that turned out
// to be the load.
func (t *ticket) take(f frame, r Result, name string, now time.Time) (out Result, released *heldLine) {
	t.fresh = false
	switch {
	case r.label == saysNet || r.label == saysTare:
		t.prints = t.prints || t.held != nil || t.lastGross && r.label == saysTare
		t.held, t.lastGross = nil, false
		return r, nil
	case r.label == saysTotal:
		released, t.held = t.held, nil
		t.lastGross = false
		return r, released
	case r.label == saysGross && r.HasValue:
		return t.gross(f, r, name)
	case r.label == saysNothing && r.HasValue && t.dated:
		return t.unnamed(r, now), nil
	}
	return r, nil
}

// gross takes a gross weight.
func (t *ticket) gross(f frame, r Result, name string) (out Result, released *heldLine) {
	again := t.lastGross
	t.lastGross = true
	switch {
	case again: // two in a row: this scale says gross of all it weighs
		t.alone, t.prints, t.held = true, false, nil
		return r, nil
	case t.prints:
		return withoutWeight(notTheLoad(say.New("scale-sent-gross"))), nil
	case t.alone || !r.ticket:
		return r, nil
	}
	f.raw = append([]byte(nil), f.raw...)
	t.held = &heldLine{f, r, name}
	return withoutWeight(grossHeld), nil
}

// unnamed takes a weight without a name on a dated ticket. The first ticket
// shows whether there is one of them or several.
func (t *ticket) unnamed(r Result, now time.Time) Result {
	if t.nameless++; t.nameless > ticketLines || now.Sub(t.headed) > ticketTime {
		t.dated, t.nameless, t.several, t.single = false, 0, false, false
		return r
	}
	t.several = t.several || t.nameless > 1
	switch {
	case t.several:
		return withoutWeight(nameless)
	case !t.single:
		return withoutWeight(recognising)
	}
	return r
}
