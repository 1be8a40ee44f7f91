package bridge

import (
	"math"
	"os"
	"strings"
	"testing"
)

// aCheck is a scale of 0.01 g that shows 0.3 % too much: 50·1.003 = 50.15,
// 20·1.003 = 20.06.
const aCheck = `{
	"weights": [{"nominal_g":"50","class":"f2"}, {"nominal_g":20,"class":"M1"}],
	"readings": [{"shown":"50.15"},{"shown":"50.15"},{"shown":"50.15"},{"shown":"50.16","zero":"0.01"},{"weight":0,"shown":"50.15"},
		{"weight":1,"shown":"20.06"},{"weight":"1","shown":"20.06"}],
	"untouched": [{"after_s":0,"shown":"50.15"},{"after_s":300,"shown":"50.15"}],
	"taken": 1772388000000, "temperature_c": "21", "place": "kitchen"`

func TestScaleCheckFindsTheError(t *testing.T) {
	var got checkOut
	ask(t, "scale-check", aCheck+`,"now":1775325600000,"now_temperature_c":28,"now_place":"cellar"}`, &got)
	c := got.Calibration
	if !c.Measured || math.Abs(c.Slope-0.003) > 2*c.USlope || c.USlope > 0.0002 || !c.Linear || c.To != 50 {
		t.Errorf("%+v", c)
	}
	if got.Resolution != 0.01 || got.Assumed || got.Repeatability.Placements != 7 || !got.Drift.Measured || *got.Taken != 1772388000000 || *got.Temperature != 21 || got.Place != "kitchen" {
		t.Errorf("%+v", got)
	}
	for _, r := range got.ByLoad {
		if r.U >= r.Unchecked || math.Abs(float64(r.Correction+0.003*r.Load)) > 0.0002*float64(r.Load) {
			t.Errorf("%+v", r)
		}
	}
	// 34 days, 7 °C, and another place.
	if a := got.Age; a == nil || a.Days != 34 || !a.Old || len(a.Reasons) != 3 {
		t.Errorf("%+v", a)
	}
	if len(got.Findings) == 0 || !strings.Contains(got.CoinWarning, "5113") {
		t.Errorf("%+v", got)
	}
	r, err := ScaleCheck([]byte(aCheck + "}"))
	if err != nil || r.Fit.Slope != c.Slope {
		t.Errorf("in Go: %+v, %v", r, err)
	}
}

func TestScaleCheckConvertsUnits(t *testing.T) {
	var grams, carats checkOut
	ask(t, "scale-check", `{"weights":[{"nominal_g":10,"class":"F2"}],"readings":[{"shown":"10.010"},{"shown":"10.012"},{"shown":"10.010"},{"shown":"10.010"},{"shown":"10.010"}],"resolution":"0.002"}`, &grams)
	ask(t, "scale-check", `{"unit":"ct","weights":[{"nominal_g":10,"class":"F2"}],"readings":[{"shown":"50.05"},{"shown":"50.06"},{"shown":"50.05"},{"shown":"50.05"},{"shown":"50.05"}]}`, &carats)
	if math.Abs(grams.Calibration.Slope-carats.Calibration.Slope) > 1e-9 || carats.Resolution != 0.002 || math.Abs(float64(grams.Repeatability.S-carats.Repeatability.S)) > 1e-9 {
		t.Errorf("%+v\n%+v", grams, carats)
	}
	if grams.Age != nil || grams.Taken != nil || grams.Temperature != nil {
		t.Errorf("%+v", grams)
	}
}

// TestScaleCheckHalvesACertificate takes an expanded uncertainty, k = 2 (OIML R
// 111-1:2004, 5.2), for twice the standard one; u_g goes first.
func TestScaleCheckHalvesACertificate(t *testing.T) {
	const readings = `"readings":[{"shown":"20.01"},{"shown":"20.02"},{"shown":"20.01"},{"shown":"20.01"},{"shown":"20.01"}]}`
	u := func(given string) float64 {
		var got checkOut
		ask(t, "scale-check", `{"weights":[{"nominal_g":20,"value_g":"20.0012",`+given+`}],`+readings, &got)
		return float64(got.Calibration.Points[0].U)
	}
	for _, given := range []string{`"u_g":"0.0002"`, `"expanded_g":"0.0004"`, `"u_g":"0.0002","expanded_g":"9"`} {
		if got := u(given); math.Abs(got-0.0002) > 1e-12 {
			t.Errorf("%s: %g", given, got)
		}
	}
	if p := refusal(t, "scale-check", `{"weights":[{"nominal_g":20,"value_g":"20.0012","expanded_g":"x"}],`+readings); p.Field != "weights.0.expanded_g" {
		t.Errorf("%+v", p)
	}
}

