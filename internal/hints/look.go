package hints

import (
	"math"
	"slices"

	"panside/internal/align"
	"panside/internal/relief"
)

// Asked is what a coin's relief is looked at with. At least one of Ordinary and Other is needed; without
// the first neither second images nor differences are looked for, without the other no clash.
type Asked struct {
	Mine     relief.Relief
	Ordinary *relief.Relief // of an ordinary coin of the same type and side
	Other    *relief.Relief // of the same coin's other side
	Diameter float64        // mm
	// Known are the highest scores that the hunter's own ordinary coins had, a list a kind, from which
	// [BarOf] makes the bars.
	Known map[Kind][]float64
}

// Looked is what came of it.
type Looked struct {
	Marks []Mark // the clearest of each kind first
	// Scores are the highest of each kind, and Bars what was held against them; kinds that weren't looked
	// for are in neither.
	Scores map[Kind]float64
	Bars   map[Kind]Bar
	// Fit is how the ordinary coin lies; nothing without one.
	Fit align.Fit
}

// Look gives the places of a coin that pass the bars. progress may be nil.
func Look(a Asked, progress func(done float64) (goOn bool)) (Looked, Why) {
	out := Looked{Scores: map[Kind]float64{}, Bars: map[Kind]Bar{}}
	if a.Ordinary == nil && a.Other == nil {
		return out, NoRelief
	}
	var most Scores
	tell := func(kind Kind, score float64) { out.Scores[kind], out.Bars[kind] = score, BarOf(kind, a.Known[kind]) }
	most.SecondImage = BarOf(SecondImage, a.Known[SecondImage]).Score
	most.OtherSide = BarOf(OtherSide, a.Known[OtherSide]).Score
	most.Differs = BarOf(Differs, a.Known[Differs]).Score
	if a.Ordinary != nil {
		p, why := Lay(a.Mine, *a.Ordinary, a.Diameter, part(progress, 0, 0.3))
		if why != "" {
			return out, why
		}
		marks, top, why := p.marks(a.Mine.On, most, part(progress, 0.3, 0.5))
		if why != "" {
			return out, why
		}
		out.Marks, out.Fit = marks, p.Fit
		tell(SecondImage, top.SecondImage)
		tell(Differs, top.Differs)
	}
	if a.Other != nil {
		if progress != nil && !progress(0.85) {
			return out, Stopped
		}
		o, why := OtherSideOn(a.Mine, *a.Other, a.Diameter)
		if why != "" {
			return out, why
		}
		out.Marks = append(out.Marks, o.marks(a.Mine.On, most)...)
		tell(OtherSide, o.Score)
	}
	if progress != nil && !progress(1) {
		return out, Stopped
	}
	return out, ""
}

// part tells a part of the whole its share of the progress.
func part(progress func(done float64) (goOn bool), from, share float64) func(float64) bool {
	if progress == nil {
		return nil
	}
	return func(done float64) bool { return progress(from + share*done) }
}

// marks gives the places that pass the bars of a second image and of differences, and the highest scores
// of both. mine is where the coin lies in its own relief.
func (p *Pair) marks(mine relief.Disc, bars Scores, progress func(done float64) (goOn bool)) ([]Mark, Scores, Why) {
	var out []Mark
	var top Scores
	seconds, why := p.Seconds(progress)
	if why != "" {
		return nil, top, why
	}
	top.SecondImage = seconds[0].Score
	for _, s := range seconds {
		x, y := p.toCoin(mine, s.X, s.Y)
		m := Mark{Kind: SecondImage, X: x, Y: y, R: window * apart / 2 / p.pixel * p.px, Score: s.Score / bars.SecondImage, ShiftX: s.ShiftX, ShiftY: s.ShiftY}
		// Windows nearer than that share what they were scored by.
		if m.Score > 1 && len(out) < spots && !covered(out, m, 2) {
			out = append(out, m)
		}
	}
	differences, why := p.Differences()
	if why != "" {
		return nil, top, why
	}
	top.Differs = differences[0].Score
	// What is missing is taken for a second image, too, so that one hides no difference.
	seen := len(out)
	for _, d := range differences {
		x, y := p.toCoin(mine, d.X, d.Y)
		m := Mark{Kind: Differs, X: x, Y: y, R: 2 * spot / p.pixel * p.px, Score: d.Score / bars.Differs}
		if m.Score > 1 && !covered(out[seen:], m, 1.5) {
			out = append(out, m)
		}
	}
	return out, top, ""
}

// marks is the one place that the other side's relief is marked at, all of the face, or none.
func (o Other) marks(mine relief.Disc, bars Scores) []Mark {
	s := o.Score / bars.OtherSide
	if !(s > 1) {
		return nil
	}
	return []Mark{{Kind: OtherSide, X: mine.X, Y: mine.Y, R: mine.R, Score: s, Degrees: o.Degrees}}
}

// covered reports whether a clearer mark already lies there, within so many of its radii.
func covered(marks []Mark, m Mark, radii float64) bool {
	return slices.ContainsFunc(marks, func(o Mark) bool { return math.Hypot(o.X-m.X, o.Y-m.Y) < radii*o.R })
}
