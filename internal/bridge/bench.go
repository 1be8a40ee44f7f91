package bridge

import (
	"errors"
	"math"
	"strconv"
	"strings"

	"panside/internal/bench"
	"panside/internal/fault"
	"panside/internal/json"
	"panside/internal/mass"
	"panside/internal/moment"
)

// checkIn is what "scale-check" takes: what was done and seen at a check of the
// scale. Displays are in unit, weights in grams.
type checkIn struct {
	Unit       text            `json:"unit"`       // default "g"
	Resolution text            `json:"resolution"` // default: the last digit of the first reading
	Weights    []checkWeightIn `json:"weights"`
	Readings   []placementIn   `json:"readings"`
	OffCentre  []placementIn   `json:"off_centre"`
	Untouched  []momentIn      `json:"untouched"`
	// Taken and Now are ms since 1970. With Now the answer says whether the check
	// is old.
	Taken          text `json:"taken"`
	Temperature    text `json:"temperature_c"`
	Place          text `json:"place"`
	Now            text `json:"now"`
	NowTemperature text `json:"now_temperature_c"`
	NowPlace       text `json:"now_place"`
}

type checkWeightIn struct {
	Nominal text `json:"nominal_g"`
	Class   text `json:"class"`
	Value   text `json:"value_g"`
	U       text `json:"u_g"`
	// Expanded is the expanded uncertainty with k = 2, as certificates give it
	// (OIML R 111-1:2004, 5.2); half of it is u_g, which is then left out.
	Expanded text `json:"expanded_g"`
	Density  text `json:"density"` // g/cm³; value_g is then no conventional mass
}

type placementIn struct {
	Weight text `json:"weight"` // index in weights; default 0
	Shown  text `json:"shown"`
	Zero   text `json:"zero"` // default 0
}

type momentIn struct {
	After text `json:"after_s"`
	Shown text `json:"shown"`
}

var (
	checkFields = []string{
		"unit", "resolution", "weights", "readings", "off_centre", "untouched",
		"taken", "temperature_c", "place", "now", "now_temperature_c", "now_place",
	}
	checkListFields = map[string][]string{
		"weights":    {"nominal_g", "class", "value_g", "u_g", "expanded_g", "density"},
		"readings":   {"weight", "shown", "zero"},
		"off_centre": {"weight", "shown", "zero"},
		"untouched":  {"after_s", "shown"},
	}
)

// checkOut is the scale's own truth. Errors of the scale and uncertainties are
// in grams; u is always a standard uncertainty.
type checkOut struct {
	Resolution    float64          `json:"resolution_g"`
	Assumed       bool             `json:"assumed"` // something still is, even up to the heaviest weight
	Repeatability repeatabilityOut `json:"repeatability"`
	Calibration   calibrationOut   `json:"calibration"`
	Drift         driftOut         `json:"drift"`
	Reach         []reachOut       `json:"reach"`
	Findings      []string         `json:"findings"`
	Advice        []string         `json:"advice"`
	NoCoin        string           `json:"no_coin"` // why a coin is no check weight
	Taken         *int64           `json:"taken"`
	Temperature   *float64         `json:"temperature_c"`
	Place         string           `json:"place"`
	Age           *ageOut          `json:"age"` // null without now
}

type repeatabilityOut struct {
	Measured   bool    `json:"measured"`
	Placements int     `json:"placements"`
	Free       int     `json:"free"` // degrees of freedom
	S          float64 `json:"s_g"`
	Low        float64 `json:"low_g"` // 95 %
	High       float64 `json:"high_g"`
	Used       float64 `json:"used_g"` // what stands in u
}

type calibrationOut struct {
	Measured     bool       `json:"measured"`
	Slope        float64    `json:"slope"` // relative error of what the scale shows
	USlope       float64    `json:"u_slope"`
	Linearity    float64    `json:"linearity_g"`
	Eccentricity float64    `json:"eccentricity"` // relative
	Straight     bool       `json:"straight"`
	To           float64    `json:"to_g"` // heaviest check weight
	Points       []pointOut `json:"points"`
}

type pointOut struct {
	Name       string  `json:"name"`
	Mass       float64 `json:"mass_g"`
	U          float64 `json:"u_g"`
	Mean       float64 `json:"mean_g"`
	Error      float64 `json:"error_g"`
	UError     float64 `json:"u_error_g"`
	Residual   float64 `json:"residual_g"`
	Placements int     `json:"placements"`
}

type driftOut struct {
	Measured bool    `json:"measured"`
	Seconds  float64 `json:"seconds"`
	PerHour  float64 `json:"g_per_hour"`
	U        float64 `json:"u_g_per_hour"`
	Used     float64 `json:"used_g"` // what stands in u
}

type reachOut struct {
	Load       float64 `json:"load_g"`
	U          float64 `json:"u_g"`
	Before     float64 `json:"before_u_g"` // what would be assumed without the check
	Correction float64 `json:"correction_g"`
	Assumed    bool    `json:"assumed"`
}

