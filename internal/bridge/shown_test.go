package bridge_test

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"panside/internal/bridge"
)

// phone asks "shown" as a phone does: it keeps the state and gives it back.
type phone struct {
	t     *testing.T
	state json.RawMessage
	n     int
}

type shownAnswer struct {
	OK *struct {
		State   json.RawMessage
		Verdict *struct{ Call, Claim string }
		Refusal *struct{ Code, Field string }
		View    struct {
			Now, Last, After int
			Refused, Waiting bool
		}
	}
	Error *struct{ Code string }
}

func (p *phone) ask(on, rest string) shownAnswer {
	p.t.Helper()
	state := p.state
	if state == nil {
		state = json.RawMessage("null")
	}
	var a shownAnswer
	raw := bridge.Call("shown", fmt.Appendf(nil, `{"state":%s,"on":%s%s}`, state, on, rest))
	if err := json.Unmarshal(raw, &a); err != nil || a.OK == nil {
		p.t.Fatalf("%s: %v", raw, err)
	}
	p.state = a.OK.State
	return a
}

// weigh gives an estimate; the number of the question counts up.
func (p *phone) weigh(load int, grams float64, ms int, settled bool) shownAnswer {
	p.t.Helper()
	p.n++
	return p.ask(fmt.Sprintf(`{"load":%d,"asked":"US/cent"}`, load), fmt.Sprintf(
		`,"n":%d,"at_ms":%d,"settled":%v,"question":{"denomination":"cent","mean_g":%v,"u_g":0.006,"resolution_g":0.01}`, p.n, ms, settled, grams))
}

// TestShownOverManyCalls: a coin lands, is confirmed, rests and goes, and the next
// lands, each call with nothing but the state of the one before.
func TestShownOverManyCalls(t *testing.T) {
	p := &phone{t: t}
	if a := p.weigh(7, 3.11, 0, false); a.OK.View.Now != 0 || !a.OK.View.Waiting || a.OK.Verdict.Claim != "ordinary/bronze//" {
		t.Fatalf("%+v", a.OK)
	}
	if a := p.weigh(7, 3.112, 60, false); a.OK.View.Now != 2 {
		t.Fatalf("a second estimate confirms it: %+v", a.OK)
	}
	if a := p.weigh(7, 3.113, 100, true); a.OK.View.Now != 3 || a.OK.View.After != 3 {
		t.Fatalf("at rest: %+v", a.OK)
	}
	if a := p.ask("null", ""); a.OK.View.Now != 0 || a.OK.View.Last != 3 || a.OK.Verdict != nil {
		t.Fatalf("lifted: %+v", a.OK)
	}
	if a := p.weigh(8, 2.5, 200, true); a.OK.View.Now != 4 || a.OK.View.Last != 3 || a.OK.View.After != 4 {
		t.Fatalf("the next: %+v", a.OK)
	}
}

// TestEitherWaitsForRest: on its way a weight that leaves it between two alloys stands on no glass,
// so that the alloy needn't replace it.
func TestEitherWaitsForRest(t *testing.T) {
	p := &phone{t: t}
	between := func(load, ms int, settled bool) shownAnswer {
		p.n++
		return p.ask(fmt.Sprintf(`{"load":%d,"asked":"US/cent"}`, load), fmt.Sprintf(
			`,"n":%d,"at_ms":%d,"settled":%v,"question":{"denomination":"cent","mean_g":%v,"u_g":0.15}`, p.n, ms, settled, 2.81+float64(ms)/1e5))
	}
	for _, ms := range []int{0, 100, 200, 300} {
		if a := between(7, ms, false); a.OK.Verdict.Call != "either" || a.OK.View.Now != 0 {
			t.Fatalf("%s, %+v after %d ms", a.OK.Verdict.Call, a.OK.View, ms)
		}
	}
	p.weigh(7, 3.11, 400, false)
	if a := p.weigh(7, 3.112, 460, false); a.OK.View.Now != p.n {
		t.Fatalf("the alloy waits: %+v", a.OK.View)
	}
	if a := between(8, 900, true); a.OK.View.Now != p.n {
		t.Fatalf("at rest: %+v", a.OK.View)
	}
}

// TestShownRefuses: what can't be judged is said in the answer, with its field,
// and the glass knows.
func TestShownRefuses(t *testing.T) {
	p := &phone{t: t}
	p.weigh(7, 3.11, 0, true)
	a := p.ask(`{"load":7,"asked":"US/cent"}`, `,"n":2,"at_ms":10,"settled":true,"question":{"denomination":"cent","year":"next"}`)
	if r := a.OK.Refusal; r == nil || r.Code != "bad-input" || r.Field != "year" || a.OK.View.Now != 0 || !a.OK.View.Refused || a.OK.View.After != 1 {
		t.Fatalf("%+v", a.OK)
	}
}

// TestShownWantsItSaidPlainly: without a number and a time there is nothing to
// show, and broken JSON changes nothing.
func TestShownWantsItSaidPlainly(t *testing.T) {
	for _, in := range []string{
		``, `{`, `{"on":7}`, `{"on":{"load":-1}}`, `{"on":{"load":7},"question":{"denomination":"cent"},"at_ms":1}`,
		`{"on":{"load":7},"n":1,"at_ms":1e13,"question":{}}`, `{"state":"another version's","on":null}`,
	} {
		if out := string(bridge.Call("shown", []byte(in))); !strings.HasPrefix(out, `{"error":{"code":"bad-input"`) {
			t.Errorf("%s: %s", in, out)
		}
	}
}
