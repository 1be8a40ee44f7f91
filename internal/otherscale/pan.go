package otherscale

import "math"

// pan is a damped oscillator, in grams: at rest x is the force on it.
type pan struct {
	omega, zeta float64
	x, v        float64

	// The last span's decay and turn, since most spans are of one length.
	dt, decay, cos, sin float64
}

// move lets dt seconds pass under a force that runs evenly from f0 to f1 and
// returns the mean of x over them. The damping must be below 1.
func (p *pan) move(dt, f0, f1 float64) float64 {
	if dt != p.dt {
		p.dt = dt
		p.decay = math.Exp(-p.zeta * p.omega * dt)
		p.sin, p.cos = math.Sincos(p.omega * math.Sqrt(1-p.zeta*p.zeta) * dt)
	}
	slope := (f1 - f0) / dt
	lag := 2 * p.zeta * slope / p.omega
	damped := p.omega * math.Sqrt(1-p.zeta*p.zeta)
	// What is left when the forced part f0 + slope·t − lag is taken away.
	y, w := p.x-f0+lag, p.v-slope
	b := (w + p.zeta*p.omega*y) / damped
	y1 := p.decay * (y*p.cos + b*p.sin)
	w1 := p.decay*damped*(b*p.cos-y*p.sin) - p.zeta*p.omega*y1
	x, v := y1+f1-lag, w1+slope
	mean := (f0+f1)/2 - ((v-p.v)/(p.omega*p.omega)+2*p.zeta/p.omega*(x-p.x))/dt
	p.x, p.v = x, v
	return mean
}

// Point is a corner of a force over time.
type Point struct{ At, Grams float64 }

// course is a force: straight between its corners, and its last value for ever.
type course []Point

// at is the force at a time, and next the first corner after it.
func (c course) at(t float64) (grams, next float64) {
	if t < c[0].At {
		return 0, c[0].At
	}
	for i := 1; i < len(c); i++ {
		if t < c[i].At {
			a, b := c[i-1], c[i]
			return a.Grams + (b.Grams-a.Grams)*(t-a.At)/(b.At-a.At), b.At
		}
	}
	return c[len(c)-1].Grams, math.Inf(1)
}

// forces is the sum of all courses; those that have ended are one number.
type forces struct {
	ended float64
	on    []course
}

func (f *forces) add(c course) {
	if len(c) > 0 {
		f.on = append(f.on, c)
	}
}

// at is the sum at a time, and next the first corner after it.
func (f *forces) at(t float64) (grams, next float64) {
	grams, next = f.ended, math.Inf(1)
	kept := f.on[:0]
	for _, c := range f.on {
		g, n := c.at(t)
		grams += g
		if math.IsInf(n, 1) {
			f.ended += g
			continue
		}
		next = math.Min(next, n)
		kept = append(kept, c)
	}
	f.on = kept
	return grams, next
}

// move lets the pan go from one time to another and returns the mean of x.
func (f *forces) move(p *pan, from, to float64) float64 {
	sum, t := 0.0, from
	f0, corner := f.at(t)
	for t < to {
		// Corners nearer than a microsecond are one.
		end := math.Min(math.Max(corner, t+1e-6), to)
		dt := end - t
		if t == from && end == to {
			dt = to - from
		}
		f1, next := f.at(end)
		sum += p.move(dt, f0, f1) * dt
		t, f0, corner = end, f1, next
	}
	return sum / (to - from)
}
