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

// leastCrossed is how well the light under two lamps must be that of one relief, and leastRest how well without the two
// bands that agree best: a ring of beads lies over itself wherever one bead lies on another. Of 75 pairs of one type the
// right turns had 0.47 and 0.37 and more, of 40 pairs of two types the best 0.36 and 0.22 (TestWideTurns,
// TestOthersAreRefused).
const leastCrossed, leastRest = 0.45, 0.3

// unclearCrossed is the same where rings don't tell the turn.
const unclearCrossed = 0.5

// Where another of the tops that were found is as good but for asGood, with the best bands and without, and differs by
// more than told degrees, the turn can't be told. The next one of the 75 pairs was worse by 0.13 and more.
const asGood, told = 0.08, 0.7

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

	crossed float64
}

// SameLight is the Light from which a difference picture shows coins and not lamps.
// TestByLamp holds it: the same side gets there, 45 degrees apart never.
const SameLight = 0.75

// Over lays b over a: the turn by rings, then turn, middle and size by the relief itself. progress may be
// nil; when it answers false, the work stops.
//
// [Rough] comes with the turn by rings and the map by rims, since the relief agrees too poorly to tell more. Where
// rings leave the turn open, the relief decides between their two best turns, if it is sure.
func Over(a, b Face, progress func(done float64) (goOn bool)) (Fit, Why) {
	t, next, why := turnsOf(a, b, false)
	if why != "" && why != NoFit && why != Ambiguous {
		return Fit{}, why
	}
	if !goesOn(progress, 0.3) {
		return Fit{}, Stopped
	}
	nearly := Laid(a, b, t.Degrees, false)
	f, not := Refine(a, b, nearly, progress)
	if not == Stopped {
		return Fit{}, Stopped
	}
	if why != "" {
		g, notNext := Refine(a, b, Laid(a, b, next, false), func(float64) bool { return goesOn(progress, 0.95) })
		if notNext == Stopped {
			return Fit{}, Stopped
		}
		if g.crossed > f.crossed {
			f, g, not = g, f, notNext
		}
		if not != "" || f.crossed < unclearCrossed || f.crossed-asGood < g.crossed {
			return Fit{Degrees: t.Degrees}, why
		}
		return f, ""
	}
	if (not == NoFit || not == Ambiguous) && t.Clear >= roughClear {
		return Fit{Map: nearly, Degrees: t.Degrees, U: ringsTurn}, Rough
	}
	return f, not
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
	onA := a.at(coarseR, Identity)
	coarse := newStage(featuresOf(onA), coarseR, onCoin)
	if len(coarse.pts) < fewest {
		return Fit{}, Flat
	}
	evenA, evenB := even(onA), even(b.at(coarseR, start))
	eb := edgesOf(evenB, edgeBlur)
	coarse.edges = edgesOf(evenA, edgeBlur)
	if !goesOn(progress, 0.4) {
		return Fit{}, Stopped
	}
	tops := coarse.search(edgesOf(evenA, wideBlur), edgesOf(evenB, wideBlur), eb)
	if !goesOn(progress, 0.7) {
		return Fit{}, Stopped
	}
	best := tops[0]
	u := coarse.spread(eb, best.q)
	if !goesOn(progress, 0.8) {
		return Fit{}, Stopped
	}
	m, features, best := coarse.finely(a, b, start, best)
	if !goesOn(progress, 0.95) {
		return Fit{}, Stopped
	}
	light := lightAgrees(onA, b.at(coarseR, m))
	out := Fit{Light: light, Map: a.units().Back().Then(m).Then(b.units()), U: math.Hypot(u, lampMoved*(1-math.Max(light, 0))), Agree: features, crossed: best.crossed}
	turn := m
	if m.A*m.D < m.B*m.C {
		turn = m.Then(Mirrored)
	}
	out.Degrees = -turn.Degrees()
	another := slices.ContainsFunc(tops, func(t found) bool {
		return t.crossed > tops[0].crossed-asGood && t.rest > tops[0].rest-asGood && math.Abs(t.q[0]-tops[0].q[0]) > told*math.Pi/180
	})
	switch {
	case !(best.crossed >= leastCrossed):
		return out, NoFit
	case another || !(best.rest >= leastRest) || u > mostSpread:
		return out, Ambiguous
	}
	return out, ""
}

// onCoin are the places, in radii, that are compared.
func onCoin(u, v float64) bool { return u*u+v*v <= within*within }

// finely lays over on the size of the faces what was found on a small one, and gives how well the features agree.
// Where the lamps stood alike, the shape is left free in the end, so that a difference of the two shows the coins.
func (s *stage) finely(a, b Face, start Affine, at found) (m Affine, agree float64, best found) {
	m, r := at.q.affine().Then(start), s.r
	if full := math.Min(fineR, math.Min(a.R, b.R)); full > 1.2*s.r {
		r = full
		onA := a.at(r, Identity)
		s = newStage(featuresOf(onA), r, onCoin)
		s.edges = edgesOf(even(onA), edgeBlur)
		at = s.climb(s.pts, edgesOf(even(b.at(r, m)), edgeBlur), rigid{}, searchHop/6, climbLeast)
		m = at.q.affine().Then(m)
	}
	fb := featuresOf(b.at(r, m))
	if agree = s.agreeOf(&fb, Identity); agree < alike {
		return m, agree, at
	}
	if g, why := refine(&s.of, &fb, r, onCoin); why == "" && g.agree >= agree {
		return g.m.Then(m), g.agree, at
	}
	return m, agree, at
}

func goesOn(progress func(float64) bool, done float64) bool { return progress == nil || progress(done) }
