package calibration

import (
	"cmp"
	"math"
	"slices"
	"strconv"

	"panside/internal/fault"
	"panside/internal/mass"
	"panside/internal/moment"
	"panside/internal/say"
	"panside/internal/stable"
)

// Placement is one weighing of a weight: it was put on, the display came to
// rest, it was taken off again.
type Placement struct {
	Weight int        // index in Record.Weights
	Shown  mass.Grams // with the weight
	Zero   mass.Grams // without it, just before
}

// Moment is what an untouched scale shows at one time.
type Moment struct {
	After float64 // seconds since the first
	Shown mass.Grams
}

// Record is what was done and seen at a check.
type Record struct {
	Resolution mass.Grams // step d of the display
	Weights    []Weight
	Placements []Placement // at the middle of the pan
	OffCentre  []Placement // half way to the pan's edge; may be none
	Untouched  []Moment    // with nothing or one thing lying still; may be none

	Taken       moment.Time // zero if not noted
	Temperature float64     // °C, NaN if not noted
	Place       string      // "" if not noted
}

func refuse(field string, what say.Line) error {
	return &fault.Field{Name: field, Fault: fault.WithEnding(fault.BadInput, what, say.New("ending-nothing-computed"))}
}

// Bounds of what is taken.
const (
	maxWeights    = 10
	maxPlacements = 500
	maxMoments    = 1000

	// farOff is how far a display may lie from the weight's mass, as a share of
	// it; farSteps the least such distance, in steps. Beyond, it is another
	// weight or a finger, or a scale that must be adjusted first.
	farOff   = 0.05
	farSteps = 20
	// strays is how many steps displays of one weight, or of an untouched pan,
	// may lie apart.
	strays = 50
	// exactly lets a distance of just so many steps pass in any unit: decimal
	// steps are rounded in binary.
	exactly = 1 + 1e-9
	// secondsMost bounds the time of an untouched pan: a day.
	secondsMost = 24 * 3600
)

// check refuses what can't be right. Errors are *fault.Field with
// fault.BadInput and name the value.
func (r *Record) check() error {
	switch {
	case len(r.Weights) == 0:
		return refuse("weights", say.New("check-no-weight"))
	case len(r.Weights) > maxWeights:
		return refuse("weights", say.New("check-too-many-weights", say.Count("given", len(r.Weights)), say.Count("most", maxWeights)))
	case len(r.Placements) == 0:
		return refuse("readings", say.New("check-no-reading"))
	case len(r.Placements)+len(r.OffCentre) > maxPlacements:
		return refuse("readings", say.New("check-too-many-readings", say.Count("given", len(r.Placements)+len(r.OffCentre)), say.Count("most", maxPlacements)))
	case len(r.Untouched) > maxMoments:
		return refuse("untouched", say.New("check-too-many-untouched", say.Count("given", len(r.Untouched)), say.Count("most", maxMoments)))
	}
	if d := float64(r.Resolution); !(d >= 1e-6 && d <= 10) {
		return refuse("resolution", say.New("check-step", say.Figure("step", written(d)), say.Figure("least", "0.000001"), say.Count("most", 10)))
	}
	if !math.IsNaN(r.Temperature) && !(r.Temperature >= -40 && r.Temperature <= 60) {
		return refuse("temperature_c", say.New("check-temperature", say.Figure("given", written(r.Temperature))))
	}
	for i, w := range r.Weights {
		if err := w.check("weights." + strconv.Itoa(i)); err != nil {
			return err
		}
	}
	if err := r.checkPlacements(); err != nil {
		return err
	}
	return r.checkUntouched()
}

func (w Weight) check(field string) error {
	nominal, value, u := float64(w.Nominal), float64(w.Value), float64(w.U)
	switch {
	case !(nominal >= 0 && nominal <= 50_000):
		return refuse(field+".nominal_g", say.New("check-nominal", say.Figure("given", written(nominal))))
	case w.Class != "" && !slices.Contains(Classes, w.Class):
		return refuse(field+".class", say.New("check-class-unknown", say.Text("given", string(w.Class))))
	case value == 0 && (u != 0 || w.Density != 0):
		return refuse(field+".value_g", say.New("check-value-missing"))
	case value == 0 && w.Class == "":
		return nil // some object
	case value == 0:
		if _, ok := Limit(w.Nominal, w.Class); !ok {
			return refuse(field+".nominal_g", say.New("check-limit-unknown", say.Figure("given", written(nominal))))
		}
		return nil
	case !(value > 0 && value <= 50_000):
		return refuse(field+".value_g", say.New("check-value", say.Figure("given", written(value))))
	case nominal != 0 && math.Abs(value/nominal-1) > 0.01:
		return refuse(field+".value_g", say.New("check-value-off", say.Figure("given", written(value)), say.Figure("nominal", written(nominal))))
	case !(u > 0 && u <= 0.01*value):
		return refuse(field+".u_g", say.New("check-uncertainty", say.Figure("given", written(u)), say.Figure("value", written(value))))
	case w.Density != 0 && !(w.Density >= 1 && w.Density <= 23):
		return refuse(field+".density", say.New("check-density", say.Figure("given", written(w.Density))))
	}
	return nil
}

