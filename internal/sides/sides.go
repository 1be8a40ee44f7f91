// Package sides is by how much the reverse of a coin is turned against its obverse, from one photo of
// each: each is turned by some angle against upright, and between the photos the coin was turned over
// about a known axis, the camera staying as it was.
//
// Turning a coin over changes the sense of a turn. Seen from above, an obverse turned counterclockwise
// by a lies, once the coin is turned over top to bottom, turned by −a on the other side. So with
// r the turn that the reverse's photo shows,
//
//	angle = a + r          turned over the way its country's coins are struck
//	angle = a + r + 180    turned over the other way
//
// since turning over top to bottom is turning over side to side and half around. TestBySpace holds it
// against turns in space.
package sides

import "math"

// Angle is an angle with its standard uncertainty, degrees.
type Angle struct{ Degrees, U float64 }

// And is one angle after another.
func (a Angle) And(b Angle) Angle {
	return Angle{math.Remainder(a.Degrees+b.Degrees, 360), math.Hypot(a.U, b.U)}
}

// Over is the way a coin is turned over.
type Over string

// The ways: about the axis through 3 and 9 o'clock ("coin turn"), or through 12 and 6 ("medal turn").
const (
	TopToBottom Over = "top-to-bottom"
	SideToSide  Over = "side-to-side"
)

// Hand is how a hand turned the coin over.
type Hand string

// The hands.
const (
	Ruler Hand = "ruler" // held against a straight edge
	Free  Hand = "free"
)

// hands are how surely the axis is kept, as standard uncertainties in degrees (common practice).
var hands = map[Hand]float64{Ruler: 2, Free: 5}

// Between is by how much the reverse is turned counterclockwise against the obverse, seen from the
// reverse's side, −180 to 180, 0 as struck in order. obverse and reverse are by how much their photos
// show them turned counterclockwise against upright. false where a way or hand is no known one.
func Between(obverse, reverse Angle, over, struck Over, by Hand) (Angle, bool) {
	hand, known := hands[by]
	half := 0.0
	if over != struck {
		half = 180
	}
	return obverse.And(reverse).And(Angle{half, hand}), known && over.known() && struck.known()
}

func (o Over) known() bool { return o == TopToBottom || o == SideToSide }

// passes is by how much dies may stand turned, degrees, before it counts as an error: what the coin
// book's look-for says (common practice).
const passes = 15

// Call is what an angle is called.
type Call string

// The calls. Between the first two the uncertainty, taken twice, leaves it open.
const (
	Ordinary Call = "ordinary"
	Turned   Call = "turned"
	Unclear  Call = "unclear"
)

// Call says whether the angle is within what mints let pass, for sure.
func (a Angle) Call() Call {
	off := math.Abs(a.Degrees)
	switch {
	case off+2*a.U <= passes:
		return Ordinary
	case off-2*a.U > passes:
		return Turned
	}
	return Unclear
}

// Struck is the way a country's coins are turned over to stand upright on both sides. sure is false
// where coins of that country differ and neither denomination nor year says which, so that the way is
// only the likelier one; the way is empty for a country that isn't known. All of it is common practice,
// as the coin book's look-for of rotated dies tells it.
func Struck(country, denomination string, year int) (over Over, sure bool) {
	switch country {
	case "US":
		return TopToBottom, true
	case "EU":
		return SideToSide, true
	case "CA":
		// Cents always turned sideways, silver to 1907 top to bottom.
		switch {
		case denomination == "cent" || year > 1907:
			return SideToSide, true
		case year > 0 && denomination != "":
			return TopToBottom, true
		}
		return SideToSide, false
	case "GB":
		// Under Queen Victoria, to 1901, many turned top to bottom.
		return SideToSide, year > 1901
	}
	return "", false
}
