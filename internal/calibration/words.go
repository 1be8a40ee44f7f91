package calibration

import (
	"math"
	"strconv"

	"panside/internal/mass"
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

// Findings says in sentences what the check found.
func (r Result) Findings() []string {
	all := []string{r.sayError()}
	if r.Spread.Measured {
		all = append(all, r.saySpread())
	}
	if len(r.Fit.Points) > 1 {
		all = append(all, r.sayLinear())
	}
	if r.Drift.Measured {
		all = append(all, r.sayDrift())
	}
	return append(all, r.sayWorth())
}

func (r Result) sayError() string {
	l := r.Fit
	if !l.Measured {
		return "Accuracy not measured: no check weight was used, so it is still assumed from the step."
	}
	at := float64(l.To)
	off, u := pair(at*l.Slope, k95*at*l.USlope)
	where := " g at " + written(math.Round(at*100)/100) + " g"
	switch {
	case math.Abs(l.Slope) <= k95*l.USlope:
		return "No error of the scale can be seen: " + off + where + ", known to ±" + u + " g."
	case l.Slope > 0:
		return "The scale shows too much: " + off + where + " (±" + u + " g), " + percent(l.Slope) + ". Its weights are corrected by that."
	}
	return "The scale shows too little: " + off + where + " (±" + u + " g), " + percent(l.Slope) + ". Its weights are corrected by that."
}

func (r Result) saySpread() string {
	s := r.Spread
	times := strconv.Itoa(s.Placements) + " placements"
	high, _ := pair(float64(s.High), float64(s.High))
	if s.Low == 0 {
		return "Repeated placements scatter by less than " + high + " g (95%, " + times + "); the display’s step hides what is finer."
	}
	shown, _ := pair(float64(s.S), float64(s.S))
	low, _ := pair(float64(s.Low), float64(s.Low))
	return "Repeated placements scatter by " + shown + " g (standard deviation; 95%: " + low + " to " + high + " g, " + times + ")."
}

func (r Result) sayLinear() string {
	worst := r.Fit.Points[0]
	for _, p := range r.Fit.Points {
		if math.Abs(float64(p.Residual)) > math.Abs(float64(worst.Residual)) {
			worst = p
		}
	}
	off, _ := pair(float64(worst.Residual), 2*float64(r.Resolution))
	if r.Fit.Linear {
		return "The scale is linear, as far as these weights can show."
	}
	return "It isn’t linear: with " + worst.Weight.Name() + " it is off the line by " + off + " g, more than weights and rounding explain."
}

func (r Result) sayDrift() string {
	d := r.Drift
	minutes := written(math.Round(d.Seconds/6) / 10)
	rate, u := pair(float64(d.PerHour), k95*float64(d.U))
	if math.Abs(float64(d.PerHour)) <= k95*float64(d.U) {
		most, _ := pair(math.Abs(float64(d.PerHour))+k95*float64(d.U), k95*float64(d.U))
		return "No drift can be seen in " + minutes + " minutes: it is less than " + most + " g an hour."
	}
	way := "up"
	if d.PerHour < 0 {
		way = "down"
	}
	return "The untouched scale drifts " + way + " by " + rate + " g an hour (±" + u + " g, watched for " + minutes + " minutes)."
}

func (r Result) sayWorth() string {
	small := r.worth(5)
	text := "At 5 g one weighing is good to ±" + half(small.U) + " g (95%)"
	if large := r.worth(20); half(large.U) != half(small.U) {
		text += ", at 20 g to ±" + half(large.U) + " g"
	}
	text += "; unchecked, ±" + half(small.Unchecked) + " g would have been assumed."
	if small.Assumed {
		text += " Part of that is still assumed."
	}
	return text
}

// half is the half-width of a 95 % interval in words.
func half(u mass.Grams) string {
	text, _ := pair(k95*float64(u), k95*float64(u))
	return text
}

// Advice says what would make the check better or the scale truer. It is empty
// if there is nothing to say.
func (r Result) Advice() []string {
	var all []string
	say := func(when bool, text string) {
		if when {
			all = append(all, text)
		}
	}
	s, l := r.Spread, r.Fit
	say(!s.Measured, "Repeatability isn’t measured by so few readings: put one weight on and take it off five times. Until then it stays assumed.")
	say(!l.Measured, "For the scale’s error weigh a check weight of class M1 or finer. "+CoinWarning)
	say(len(l.Points) == 1, "One weight can’t show whether the scale is linear. Add a second one, about half as heavy.")
	say(r.Drift.Seconds > 0 && !r.Drift.Measured, "The scale was watched too briefly to see its drift: leave it alone for two minutes at least.")
	for _, p := range l.Points {
		off, _ := pair(float64(p.Error), 2*float64(r.Resolution))
		say(math.Abs(float64(p.Error)) > 2*float64(mass.MaximumError(r.Resolution, p.Mass))+k95*float64(p.UError),
			"With "+p.Weight.Name()+" the scale is off by "+off+" g, beyond what a class II balance in service may be. Adjust it as its manual says and check again; if a second weight doesn’t agree, the weight may be the wrong one.")
		say(float64(p.U) > float64(r.Resolution)/3, "The weight "+p.Weight.Name()+" is known too coarsely for this scale: its uncertainty is more than a third of a step (common practice). A finer class would help.")
		limit, inTable := Limit(p.Weight.Nominal, p.Weight.Class)
		say(inTable && p.Weight.Value != 0 && math.Abs(float64(p.Mass-p.Weight.Nominal)) > float64(limit), "By its certificate, "+p.Weight.Name()+" lies outside the limits of its class. The certificate’s value is used; have the weight looked at.")
	}
	spread := mass.MaximumError(r.Resolution, l.To)
	apart, _ := pair(float64(s.Range), 2*float64(r.Resolution))
	say(s.Measured && float64(s.Range) > float64(r.Resolution)*1.5 && s.Range > spread,
		"Readings of one weight lie "+apart+" g apart, more than a class II balance may show. Look for drafts, a soft or shaking table, a warm lamp, or a weight that isn’t put in the middle.")
	return all
}