func TestScaleCheckRefuses(t *testing.T) {
	for question, want := range map[string]struct{ field, says string }{
		`[]`: {"", "JSON object"},
		`{}`: {"weights", "No weight"},
		`{"weights":[{"nominal_g":5,"class":"nickel"}],"readings":[{"shown":"5.00"}]}`:                                       {"weights.0.class", "5113"},
		`{"weights":[{"nominal_g":5,"class":"M3"}],"readings":[{"shown":"5.00"}]}`:                                           {"weights.0.class", "“M3”"},
		`{"weights":[{"nominal_g":5,"class":{}}],"readings":[{"shown":"5.00"}]}`:                                             {"weights.0.class", "E2, F1"},
		`{"weights":[{"nominal_g":5,"klass":"M1"}],"readings":[{"shown":"5.00"}]}`:                                           {"weights.0.klass", "no field"},
		`{"weights":[{"nominal_g":"five","class":"M1"}],"readings":[{"shown":"5.00"}]}`:                                      {"weights.0.nominal_g", "“five”"},
		`{"weights":[{"nominal_g":5,"class":"M1"}]}`:                                                                         {"readings", "no reading"},
		`{"weights":{"nominal_g":5},"readings":[]}`:                                                                          {"weights", "list"},
		`{"weights":[5],"readings":[{"shown":"5.00"}]}`:                                                                      {"weights.0", "JSON object"},
		`{"weights":[{"nominal_g":5,"class":"M1"}],"readings":[{"shown":"5.00"},{"shown":"9.00"}]}`:                          {"readings.1.shown", "“9 g”"},
		`{"weights":[{"nominal_g":5,"class":"M1"}],"readings":[{"shown":"abc"}]}`:                                            {"readings.0.shown", "“abc”"},
		`{"weights":[{"nominal_g":5,"class":"M1"}],"readings":[{"shown":"5.00","weight":"x"}]}`:                              {"readings.0.weight", "number in the list"},
		`{"weights":[{"nominal_g":5,"class":"M1"}],"readings":[{"shown":"5.00"}],"unit":"tl"}`:                               {"unit", "tael"},
		`{"weights":[{"nominal_g":5,"class":"M1"}],"readings":[{"shown":"5.00"}],"taken":"yesterday"}`:                       {"taken", "“yesterday”"},
		`{"weights":[{"nominal_g":5,"class":"M1"}],"readings":[{"shown":"5.00"}],"taken":-4}`:                                {"taken", "milliseconds"},
		`{"weights":[{"nominal_g":5,"class":"M1"}],"readings":[{"shown":"5.00"}],"now":1e300}`:                               {"now", "milliseconds"},
		`{"weights":[{"nominal_g":5,"class":"M1"}],"readings":[{"shown":"5.00"}],"place":[]}`:                                {"place", "word or two"},
		`{"weights":[{"nominal_g":5,"class":"M1"}],"readings":[{"shown":"5.00"}],"resolution":"0"}`:                          {"resolution", "0 g"},
		`{"weights":[{"nominal_g":5,"class":"M1"}],"readings":[{"shown":"5.00"}],"untouched":[{"after_s":"a","shown":"0"}]}`: {"untouched.0.after_s", "“a”"},
	} {
		if p := refusal(t, "scale-check", question); p.Field != want.field || !strings.Contains(p.Sentence, want.says) {
			t.Errorf("%s: %+v", question, p)
		}
	}
}

func FuzzScaleCheck(f *testing.F) {
	f.Add(aCheck + "}")
	f.Add(`{"weights":[{}],"readings":[{"shown":"7.01"},{"shown":"7.02"},{"shown":"7.01"},{"shown":"7.01"},{"shown":"7.01"}]}`)
	f.Add(`{"weights":[{"value_g":1e4,"u_g":100}],"readings":[{"shown":"10000"}],"off_centre":[{"shown":"9999"}]}`)
	f.Add(`{"weights":[{"nominal_g":1,"class":"E2"}],"readings":[{"shown":"1"}],"resolution":"1e9","unit":"lb"}`)
	f.Fuzz(func(t *testing.T, question string) {
		out := string(Call("scale-check", []byte(question)))
		if strings.Contains(out, `"internal"`) {
			t.Errorf("%s gives %s", question, out)
		}
	})
}

// TestACheckStoredBefore opens a check as the terminal stored it before there were
// sheets: numbers bare, moments as numbers.
func TestACheckStoredBefore(t *testing.T) {
	raw, err := os.ReadFile("testdata/check-before.json")
	if err != nil {
		t.Fatal(err)
	}
	r, err := ScaleCheck(raw)
	if err != nil || !r.Proven() || !r.Drift.Measured || r.Eccentricity == 0 || len(r.Fit.Points) != 2 || r.Taken.UnixMilli() != 1772388000000 || r.Place != "kitchen" {
		t.Errorf("%+v, %v", r, err)
	}
}
