package calibration

import (
	"slices"
	"strconv"

	"panside/internal/plain"
)

// Stage is a part of a check.
type Stage string

// The stages. From Further the person chooses among the last three.
const (
	Kit     Stage = "kit"     // the weights are named
	Middle  Stage = "middle"  // each is weighed in the middle of the pan
	Further Stage = "further" // what else may be measured
	Edges   Stage = "edges"   // the heaviest weight is weighed near the edges
	Alone   Stage = "alone"   // the scale is left alone with it, to see its drift
	Found   Stage = "result"  // the result is shown
)

// Draft is a check under way, as far as it outlives a pause.
type Draft struct {
	At    Stage     `json:"at"`
	Times int       `json:"times"` // how often each weight is put on, 1 to 50
	Scale ScaleName `json:"scale"` // of the first reading; zero before and for typed ones
	Sheet
}

// ScaleName is a scale as the live stream names it.
type ScaleName struct {
	Name   string `json:"name"`
	Format string `json:"format"`
}

// Mend makes a state that came from outside one that a guide can be in.
func (g *Guide) Mend() {
	d := &g.Draft
	if d.Times < 1 || d.Times > maxTimes {
		d.Times = usualTimes
	}
	if !slices.Contains([]Stage{Kit, Middle, Further, Edges, Alone, Found}, d.At) || len(d.Weights) == 0 {
		d.At, d.Readings, d.OffCentre, d.Untouched = Kit, nil, nil, nil
	}
	stranger := func(s SheetShown) bool { i := s.index(); return i < 0 || i >= len(d.Weights) }
	d.Readings = slices.DeleteFunc(d.Readings, stranger)
	d.OffCentre = slices.DeleteFunc(d.OffCentre, stranger)
	if g.pace == (Pace{}) {
		g.pace = UsualPace
	}
}

// index is the weight's, -1 if it is none.
func (s SheetShown) index() int {
	if s.Weight == "" {
		return 0
	}
	i, err := strconv.Atoi(string(s.Weight))
	if err != nil {
		return -1
	}
	return i
}

// Check is the sheet of what was weighed so far, as it is kept: without the weights
// that weren't.
func (d Draft) Check() Sheet {
	s := d.Sheet
	s.Weights, s.Readings, s.OffCentre = []SheetWeight{}, []SheetShown{}, nil
	number := make([]int, len(d.Weights))
	for i, w := range d.Weights {
		number[i] = len(s.Weights)
		if count(d.Readings, i) > 0 {
			s.Weights = append(s.Weights, w)
		}
	}
	renumber := func(to, from []SheetShown) []SheetShown {
		for _, r := range from {
			r.Weight = plain.Text(strconv.Itoa(number[r.index()]))
			to = append(to, r)
		}
		return to
	}
	s.Readings, s.OffCentre = renumber(s.Readings, d.Readings), renumber(s.OffCentre, d.OffCentre)
	if len(s.Untouched) < 2 {
		s.Untouched = nil
	}
	return s
}

func count(of []SheetShown, weight int) int {
	n := 0
	for _, r := range of {
		if r.index() == weight {
			n++
		}
	}
	return n
}

// next is one placement to come.
type next struct {
	weight, nth, of int
	edge            Edge
}

// next is the placement that comes next; false if this stage is through.
func (d *Draft) next() (next, bool) {
	switch d.At {
	case Middle:
		for i := range d.Weights {
			if n := count(d.Readings, i); n < d.Times {
				return next{weight: i, nth: n + 1, of: d.Times}, true
			}
		}
	case Edges:
		if n := len(d.OffCentre); n < len(Sides) {
			return next{weight: d.heaviest(), nth: n + 1, of: len(Sides), edge: Sides[n]}, true
		}
	}
	return next{}, false
}

// heaviest is the weight for the edges, and for the scale left alone: what pulls
// hardest shows most.
func (d *Draft) heaviest() int {
	best, most := 0, 0.0
	for i, w := range d.Weights {
		marked := w.Nominal
		if marked == "" {
			marked = w.Value
		}
		if g, err := strconv.ParseFloat(string(marked), 64); err == nil && g > most {
			best, most = i, g
		}
	}
	return best
}