func (r *Record) checkPlacements() error {
	for k, list := range [][]Placement{r.Placements, r.OffCentre} {
		name := [2]string{"readings", "off_centre"}[k]
		for i, p := range list {
			field := name + "." + strconv.Itoa(i)
			if p.Weight < 0 || p.Weight >= len(r.Weights) {
				return refuse(field+".weight", say.New("check-weight-not-listed", say.Count("number", p.Weight)))
			}
			for _, v := range []struct {
				name string
				g    mass.Grams
			}{{"shown", p.Shown}, {"zero", p.Zero}} {
				if !r.isStep(v.g) {
					return refuse(field+"."+v.name, say.New("check-no-step", say.Figure("given", written(float64(v.g))), say.Figure("step", written(float64(r.Resolution)))))
				}
			}
			if math.Abs(float64(p.Zero)) > strays*float64(r.Resolution)*exactly {
				return refuse(field+".zero", say.New("check-zero", say.Figure("given", written(float64(p.Zero)))))
			}
		}
	}
	for j, w := range r.Weights {
		net := r.nets(j, r.Placements)
		if len(net) == 0 {
			return refuse("readings", say.New("check-weight-unread", say.Count("number", j), say.Of("weight", w.named())))
		}
		if err := r.checkNets(j, median(net)); err != nil {
			return err
		}
	}
	return nil
}

// checkNets refuses displays of weight j that are far from its mass, and then
// those far from the middle of them all.
func (r *Record) checkNets(j int, middle float64) error {
	d := float64(r.Resolution)
	w := r.Weights[j]
	known, _ := w.Mass()
	m := float64(known)
	if !w.Known() {
		m = middle
	}
	err := r.each(j, func(field string, p Placement) error {
		switch net := p.net(); {
		case net <= 0:
			return refuse(field, say.New("check-shows-nothing", say.Figure("given", written(float64(p.Shown))), say.Of("weight", w.named())))
		case math.Abs(net-m) > math.Max(farOff*m, farSteps*d)*exactly:
			return refuse(field, say.New("check-far-off", say.Figure("given", written(float64(p.Shown))), say.Of("weight", w.named())))
		}
		return nil
	})
	if err != nil {
		return err
	}
	return r.each(j, func(field string, p Placement) error {
		if math.Abs(p.net()-middle) > strays*d*exactly {
			return refuse(field, say.New("check-stray", say.Figure("given", written(float64(p.Shown))), say.Count("steps", strays), say.Of("weight", w.named())))
		}
		return nil
	})
}

// each looks at every placement of weight j, by the field of its display.
func (r *Record) each(j int, look func(field string, p Placement) error) error {
	for k, list := range [][]Placement{r.Placements, r.OffCentre} {
		name := [2]string{"readings", "off_centre"}[k]
		for i, p := range list {
			if p.Weight != j {
				continue
			}
			if err := look(name+"."+strconv.Itoa(i)+".shown", p); err != nil {
				return err
			}
		}
	}
	return nil
}

func (r *Record) checkUntouched() error {
	last := math.Inf(-1)
	for i, m := range r.Untouched {
		field := "untouched." + strconv.Itoa(i)
		switch {
		case !(m.After >= 0 && m.After <= secondsMost):
			return refuse(field+".after_s", say.New("check-after", say.Figure("given", written(m.After))))
		case !(m.After > last):
			return refuse(field+".after_s", say.New("check-not-later", say.Figure("given", written(m.After))))
		case !r.isStep(m.Shown):
			return refuse(field+".shown", say.New("check-no-step", say.Figure("given", written(float64(m.Shown))), say.Figure("step", written(float64(r.Resolution)))))
		case math.Abs(float64(m.Shown-r.Untouched[0].Shown)) > strays*float64(r.Resolution)*exactly:
			return refuse(field+".shown", say.New("check-touched", say.Figure("given", written(float64(m.Shown))), say.Figure("before", written(float64(r.Untouched[0].Shown)))))
		}
		last = m.After
	}
	return nil
}

// isStep reports whether the display can show g.
func (r *Record) isStep(g mass.Grams) bool {
	steps := float64(g / r.Resolution)
	return math.Abs(steps) < 1e9 && math.Abs(steps-math.Round(steps)) < 1e-3
}

// net is the weighing by difference, in grams.
func (p Placement) net() float64 { return float64(p.Shown - p.Zero) }

// nets are the weighings of weight j.
func (r *Record) nets(j int, of []Placement) []float64 {
	var all []float64
	for _, p := range of {
		if p.Weight == j {
			all = append(all, p.net())
		}
	}
	return all
}

func mean(xs []float64) float64 {
	sum := 0.0
	for _, x := range xs {
		sum += x
	}
	return sum / float64(len(xs))
}

func median(xs []float64) float64 {
	s := slices.Clone(xs)
	stable.Sort(s, cmp.Compare)
	n := len(s)
	return (s[(n-1)/2] + s[n/2]) / 2
}
