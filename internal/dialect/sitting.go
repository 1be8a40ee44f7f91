package dialect

import (
	"math"
	"strconv"
	"time"

	"panside/internal/mass"
)

const (
	// sittingGap is the longest silence within a sitting. After a longer one
	// another scale may be on the cable, unseen.
	sittingGap = 10 * time.Second
	// heldGap is the longest silence, and heldLife the longest time without a
	// unit, over which the unit of a line at rest holds for lines in motion:
	// pressing a unit key takes the hand off the load, and the scale then rests
	// and shows its unit (common practice).
	heldGap  = 2 * time.Second
	heldLife = 60 * time.Second
	// nextLine is the longest time between two lines of a scale that sends all
	// the time. A person with a print key takes longer for two coins.
	nextLine = 1800 * time.Millisecond
)

// sitting is what earlier lines of the same scale say about later ones. It ends
// with a silence of sittingGap and when the format changes.
type sitting struct {
	// gram and grain: the scale has shown a word of its own for it.
	gram, grain bool
	// comma: a comma was certain to mark decimals.
	comma bool
	// moved and rested: a line has carried the sign of motion, of rest.
	moved, rested bool
	// walked: lines without the sign of motion, one right after the other, had
	// different values. So its absence doesn't mean rest on this scale.
	walked bool
	last   mass.Quantity // of the newest line with a value
	at     time.Time
	held   held
	ticket ticket
}

// held is the unit of the newest line that carried one.
type held struct {
	unit  mass.Unit
	value mass.Decimal
	at    time.Time
}

// heldUnit is the unit for a line that carries none because the load moves; ""
// if it can't be relied on: none was seen, too long ago, or the number fits the
// load in another unit, as if the unit key had been pressed meanwhile.
func (s *sitting) heldUnit(value mass.Decimal, now time.Time) mass.Unit {
	h := s.held
	if h.unit == "" || now.Sub(h.at) > heldLife || value.Places() != h.value.Places() {
		return ""
	}
	was, err := mass.Quantity{Value: h.value, Unit: h.unit}.Grams()
	if err != nil || math.Abs(h.value.Float64()) < 50*h.value.Step().Float64() {
		return h.unit
	}
	for _, u := range AskUnit.Units() {
		q := mass.Quantity{Value: value, Unit: u}
		grams, err := q.Grams()
		if err != nil || u == h.unit {
			continue
		}
		step, err := mass.Quantity{Value: value.Step(), Unit: u}.Grams()
		tells := err == nil && math.Abs(was.Float64()) > 50*step.Float64() // else an empty pan fits any load in kilograms
		if tells && near(grams, was, step) && !near(value, h.value, value.Step()) {
			return ""
		}
	}
	return h.unit
}

// near reports whether two values differ by two steps at most.
func near(a, b, step mass.Decimal) bool {
	return math.Abs(a.Float64()-b.Float64()) < 2.5*step.Float64()
}

// status is what a line with a value says of rest, by itself and by what the
// scale's earlier lines showed. A sign counts by its absence only once it was
// seen, or where its empty place is in the line (r.blankSign) and no walking
// display has spoken against it.
func (s *sitting) status(r Result, now time.Time) mass.Status {
	walks := !s.at.IsZero() && now.Sub(s.at) < nextLine && s.last.Unit == r.Quantity.Unit && !near(s.last.Value, r.Quantity.Value, r.Resolution)
	switch {
	case !r.noSign && !r.blankSign:
		s.moved = s.moved || r.Status == mass.StatusMoving
		s.rested = s.rested || r.Status == mass.StatusStable || r.Status == mass.StatusZero
		return r.Status
	case s.moved && !s.rested:
		return mass.StatusStable
	case s.rested && !s.moved && r.noSign:
		return mass.StatusMoving
	case r.blankSign:
		s.walked = s.walked || walks
		if !s.walked {
			return mass.StatusStable
		}
	}
	return mass.StatusUnknown
}

// note takes a weight that is given out.
func (s *sitting) note(r Result, now time.Time) {
	if !r.HasValue {
		return
	}
	s.last, s.at = r.Quantity, now
	if r.unitless {
		return
	}
	s.held = held{r.Quantity.Unit, r.Quantity.Value, now}
	if !r.gr {
		s.gram = s.gram || r.Quantity.Unit == mass.Gram
		s.grain = s.grain || r.Quantity.Unit == mass.Grain
	}
}

// still watches for a scale whose unit is switched off in its menu. In a format
// that shows the unit at rest only, such a scale would seem to move for ever.
type still struct {
	line    string
	since   time.Time
	lines   int
	unit    bool // a unit was seen
	noUnits bool
}

const (
	stillLines = 10
	stillTime  = 3 * time.Second
)

// take notes a line. The same one for so long, without a unit ever, is at rest.
func (s *still) take(line []byte, now time.Time) {
	if string(line) != s.line {
		s.line, s.since, s.lines = string(line), now, 0
	}
	s.lines++
	s.noUnits = !s.unit && (s.noUnits || s.lines >= stillLines && now.Sub(s.since) >= stillTime)
}

// counter are plain digits in front of a weight, line by line. They are a
// counter if each is one more than the one before.
type counter struct {
	value, ups int
	frame      int // the frame in which value was seen
}

// counts takes the digits of a frame and reports whether they count. A frame may
// be asked about more than once.
func (c *counter) counts(digits string, frame int) bool {
	n, err := strconv.Atoi(digits)
	switch {
	case err != nil:
		return false
	case c.ups > 0 && frame == c.frame && n == c.value:
	case n == c.value+1:
		c.ups++
	default:
		c.ups = 0
	}
	c.value, c.frame = n, frame
	return c.ups >= countsAfter
}

// countsAfter is how many steps in a row make a counter. By chance the digits
// of a pan at rest, or of pounds before ounces, don't do that.
const countsAfter = 3
