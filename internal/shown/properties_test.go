package shown_test

import (
	"encoding/json"
	"testing"
	"time"

	"panside/internal/mass"
	"panside/internal/shown"

	"pgregory.net/rapid"
)

// offered is one answer as the rule counts it: without a claim where it counts
// as nothing.
type offered struct {
	number  int
	claim   string
	settled bool
	mean, u mass.Grams
	at      time.Duration
}

// pan plays any events and remembers them by the words of the rule.
type pan struct {
	g       shown.Glass
	on      *shown.Subject
	rested  bool
	history []offered // of the subject
	claims  map[int]string
	number  int
	now     time.Duration
}

func (p *pan) lay(s shown.Subject) {
	if p.on == nil || *p.on != s {
		p.on, p.rested, p.history = &s, false, nil
	}
	p.g.Lay(s)
}

func (p *pan) clear() {
	p.on, p.rested, p.history = nil, false, nil
	p.g.Clear()
}

func (p *pan) offer(a shown.Answer) {
	p.number++
	a.Number = p.number
	p.claims[a.Number] = a.Claim
	o := offered{a.Number, a.Claim, a.Settled, a.Mean, a.U, p.now}
	if !a.Settled && (p.rested || a.Open || a.U > shown.Vague*a.Mean) {
		o.claim = ""
	}
	p.rested = p.rested || a.Settled
	p.history = append(p.history, o)
	p.g.Offer(*p.on, a, p.now)
}

// without is a view without its subject, to be compared.
func without(v shown.View) shown.View {
	v.Of = nil
	return v
}

func newPan() *pan { return &pan{claims: map[int]string{}} }

var (
	subjects = rapid.Custom(func(t *rapid.T) shown.Subject {
		return shown.Subject{Load: rapid.Uint64Range(1, 3).Draw(t, "load"), Asked: rapid.SampledFrom([]string{"cent", "dime"}).Draw(t, "asked")}
	})
	answers = rapid.Custom(func(t *rapid.T) shown.Answer {
		claim := rapid.SampledFrom([]string{"bronze", "bronze", "zinc", "steel", "open"}).Draw(t, "claim")
		return shown.Answer{
			Claim: claim, Open: claim == "open", Decisive: claim != "open" && rapid.Bool().Draw(t, "decisive"),
			Settled: rapid.Bool().Draw(t, "settled"), Mean: mass.Grams(rapid.IntRange(1, 3).Draw(t, "mean")),
			U: mass.Grams(rapid.SampledFrom([]float64{0, 0.07, 0.071, 0.21, 0.211, 1}).Draw(t, "u")),
		}
	})
	// Steps of the clock at and around the rule's times; 0 for events at once.
	steps = rapid.SampledFrom([]time.Duration{0, 0, 1, 20, 49, 50, 51, 100, 149, 150, 299, 300, 1000})
)

// step plays one drawn event and reports what it was.
func (p *pan) step(t *rapid.T) string {
	p.now += steps.Draw(t, "later") * time.Millisecond
	switch what := rapid.IntRange(0, 19).Draw(t, "what"); {
	case what == 0:
		p.clear()
		return "clear"
	case what < 3 || p.on == nil:
		p.lay(subjects.Draw(t, "subject"))
		return "lay"
	case what == 3:
		p.g.Refuse(*p.on)
		p.history = nil // an answer after it is the first again
		return "refuse"
	case what < 6:
		// About what doesn't lie there.
		s, a := subjects.Draw(t, "other"), answers.Draw(t, "late")
		if s == *p.on {
			return "none"
		}
		a.Number = 1_000_000
		before := without(p.g.View())
		if p.g.Offer(s, a, p.now); what == 5 {
			p.g.Refuse(s)
		}
		if after := without(p.g.View()); after != before {
			t.Fatalf("a late answer changed %+v to %+v", before, after)
		}
		return "late"
	default:
		p.offer(answers.Draw(t, "answer"))
		return "offer"
	}
}

