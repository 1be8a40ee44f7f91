package align

import (
	"cmp"
	"math"
	"slices"

	"panside/internal/fourier"
	"panside/internal/picture"
)

// How a close-up is looked for.
const (
	findR     = 58.0 // radius of the whole coin where places are tried, px
	findSide  = 128  // of the raster it lies on
	findTurn  = 8.0  // degrees from turn to turn
	findScale = 1.12 // from scale to scale
	findAgain = 6    // turns of each look that are tried again on a raster twice as fine
	findTries = 8    // places that are looked at closely
	// byChance is what a window of one px gets by chance on the finer raster: a window of n px gets an
	// n-th of it.
	byChance = 5.0
	findPx   = 200 // width of the close-up there, px; first at half of it
	// WidestLook and NarrowestLook are how much of the coin's diameter a close-up may show. Below,
	// what it shows is a few pixels of the whole picture (TestFindFindsCloseUps).
	WidestLook, NarrowestLook = 0.8, 0.16
)

// When a close-up is refused. TestFindRefusesOthers holds the limits.
const (
	findAgree  = 0.3 // correlation of the features
	findSecond = 0.9 // how high another place may come against the best
)

// Place is where a close-up lies in a whole picture.
type Place struct {
	Map     Affine  // from the close-up's px to the whole picture's
	Degrees float64 // by how much the close-up is turned counterclockwise against the whole
	Scale   float64 // px of the close-up for one of the whole
	U       float64 // standard uncertainty of Degrees; that of Scale is about Scale·U·π/180
	Agree   float64
}

// Find looks for a close-up in a whole picture of the same coin, whichever way it is turned. least and
// most are how much of the coin's diameter it shows across, as far as is known: 0 and 0 for all that
// can be found. progress may be nil.
func Find(closeUp picture.Picture, whole Face, least, most float64, progress func(done float64) (goOn bool)) (Place, Why) {
	if why := whole.sound(); why != "" {
		return Place{}, why
	}
	if closeUp.W < findPx/2 || closeUp.H < findPx/2 {
		return Place{}, TooSmall
	}
	if !(least > 0) {
		least = NarrowestLook
	}
	if !(most > 0) {
		most = WidestLook
	}
	least, most = math.Max(least, NarrowestLook), math.Min(most, WidestLook)
	if least > most {
		return Place{}, NoFit
	}
	tries, why := spots(closeUp, whole, least, most, progress)
	if why != "" {
		return Place{}, why
	}
	var all []Place
	for i, m := range tries {
		if p, ok := closely(closeUp, whole, m); ok {
			all = append(all, p)
		}
		if !goesOn(progress, 0.8+0.2*float64(i+1)/float64(len(tries))) {
			return Place{}, Stopped
		}
	}
	if len(all) == 0 {
		return Place{}, NoFit
	}
	slices.SortStableFunc(all, func(a, b Place) int { return cmp.Compare(b.Agree, a.Agree) })
	best := all[0]
	if best.Agree < findAgree {
		return best, NoFit
	}
	x, y := best.Map.Of(float64(closeUp.W)/2, float64(closeUp.H)/2)
	for _, p := range all[1:] {
		px, py := p.Map.Of(float64(closeUp.W)/2, float64(closeUp.H)/2)
		if math.Hypot(px-x, py-y) > 0.05*whole.R && p.Agree > findSecond*best.Agree {
			return best, Ambiguous
		}
	}
	return best, ""
}

// try is a look and a turn of the close-up with the place where it fits best.
type try struct {
	look, turn float64
	m          Affine // from the close-up's px to the whole's
	score      float64
}

