package bridge

import (
	"encoding/json"
	"strings"
	"testing"
)

func TestRadioWeightsCarryTheirReason(t *testing.T) {
	for name, c := range map[string]struct {
		in, value, unit, resolution, code, says string
	}{
		"a kilogram":         {`{"measurement":[0,200,0]}`, "1.000", "kg", "0.005", "too-coarse", "steps of 5 g"},
		"pounds, wide steps": {`{"feature":[48,0,0,0],"measurement":[1,200,0]}`, "2.00", "lb", "0.02", "too-coarse", "steps of 0.02 lb"},
		"nothing yet":        {`{"feature":[8,0,0,0],"measurement":[]}`, "", "", "", "too-coarse", "steps of 500 g"},
		"unsuccessful":       {`{"feature":null,"measurement":[0,255,255]}`, "", "", "", "scale-fault", "couldn’t take"},
		"cut short":          {`{"measurement":[0]}`, "", "", "", "garbled", "wrong length"},
	} {
		var got struct {
			OK *radioOut
		}
		if err := json.Unmarshal(Call("radio-weight", []byte(c.in)), &got); err != nil || got.OK == nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		o := got.OK
		if o.Value != c.value || string(o.Unit) != c.unit || o.Resolution != c.resolution || string(o.Problem.Code) != c.code || !strings.Contains(o.Problem.Sentence, c.says) {
			t.Errorf("%s: %+v", name, *o)
		}
	}
	for in, code := range map[string]string{
		`{"measurement":[256]}`:               "bad-input",
		`{"measurement":[-1]}`:                "bad-input",
		`{"measurement":"AAAA"}`:              "bad-input",
		`{"grams":3}`:                         "bad-input",
		`{"feature":[120,0,0,0]}`:             "not-a-scale",
		`{"feature":[0],"measurement":[0,1]}`: "garbled",
	} {
		if got := string(Call("radio-weight", []byte(in))); !strings.Contains(got, `"error":{"code":"`+code+`"`) {
			t.Errorf("%s gives %s", in, got)
		}
	}
}