type ageOut struct {
	Days    int      `json:"days"`
	Old     bool     `json:"old"`
	Reasons []string `json:"reasons"`
}

// callCheck answers "scale-check". Errors: fault.BadInput, fault.BadNumber,
// fault.UnknownUnit, fault.RefusedUnit, each with its field.
func callCheck(in []byte) (any, error) {
	j, record, err := readCheck(in)
	if err != nil {
		return nil, err
	}
	r, err := evaluated(record)
	if err != nil {
		return nil, err
	}
	out := checkOutOf(r)
	if j.Now == "" {
		return out, nil
	}
	now, err := readMoment("now", j.Now)
	if err != nil {
		return nil, err
	}
	temperature := math.NaN()
	if err := number("now_temperature_c", j.NowTemperature, &temperature); err != nil {
		return nil, err
	}
	a := r.Age(now, temperature, string(j.NowPlace))
	out.Age = &ageOut{Days: a.Days, Old: len(a.Reasons) > 0, Reasons: list(a.Reasons)}
	return out, nil
}

// ScaleCheck evaluates the question of "scale-check" for those who go on with
// the result in Go. Errors as in the answer.
func ScaleCheck(in []byte) (bench.Result, error) {
	_, record, err := readCheck(in)
	if err != nil {
		return bench.Result{}, err
	}
	return evaluated(record)
}

func evaluated(record bench.Record) (bench.Result, error) {
	r, err := bench.Evaluate(record)
	var input *bench.InputError
	if errors.As(err, &input) {
		err = bad(input.Field, input.Fault.Code, input.Fault.Sentence)
	}
	return r, err
}

func checkOutOf(r bench.Result) checkOut {
	out := checkOut{
		Resolution: float64(r.Resolution),
		Assumed:    !r.Proven(),
		Repeatability: repeatabilityOut{
			Measured: r.Spread.Measured, Placements: r.Spread.Placements, Free: r.Spread.Free,
			S: float64(r.Spread.S), Low: float64(r.Spread.Low), High: float64(r.Spread.High), Used: float64(r.Spread.Used),
		},
		Calibration: calibrationOut{
			Measured: r.Line.Measured, Slope: r.Line.Slope, USlope: r.Line.USlope, Linearity: float64(r.Line.Linearity),
			Eccentricity: r.Eccentricity, Straight: r.Line.Straight, To: float64(r.Line.To), Points: []pointOut{},
		},
		Drift: driftOut{
			Measured: r.Drift.Measured, Seconds: r.Drift.Seconds,
			PerHour: float64(r.Drift.PerHour), U: float64(r.Drift.U), Used: float64(r.Drift.Used),
		},
		Findings: list(r.Findings()), Advice: list(r.Advice()), NoCoin: bench.NotANickel, Place: r.Place,
	}
	for _, p := range r.Line.Points {
		out.Calibration.Points = append(out.Calibration.Points, pointOut{
			Name: p.Weight.Name(), Mass: float64(p.Mass), U: float64(p.U), Mean: float64(p.Mean), Error: float64(p.Error),
			UError: float64(p.UError), Residual: float64(p.Residual), Placements: p.Placements,
		})
	}
	for _, a := range r.Reach() {
		out.Reach = append(out.Reach, reachOut{float64(a.Load), float64(a.U), float64(a.Before), float64(a.Correction), a.Assumed})
	}
	if !r.Taken.IsZero() {
		ms := r.Taken.UnixMilli()
		out.Taken = &ms
	}
	if !math.IsNaN(r.Temperature) {
		out.Temperature = &r.Temperature
	}
	return out
}

// list is never null on the wire.
func list(all []string) []string {
	if all == nil {
		return []string{}
	}
	return all
}

// readCheck turns the JSON into a record.
func readCheck(in []byte) (checkIn, bench.Record, error) {
	var j checkIn
	r := bench.Record{Temperature: math.NaN()}
	if err := knownCheckFields(in); err != nil {
		return j, r, err
	}
	if err := json.Unmarshal(in, &j); err != nil {
		return j, r, bad("", fault.BadInput, "The question is not a plain JSON object with lists of objects. Nothing was computed; check quotes and commas.")
	}
	unit := mass.Gram
	if j.Unit != "" {
		u, err := mass.ParseUnit(string(j.Unit))
		if err != nil {
			return j, r, inField("unit", err)
		}
		unit = u
	}
	for _, step := range []func(*checkIn, *bench.Record, mass.Unit) error{readCheckWeights, readCheckDisplays, readCheckDay} {
		if err := step(&j, &r, unit); err != nil {
			return j, r, err
		}
	}
	return j, r, nil
}

// knownCheckFields refuses misspelt fields in the question and in its lists.
func knownCheckFields(in []byte) error {
	if err := knownFields(in, "", checkFields); err != nil {
		return err
	}
	var lists map[string]json.RawMessage
	if err := json.Unmarshal(in, &lists); err != nil {
		return err
	}
	for name, fields := range checkListFields {
		var items []json.RawMessage
		if raw, ok := lists[name]; ok && json.Unmarshal(raw, &items) != nil {
			return bad(name, fault.BadInput, "“"+name+"” must be a list of objects. Nothing was computed; check brackets and commas.")
		}
		for i, raw := range items {
			if err := knownFields(raw, name+"."+strconv.Itoa(i)+".", fields); err != nil {
				return err
			}
		}
	}
	return nil
}

