package calibration_test

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"panside/internal/calibration"
	"panside/internal/fault"
	"panside/internal/mass"
	"panside/internal/say"
)

func says(t *testing.T, sentences []string, want ...string) {
	t.Helper()
	all := strings.Join(sentences, "\n")
	for _, w := range want {
		if !strings.Contains(all, w) {
			t.Errorf("nobody says %q in\n%s", w, all)
		}
	}
}

// written is English.
func written(lines []say.Line) []string {
	var all []string
	for _, l := range lines {
		all = append(all, say.English.Write(l))
	}
	return all
}

func TestWhatTheCheckSays(t *testing.T) {
	rec := wellUsed()
	for i := range 10 {
		rec.Untouched = append(rec.Untouched, calibration.Moment{After: 60 * float64(i), Shown: mass.Grams(i) / 1000})
	}
	r := evaluate(t, rec)
	says(t, written(r.Findings()),
		"shows too much: 0.150 g at 50 g (±0.003 g), +0.3%. Its weights are corrected by that.",
		"scatter by 0.003 g (standard deviation; 95%: 0.0019 to 0.005 g, 12 placements)",
		"linear, as far as these weights can show",
		"drifts up by 0.060 g an hour",
		"At 5 g one weighing is good to ±0.007 g (95%)",
		"unchecked, ±0.0015 g would have been assumed",
	)
	says(t, written(r.Advice()),
		"With 50 g F1 the scale is off by 0.150 g, beyond what a class II balance in service may be",
		"The weight 5 g M1 is known too coarsely for this scale",
		"lie 0.009 g apart",
	)
}

func TestAGoodScaleHearsLittle(t *testing.T) {
	r := evaluate(t, calibration.Record{
		Resolution: 0.01,
		Weights:    []calibration.Weight{{Nominal: 50, Class: calibration.F2}, {Nominal: 20, Class: calibration.F2}},
		Placements: slices.Concat(placements(0, 50, 50, 50.01, 50, 50), placements(1, 20, 20, 20, 20, 20)),
	})
	says(t, written(r.Findings()), "No error of the scale can be seen", "scatter by less than 0.006 g", "At 5 g one weighing is good to ±0.01")
	if a := written(r.Advice()); len(a) > 0 {
		t.Errorf("advice %q", a)
	}
	for _, reach := range r.ByLoad() {
		if reach.Assumed || reach.U >= reach.Unchecked {
			t.Errorf("%+v", reach)
		}
	}
}

func TestAdviceForAThinCheck(t *testing.T) {
	one := evaluate(t, calibration.Record{Resolution: 0.01, Weights: []calibration.Weight{{Nominal: 50, Class: calibration.M1}}, Placements: placements(0, 50.01, 50)})
	says(t, written(one.Advice()), "isn’t measured by so few readings", "One weight can’t show")
	says(t, written(one.Findings()), "Part of that is still assumed")
	coin := evaluate(t, calibration.Record{Resolution: 0.01, Weights: []calibration.Weight{{}}, Placements: placements(0, 5.01, 5, 5, 5, 5)})
	says(t, written(coin.Advice()), "5113")
	says(t, written(coin.Findings()), "no check weight was used")
	outside := evaluate(t, calibration.Record{
		Resolution: 0.01, Weights: []calibration.Weight{{Nominal: 50, Class: calibration.M1, Value: 50.02, U: 0.001}}, Placements: placements(0, 50.02, 50.02, 50.02, 50.02, 50.02),
	})
	says(t, written(outside.Advice()), "outside the limits of its class")
	near(t, "slope by the certificate", outside.Fit.Slope, 0, 1e-12)
}

