package align

import (
	"math"
	"slices"
)

// How a fit is refined.
const (
	fineR  = 380.0 // radius of the faces in the last step, px
	within = 0.97  // what lies beyond, of the radius, is not compared
)

// lampMoved is the standard uncertainty, degrees, that a lamp on quite another side adds: it lights
// other flanks of the same strokes, all around the coin alike, which parts of it don't show.
// TestByLamp holds it.
const lampMoved = 0.2

// agree is how well features must agree for a fit. TestOthersAreRefused and TestByLamp
// hold it from both sides.
const agree = 0.22

// Lamps on opposite sides light opposite flanks, and a turn of two degrees may lay one over the other. So where another
// of the tops that were found agrees as well but for asGood, with the best bands and without, and differs by more than told degrees, the turn
// can't be told. TestWideTurns holds it.
const asGood, told = 0.03, 0.7

// mostSpread is the standard uncertainty, degrees, from which on the votes of the coin's thirds say that the turn may
// be off by more than one degree.
const mostSpread = 0.5

// roughClear is from where on the turn by rings is believed without the relief. TestOthersAreRefused holds it: of 40
// pairs of two types the turn stands out by up to 8.7.
const roughClear = 9.0

// ringsTurn is how sure a turn by rings alone is under any lamp, as a standard uncertainty in degrees.
// Assumed: with the lamp on the opposite side the trials' median error was 1.06.
const ringsTurn = 1.0

// alike is how well features agree where the lamps stood alike.
const alike = 0.5

// restAgree is how well they must agree without the two bands that agree best: a ring of beads lies over itself
// wherever one bead lies on another. Of 45 pairs that were taken without it, one lay some beads off, at 0.09, and one of
// the others had less. TestWideTurns holds it.
const restAgree = 0.12

// Fit is how one face lies over another.
type Fit struct {
	// Map takes places of the first face, px, to those of the second.
	Map Affine
	// Degrees is by how much the second must be turned counterclockwise to lie over the first, U its
	// standard uncertainty.
	Degrees, U float64
	// Agree is the correlation of the features where both have some: 1 is the same picture.
	Agree float64
	// Light is the correlation of the brightness itself. Near 1 the lamps stood alike, and only then a
	// difference of the two pictures shows what differs on the coins.
	Light float64
}

// SameLight is the Light from which a difference picture shows coins and not lamps.
// TestByLamp holds it: the same side gets there, 45 degrees apart never.
const SameLight = 0.75

// Over lays b over a: the turn by rings, then turn, middle and size by the relief itself. progress may be
// nil; when it answers false, the work stops.
//
// [Rough] comes with the turn by rings and the map by rims, since the relief agrees too poorly to tell more. Where
// rings leave the turn open, relief may not decide: on a coin with beads and teeth a wrong turn that lays flanks
// lit alike over each other agrees better than the right one.
func Over(a, b Face, progress func(done float64) (goOn bool)) (Fit, Why) {
	t, why := TurnOf(a, b, false)
	if why != "" {
		return Fit{Degrees: t.Degrees}, why
	}
	if !goesOn(progress, 0.3) {
		return Fit{}, Stopped
	}
	nearly := Laid(a, b, t.Degrees, false)
	f, why := Refine(a, b, nearly, progress)
	if (why == NoFit || why == Ambiguous) && t.Clear >= roughClear {
		return Fit{Map: nearly, Degrees: t.Degrees, U: ringsTurn}, Rough
	}
	return f, why
}

// Refine is [Over] from a map that is nearly right: within 4 degrees, a fortieth of the radius, and sizes
// that differ as rims do.
func Refine(a, b Face, nearly Affine, progress func(done float64) (goOn bool)) (Fit, Why) {
	for _, f := range []Face{a, b} {
		if why := f.sound(); why != "" {
			return Fit{}, why
		}
	}
	start := a.units().Then(nearly).Then(b.units().Back()) // in radii
	coarse := newStage(featuresOf(a.at(coarseR, Identity)), coarseR, onCoin)
	if len(coarse.pts) < fewest {
		return Fit{}, Flat
	}
	// b is taken over first, so that its angles are already turned.
	fb := featuresOf(b.at(coarseR, start))
	fb.mix()
	if !goesOn(progress, 0.4) {
		return Fit{}, Stopped
	}
	tops := coarse.search(&fb)
	if !goesOn(progress, 0.7) {
		return Fit{}, Stopped
	}
	best := tops[0]
	u := coarse.spread(&fb, best.q)
	if !goesOn(progress, 0.8) {
		return Fit{}, Stopped
	}
	f := finely(a, b, best.q.affine().Then(start), best)
	if !goesOn(progress, 0.95) {
		return Fit{}, Stopped
	}
	m := f.m
	light := lightAgrees(a.at(coarseR, Identity), b.at(coarseR, m))
	out := Fit{Light: light, Map: a.units().Back().Then(m).Then(b.units()), U: math.Hypot(u, lampMoved*(1-math.Max(light, 0))), Agree: f.agree}
	turn := m
	if m.A*m.D < m.B*m.C {
		turn = m.Then(Mirrored)
	}
	out.Degrees = -turn.Degrees()
	another := slices.ContainsFunc(tops, func(t found) bool {
		return t.agree > best.agree-asGood && t.rest > best.rest-asGood && math.Abs(t.q[0]-best.q[0]) > told*math.Pi/180
	})
	switch {
	case !(f.agree >= agree):
		return out, NoFit
	case another || !(f.rest >= restAgree) || u > mostSpread:
		return out, Ambiguous
	}
	return out, ""
}

// onCoin are the places, in radii, that are compared.
func onCoin(u, v float64) bool { return u*u+v*v <= within*within }

// finely lays over on the size of the faces what was found on a small one. Where the lamps stood alike, the shape
// is left free in the end, so that a difference of the two shows the coins.
func finely(a, b Face, m Affine, coarse found) refined {
	out := refined{m: m, agree: coarse.agree, rest: coarse.rest}
	r := math.Min(fineR, math.Min(a.R, b.R))
	if out.agree < alike && r < 1.2*coarseR {
		return out
	}
	r = math.Max(r, coarseR)
	s, fb := newStage(featuresOf(a.at(r, Identity)), r, onCoin), featuresOf(b.at(r, m))
	fb.mix()
	f := s.climb(s.pts, &fb, rigid{}, searchHop/6, climbLeast)
	out = refined{m: f.q.affine().Then(m), agree: f.agree, rest: f.rest}
	if f.agree < alike {
		return out
	}
	fb = featuresOf(b.at(r, out.m))
	g, why := refine(&s.of, &fb, r, onCoin)
	if why != "" || g.agree < f.agree {
		return out
	}
	g.m, g.rest = g.m.Then(out.m), out.rest
	return g
}

func goesOn(progress func(float64) bool, done float64) bool { return progress == nil || progress(done) }
