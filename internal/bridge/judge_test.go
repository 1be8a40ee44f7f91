package bridge_test

import (
	"encoding/json"
	"reflect"
	"strings"
	"testing"

	"panside/internal/bridge"
)

// reply is an answer of "judge", as a program reads it.
type reply struct {
	OK *struct {
		Call, Headline, Spoken, Hint string
		Alloys                       []struct {
			Name        string
			Fractions   map[string]float64
			Probability float64
			Years       []string
		}
		Decisive  bool
		Tolerance struct {
			State      string
			Nominal    *float64 `json:"nominal_g"`
			Limit      *float64 `json:"limit_g"`
			Conformity *float64
			U          float64 `json:"u_g"`
			WornOK     *bool   `json:"worn_ok"`
			Scope      string
		}
		Explanations []struct {
			Kind, Name, Confirm string
			Expected            *float64 `json:"expected_g"`
			Ratio               float64  `json:"likelihood_ratio"`
		}
		NextTest *struct{ Test, Sentence string } `json:"next_test"`
		Look     []string
	}
	Error *struct{ Code, Sentence, Field string }
}

func ask(t *testing.T, question string) reply {
	t.Helper()
	var r reply
	raw := bridge.Call("judge", []byte(question))
	if err := json.Unmarshal(raw, &r); err != nil || (r.OK == nil) == (r.Error == nil) {
		t.Fatalf("%s -> %s (%v)", question, raw, err)
	}
	return r
}

func TestABriefJudgementLacksOnlyWhatToInspect(t *testing.T) {
	const question = `{"denomination":"cent","value":"3.11"`
	whole, brief := ask(t, question+`}`).OK, ask(t, question+`,"brief":true}`).OK
	if whole == nil || brief == nil {
		t.Fatal(whole, brief)
	}
	if len(whole.Look) == 0 || brief.Look == nil || len(brief.Look) > 0 {
		t.Errorf("to inspect: %q, and in brief %q", whole.Look, brief.Look)
	}
	brief.Look = whole.Look
	if !reflect.DeepEqual(whole, brief) {
		t.Errorf("%+v\nin brief %+v", whole, brief)
	}
}

func TestJudgeContract(t *testing.T) {
	r := ask(t, `{"denomination":"cent","value":"3.11"}`)
	v := r.OK
	if v == nil {
		t.Fatal(r.Error)
	}
	if v.Call != "ordinary" || v.Headline != "Bronze cent, 95% copper." || v.Spoken != "Bronze cent." || v.Hint != "regular" {
		t.Errorf("%+v", v)
	}
	if !v.Decisive || v.Alloys[0].Fractions["Cu"] != 0.95 || v.Alloys[0].Probability < 0.99 || len(v.Alloys[0].Years) == 0 {
		t.Errorf("alloys %+v", v.Alloys)
	}
	tol := v.Tolerance
	if tol.State != "within" || tol.Scope != "piece" || *tol.Nominal < 3.11 || *tol.Nominal > 3.1104 || *tol.Limit < 0.1295 || *tol.Limit > 0.13 ||
		*tol.Conformity < 0.975 || tol.U <= 0 || tol.WornOK == nil {
		t.Errorf("tolerance %+v", tol)
	}
	if v.Explanations == nil || len(v.Explanations) != 0 || v.NextTest != nil || len(v.Look) == 0 {
		t.Errorf("explanations %v, next test %v, look %v", v.Explanations, v.NextTest, v.Look)
	}
}

// TestDigitsCount: the last digit is the resolution unless one is given.
func TestDigitsCount(t *testing.T) {
	u := func(question string) float64 { return ask(t, question).OK.Tolerance.U }
	coarse, fine, finest := u(`{"denomination":"cent","value":"3.1"}`), u(`{"denomination":"cent","value":"3.11"}`), u(`{"denomination":"cent","value":"3.110"}`)
	if !(coarse > 9*fine && fine > 9*finest) {
		t.Errorf("u of 3.1 is %v, of 3.11 %v, of 3.110 %v", coarse, fine, finest)
	}
	for _, same := range []string{
		`{"denomination":"cent","value":"3.110","resolution":"0.01"}`,
		`{"denomination":"cent","value":3.11}`,
		`{"denomination":"cent","value":"3110","unit":"mg","resolution":"10"}`,
		`{"denomination":"cent","mean_g":3.11,"resolution_g":0.01}`,
		`{"country":"US","denomination":"cent","year":0,"mint":"","value":"3.11","unit":"g","evidence":{}}`,
		`{"country":"usa","denomination":"Penny","value":"3.11"}`,
		`{"denomination":"cents","value":"3.11"}`,
		`{"denomination":"cent","year":null,"mint":null,"value":"3.11","evidence":null}`,
	} {
		if got := u(same); got != fine {
			t.Errorf("u of %s is %v, want %v", same, got, fine)
		}
	}
	if got := u(`{"denomination":"cent","value":"3.11","repeatability":"0.05"}`); got < 0.05 {
		t.Errorf("u %v ignores the repeatability", got)
	}
	if got := u(`{"denomination":"cent","mean_g":3.11,"u_g":0.02,"resolution_g":0.01}`); got != 0.02 {
		t.Errorf("u %v, 0.02 was given", got)
	}
	if v := ask(t, `{"denomination":"Half Dollars","year":"1776-1976","value":"11.34"}`).OK; v == nil || !strings.HasPrefix(v.Headline, "Clad half dollar") {
		t.Errorf("a half dollar dated 1776–1976: %+v", v)
	}
	if v := ask(t, `{"denomination":"cent","value":"48.0","unit":"gr"}`).OK; v.Headline != "Bronze cent, 95% copper." {
		t.Errorf("48 grains: %+v", v)
	}
}