func TestImpossibleValuesAreNamed(t *testing.T) {
	good := func() calibration.Record {
		return calibration.Record{
			Resolution: 0.01, Temperature: math.NaN(),
			Weights:    []calibration.Weight{{Nominal: 50, Class: calibration.F2}, {Nominal: 20, Class: calibration.F2}},
			Placements: slices.Concat(placements(0, 50, 50, 50, 50, 50), placements(1, 20, 20)),
			OffCentre:  placements(0, 50.01),
			Untouched:  []calibration.Moment{{0, 0}, {30, 0.01}},
		}
	}
	if _, err := calibration.Evaluate(good()); err != nil {
		t.Fatal(err)
	}
	nan := mass.Grams(math.NaN())
	for _, c := range []struct {
		field, names string
		spoil        func(*calibration.Record)
	}{
		{"resolution", "0 g", func(r *calibration.Record) { r.Resolution = 0 }},
		{"resolution", "NaN", func(r *calibration.Record) { r.Resolution = nan }},
		{"weights", "No weight", func(r *calibration.Record) { r.Weights = nil }},
		{"weights", "11 weights", func(r *calibration.Record) { r.Weights = make([]calibration.Weight, 11) }},
		{"readings", "no reading", func(r *calibration.Record) { r.Placements = nil }},
		{"readings", "501 readings", func(r *calibration.Record) { r.Placements = make([]calibration.Placement, 500) }},
		{"readings", "number 1 (20 g F2)", func(r *calibration.Record) { r.Placements = r.Placements[:5] }},
		{"readings.6.weight", "number 2", func(r *calibration.Record) { r.Placements[6].Weight = 2 }},
		{"readings.6.weight", "number -1", func(r *calibration.Record) { r.Placements[6].Weight = -1 }},
		{"readings.2.shown", "“50.005 g”", func(r *calibration.Record) { r.Placements[2].Shown = 50.005 }},
		{"readings.2.shown", "“NaN g”", func(r *calibration.Record) { r.Placements[2].Shown = nan }},
		{"readings.2.shown", "“20 g” can’t be the display with 50 g F2", func(r *calibration.Record) { r.Placements[2].Shown = 20 }},
		{"readings.2.shown", "“50.6 g” is more than 50 steps", func(r *calibration.Record) { r.Placements[2].Shown = 50.6 }},
		{"readings.2.shown", "“0 g”", func(r *calibration.Record) { r.Placements[2].Shown = 0 }},
		{"readings.2.zero", "“1 g” can’t be the empty pan", func(r *calibration.Record) { r.Placements[2].Zero = 1 }},
		{"readings.2.zero", "“+Inf g”", func(r *calibration.Record) { r.Placements[2].Zero = mass.Grams(math.Inf(1)) }},
		{"off_centre.0.shown", "“70 g”", func(r *calibration.Record) { r.OffCentre[0].Shown = 70 }},
		{"off_centre.0.weight", "number 9", func(r *calibration.Record) { r.OffCentre[0].Weight = 9 }},
		{"weights.0.nominal_g", "“30 g”", func(r *calibration.Record) { r.Weights[0].Nominal = 30 }},
		{"weights.0.nominal_g", "“-50 g”", func(r *calibration.Record) { r.Weights[0].Nominal = -50 }},
		{"weights.0.class", "“M7”", func(r *calibration.Record) { r.Weights[0].Class = "M7" }},
		{"weights.0.value_g", "“5.0001 g” can’t be the value of a weight of 50 g", func(r *calibration.Record) { r.Weights[0].Value, r.Weights[0].U = 5.0001, 0.001 }},
		{"weights.0.value_g", "without the value", func(r *calibration.Record) { r.Weights[0].U = 0.001 }},
		{"weights.0.u_g", "“0 g”", func(r *calibration.Record) { r.Weights[0].Value = 50.0001 }},
		{"weights.0.u_g", "“3 g”", func(r *calibration.Record) { r.Weights[0].Value, r.Weights[0].U = 50.0001, 3 }},
		{"weights.0.density", "“8000 g/cm³”", func(r *calibration.Record) {
			r.Weights[0].Value, r.Weights[0].U, r.Weights[0].Density = 50.0001, 0.001, 8000
		}},
		{"untouched.1.after_s", "“0 s”", func(r *calibration.Record) { r.Untouched[1].After = 0 }},
		{"untouched.0.after_s", "“-1 s”", func(r *calibration.Record) { r.Untouched[0].After = -1 }},
		{"untouched.1.shown", "“50 g” can’t be the untouched pan", func(r *calibration.Record) { r.Untouched[1].Shown = 50 }},
		{"untouched.1.shown", "“0.003 g”", func(r *calibration.Record) { r.Untouched[1].Shown = 0.003 }},
		{"untouched", "1001 readings", func(r *calibration.Record) { r.Untouched = make([]calibration.Moment, 1001) }},
		{"temperature_c", "“72 °C”", func(r *calibration.Record) { r.Temperature = 72 }},
	} {
		r := good()
		c.spoil(&r)
		_, err := calibration.Evaluate(r)
		var input *fault.Field
		if !errors.As(err, &input) || input.Name != c.field || !strings.Contains(input.Fault.English(), c.names) || fault.Of(err).Code != fault.BadInput {
			t.Errorf("%s, %s: %v", c.field, c.names, err)
		}
	}
}

func TestAge(t *testing.T) {
	taken := time.Date(2026, 3, 1, 18, 0, 0, 0, time.UTC)
	r := calibration.Result{Taken: taken, Temperature: 21, Place: "kitchen"}
	unknown := math.NaN()
	for _, c := range []struct {
		after       time.Duration
		temperature float64
		place       string
		days        int
		says        []string
	}{
		{time.Hour, unknown, "", 0, nil},
		{29 * 24 * time.Hour, 24, "kitchen", 29, nil},
		{31 * 24 * time.Hour, unknown, "", 31, []string{"31 days old"}},
		{time.Hour, 30, "", 0, []string{"9 °C warmer"}},
		{time.Hour, 12, "cellar", 0, []string{"9 °C colder", "another place"}},
		{-time.Minute, unknown, "", 0, nil}, // two clocks
		{-48 * time.Hour, unknown, "", 0, []string{"in the future"}},
	} {
		a := r.Age(say.English, taken.Add(c.after), c.temperature, c.place)
		if a.Days != c.days || len(a.Reasons) != len(c.says) {
			t.Errorf("after %v: %+v", c.after, a)
		}
		says(t, a.Reasons, c.says...)
	}
	if a := (calibration.Result{Temperature: unknown}).Age(say.English, taken, 20, "kitchen"); len(a.Reasons) != 1 {
		t.Errorf("without a date: %+v", a)
	}
}