// spots gives maps that may be right, from the close-up's px to the whole's: all looks and turns on a
// small raster, and the best of them again on one twice as fine.
func spots(closeUp picture.Picture, whole Face, least, most float64, progress func(float64) bool) ([]Affine, Why) {
	var all []try
	for look := least; look < most*1.0001; look *= findScale {
		for turn := 0.0; turn < 360; turn += findTurn {
			all = append(all, try{look: look, turn: turn})
		}
	}
	for stage, side := range []int{findSide, 2 * findSide} {
		l := newLookout(whole, side)
		for i := range all {
			l.place(closeUp, &all[i])
			if i%16 == 0 && !goesOn(progress, 0.4*(float64(stage)+float64(i)/float64(len(all)))) {
				return nil, Stopped
			}
		}
		// A small window fits by chance better than a large one, so each look's turns compete first.
		kept := all[:0:0]
		for from := 0; from < len(all); {
			to := from
			for to < len(all) && all[to].look == all[from].look {
				to++
			}
			turns := all[from:to]
			slices.SortStableFunc(turns, func(a, b try) int { return cmp.Compare(b.score, a.score) })
			kept = append(kept, turns[:min(findAgain, len(turns))]...)
			from = to
		}
		all = kept
	}
	for i := range all {
		all[i].score -= byChance / (all[i].look * findR)
	}
	slices.SortStableFunc(all, func(a, b try) int { return cmp.Compare(b.score, a.score) })
	side := float64(min(closeUp.W, closeUp.H))
	var out []Affine
	for _, t := range all {
		near := slices.ContainsFunc(out, func(m Affine) bool {
			d := t.m.Back().Then(m)
			cx, cy := float64(closeUp.W)/2, float64(closeUp.H)/2
			x, y := d.Of(cx, cy)
			return math.Hypot(x-cx, y-cy) < 0.1*side && math.Abs(d.Degrees()) < 1.5*findTurn && math.Abs(math.Log(d.Scale())) < 1.5*math.Log(findScale)
		})
		if !near && t.score > 0 {
			if out = append(out, t.m); len(out) == findTries {
				break
			}
		}
	}
	if len(out) == 0 {
		return nil, Flat
	}
	return out, ""
}

// lookout is the whole picture on a raster where a close-up is tried at all places at once.
type lookout struct {
	plane    *fourier.Plane
	whole    Face
	side     int
	r        float64 // of the coin, px
	middle   float64
	wr, wi   []float32 // spectrum of the doubled angle
	er, ei   []float32 // and of its energy
	total    float32
	look     float64 // the one that the window's energy holds for
	half     int
	energies []float32
}

func newLookout(whole Face, side int) *lookout {
	n := side * side
	l := &lookout{plane: fourier.NewPlane(side, side), whole: whole, side: side, r: findR * float64(side) / findSide,
		wr: make([]float32, n), wi: make([]float32, n), er: make([]float32, n), ei: make([]float32, n)}
	w := whole.at(l.r, Identity)
	l.middle = float64(w.W) / 2
	f := featuresOf(w)
	for y := range min(w.H, side) {
		for x := range min(w.W, side) {
			i, j := y*w.W+x, y*side+x
			if math.Hypot(float64(x)+0.5-l.middle, float64(y)+0.5-l.middle) > ringTo*l.r {
				continue // the rim looks alike wherever along it one looks
			}
			l.wr[j], l.wi[j] = f.of[angleRe][i], f.of[angleIm][i]
			l.er[j] = l.wr[j]*l.wr[j] + l.wi[j]*l.wi[j]
			l.total += l.er[j]
		}
	}
	l.plane.Forward(l.wr, l.wi)
	l.plane.Forward(l.er, l.ei)
	return l
}

// round calls do for the places of a round window about the middle, and their index on the raster, where
// it lies around the first pixel.
func (l *lookout) round(do func(dx, dy, at int)) {
	for dy := -l.half; dy <= l.half; dy++ {
		for dx := -l.half; dx <= l.half; dx++ {
			if dx*dx+dy*dy <= l.half*l.half {
				do(dx, dy, (dy&(l.side-1))*l.side+dx&(l.side-1))
			}
		}
	}
}

