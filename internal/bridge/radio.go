package bridge

import (
	"panside/internal/fault"
	"panside/internal/json"
	"panside/internal/mass"
	"panside/internal/moment"
	"panside/internal/radioscale"
	"panside/internal/say"
)

// radioOut is what a message of a scale with Bluetooth's weight service says. No coin is
// judged by it, so problem is never left out; value is empty where there is none.
type radioOut struct {
	Value      string    `json:"value"`
	Unit       mass.Unit `json:"unit"`
	Resolution string    `json:"resolution"`
	Problem    problem   `json:"problem"`
}

// callRadio answers "radio-weight". feature and measurement are the bytes of these
// characteristics; without a feature the finest steps count, without a measurement only
// these are spoken of. Errors: fault.BadInput, and those of radioscale.ParseFeature.
func callRadio(t *say.Tongue, in []byte) (any, error) {
	var j struct {
		Feature     []int `json:"feature"`
		Measurement []int `json:"measurement"`
	}
	if err := json.Strict(in, &j); err != nil {
		return nil, bad("", fault.BadInput, say.New("radio-not-bytes"))
	}
	feature, ok1 := bytesOf(j.Feature)
	measurement, ok2 := bytesOf(j.Measurement)
	if !ok1 || !ok2 {
		return nil, bad("", fault.BadInput, say.New("radio-not-bytes"))
	}
	var steps radioscale.Steps
	if len(feature) > 0 {
		var err error
		if steps, err = radioscale.ParseFeature(feature); err != nil {
			return nil, err
		}
	}
	if len(measurement) == 0 {
		return radioOut{Problem: problemOf(t, steps.TooCoarse(false))}, nil
	}
	var out radioOut
	r := radioscale.Read(measurement, steps, moment.Time{})
	if r.HasValue {
		out.Value, out.Unit, out.Resolution = r.Quantity.Value.String(), r.Quantity.Unit, r.Resolution.String()
	}
	out.Problem = problemOf(t, steps.Refuse(r).Problem)
	return out, nil
}

func bytesOf(numbers []int) (all []byte, ok bool) {
	for _, n := range numbers {
		if n < 0 || n > 255 {
			return nil, false
		}
		all = append(all, byte(n))
	}
	return all, true
}
