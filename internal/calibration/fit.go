package calibration

import (
	"math"

	"panside/internal/mass"
	"panside/internal/stats"
)

// Point is what was found at one check weight.
type Point struct {
	Weight     Weight     `json:"-"`
	Name       string     `json:"name"`       // Weight's
	Mass       mass.Grams `json:"mass_g"`     // conventional
	U          mass.Grams `json:"u_g"`        // standard uncertainty of Mass
	Mean       mass.Grams `json:"mean_g"`     // of the weighings
	Error      mass.Grams `json:"error_g"`    // Mean − Mass
	UError     mass.Grams `json:"u_error_g"`  // standard uncertainty of Error
	Residual   mass.Grams `json:"residual_g"` // Error less the line's
	Placements int        `json:"placements"`
}

// Fit is the linear correction found.
type Fit struct {
	Measured bool    `json:"measured"` // there was a check weight
	Slope    float64 `json:"slope"`    // b: relative error of what the scale shows
	USlope   float64 `json:"u_slope"`  // its standard uncertainty
	// Linearity is the standard uncertainty of what is not straight. With one
	// weight it is an assumption.
	Linearity mass.Grams `json:"linearity_g"`
	Linear    bool       `json:"linear"` // the weights and rounding explain the residuals
	To        mass.Grams `json:"to_g"`   // heaviest check weight
	Points    []Point    `json:"points"` // in the order of Record.Weights; never nil
}

// fit is described in the package's documentation.
func (r *Record) fit(s Spread) Fit {
	d := float64(r.Resolution)
	l := Fit{Points: r.points(s)}
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
		l.Linearity, l.Linear = mass.Grams(d/2/math.Sqrt(3)), true
		return l
	}
	l.Linearity = mass.Grams(most / math.Sqrt(3))
	l.Linear = misfit <= stats.ChiSquareQuantile(0.95, len(l.Points)-1)
	return l
}

// points are the errors at the check weights.
func (r *Record) points(s Spread) []Point {
	all := []Point{}
	for j, w := range r.Weights {
		if !w.Known() {
			continue
		}
		net := r.nets(j, r.Placements)
		p := Point{Weight: w, Name: w.Name(), Mean: mass.Grams(mean(net)), Placements: len(net)}
		p.Mass, p.U = w.Mass()
		p.Error = p.Mean - p.Mass
		repeat := float64(s.InU)
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
