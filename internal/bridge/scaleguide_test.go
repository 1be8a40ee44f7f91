package bridge

import (
	"encoding/json"
	"strings"
	"testing"
)

// phoneGuide asks "scale-guide" as the phone does: it hands back what it was given.
type phoneGuide struct {
	t      *testing.T
	draft  json.RawMessage
	moment json.RawMessage
	got    guideOut
}

func (p *phoneGuide) take(events string) {
	p.t.Helper()
	question, err := json.Marshal(map[string]any{"draft": p.draft, "moment": p.moment, "events": json.RawMessage(events)})
	if err != nil {
		p.t.Fatal(err)
	}
	p.got = guideOut{}
	ask(p.t, "scale-guide", string(question), &p.got)
	var raw struct{ Draft, Moment json.RawMessage }
	ask(p.t, "scale-guide", string(question), &raw)
	p.draft, p.moment = raw.Draft, raw.Moment
}

func TestScaleGuideGoesOnWithWhatIsHandedBack(t *testing.T) {
	p := &phoneGuide{t: t}
	p.take(`[]`)
	if p.got.Ask.Do != "name" || p.got.Check != nil || p.got.Result != nil {
		t.Errorf("%+v", p.got)
	}
	p.take(`[{"do":"begin","weights":[{"nominal_g":30,"class":"F2"}],"times":1}]`)
	if p.got.Refused == nil || p.got.Refused.Field != "weights.0.nominal_g" || p.got.Ask.Do != "name" {
		t.Errorf("%+v", p.got)
	}
	p.take(`[{"do":"begin","weights":[{"nominal_g":50,"class":"F2"}],"times":1}]`)
	p.take(`[{"do":"show","at":0,"phase":"empty","shown":"0.00","unit":"g"}]`)
	p.take(`[{"do":"show","at":1500,"phase":"empty","shown":"0.00","unit":"g"},{"do":"show","at":2000,"phase":"settled","shown":"50.15","unit":"g","status":"moving"}]`)
	if p.got.Ask.Do != "put" || p.got.Result != nil {
		t.Errorf("%+v", p.got)
	}
	p.take(`[{"do":"show","at":3600,"phase":"settled","shown":"50.15","unit":"g","status":"moving"}]`)
	if len(p.got.Draft.Readings) != 0 {
		t.Error("a display in motion was taken")
	}
	p.take(`[{"do":"show","at":5200,"phase":"settled","shown":"50.15","unit":"g","status":"stable"}]`)
	if p.got.Moment.Said == nil || p.got.Moment.Said.Is != "taken" || p.got.Check == nil || len(p.got.Check.Readings) != 1 || p.got.Result == nil || p.got.Ask.Do != "lift" {
		t.Errorf("%+v", p.got)
	}
	p.take(`[{"do":"show","at":5300,"phase":"settled","shown":"50.15","unit":"g","status":"stable"}]`)
	if p.got.Result != nil {
		t.Error("what didn't change is sent again")
	}
	// After a pause the draft is enough, and the result is said again.
	p.moment = nil
	p.take(`[]`)
	if p.got.Draft.At != "further" || p.got.Result == nil || p.got.Ask.Do != "choose" {
		t.Errorf("%+v", p.got)
	}
	var checked checkOut
	raw, err := json.Marshal(p.got.Check)
	if err != nil {
		t.Fatal(err)
	}
	ask(t, "scale-check", string(raw), &checked)
	if checked.Calibration.Slope != p.got.Result.Calibration.Slope {
		t.Errorf("%+v, %+v", checked, p.got.Result)
	}
}

// FuzzScaleGuide: whatever is handed back, the core has an answer.
func FuzzScaleGuide(f *testing.F) {
	f.Add(`{}`)
	f.Add(`{"draft":{"at":"middle","times":3,"weights":[{"nominal_g":50,"class":"F2"}],"readings":[{"weight":"7","shown":"x"}]},"events":[{"do":"undo"}]}`)
	f.Add(`{"draft":{"at":"edges","times":1,"weights":[{}],"readings":[{"shown":"5"}],"off_centre":[{"shown":"5"},{"weight":-1}]},"moment":{"do":"put"},"events":[{"do":"show","at":9e9,"phase":"settled","shown":"5"},{"do":"type","shown":"5"},{"do":"finish"}]}`)
	f.Add(`{"draft":{"at":"alone","times":1,"weights":[{}],"readings":[{"shown":"5"}],"untouched":[{"after_s":"x"}]},"moment":{"watch":{"on":true}},"events":[{"do":"show","at":99999,"phase":"settled","shown":"5"}]}`)
	f.Fuzz(func(t *testing.T, question string) {
		out := string(Call("scale-guide", []byte(question)))
		if strings.Contains(out, `"internal"`) {
			t.Errorf("%s gives %s", question, out)
		}
	})
}
