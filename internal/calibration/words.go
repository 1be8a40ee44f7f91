package calibration

import (
	"math"

	"panside/internal/mass"
	"panside/internal/say"
)

// Worth is what one weighing of a load is worth.
type Worth struct {
	Load       mass.Grams `json:"load_g"`
	U          mass.Grams `json:"u_g"`           // standard uncertainty, after the correction
	Unchecked  mass.Grams `json:"u_unchecked_g"` // what had to be assumed without the check
	Correction mass.Grams `json:"correction_g"`  // to be added to what the scale shows
	Assumed    bool       `json:"assumed"`       // part of U is still assumed
}

// ByLoad lists loads from 1 to 50 g, and further up to the heaviest check weight.
func (r Result) ByLoad() []Worth {
	var all []Worth
	for _, load := range []mass.Grams{1, 2, 5, 10, 20, 50, 100, 200, 500, 1000} {
		if load > 50 && load > r.Fit.To {
			break
		}
		all = append(all, r.worth(load))
	}
	return all
}

func (r Result) worth(load mass.Grams) Worth {
	s := r.At(load)
	return Worth{
		Load: load, U: s.U(), Unchecked: mass.UnprovenScale(r.Resolution, load).U(),
		Correction: r.Correction(load), Assumed: s.Assumed,
	}
}

// Findings are the sentences on what the check found.
func (r Result) Findings() []say.Line {
	all := []say.Line{r.sayError()}
	if r.Spread.Measured {
		all = append(all, r.saySpread())
	}
	if len(r.Fit.Points) > 1 {
		all = append(all, r.sayLinear())
	}
	if r.Drift.Measured {
		all = append(all, r.sayDrift())
	}
	all = append(all, r.sayWorth())
	if r.worth(5).Assumed {
		all = append(all, say.New("found-part-assumed"))
	}
	return all
}

func (r Result) sayError() say.Line {
	l := r.Fit
	if !l.Measured {
		return say.New("found-no-weight")
	}
	at := float64(l.To)
	off, u := pair(at*l.Slope, k95*at*l.USlope)
	load := written(math.Round(at*100) / 100)
	if math.Abs(l.Slope) <= k95*l.USlope {
		return say.New("found-no-error", say.Figure("off", off), say.Figure("load", load), say.Figure("u", u))
	}
	way := "more"
	if l.Slope < 0 {
		way = "less"
	}
	share, _ := pair(100*l.Slope, 100*l.Slope)
	return say.New("found-error", say.Text("way", way), say.Figure("off", off), say.Figure("load", load), say.Figure("u", u), say.Figure("share", share))
}

func (r Result) saySpread() say.Line {
	s := r.Spread
	high, _ := pair(float64(s.High), float64(s.High))
	if s.Low == 0 {
		return say.New("found-spread-below", say.Figure("high", high), say.Count("times", s.Placements))
	}
	shown, _ := pair(float64(s.S), float64(s.S))
	low, _ := pair(float64(s.Low), float64(s.Low))
	return say.New("found-spread", say.Figure("s", shown), say.Figure("low", low), say.Figure("high", high), say.Count("times", s.Placements))
}

func (r Result) sayLinear() say.Line {
	if r.Fit.Linear {
		return say.New("found-linear")
	}
	worst := r.Fit.Points[0]
	for _, p := range r.Fit.Points {
		if math.Abs(float64(p.Residual)) > math.Abs(float64(worst.Residual)) {
			worst = p
		}
	}
	off, _ := pair(float64(worst.Residual), 2*float64(r.Resolution))
	return say.New("found-not-linear", say.Of("weight", worst.Weight.named()), say.Figure("off", off))
}

func (r Result) sayDrift() say.Line {
	d := r.Drift
	minutes := written(math.Round(d.Seconds/6) / 10)
	rate, u := pair(float64(d.PerHour), k95*float64(d.U))
	if math.Abs(float64(d.PerHour)) <= k95*float64(d.U) {
		most, _ := pair(math.Abs(float64(d.PerHour))+k95*float64(d.U), k95*float64(d.U))
		return say.New("found-no-drift", say.Figure("minutes", minutes), say.Figure("most", most))
	}
	way := "up"
	if d.PerHour < 0 {
		way = "down"
	}
	return say.New("found-drift", say.Text("way", way), say.Figure("rate", rate), say.Figure("u", u), say.Figure("minutes", minutes))
}

func (r Result) sayWorth() say.Line {
	small, large := r.worth(5), r.worth(20)
	if half(large.U) == half(small.U) {
		return say.New("found-worth", say.Figure("small", half(small.U)), say.Figure("unchecked", half(small.Unchecked)))
	}
	return say.New("found-worth-both", say.Figure("small", half(small.U)), say.Figure("large", half(large.U)), say.Figure("unchecked", half(small.Unchecked)))
}

// half is the half-width of a 95 % interval.
func half(u mass.Grams) string {
	text, _ := pair(k95*float64(u), k95*float64(u))
	return text
}

// Advice says what would make the check better or the scale truer. It is empty
// if there is nothing to say.
func (r Result) Advice() []say.Line {
	var all []say.Line
	add := func(when bool, line say.Line) {
		if when {
			all = append(all, line)
		}
	}
	s, l := r.Spread, r.Fit
	add(!s.Measured, say.New("advice-spread"))
	add(!l.Measured, say.New("advice-weight"))
	add(!l.Measured, CoinWarning())
	add(len(l.Points) == 1, say.New("advice-second-weight"))
	add(r.Drift.Seconds > 0 && !r.Drift.Measured, say.New("advice-watch"))
	for _, p := range l.Points {
		off, _ := pair(float64(p.Error), 2*float64(r.Resolution))
		add(math.Abs(float64(p.Error)) > 2*float64(mass.MaximumError(r.Resolution, p.Mass))+k95*float64(p.UError),
			say.New("advice-adjust", say.Of("weight", p.Weight.named()), say.Figure("off", off)))
		add(float64(p.U) > float64(r.Resolution)/3, say.New("advice-finer-weight", say.Of("weight", p.Weight.named())))
		limit, inTable := Limit(p.Weight.Nominal, p.Weight.Class)
		add(inTable && p.Weight.Value != 0 && math.Abs(float64(p.Mass-p.Weight.Nominal)) > float64(limit),
			say.New("advice-certificate", say.Of("weight", p.Weight.named())))
	}
	spread := mass.MaximumError(r.Resolution, l.To)
	apart, _ := pair(float64(s.Range), 2*float64(r.Resolution))
	add(s.Measured && float64(s.Range) > float64(r.Resolution)*1.5 && s.Range > spread, say.New("advice-apart", say.Figure("apart", apart)))
	return all
}
