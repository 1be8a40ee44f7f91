package bridge

import (
	"math"
	"slices"
	"strconv"

	"panside/internal/calibration"
	"panside/internal/fault"
	"panside/internal/json"
	"panside/internal/mass"
	"panside/internal/moment"
	"panside/internal/say"
)

// checkIn is what "scale-check" takes: what was done and seen at a check of the
// scale. With Now the answer says whether the check is old.
type checkIn struct {
	calibration.Sheet
	Now            text `json:"now"` // ms since 1970
	NowTemperature text `json:"now_temperature_c"`
	NowPlace       text `json:"now_place"`
}

var checkFields = slices.Concat(calibration.SheetFields, []string{"now", "now_temperature_c", "now_place"})

// checkOut is how the scale errs. Errors of the scale and uncertainties are in
// grams; u is always a standard uncertainty.
type checkOut struct {
	Resolution    mass.Grams          `json:"resolution_g"`
	Assumed       bool                `json:"assumed"` // something still is, even up to the heaviest weight
	Repeatability calibration.Spread  `json:"repeatability"`
	Calibration   fitOut              `json:"calibration"`
	Drift         calibration.Drift   `json:"drift"`
	ByLoad        []calibration.Worth `json:"by_load"`
	Findings      []string            `json:"findings"`
	Advice        []string            `json:"advice"`
	CoinWarning   string              `json:"coin_warning"` // why a coin is no check weight
	Taken         *int64              `json:"taken"`
	Temperature   *float64            `json:"temperature_c"`
	Place         string              `json:"place"`
	Age           *calibration.Age    `json:"age"` // null without now
}

type fitOut struct {
	calibration.Fit
	Eccentricity float64 `json:"eccentricity"` // relative
}

// callCheck answers "scale-check". Errors: fault.BadInput, fault.BadNumber,
// fault.UnknownUnit, fault.RefusedUnit, each with its field.
func callCheck(t *say.Tongue, in []byte) (any, error) {
	j, r, err := readCheck(in)
	if err != nil {
		return nil, err
	}
	if j.Now == "" {
		return checkOutOf(t, r), nil
	}
	now, err := calibration.ReadTime("now", j.Now)
	if err != nil {
		return nil, err
	}
	return aged(t, r, now, j.NowTemperature, string(j.NowPlace))
}

// aged is the answer with how old the result is.
func aged(tongue *say.Tongue, r calibration.Result, now moment.Time, temperature text, place string) (any, error) {
	t := math.NaN()
	if err := number("now_temperature_c", temperature, &t); err != nil {
		return nil, err
	}
	out, a := checkOutOf(tongue, r), r.Age(tongue, now, t, place)
	out.Age = &a
	return out, nil
}

// ScaleCheck evaluates the question of "scale-check" for those who go on with
// the result in Go. Errors as in the answer.
func ScaleCheck(in []byte) (calibration.Result, error) {
	_, r, err := readCheck(in)
	return r, err
}

// ScaleCheckAnswer is what "scale-check" answers about a result computed before,
// at a time; temperature is in °C as typed, it and place "" if not known. Errors
// are *fault.Field.
func ScaleCheckAnswer(t *say.Tongue, r calibration.Result, now moment.Time, temperature, place string) (json.RawMessage, error) {
	out, err := aged(t, r, now, text(temperature), place)
	if err != nil {
		return nil, err
	}
	return json.Marshal(out)
}

func checkOutOf(t *say.Tongue, r calibration.Result) checkOut {
	out := checkOut{
		Resolution: r.Resolution, Assumed: !r.Proven(),
		Repeatability: r.Spread, Calibration: fitOut{r.Fit, r.Eccentricity}, Drift: r.Drift,
		ByLoad: r.ByLoad(), Findings: writtenBy(t, r.Findings()), Advice: writtenBy(t, r.Advice()),
		CoinWarning: t.Write(calibration.CoinWarning()), Place: r.Place,
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

// writtenBy is never null on the wire.
func writtenBy(t *say.Tongue, lines []say.Line) []string {
	all := make([]string, len(lines))
	for i, l := range lines {
		all[i] = t.Write(l)
	}
	return all
}

// readCheck reads the question and evaluates it.
func readCheck(in []byte) (j checkIn, r calibration.Result, err error) {
	if err := knownCheckFields(in); err != nil {
		return j, r, err
	}
	if err := json.Unmarshal(in, &j); err != nil {
		return j, r, bad("", fault.BadInput, say.New("check-question-unreadable"))
	}
	r, err = j.Evaluate()
	return j, r, err
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
	for _, l := range calibration.SheetLists {
		var items []json.RawMessage
		if raw, ok := lists[l.Name]; ok && json.Unmarshal(raw, &items) != nil {
			return bad(l.Name, fault.BadInput, say.New("check-list", say.Text("list", l.Name)))
		}
		for i, raw := range items {
			if err := knownFields(raw, l.Name+"."+strconv.Itoa(i)+".", l.Fields); err != nil {
				return err
			}
		}
	}
	return nil
}
