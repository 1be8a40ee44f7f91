package calibration

import (
	"math"
	"strconv"
	"strings"

	"panside/internal/fault"
	"panside/internal/mass"
	"panside/internal/moment"
	"panside/internal/plain"
	"panside/internal/say"
)

// Sheet is a check as it is written down: what was named, and the digits that the
// scale showed, so that nothing is lost to binary fractions. As JSON it is the
// question of "scale-check" and what is stored. Displays are in Unit, weights in
// grams.
type Sheet struct {
	Unit       plain.Text    `json:"unit,omitempty"`       // default "g"
	Resolution plain.Text    `json:"resolution,omitempty"` // default: the last digit of the first reading
	Weights    []SheetWeight `json:"weights"`
	Readings   []SheetShown  `json:"readings"`
	OffCentre  []SheetShown  `json:"off_centre,omitempty"`
	Untouched  []SheetMoment `json:"untouched,omitempty"`

	Taken       plain.Text `json:"taken,omitempty"` // ms since 1970
	Temperature plain.Text `json:"temperature_c,omitempty"`
	Place       plain.Text `json:"place,omitempty"`
}

// SheetWeight is a Weight as written. With neither class nor value it is some
// object.
type SheetWeight struct {
	Nominal plain.Text `json:"nominal_g,omitempty"`
	Class   plain.Text `json:"class,omitempty"`
	Value   plain.Text `json:"value_g,omitempty"`
	U       plain.Text `json:"u_g,omitempty"`
	// Expanded is the expanded uncertainty with k = 2, as certificates give it
	// (OIML R 111-1:2004, 5.2); half of it is u_g, which is then left out.
	Expanded plain.Text `json:"expanded_g,omitempty"`
	Density  plain.Text `json:"density,omitempty"` // g/cm³; value_g is then no conventional mass
}

// SheetShown is a Placement as written.
type SheetShown struct {
	Weight plain.Text `json:"weight,omitempty"` // index in Weights; default 0
	Shown  plain.Text `json:"shown"`
	Zero   plain.Text `json:"zero,omitempty"` // default 0
}

// SheetMoment is a Moment as written.
type SheetMoment struct {
	After plain.Text `json:"after_s"`
	Shown plain.Text `json:"shown"`
}

// SheetFields are the names of a sheet's values, and SheetLists those in its
// lists, for those who refuse misspelt ones.
var (
	SheetFields = []string{"unit", "resolution", "weights", "readings", "off_centre", "untouched", "taken", "temperature_c", "place"}
	SheetLists  = []struct {
		Name   string
		Fields []string
	}{
		{"weights", []string{"nominal_g", "class", "value_g", "u_g", "expanded_g", "density"}},
		{"readings", []string{"weight", "shown", "zero"}},
		{"off_centre", []string{"weight", "shown", "zero"}},
		{"untouched", []string{"after_s", "shown"}},
	}
)

// Evaluate reads the sheet and computes its result. Errors are *fault.Field:
// fault.BadInput, fault.BadNumber, fault.UnknownUnit, fault.RefusedUnit.
func (s Sheet) Evaluate() (Result, error) {
	r, err := s.Record()
	if err != nil {
		return Result{}, err
	}
	return Evaluate(r)
}

// Record reads the sheet. Errors as of Evaluate, for what can't be read; whether
// it can be right is Evaluate's to say.
func (s Sheet) Record() (Record, error) {
	r := Record{Temperature: math.NaN()}
	unit, err := s.unit()
	if err != nil {
		return r, err
	}
	for _, read := range []func(*Record, mass.Unit) error{s.readWeights, s.readDisplays, s.readDay} {
		if err := read(&r, unit); err != nil {
			return r, err
		}
	}
	return r, nil
}

func (s Sheet) unit() (mass.Unit, error) {
	if s.Unit == "" {
		return mass.Gram, nil
	}
	u, err := mass.ParseUnit(string(s.Unit))
	if err != nil {
		return "", inField("unit", err)
	}
	return u, nil
}

func inField(field string, err error) error {
	return &fault.Field{Name: field, Fault: fault.Of(err)}
}

func (s Sheet) readWeights(r *Record, _ mass.Unit) error {
	for i, w := range s.Weights {
		read, err := w.weight("weights." + strconv.Itoa(i) + ".")
		if err != nil {
			return err
		}
		r.Weights = append(r.Weights, read)
	}
	return nil
}

