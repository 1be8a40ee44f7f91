package look_test

import (
	"slices"
	"strings"
	"testing"

	"panside/internal/book/data"
	. "panside/internal/look" // the data imports it, so the tests stand outside
)

// walks are all the ways through the key, each by the ids of its questions and the kind
// or end that it leads to.
func walks(k Key) [][]string {
	questions := map[string]Question{}
	for _, q := range k.Questions {
		questions[q.ID] = q
	}
	var all [][]string
	var from func(way []string, question string)
	from = func(way []string, question string) {
		way = append(slices.Clip(way), question)
		for _, a := range questions[question].Answers {
			if a.To != "" && len(way) < 12 {
				from(way, a.To)
			} else {
				all = append(all, append(slices.Clip(way), a.Kind+a.End))
			}
		}
	}
	from(nil, k.Start)
	return all
}

// Whatever is answered, three questions lead to a kind or to someone to ask, and every
// kind can be reached so.
func TestThreeQuestionsAtMost(t *testing.T) {
	b := data.Looks()
	k := b.Key()
	reached := map[string]bool{}
	for _, end := range k.Ends {
		reached[end.ID] = false
	}
	for _, kind := range FixedKinds {
		reached[kind] = false
	}
	all := walks(k)
	long := 0
	for _, way := range all {
		last := way[len(way)-1]
		if _, known := reached[last]; !known {
			t.Errorf("%s ends at no kind and no end", strings.Join(way, " > "))
		}
		reached[last] = true
		if questions := len(way) - 1; questions > 3 {
			t.Errorf("%d questions: %s", questions, strings.Join(way, " > "))
		} else if questions == 3 {
			long++
		}
	}
	for id, is := range reached {
		if !is {
			t.Errorf("no walk leads to %s", id)
		}
	}
	t.Logf("%d walks, %d of three questions", len(all), long)
	if len(all) < 250 {
		t.Errorf("only %d walks", len(all))
	}
}

// Coins that a hunter brings, answered as they look, end at their own kind: those that
// were once sent to another one first.
func TestTheKeyEndsRight(t *testing.T) {
	k := data.Looks().Key()
	for _, c := range []struct {
		kind    string
		answers []string // how each begins
	}{
		{"partial-collar", []string{"The edge", "A step, flange", "One part wider and smooth"}},
		{"partial-collar", []string{"Its shape", "A step or flange all around"}},
		{"split-planchet", []string{"It is too light", "It is thin", "One is rough"}},
		{"split-planchet", []string{"Something is missing", "The design, on one face", "One face rough"}},
		{"wrong-thickness", []string{"It is too light", "It is thin", "Both sharp"}},
		{"wrong-thickness", []string{"It is too heavy", "Thicker"}},
		{"struck-through", []string{"Something is sunk", "The outline of a thing", "Clean walls"}},
		{"struck-through", []string{"Something is missing", "Letters, initials", "Sunk a little"}},
		{"blank-planchet", []string{"Something is missing", "The design, on one face", "Nothing on either"}},
		{"bad-annealing", []string{"Its color", "Dark gray or black", "Even, with luster"}},
		{"bad-annealing", []string{"Its color", "Red or brown", "Full weight, an even skin"}},
		{"dropped-letter", []string{"Something is sunk", "A sunk letter where none belongs", "Soft, of this coin"}},
		{"dropped-letter", []string{"Date, mint mark", "A sunk letter where none belongs", "Soft, of this coin"}},
		{"die-cap", []string{"Its shape", "Drawn up"}},
		{"indent", []string{"Something is sunk", "A smooth hollow"}},
		{"misaligned-die", []string{"The design sits wrong", "Shifted on one side only"}},
		{"weak-strike", []string{"Something is missing", "The design, on one face", "A faint design on both"}},
		{"planchet-crack", []string{"Something is sunk", "A line, groove", "Jagged and dark"}},
		{"gas-bubble", []string{"There is extra metal", "A small lump", "A hollow dome on a coin of solid"}},
		{"plating-blister", []string{"Its color", "Bubbles", "A shiny hollow dome"}},
		{"metal-streaks", []string{"Its color", "Straight streaks"}},
		{"bimetal-error", []string{"The design sits wrong", "The core of"}},
		{"wavy-steps", []string{"There is extra metal", "A line or bar", "Many fine lines"}},
		{"wavy-steps", []string{"Something is doubled", "Only fine parallel lines"}},
		{"counting-machine-damage", []string{"Something is sunk", "A line, groove", "A bright arc"}},
		{"dryer-coin", []string{"Its shape", "Narrow, the rim thick"}},
		{"road-damage", []string{"Something is sunk", "Gouges"}},
		{"counterfeit", []string{"The edge", "A step, flange", "A thin line"}},
	} {
		at, led := k.Start, ""
		for _, begins := range c.answers {
			q := slices.IndexFunc(k.Questions, func(q Question) bool { return q.ID == at })
			if q < 0 {
				t.Fatalf("%s: %q is asked of no question", c.kind, begins)
			}
			var fit []Answer
			for _, a := range k.Questions[q].Answers {
				if strings.HasPrefix(a.Say, begins) {
					fit = append(fit, a)
				}
			}
			if len(fit) != 1 {
				t.Fatalf("%s: %d answers to %q begin with %q", c.kind, len(fit), k.Questions[q].Ask, begins)
			}
			at, led = fit[0].To, fit[0].Kind
		}
		if led != c.kind {
			t.Errorf("%q leads to %q, want %s", c.answers, led, c.kind)
		}
	}
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
		{"layer", []string{"missing-layer", "light"}, "About a sixth too light (a small dollar a quarter), or twice that and red all over"},
		// Soil and annealing both leave full weight: what the eye sees decides.
		{"layer", []string{"regular"}, ""},
		{"red", []string{"regular"}, ""},
		{"layer", []string{"light"}, ""},
		{"light", []string{"light", "split-planchet"}, "It is thin, its width is right"},
		{"heavy", []string{"heavy", "wrong-stock"}, "Thicker, sharp, right metal and width"},
		{"under", []string{"double-denomination"}, "The other denomination’s weight"},
		{"start", []string{"light"}, "It is too light"},
		{"start", []string{"heavy"}, "It is too heavy"},
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
