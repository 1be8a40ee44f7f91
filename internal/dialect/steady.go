package dialect

import "panside/internal/mass"

// shape is what stays the same from line to line.
type shape struct {
	width  int // of padded lines; 0 if not known
	places int
	unit   mass.Unit
}

// shapes are the shape that lines of one likeness have, and that of the newest
// of them if it differed.
type shapes struct{ usual, odd shape }

// likeness is what lines of one shape have in common.
type likeness struct {
	kind   framing
	moving bool
	label  meaning
}

// steady refuses a line of another width, or with another number of decimals in
// the same unit, than its neighbours: a lost character leaves a wrong number
// that looks right. The second line of the new shape in a row is believed.
//
// Lines at rest and in motion are kept apart: a mark of motion may lengthen the
// line; so are the weights of a ticket. Only padded lines have a width to keep.
func (d *Decoder) steady(f frame, r Result) Result {
	if r.Outcome != Read || !r.HasValue {
		return r
	}
	like := likeness{kind: f.kind, moving: r.Status == mass.StatusMoving}
	if r.ticket {
		like.label = r.label
	}
	seen := d.shapes[like]
	defer func() { d.shapes[like] = seen }()
	usual := &seen.usual
	now := shape{width: len(f.data), places: r.Quantity.Value.Places(), unit: r.Quantity.Unit}
	if r.checked {
		now.width--
	}
	other := usual.width != 0 && usual.width != now.width ||
		usual.unit == now.unit && usual.places != now.places
	if other && now != seen.odd {
		seen.odd = now
		return Result{Outcome: BadLength}
	}
	seen.odd = shape{}
	if !r.padded && (other || usual.width == 0) {
		now.width = 0
	}
	*usual = now
	return r
}
