package calibration

import (
	"math"

	"panside/internal/mass"
	"panside/internal/stats"
)

// Point is what was found at one check weight.
type Point struct {
	Weight     Weight
	Mass, U    mass.Grams // conventional mass and its standard uncertainty
	Mean       mass.Grams // of the weighings
	Placements int
	Error      mass.Grams // Mean − Mass
	UError     mass.Grams // standard uncertainty of Error
	Residual   mass.Grams // Error less the line's
}

// Line is the linear correction found.
type Line struct {
	Measured bool    // there was a check weight
	Slope    float64 // b: relative error of what the scale shows
	USlope   float64 // its standard uncertainty
	// Linearity is the standard uncertainty of what is not straight. With one
	// weight it is an assumption.
	Linearity mass.Grams
	Straight  bool       // the weights and rounding explain the residuals
	To        mass.Grams // heaviest check weight
	Points    []Point    // in the order of Record.Weights
}

// line is described in the package's documentation.
func (r *Record) line(s Spread) Line {
	d := float64(r.Resolution)
	l := Line{Points: r.points(s)}
	if len(l.Points) == 0 {
		return l
	}
	l.Measured = true
	var me, mm float64
	for _, p := range l.Points {
		m, e, v := float64(p.Mass), float64(p.Error), float64(p.UError*p.UError)
		me += m * e / v
		mm += m * m / v
		l.To = max(l.To, p.Mass)
	}
	l.Slope, l.USlope = me/mm, 1/math.Sqrt(mm)
	misfit, most := 0.0, 0.0
	for i := range l.Points {
		p := &l.Points[i]
		p.Residual = p.Error - mass.Grams(l.Slope)*p.Mass
		misfit += float64(p.Residual*p.Residual) / float64(p.UError*p.UError)
		most = math.Max(most, math.Abs(float64(p.Residual)))
	}
	if len(l.Points) == 1 {
		l.Linearity, l.Straight = mass.Grams(d/2/math.Sqrt(3)), true
		return l
	}
	l.Linearity = mass.Grams(most / math.Sqrt(3))
	l.Straight = misfit <= stats.ChiSquareQuantile(0.95, len(l.Points)-1)
	return l
}

// points are the errors at the check weights.
func (r *Record) points(s Spread) []Point {
	var all []Point
	for j, w := range r.Weights {
		if !w.Known() {
			continue
		}
		net := r.nets(j, r.Placements)
		p := Point{Weight: w, Mean: mass.Grams(mean(net)), Placements: len(net)}
		p.Mass, p.U = w.Mass()
		p.Error = p.Mean - p.Mass
		repeat := float64(s.Used)
		if !s.Measured {
			repeat = float64(mass.UnprovenScale(r.Resolution, p.Mass).Repeatability)
		}
		d := float64(r.Resolution)
		v := repeat*repeat/float64(len(net)) + d*d/6 + float64(p.U*p.U)
		p.UError = mass.Grams(math.Sqrt(v))
		all = append(all, p)
	}
	return all
}

// eccentricity is max|Δ|/(2·L·√3), relative to the load; 0 if nothing was
// weighed off the centre.
func (r *Record) eccentricity() float64 {
	most := 0.0
	for _, p := range r.OffCentre {
		m := mean(r.nets(p.Weight, r.Placements))
		most = math.Max(most, math.Abs(p.net()-m)/m)
	}
	return most / (2 * math.Sqrt(3))
}
