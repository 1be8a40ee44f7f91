package figures

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"panside/internal/mass"
	"panside/internal/otherscale"
	"panside/internal/verdict"
)

// bounds are when readers who know more than any tracker can would have named a
// coin's alloy, in seconds of the scale; 0 if never. What a tracker takes longer
// than released is what it doesn't know of the scale's filter, or waits for.
type bounds struct {
	told     float64 // knows the filter, and the hand's whole course but for the coin's mass
	released float64 // knows the filter and the moment the hand let go, nothing of what it did before
	full     float64 // takes the first display of the full load after the hand for the weight
}

// magnify makes a scale's steps so fine that its display is its filter's.
const magnify = 1e6

// response is what the displays would show of a force without noise and
// rounding, by the number of the display.
func (t *table) response(force []otherscale.Point, from, until float64) map[int]float64 {
	cfg := t.cfg
	cfg.White, cfg.Floor, cfg.Wander, cfg.Drift, cfg.Gain, cfg.CreepShare = 0, 0, 0, 0, 0, 0
	cfg.Tracking, cfg.AutoOff, cfg.Sticky, cfg.Burst, cfg.Every, cfg.Uneven, cfg.Repeat = otherscale.NoTracking, 0, 0, 0, 1, false, 4
	cfg.Filter.Band *= magnify
	first := math.Floor(from * cfg.DisplayRate)
	shift := first / cfg.DisplayRate
	var moved []otherscale.Point
	for _, p := range force {
		moved = append(moved, otherscale.Point{At: p.At - shift, Grams: p.Grams * magnify})
	}
	scale := otherscale.New(cfg, 1)
	scale.Push(moved)
	shown := map[int]float64{}
	scale.Advance(until-shift+1/cfg.DisplayRate, func(l otherscale.Line) {
		shown[int(first)+t.display(l.At)] = float64(l.Steps) * t.d / magnify
	})
	return shown
}

// display is the number of the display that a line of that time shows.
func (t *table) display(at float64) int {
	conversion := 1 / (t.cfg.DisplayRate * float64(t.cfg.Oversample))
	return int(math.Floor((at + 0.99*conversion/8) * t.cfg.DisplayRate))
}

// bound finds the bounds of a coin that counts for the ratio. Lines that come in
// bursts don't tell when their display was, and are left out.
func (t *table) bound(c *laid) (b bounds) {
	if t.cfg.Burst > 0 {
		return b
	}
	var lines []otherscale.Line
	last := math.MinInt
	for _, l := range t.course {
		if k := t.display(l.At); l.At >= c.touch && l.At < c.lift && k != last {
			lines, last = append(lines, l.Line), k
		}
	}
	if len(lines) < 2 {
		return b
	}
	until := lines[len(lines)-1].At
	exact := mass.UnprovenScale(mass.Grams(t.d), mass.Grams(c.coin.Grams)).U()

	whole := t.response(c.force, c.touch, until)
	known := newFit(t, 0)
	b.told = t.whenNamed(c, lines, func(k int, l otherscale.Line) mass.Grams {
		return known.see(whole[k]/c.coin.Grams, nil)
	}, exact)

	// The force before the release is unknown in each conversion.
	bin := 1 / (t.cfg.DisplayRate * float64(t.cfg.Oversample))
	n := int(math.Ceil((c.free-c.touch)/bin)) + 1
	if n > 40 {
		bin, n = (c.free-c.touch)/39, 40
	}
	var before []map[int]float64
	for j := range n {
		from := c.free - float64(j+1)*bin
		before = append(before, t.response([]otherscale.Point{{At: from, Grams: 0}, {At: from + 1e-4, Grams: 1}, {At: from + bin, Grams: 1}, {At: from + bin + 1e-4, Grams: 0}}, from, until))
	}
	after := t.response([]otherscale.Point{{At: c.free, Grams: 0}, {At: c.free + 1e-4, Grams: 1}}, c.free, until)
	unknown := newFit(t, n)
	row := make([]float64, n)
	b.released = t.whenNamed(c, lines, func(k int, l otherscale.Line) mass.Grams {
		for j := range row {
			row[j] = before[j][k]
		}
		return unknown.see(after[k], row)
	}, exact)

	b.full = t.whenNamed(c, lines, func(_ int, l otherscale.Line) mass.Grams {
		if l.At >= c.free && l.At >= c.changed && !l.Over && c.levelWith(t).near(float64(l.Steps)*t.d, t.slack) {
			return 0
		}
		return mass.Grams(math.Inf(1))
	}, exact)
	return b
}

// whenNamed is when the right alloy stands on the glass for one whose
// uncertainty beside the scale's own is u.
func (t *table) whenNamed(c *laid, lines []otherscale.Line, u func(k int, l otherscale.Line) mass.Grams, exact mass.Grams) float64 {
	var g glass
	for _, l := range lines {
		off := u(t.display(l.At), l)
		if c.changed == 0 || l.At < c.changed || off > mass.Grams(c.coin.Grams) {
			continue
		}
		a := ask(t.den, t.year, mass.Estimate{Mean: mass.Grams(c.coin.Grams), U: mass.Grams(math.Hypot(float64(off), float64(exact)))}, mass.Grams(t.d))
		shown := g.offer(mass.Estimate{Phase: mass.PhaseMoving, Placement: 1}, a, t.timeOf(l.At))
		if shown.call == verdict.Ordinary && shown.alloy == c.alloy {
			return l.At
		}
	}
	return 0
}

// fit is the least-squares fit of displays by a load, the level before it and
// the forces of a hand; only its uncertainty is asked for.
type fit struct {
	info  *mat.SymDense // inverse covariance of load, level, forces
	noise float64       // variance of a display
}

// unknownForce is the standard deviation of what a hand may press with, in grams.
const unknownForce = 10.0

func newFit(t *table, forces int) *fit {
	rounding := math.Max(1, 2*t.cfg.Sticky) * t.d / math.Sqrt(12)
	noise := t.cfg.Noise()
	if t.cfg.Filter.Kind == otherscale.Adaptive {
		noise = math.Hypot(t.cfg.White, t.cfg.Floor) // it hardly averages while it follows
	}
	f := &fit{info: mat.NewSymDense(2+forces, nil), noise: rounding*rounding + noise*noise}
	f.info.SetSym(0, 0, 1e-6)
	f.info.SetSym(1, 1, 1/f.noise)
	for j := range forces {
		f.info.SetSym(2+j, 2+j, 1/(unknownForce*unknownForce))
	}
	return f
}

// see takes a display's shares of the load and of the forces and gives the
// standard deviation of the load.
func (f *fit) see(load float64, forces []float64) mass.Grams {
	x := mat.NewVecDense(2+len(forces), append([]float64{load, 1}, forces...))
	f.info.SymRankOne(f.info, 1/f.noise, x)
	var c mat.Cholesky
	if !c.Factorize(f.info) {
		return mass.Grams(math.Inf(1))
	}
	unit := mat.NewVecDense(x.Len(), nil)
	unit.SetVec(0, 1)
	var of mat.VecDense
	if err := c.SolveVecTo(&of, unit); err != nil {
		return mass.Grams(math.Inf(1))
	}
	return mass.Grams(math.Sqrt(of.AtVec(0)))
}
