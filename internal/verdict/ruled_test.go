package verdict_test

import (
	"math/rand/v2"
	"testing"

	"panside/internal/book/data"
	"panside/internal/verdict"
)

func ruled(question string, r verdict.Ruled) verdict.Answer {
	return verdict.Answer{Question: question, Ruled: &r}
}

// TestARulerAnswers: a length that one choice alone has is an answer with its odds; one between
// leaves the question open, and a poor picture leaves all of them open.
func TestARulerAnswers(t *testing.T) {
	for _, tc := range []struct {
		mm, u  float64
		choice string
	}{
		{0.02, 0.01, "close"}, {0.30, 0.02, "wide"}, {0.11, 0.02, ""}, {0.30, 0.25, ""}, {0.9, 0.02, ""},
	} {
		v := judge(t, dated("cent", 1992, "D", 2.50, ruled("us-cent-am", verdict.Ruled{MM: tc.mm, U: tc.u})))
		if tc.choice == "" {
			if len(v.Answered) != 0 || v.Question == nil || v.Question.ID != "us-cent-am" || v.Question.Odds == nil || !(*v.Question.Odds < 99) {
				t.Errorf("%v ± %v mm: answered %+v, asks %+v", tc.mm, tc.u, v.Answered, v.Question)
			}
			continue
		}
		if len(v.Answered) != 1 || v.Answered[0].Choice != tc.choice || v.Answered[0].Odds == nil || !(*v.Answered[0].Odds >= 99) || v.Question != nil {
			t.Errorf("%v ± %v mm: answered %+v, asks %+v", tc.mm, tc.u, v.Answered, v.Question)
		}
	}
	v := judge(t, dated("cent", 1992, "D", 2.50, ruled("us-cent-am", verdict.Ruled{MM: 0.02, U: 0.01})))
	if v.Claim.String() != "look/zinc/lettering-style/" {
		t.Errorf("a close AM by the ruler: %s", v.Claim)
	}
	v = judge(t, dated("cent", 1992, "D", 2.50))
	if v.Question == nil || v.Question.Ruler == nil || v.Question.Ruler.Where == "" || v.Question.Odds != nil {
		t.Errorf("asked by eye: %+v", v.Question)
	}
}

// TestAKnownCoinStandsInForTheBook: against a coin that the hunter knows to be wide, a gap like its
// own is wide, also where the book's range, which is from memory, leaves it open.
func TestAKnownCoinStandsInForTheBook(t *testing.T) {
	r := verdict.Ruled{MM: 0.125, U: 0.006, Known: &verdict.KnownRuled{Choice: "wide", MM: 0.125, U: 0.006}}
	v := judge(t, dated("cent", 1999, "-", 2.50, ruled("us-cent-am", r)))
	if len(v.Answered) != 1 || v.Answered[0].Choice != "wide" {
		t.Errorf("with a known coin: %+v, %+v", v.Answered, v.Question)
	}
	r.Known = nil
	v = judge(t, dated("cent", 1999, "-", 2.50, ruled("us-cent-am", r)))
	if len(v.Answered) != 0 {
		t.Errorf("by the book alone: %+v", v.Answered)
	}
}

// TestWhatNoRulerSays is refused with the name of its field.
func TestWhatNoRulerSays(t *testing.T) {
	for _, a := range []verdict.Answer{
		ruled("us-cent-am", verdict.Ruled{MM: -1, U: 0.1}),
		ruled("us-cent-am", verdict.Ruled{MM: 0.1}),
		ruled("us-cent-am", verdict.Ruled{MM: 99, U: 0.1}),
		ruled("us-cent-am", verdict.Ruled{MM: 0.1, U: 0.1, Known: &verdict.KnownRuled{Choice: "near", MM: 0.1, U: 0.1}}),
		ruled("us-cent-am", verdict.Ruled{MM: 0.1, U: 0.1, Known: &verdict.KnownRuled{Choice: "wide", MM: 0.1}}),
	} {
		refused(t, "evidence.us-cent-am", dated("cent", 1992, "D", 2.50, a))
	}
	refused(t, "evidence.us-1979-s-mark", dated("cent", 1979, "S", 3.11, ruled("us-1979-s-mark", verdict.Ruled{MM: 0.1, U: 0.1})))
	refused(t, "evidence.nothing", dated("cent", 1979, "S", 3.11, ruled("nothing", verdict.Ruled{MM: 0.1, U: 0.1})))
}

func refused(t *testing.T, field string, q verdict.Question) {
	t.Helper()
	if _, err := verdict.Judge(data.Coins(), q); fieldOf(err) != field {
		t.Errorf("%+v: refused in %q, want %q (%v)", q.Answers, fieldOf(err), field, err)
	}
}

// TestTheRulerIsSeldomWrong: of coins whose length lies in the book's ranges, measured with the
// uncertainty that is told, fewer than one answer in a hundred is wrong, one measurement in a
// hundred being nonsense.
func TestTheRulerIsSeldomWrong(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 5))
	answers, wrong := 0, 0
	for range 3000 {
		truth, at := "close", 0.08*r.Float64()
		if r.IntN(2) == 1 {
			truth, at = "wide", 0.14+0.26*r.Float64()
		}
		u := 0.005 + 0.05*r.Float64()
		x := at + 0.015*r.NormFloat64() + u*r.NormFloat64()
		if r.IntN(100) == 0 {
			x = r.Float64()
		}
		v := judge(t, dated("cent", 1992, "D", 2.50, ruled("us-cent-am", verdict.Ruled{MM: max(x, -x), U: u})))
		if len(v.Answered) == 1 {
			answers++
			if v.Answered[0].Choice != truth {
				wrong++
			}
		}
	}
	if answers < 1500 || wrong*100 > answers {
		t.Errorf("%d answers, %d wrong", answers, wrong)
	}
	t.Logf("%d answers of 3000, %d wrong", answers, wrong)
}