func readCheckWeights(j *checkIn, r *bench.Record, _ mass.Unit) error {
	for i, w := range j.Weights {
		field := "weights." + strconv.Itoa(i) + "."
		var nominal, value, u, expanded, density float64
		for _, f := range []struct {
			name string
			text text
			into *float64
		}{{"nominal_g", w.Nominal, &nominal}, {"value_g", w.Value, &value}, {"u_g", w.U, &u}, {"expanded_g", w.Expanded, &expanded}, {"density", w.Density, &density}} {
			if err := number(field+f.name, f.text, f.into); err != nil {
				return err
			}
		}
		if w.U == "" {
			u = expanded / 2
		}
		class, err := readClass(field+"class", w.Class)
		if err != nil {
			return err
		}
		r.Weights = append(r.Weights, bench.Weight{
			Nominal: mass.Grams(nominal), Class: class, Value: mass.Grams(value), U: mass.Grams(u), Density: density,
		})
	}
	return nil
}

// readClass reads an accuracy class; what names a coin hears why it is none.
func readClass(field string, t text) (bench.Class, error) {
	switch word(t) {
	case "coin", "nickel", "five-cent", "cent", "penny", "dime", "quarter", "half", "dollar":
		return "", bad(field, fault.BadInput, bench.NotANickel+" Nothing was computed.")
	case notPlain:
		return "", bad(field, fault.BadInput, "A weight's class must be one of E2, F1, F2 and M1. Nothing was computed; leave it out if it isn't known.")
	}
	return bench.Class(strings.ToUpper(quoteable(string(t)))), nil
}

// readCheckDisplays reads what the scale showed.
func readCheckDisplays(j *checkIn, r *bench.Record, unit mass.Unit) error {
	grams := func(field string, t text) (mass.Grams, error) {
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
	if j.Resolution == "" && len(j.Readings) > 0 {
		first, err := mass.ParseDecimal(string(j.Readings[0].Shown))
		if err != nil {
			return inField("readings.0.shown", err)
		}
		j.Resolution = text(first.Step().String())
	}
	var err error
	if len(j.Readings) > 0 {
		if r.Resolution, err = grams("resolution", j.Resolution); err != nil {
			return err
		}
	}
	for _, l := range []struct {
		name string
		from []placementIn
		into *[]bench.Placement
	}{{"readings", j.Readings, &r.Placements}, {"off_centre", j.OffCentre, &r.OffCentre}} {
		for i, p := range l.from {
			field := l.name + "." + strconv.Itoa(i) + "."
			var out bench.Placement
			if p.Weight != "" {
				if out.Weight, err = strconv.Atoi(string(p.Weight)); err != nil {
					return bad(field+"weight", fault.BadInput, "A reading's weight must be its number in the list; the first has number 0. Nothing was computed.")
				}
			}
			if out.Shown, err = grams(field+"shown", p.Shown); err != nil {
				return err
			}
			if p.Zero != "" {
				if out.Zero, err = grams(field+"zero", p.Zero); err != nil {
					return err
				}
			}
			*l.into = append(*l.into, out)
		}
	}
	for i, m := range j.Untouched {
		field := "untouched." + strconv.Itoa(i) + "."
		var out bench.Moment
		if err := number(field+"after_s", m.After, &out.After); err != nil {
			return err
		}
		if out.Shown, err = grams(field+"shown", m.Shown); err != nil {
			return err
		}
		r.Untouched = append(r.Untouched, out)
	}
	return nil
}

// longestPlace is how long the name of a place may be, in bytes.
const longestPlace = 100

// readCheckDay reads when and where it was.
func readCheckDay(j *checkIn, r *bench.Record, _ mass.Unit) error {
	if j.Taken != "" {
		var err error
		if r.Taken, err = readMoment("taken", j.Taken); err != nil {
			return err
		}
	}
	if err := number("temperature_c", j.Temperature, &r.Temperature); err != nil {
		return err
	}
	if j.Place == notPlain || len(j.Place) > longestPlace {
		return bad("place", fault.BadInput, "The place must be a word or two. Nothing was computed; write it like kitchen.")
	}
	r.Place = string(j.Place)
	return nil
}

// readMoment reads a time in ms since 1970.
func readMoment(field string, t text) (moment.Time, error) {
	var ms float64
	if err := number(field, t, &ms); err != nil {
		return moment.Time{}, err
	}
	if !(ms > 0 && ms < 1e14) {
		return moment.Time{}, bad(field, fault.BadInput, "A time must be in milliseconds since 1970. Nothing was computed; leave it out if it isn't known.")
	}
	return moment.UnixMilli(int64(ms)).UTC(), nil
}