func (w SheetWeight) weight(field string) (Weight, error) {
	var nominal, value, u, expanded, density float64
	for _, f := range []struct {
		name string
		text plain.Text
		into *float64
	}{{"nominal_g", w.Nominal, &nominal}, {"value_g", w.Value, &value}, {"u_g", w.U, &u}, {"expanded_g", w.Expanded, &expanded}, {"density", w.Density, &density}} {
		if err := plain.Number(field+f.name, f.text, f.into); err != nil {
			return Weight{}, err
		}
	}
	if w.U == "" {
		u = expanded / 2
	}
	class, err := readClass(field+"class", w.Class)
	if err != nil {
		return Weight{}, err
	}
	return Weight{Nominal: mass.Grams(nominal), Class: class, Value: mass.Grams(value), U: mass.Grams(u), Density: density}, nil
}

// readClass reads an accuracy class; what names a coin hears why it is none.
func readClass(field string, t plain.Text) (Class, error) {
	switch plain.Word(t) {
	case "coin", "nickel", "five-cent", "cent", "penny", "dime", "quarter", "half", "dollar":
		return "", refuse(field, say.New("check-coin"))
	case string(plain.Not):
		return "", fault.InField(field, fault.BadInput, say.New("check-class-not-a-word"))
	}
	return Class(strings.ToUpper(plain.Quotable(string(t)))), nil
}

// grams reads a display.
func grams(field string, t plain.Text, unit mass.Unit) (mass.Grams, error) {
	d, err := mass.ParseDecimal(string(t))
	if err != nil {
		return 0, inField(field, err)
	}
	g, err := mass.Quantity{Value: d, Unit: unit}.Grams()
	if err != nil {
		return 0, inField(field, err)
	}
	return mass.Grams(g.Float64()), nil
}

func (s Sheet) readDisplays(r *Record, unit mass.Unit) error {
	var err error
	if len(s.Readings) > 0 {
		step := s.Resolution
		if step == "" {
			first, err := mass.ParseDecimal(string(s.Readings[0].Shown))
			if err != nil {
				return inField("readings.0.shown", err)
			}
			step = plain.Text(first.Step().String())
		}
		if r.Resolution, err = grams("resolution", step, unit); err != nil {
			return err
		}
	}
	if r.Placements, err = readPlacements("readings", s.Readings, unit); err != nil {
		return err
	}
	if r.OffCentre, err = readPlacements("off_centre", s.OffCentre, unit); err != nil {
		return err
	}
	for i, m := range s.Untouched {
		field := "untouched." + strconv.Itoa(i) + "."
		var out Moment
		if err := plain.Number(field+"after_s", m.After, &out.After); err != nil {
			return err
		}
		if out.Shown, err = grams(field+"shown", m.Shown, unit); err != nil {
			return err
		}
		r.Untouched = append(r.Untouched, out)
	}
	return nil
}

func readPlacements(list string, from []SheetShown, unit mass.Unit) ([]Placement, error) {
	var all []Placement
	for i, p := range from {
		field := list + "." + strconv.Itoa(i) + "."
		var out Placement
		var err error
		if p.Weight != "" {
			if out.Weight, err = strconv.Atoi(string(p.Weight)); err != nil {
				return nil, refuse(field+"weight", say.New("check-weight-not-a-number"))
			}
		}
		if out.Shown, err = grams(field+"shown", p.Shown, unit); err != nil {
			return nil, err
		}
		if p.Zero != "" {
			if out.Zero, err = grams(field+"zero", p.Zero, unit); err != nil {
				return nil, err
			}
		}
		all = append(all, out)
	}
	return all, nil
}

// longestPlace is how long the name of a place may be, in bytes.
const longestPlace = 100

// readDay reads when and where it was.
func (s Sheet) readDay(r *Record, _ mass.Unit) error {
	if s.Taken != "" {
		var err error
		if r.Taken, err = ReadTime("taken", s.Taken); err != nil {
			return err
		}
	}
	if err := plain.Number("temperature_c", s.Temperature, &r.Temperature); err != nil {
		return err
	}
	if s.Place == plain.Not || len(s.Place) > longestPlace {
		return fault.InField("place", fault.BadInput, say.New("check-place-too-long"))
	}
	r.Place = string(s.Place)
	return nil
}

// ReadTime reads a time in ms since 1970. Errors are *fault.Field.
func ReadTime(field string, t plain.Text) (moment.Time, error) {
	var ms float64
	if err := plain.Number(field, t, &ms); err != nil {
		return moment.Time{}, err
	}
	if !(ms > 0 && ms < 1e14) {
		return moment.Time{}, fault.InField(field, fault.BadInput, say.New("check-time-unreadable"))
	}
	return moment.UnixMilli(int64(ms)).UTC(), nil
}