func TestEvidenceWords(t *testing.T) {
	for _, tc := range []struct{ evidence, first string }{
		{`{"colour":"golden"}`, "manganese"},
		{`{"color":"yellow"}`, "manganese"},
		{`{"colour":"silver"}`, "clad"},
		{`{"edge":"lettered"}`, "manganese"},
		{`{"date":"1979"}`, "clad"},
		{`{"date":2009,"mint":"D"}`, "manganese"},
	} {
		v := ask(t, `{"denomination":"dollar","value":"8.10","evidence":`+tc.evidence+`}`).OK
		if v == nil || !v.Decisive || !strings.HasPrefix(v.Alloys[0].Name, tc.first) {
			t.Errorf("%s: %+v", tc.evidence, v)
		}
	}
	for _, e := range []string{
		`{"magnetic":true}`, `{"magnetic":"no"}`, `{"magnetic":"weak"}`, `{"edge":"copper stripe"}`, `{"edge":"no stripe"}`, `{"stripe":false}`,
		`{"design":true}`, `{"design":"no"}`, `{"date":"sure"}`, `{"mint":"unsure"}`, `{"diameter_mm":26.5,"thickness_mm":"2.0","density":8.8}`,
	} {
		if r := ask(t, `{"denomination":"dollar","value":"8.10","evidence":`+e+`}`); r.OK == nil {
			t.Errorf("%s: %+v", e, r.Error)
		}
	}
}

func TestBadInputNamesTheField(t *testing.T) {
	for _, tc := range []struct{ question, field, code string }{
		{``, "", "bad-input"},
		{`nonsense`, "", "bad-input"},
		{`[]`, "", "bad-input"},
		{`{"value":"3.11"}`, "denomination", "bad-input"},
		{`{"denomination":"cent"}`, "value", "bad-input"},
		{`{"denomination":"cent","value":"abc"}`, "value", "bad-number"},
		{`{"denomination":"cent","value":"NaN"}`, "value", "bad-number"},
		{`{"denomination":"cent","value":"3,11"}`, "value", "bad-number"},
		{`{"denomination":"cent","value":"3.11 g"}`, "value", "bad-number"},
		{`{"denomination":"cent","value":"-3.11"}`, "value", "bad-input"},
		{`{"denomination":"cent","value":"0.00"}`, "value", "bad-input"},
		{`{"denomination":"cent","value":"99999999"}`, "value", "bad-input"},
		{`{"denomination":"cent","value":["3.11"]}`, "value", "bad-number"},
		{`{"denomination":"cent","value":"3.11","unit":"stone"}`, "unit", "unknown-unit"},
		{`{"denomination":"cent","value":"3.11","unit":"tl"}`, "unit", "refused-unit"},
		{`{"denomination":"cent","value":"3.11","resolution":"0"}`, "resolution", "bad-input"},
		{`{"denomination":"cent","value":"3.11","resolution":"x"}`, "resolution", "bad-number"},
		{`{"denomination":"cent","value":"3.11","repeatability":"-1"}`, "repeatability", "bad-input"},
		{`{"denomination":"cent","value":"3.11","mean_g":3.11}`, "mean_g", "bad-input"},
		{`{"denomination":"cent","mean_g":3.11}`, "u_g", "bad-input"},
		{`{"denomination":"cent","mean_g":-1,"u_g":0.01}`, "mean_g", "bad-input"},
		{`{"denomination":"cent","mean_g":3.11,"u_g":"NaN"}`, "u_g", "bad-number"},
		{`{"denomination":"cent","value":"3.11","source":"attic"}`, "source", "bad-input"},
		{`{"denomination":"cent","value":"3.11","source":["jar"]}`, "source", "bad-input"},
		{`{"denomination":"cent","value":"3.11","year":"soon"}`, "year", "bad-input"},
		{`{"denomination":"cent","value":"3.11","year":1982.5}`, "year", "bad-input"},
		{`{"denomination":"cent","value":"3.11","year":1815}`, "year", "no-such-issue"},
		{`{"denomination":"cent","value":"3.11","year":1943,"mint":"O"}`, "mint", "no-such-issue"},
		{`{"denomination":"guinea","value":"3.11"}`, "denomination", "no-such-issue"},
		{`{"country":"XX","denomination":"cent","value":"3.11"}`, "country", "no-such-issue"},
		{`{"denomination":"cent","value":"3.11","weight":3}`, "weight", "bad-input"},
		{`{"denomination":"cent","value":"3.11","evidence":{"smell":"none"}}`, "evidence.smell", "bad-input"},
		{`{"denomination":"cent","value":"3.11","evidence":[]}`, "evidence", "bad-input"},
		{`{"denomination":"cent","value":"3.11","evidence":{"edge":"wavy"}}`, "evidence.edge", "bad-input"},
		{`{"denomination":"cent","value":"3.11","evidence":{"colour":"mauve"}}`, "evidence.colour", "bad-input"},
		{`{"denomination":"cent","value":"3.11","evidence":{"magnetic":"perhaps"}}`, "evidence.magnetic", "bad-input"},
		{`{"denomination":"cent","value":"3.11","evidence":{"stripe":"perhaps"}}`, "evidence.stripe", "bad-input"},
		{`{"denomination":"cent","value":"3.11","evidence":{"diameter_mm":0}}`, "evidence.diameter_mm", "bad-input"},
		{`{"denomination":"cent","value":"3.11","evidence":{"diameter_mm":900}}`, "evidence.diameter_mm", "bad-input"},
		{`{"denomination":"cent","value":"3.11","evidence":{"density":"heavy"}}`, "evidence.density", "bad-number"},
		{`{"denomination":"cent","value":"3.11","year":1943,"evidence":{"date":1944}}`, "evidence.date", "bad-input"},
		{`{"denomination":"cent","value":"3.11","mint":"D","evidence":{"mint":"S"}}`, "evidence.mint", "bad-input"},
		{`{"denomination":"cent","value":"3.11","confidence":2}`, "confidence", "bad-input"},
	} {
		r := ask(t, tc.question)
		if r.Error == nil || r.Error.Field != tc.field || r.Error.Code != tc.code || r.Error.Sentence == "" {
			t.Errorf("%s: %+v, want %s in %q", tc.question, r.Error, tc.code, tc.field)
		}
	}
}

