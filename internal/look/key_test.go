package look_test

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"panside/internal/book/data"
	. "panside/internal/look" // the data imports it, so the tests stand outside
)

// Any way of answering ends soon, at a kind or at someone to ask.
func TestEveryWalkEnds(t *testing.T) {
	b := data.Looks()
	k := b.Key()
	questions := map[string]Question{}
	for _, q := range k.Questions {
		questions[q.ID] = q
	}
	ends := map[string]bool{}
	for _, e := range k.Ends {
		ends[e.ID] = true
	}
	rapid.Check(t, func(t *rapid.T) {
		id := k.Start
		for range 6 {
			q, ok := questions[id]
			if !ok {
				t.Fatalf("no question %q", id)
			}
			a := rapid.SampledFrom(q.Answers).Draw(t, q.ID)
			if a.Kind != "" && b.KindOf(a.Kind) != nil || ends[a.End] {
				return
			}
			id = a.To
		}
		t.Fatal("six answers and no end")
	})
}

// Wherever a person stands, “I can’t tell” is an answer, and it says whom to ask
// and what to photograph.
func TestEveryQuestionHasAWayToAsk(t *testing.T) {
	for _, q := range data.Looks().Key().Questions {
		if !slices.ContainsFunc(q.Answers, func(a Answer) bool { return strings.HasPrefix(a.End, "ask-") }) {
			t.Errorf("%s: %q leaves nobody to ask", q.ID, q.Ask)
		}
	}
}

func TestTheScaleFillsItsAnswers(t *testing.T) {
	k := data.Looks().Key()
	say := func(question string, said ...string) string {
		i, ok := k.Fill(said)[question]
		if !ok {
			return ""
		}
		for _, q := range k.Questions {
			if q.ID == question {
				return q.Answers[i].Say
			}
		}
		return "no such question"
	}
	for _, c := range []struct {
		question string
		said     []string
		want     string
	}{
		{"weight", []string{"light"}, "Too light"},
		{"weight", []string{"heavy"}, "Too heavy"},
		{"weight", []string{"regular"}, "Regular, but wider, narrower or bent"},
		{"weight", nil, ""},
		{"layer", []string{"missing-layer", "light"}, "About a sixth too light"},
		{"layer", []string{"regular"}, "Full weight"},
		{"layer", []string{"light"}, ""},
		{"under", []string{"double-denomination"}, "The other denomination’s weight"},
		{"start", []string{"light"}, "Its weight, size or thickness"},
		{"start", []string{"regular"}, ""},
		{"double-letters", []string{"regular", "light", "heavy"}, ""},
	} {
		if got := say(c.question, c.said...); got != c.want {
			t.Errorf("%s after %v: %q, want %q", c.question, c.said, got, c.want)
		}
	}
}

func TestCautions(t *testing.T) {
	b := data.Looks()
	ids := func(q Query) map[string]bool {
		m := map[string]bool{}
		for _, c := range b.Cautions(q, b.Sheet(q)) {
			m[c.ID] = true
		}
		return m
	}
	cent := ids(Query{Country: "US", Denomination: "cent", Year: 1943})
	for _, id := range []string{"never-clean", "expert", "magnet", "melting", "counterfeit"} {
		if !cent[id] {
			t.Errorf("a cent of 1943 needs the caution %s", id)
		}
	}
	if ids(Query{Country: "US", Denomination: "dime", Year: 1990})["melting"] {
		t.Error("the melting rule is for cents and nickels")
	}
	if ids(Query{Country: "US", Denomination: "half", Year: 1990})["magnet"] {
		t.Error("nothing on a half's sheet takes a magnet")
	}
}