// place finds where a look at a turn fits best: the correlation of the doubled angle over a round
// window, Σ Re(z_c conj z_w) / √(Σ|z_c|² Σ|z_w|²).
func (l *lookout) place(closeUp picture.Picture, t *try) {
	n := l.side * l.side
	shorter := float64(min(closeUp.W, closeUp.H))
	px := t.look * 2 * l.r // of the shorter side here
	k := shorter / px
	if l.look != t.look {
		l.look, l.half = t.look, int(px/2)
		vr, vi := make([]float32, n), make([]float32, n)
		l.round(func(_, _, at int) { vr[at] = 1 })
		l.plane.Forward(vr, vi)
		against(vr, vi, l.er, l.ei)
		l.plane.Backward(vr, vi)
		l.energies = vr
	}
	small := closeUp
	if by := int(k); by > 1 {
		small = closeUp.Shrink(by)
	}
	// From px here about the middle to the close-up's px.
	m := Turned(t.turn).Then(Scaled(k)).Then(Moved(float64(closeUp.W)/2, float64(closeUp.H)/2))
	size := 2*l.half + 9
	f := featuresOf(Moved(-float64(size)/2, -float64(size)/2).Then(m).Then(Scaled(float64(small.W)/float64(closeUp.W))).Take(small, size, size))
	cr, ci := make([]float32, n), make([]float32, n)
	own := float32(0)
	l.round(func(dx, dy, at int) {
		i := (dy+size/2)*size + dx + size/2
		cr[at], ci[at] = f.of[angleRe][i], f.of[angleIm][i]
		own += cr[at]*cr[at] + ci[at]*ci[at]
	})
	t.score = 0
	if own <= 0 {
		return
	}
	l.plane.Forward(cr, ci)
	against(cr, ci, l.wr, l.wi)
	l.plane.Backward(cr, ci)
	// Where the window holds hardly anything, it fits by chance.
	floor := 0.3 * l.total * float32(l.half*l.half) / float32(l.r*l.r)
	best := 0
	for i, v := range cr {
		if c := float64(v) / math.Sqrt(float64(own*max(l.energies[i], floor))); c > t.score {
			t.score, best = c, i
		}
	}
	x, y := float64(best%l.side)+0.5, float64(best/l.side)+0.5
	t.m = m.Back().Then(Moved(x-l.middle, y-l.middle)).Then(Scaled(1 / l.r)).Then(l.whole.units())
}

// against makes the first spectrum that of the correlation of the second raster with the first: at
// place p, Σ b(p + d) conj a(d).
func against(ar, ai, br, bi []float32) {
	for i := range ar {
		ar[i], ai[i] = br[i]*ar[i]+bi[i]*ai[i], bi[i]*ar[i]-br[i]*ai[i]
	}
}

// closely refines one place by the relief, on two sizes.
func closely(closeUp picture.Picture, whole Face, m Affine) (Place, bool) {
	shorter := float64(min(closeUp.W, closeUp.H))
	var last refined
	for _, width := range []float64{findPx / 2, findPx} {
		r := math.Min(width, shorter) / 2
		k := shorter / 2 / r // px of the close-up a px here
		small, by := closeUp, max(int(k), 1)
		if by > 1 {
			small = closeUp.Shrink(by)
		}
		n := int(2 * r)
		toCloseUp := Moved(-r, -r).Then(Scaled(k)).Then(Moved(float64(closeUp.W)/2, float64(closeUp.H)/2))
		fa := featuresOf(toCloseUp.Then(Scaled(1/float64(by))).Take(small, n, n))
		units := Moved(-r, -r).Then(Scaled(1 / r)) // of the raster
		for range 2 {
			to := toCloseUp.Then(m)
			p, b := whole.Picture, max(int(to.Scale()), 1)
			if b > 1 {
				p = p.Shrink(b)
			}
			fb := featuresOf(to.Then(Scaled(1/float64(b))).Take(p, n, n))
			// The rim looks alike wherever along it one looks.
			toWhole := units.Back().Then(to).Then(whole.units().Back())
			f, why := refine(&fa, &fb, r, func(u, v float64) bool {
				x, y := toWhole.Of(u, v)
				return u*u+v*v <= 0.9 && x*x+y*y <= ringTo*ringTo
			})
			if why != "" {
				return Place{}, false
			}
			m = toCloseUp.Back().Then(units).Then(f.m).Then(units.Back()).Then(toCloseUp).Then(m)
			last = f
		}
	}
	// What the close-up shows turned by φ lies at −φ in the whole.
	return Place{Map: m, Degrees: -m.Degrees(), Scale: 1 / m.Scale(), U: last.u, Agree: last.agree}, math.Abs(math.Log(last.m.Scale())) < 0.1
}