// TestNothingStandsUnbacked: whatever comes in whatever order, what stands is
// about what lies on the pan, is the newest answer with its claim, was confirmed
// as the rule says when it came, and hasn't been contradicted for HoldShown.
func TestNothingStandsUnbacked(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := newPan()
		before := ""
		for range rapid.IntRange(1, 60).Draw(t, "events") {
			what := p.step(t)
			v := p.g.View()
			if v.Now == 0 {
				before = ""
				continue
			}
			if what == "lay" || what == "clear" {
				if len(p.history) == 0 {
					t.Fatalf("%s left %d on the glass", what, v.Now)
				}
				continue
			}
			claim, h := p.claims[v.Now], p.history
			newest := len(h) - 1
			for newest >= 0 && h[newest].claim != claim {
				newest--
			}
			if newest < 0 || h[newest].number != v.Now {
				t.Fatalf("%q (%d) stands, which isn't the newest of %+v", claim, v.Now, h)
			}
			if newest+1 < len(h) && h[len(h)-1].at-h[newest+1].at >= shown.HoldShown {
				t.Fatalf("%q stands after %v of others: %+v", claim, h[len(h)-1].at-h[newest+1].at, h)
			}
			if claim != before && !came(h, before) {
				t.Fatalf("%q came unconfirmed after %q: %+v", claim, before, h)
			}
			before = claim
		}
	})
}

// came reports whether the newest answer may have taken the glass from what
// stood before it.
func came(h []offered, before string) bool {
	last := h[len(h)-1]
	if last.settled {
		rested := false
		for _, o := range h[:len(h)-1] {
			rested = rested || o.settled
		}
		if !rested || before == "" {
			return true
		}
	}
	for i := len(h) - 1; i >= 0 && h[i].claim == last.claim; i-- {
		held := last.at - h[i].at
		switch {
		case before != "" && held >= shown.HoldShown, before == "" && held >= shown.HoldMoving:
			return true
		case before == "" && held >= shown.Confirm && (h[i].mean != last.mean || h[i].u != last.u):
			return true
		}
	}
	return false
}

// TestAnEndedLoadLeavesTheGlass: at once, for what View had said.
func TestAnEndedLoadLeavesTheGlass(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := newPan()
		for range rapid.IntRange(0, 30).Draw(t, "events") {
			p.step(t)
		}
		after, of := p.g.View().After, p.g.View().Of
		if rapid.Bool().Draw(t, "clear") || of == nil {
			p.clear()
		} else {
			p.lay(shown.Subject{Load: of.Load + 10, Asked: of.Asked})
		}
		for range rapid.IntRange(0, 5).Draw(t, "late ones") {
			if of != nil {
				p.g.Offer(*of, answers.Draw(t, "late"), p.now)
				p.g.Refuse(*of)
			}
		}
		if v := p.g.View(); v.Now != 0 || v.Last != after || v.After != after || v.Refused || v.Waiting {
			t.Fatalf("%+v, want %d as the last", v, after)
		}
	})
}

// TestTheHostMayChange: a glass that goes through JSON between any two events,
// on a clock that began elsewhere, shows the same.
func TestTheHostMayChange(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := newPan()
		of := shown.Subject{Load: 7, Asked: "cent"}
		p.lay(of)
		moved := p.g
		const elsewhere = 17 * time.Hour
		for range rapid.IntRange(1, 40).Draw(t, "events") {
			p.now += steps.Draw(t, "later") * time.Millisecond
			a := answers.Draw(t, "answer")
			p.offer(a)
			a.Number = p.number
			raw, err := json.Marshal(moved)
			if err != nil {
				t.Fatal(err)
			}
			moved = shown.Glass{}
			if err := json.Unmarshal(raw, &moved); err != nil {
				t.Fatal(err)
			}
			moved.Offer(of, a, p.now+elsewhere)
			v, w := p.g.View(), moved.View()
			if *v.Of != *w.Of || without(v) != without(w) {
				t.Fatalf("%+v, moved %+v", v, w)
			}
		}
	})
}

// TestAnyClock: with times in any order nothing in motion stands on one answer
// alone, and what is contradicted goes once the clock runs on.
func TestAnyClock(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := newPan()
		p.lay(shown.Subject{Load: 7})
		for range rapid.IntRange(1, 40).Draw(t, "events") {
			p.now = time.Duration(rapid.Int64Range(0, 2_000).Draw(t, "at")) * time.Millisecond
			before := p.claims[p.g.View().Now]
			a := answers.Draw(t, "answer")
			a.Settled = false
			p.offer(a)
			now := p.claims[p.g.View().Now]
			if h := p.history; now != "" && now != before && (len(h) < 2 || h[len(h)-2].claim != now) {
				t.Fatalf("%q came by one answer: %+v", now, h)
			}
		}
		stood := p.claims[p.g.View().Now]
		for range 8 {
			p.offer(shown.Answer{Claim: "other", Mean: 9})
			p.now += 50 * time.Millisecond
		}
		if v := p.g.View(); stood != "" && p.claims[v.Now] == stood {
			t.Fatalf("%q still stands", stood)
		}
	})
}