func TestUnknownMethod(t *testing.T) {
	for _, m := range []string{"", "Judge", "nope"} {
		if got := string(bridge.Call(m, []byte(`{}`))); !strings.Contains(got, `"code":"not-found"`) {
			t.Errorf("%q: %s", m, got)
		}
	}
}

// FuzzJudge: whatever comes in, an answer or an error with its sentence goes
// out, and never a panic.
func FuzzJudge(f *testing.F) {
	f.Add([]byte(`{"denomination":"cent","value":"3.11"}`))
	f.Add([]byte(`{"denomination":"nickel","year":1942,"mint":"P","value":"5.00","unit":"g","evidence":{"magnetic":false,"density":9.2}}`))
	f.Add([]byte(`{"denomination":"cent","value":"1e5","mean_g":1e300,"u_g":1e-300}`))
	f.Add([]byte(`{"denomination":"dollar","mean_g":1e-300,"u_g":1e300}`))
	f.Fuzz(func(t *testing.T, in []byte) {
		out := bridge.Call("judge", in)
		var r reply
		if err := json.Unmarshal(out, &r); err != nil {
			t.Fatalf("%q -> %q: %v", in, out, err)
		}
		switch {
		case r.Error != nil && (r.Error.Sentence == "" || r.Error.Code == "internal"):
			t.Fatalf("%q -> %s", in, out)
		case r.Error == nil && (r.OK == nil || r.OK.Headline == "" || r.OK.Call == ""):
			t.Fatalf("%q -> %s", in, out)
		}
	})
}

func BenchmarkJudge(b *testing.B) {
	in := []byte(`{"country":"US","denomination":"cent","year":0,"mint":"","mean_g":3.11,"u_g":0.008,"resolution_g":0.01,"evidence":{}}`)
	b.ReportAllocs()
	for range b.N {
		if out := bridge.Call("judge", in); out[2] != 'o' {
			b.Fatal(string(out))
		}
	}
}

// TestARulerIsEvidence, as an object and as the text that a find keeps.
func TestARulerIsEvidence(t *testing.T) {
	for _, given := range []string{`{"mm":0.02,"u":0.01}`, `"{\"mm\":0.02,\"u\":0.01}"`, `{"mm":0.02,"u":0.01,"known":{"choice":"wide","mm":0.3,"u":0.02}}`} {
		answer := string(bridge.Call("judge", []byte(`{"denomination":"cent","year":1992,"mint":"D","value":"2.50","evidence":{"us-cent-am":`+given+`}}`)))
		if !strings.Contains(answer, `"choice":"close"`) || !strings.Contains(answer, `"odds":`) {
			t.Errorf("%s: %s", given, answer)
		}
	}
	for _, given := range []string{`{"mm":0.02}`, `{"mm":"x"}`, `"{"`, `{"mm":0.02,"u":0.01,"by":"eye"}`, `[1]`} {
		answer := string(bridge.Call("judge", []byte(`{"denomination":"cent","year":1992,"mint":"D","value":"2.50","evidence":{"us-cent-am":`+given+`}}`)))
		if !strings.Contains(answer, `"field":"evidence.us-cent-am"`) {
			t.Errorf("%s: %s", given, answer)
		}
	}
}
