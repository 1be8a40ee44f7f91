package align

import (
	"math"

	"panside/internal/fourier"
)

// How the rings are laid.
const (
	coarseR  = 190.0 // radius of a face that is turned, px
	ringFrom = 0.12  // innermost ring, of the radius
	ringTo   = 0.88  // outermost: the rim itself says nothing of the turn, and shines wherever the lamp is
	rings    = 48
	places   = 1024  // places on a ring
	finest   = 150.0 // periods a turn of the waves that fade out
)

// When a turn is refused. TestOthersAreRefused and TestByLamp hold the limits from both sides.
const (
	// clear is by how many standard deviations of all other turns the best one stands out.
	clear = 6.0
	// second is how high another turn, more than 12 degrees off, may come against the best.
	second = 0.85
)

// Turn is how far a face must be turned to lie over another.
type Turn struct {
	Degrees float64 // counterclockwise as seen, −180 to 180
	Clear   float64 // how far this turn stands out of all others, in their standard deviations
}

// TurnOf gives by how much b must be turned counterclockwise to lie over a, both upright or not, whatever
// sides their lamps stood on. mirrored compares with b's mirror picture, left and right swapped
// before it is turned. The middles may be off by a fiftieth of the radius.
func TurnOf(a, b Face, mirrored bool) (Turn, Why) {
	t, _, why := turnsOf(a, b, mirrored)
	return t, why
}

// turnsOf is [TurnOf] with the degrees of the next best turn, more than 12 degrees off.
func turnsOf(a, b Face, mirrored bool) (t Turn, next float64, why Why) {
	for _, f := range []Face{a, b} {
		if why := f.sound(); why != "" {
			return Turn{}, 0, why
		}
	}
	m := Identity
	if mirrored {
		m = Mirrored
	}
	fa, fb := featuresOf(a.at(coarseR, Identity)), featuresOf(b.at(coarseR, m))
	ra, okA := ringsOf(&fa)
	rb, okB := ringsOf(&fb)
	if !okA || !okB {
		return Turn{}, 0, Flat
	}
	// The doubled angle apart from size and phase, since their spectra differ.
	c := make([]float32, places)
	for i := range ra {
		for k, v := range fourier.Turns(ra[i].re, ra[i].im, rb[i].re, rb[i].im, places, finest) {
			c[k] += v
		}
	}
	const apart = places * 12 / 360
	best := fourier.PeakOf(c, apart)
	t = Turn{Degrees: math.Remainder(-best.At*360/places, 360), Clear: best.Clear}
	at := -1
	for i, v := range c {
		if math.Abs(math.Remainder(float64(i)-best.At, places)) > apart && (at < 0 || v > c[at]) {
			at = i
		}
	}
	next = math.Remainder(-float64(at)*360/places, 360)
	switch {
	case t.Clear < clear:
		return t, next, NoFit
	case best.Next > second:
		return t, next, Ambiguous
	}
	return t, next, ""
}

// course is what one feature is like on all rings.
type course struct{ re, im []float32 }

// ringsOf gives the rings: of the doubled angle against the radius, and of size
// (real) with phase (imaginary), each scaled to norm 1 over all rings. It is false if there is
// nothing on the face.
func ringsOf(f *features) ([2]course, bool) {
	var out [2]course
	for i := range out {
		out[i] = course{make([]float32, rings*places), make([]float32, rings*places)}
	}
	middle := float64(f.w) / 2
	var got [channels]float32
	var norm [channels]float64
	for r := range rings {
		radius := coarseR * (ringFrom + (ringTo-ringFrom)*(float64(r)+0.5)/rings)
		weight := float32(math.Sqrt(radius)) // a ring counts by its length
		from, to := r*places, (r+1)*places
		for i := range places {
			s, c := math.Sincos(2 * math.Pi * float64(i) / places)
			f.sample(middle+radius*c, middle+radius*s, &got)
			// Angles are taken against the radius: multiplied by exp(−2iθ).
			c2, s2 := float32(c*c-s*s), float32(2*s*c)
			out[0].re[from+i] = weight * (got[angleRe]*c2 + got[angleIm]*s2)
			out[0].im[from+i] = weight * (got[angleIm]*c2 - got[angleRe]*s2)
			out[1].re[from+i] = weight * got[sizes]
			out[1].im[from+i] = weight * got[phases]
		}
		for _, v := range [][]float32{out[0].re[from:to], out[0].im[from:to], out[1].re[from:to], out[1].im[from:to]} {
			sum := float32(0)
			for _, x := range v {
				sum += x
			}
			for i := range v {
				v[i] -= sum / places
			}
		}
		for i := from; i < to; i++ {
			norm[angleRe] += float64(out[0].re[i]*out[0].re[i] + out[0].im[i]*out[0].im[i])
			norm[sizes] += float64(out[1].re[i] * out[1].re[i])
			norm[phases] += float64(out[1].im[i] * out[1].im[i])
		}
	}
	if norm[angleRe] < 1e-6 || norm[sizes] < 1e-6 || norm[phases] < 1e-6 {
		return out, false
	}
	a, s, p := float32(1/math.Sqrt(norm[angleRe])), float32(1/math.Sqrt(norm[sizes])), float32(1/math.Sqrt(norm[phases]))
	for i := range out[0].re {
		out[0].re[i] *= a
		out[0].im[i] *= a
		out[1].re[i] *= s
		out[1].im[i] *= p
	}
	return out, true
}
