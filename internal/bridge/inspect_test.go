package bridge_test

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"panside/internal/bridge"
)

// row is a look-for of "look".
type row struct {
	Kind, Name, Scope, With, Rarity, See, Weight string
	First                                        bool
	Explains                                     bool `json:"explains_weight"`
}

// judged is a verdict with its question, and the sheet that follows it.
type judged struct {
	Call, Headline, Hint string
	Question             *struct {
		ID, Sentence string
		Choices      []struct{ ID, Name, See string }
	}
	Answered []struct{ ID, Choice, Name, Rarity, Kind string }
	Next     *test  `json:"next_test"`
	Others   []test `json:"other_tests"`
	Claim    string

	Explanations []struct {
		Kind     string
		Ratio    float64  `json:"likelihood_ratio"`
		Expected *float64 `json:"expected_g"`
	}
	Inspect json.RawMessage
	Look    []string
	sheet   []row
}

type test struct {
	Test, Evidence string
	Choices        []struct{ Value, Name string }
}

// verdictOf judges, and hands what is left to inspect on to "look", unchanged.
func verdictOf(t *testing.T, question string) judged {
	t.Helper()
	v, problem := tryVerdict(t, question)
	if problem != "" {
		t.Fatalf("%s: %s", question, problem)
	}
	return v
}

// tryVerdict does so too, and gives the sentence of a question that is refused.
func tryVerdict(t *testing.T, question string) (judged, string) {
	t.Helper()
	var v struct {
		OK    judged
		Error struct{ Sentence string }
	}
	if err := json.Unmarshal(bridge.Call("judge", []byte(question)), &v); err != nil {
		t.Fatalf("%s: %v", question, err)
	}
	if v.Error.Sentence != "" {
		return judged{}, v.Error.Sentence
	}
	var s struct {
		OK    struct{ Look []row }
		Error *struct{ Sentence string }
	}
	if err := json.Unmarshal(bridge.Call("look", v.OK.Inspect), &s); err != nil || s.Error != nil {
		t.Fatalf("%s: look %s: %v %+v", question, v.OK.Inspect, err, s.Error)
	}
	v.OK.sheet = s.OK.Look
	return v.OK, ""
}

func (v *judged) names() string {
	var names []string
	for _, r := range v.sheet {
		names = append(names, r.Name)
	}
	return strings.Join(names, "; ")
}

// TestTheSheetFollowsTheVerdict: nothing that weight, alloy or date exclude.
func TestTheSheetFollowsTheVerdict(t *testing.T) {
	for _, tc := range []struct {
		question    string
		first       string   // the name of the first look-for contains it
		there, gone []string // in names of the sheet
	}{
		{question: `{"denomination":"cent","value":"2.50"}`, there: []string{"1983: Doubled die reverse", "Zinc rot"}, gone: []string{"1955", "1943", "1944", "1922", "1969", "1972", "Wheat-ears"}},
		{question: `{"denomination":"cent","value":"3.11"}`, first: "1955", there: []string{"1972", "1943: Bronze instead of steel"}, gone: []string{"1983: Doubled die reverse", "1944", "Zinc rot", "Plating", "plating"}},
		{question: `{"denomination":"cent","value":"2.70","evidence":{"magnetic":"yes"}}`, there: []string{"1944"}, gone: []string{"1955", "1943: Bronze", "Zinc rot"}},
		{question: `{"denomination":"cent","year":1982,"mint":"D","value":"3.11"}`, first: "Small date in bronze", gone: []string{"Zinc rot", "Plating blister", "No copper plating", "struck dime"}},
		{question: `{"denomination":"cent","year":1982,"mint":"D","value":"2.50"}`, there: []string{"Zinc rot", "Plating blister"}, gone: []string{"Small date in bronze"}},
		{question: `{"denomination":"cent","year":1983,"mint":"D","value":"3.11"}`, first: "Bronze instead of zinc", gone: []string{"Zinc rot", "Plating blister"}},
		{question: `{"denomination":"cent","year":1943,"value":"2.70"}`, gone: []string{"Bronze instead of steel"}},
		{question: `{"denomination":"cent","year":1995,"mint":"D","value":"2.27"}`, first: "On a dime planchet", gone: []string{"Bronze"}},
		{question: `{"denomination":"quarter","value":"2.27"}`, first: "planchet of the clad dime", gone: []string{"On a nickel planchet", "On dime strip", "Missing clad layer"}},
		{question: `{"denomination":"quarter","year":1999,"mint":"P","value":"2.27"}`, first: "planchet of the clad dime", gone: []string{"On a nickel planchet"}},
		{question: `{"denomination":"quarter","year":1999,"mint":"P","value":"4.73"}`, first: "Missing clad layer"},
		{question: `{"denomination":"quarter","year":1970,"mint":"D","value":"4.16"}`, first: "Thin, on dime strip", gone: []string{"On a nickel planchet"}},
		{question: `{"denomination":"quarter","value":"6.20"}`, there: []string{"Silver by the edge"}, gone: []string{"Missing clad layer", "2004", "2019"}},
		{question: `{"denomination":"quarter","value":"5.67"}`, there: []string{"2004"}, gone: []string{"Silver by the edge"}},
		{question: `{"denomination":"nickel","year":1943,"mint":"P","value":"2.70"}`, first: "Nickel struck on a struck cent", there: []string{"On a cent planchet"}},
		{question: `{"denomination":"nickel","year":1999,"mint":"P","value":"4.33"}`, there: []string{"Thin: on quarter or dime strip"}},
		{question: `{"denomination":"nickel","year":1999,"mint":"P","value":"5.50"}`, gone: []string{"Thin: on quarter or dime strip"}},
		{question: `{"denomination":"quarter","value":"8.10"}`, there: []string{"Quarter obverse with a dollar’s reverse"}},
		{question: `{"denomination":"quarter","year":2000,"mint":"P","value":"8.10"}`, there: []string{"Quarter on a golden dollar planchet"}},
		{question: `{"denomination":"quarter","year":2000,"mint":"P","value":"5.30"}`, gone: []string{"Quarter on a golden dollar planchet", "a dollar’s reverse"}},
		{question: `{"denomination":"cent","year":1985,"mint":"D","value":"2.45"}`, there: []string{"No copper plating", "A dull ring is normal"}},
		{question: `{"denomination":"cent","year":1982,"mint":"D","value":"3.11"}`, gone: []string{"A dull ring is normal", "No copper plating"}},
		{question: `{"denomination":"nickel","year":1943,"mint":"P","value":"2.45"}`, there: []string{"Split wartime planchet"}},
		{question: `{"denomination":"quarter","year":1943,"value":"5.00"}`, there: []string{"On a nickel planchet"}},
		{question: `{"denomination":"cent","year":1990,"mint":"D","value":"3.11"}`, first: "Bronze after the change to zinc"},
		{question: `{"denomination":"cent","year":1985,"mint":"D","value":"2.50"}`, there: []string{"Wrong planchet of like weight"}},
		{question: `{"denomination":"half","year":1971,"mint":"D","value":"11.50"}`, first: "40% silver"},
		{question: `{"denomination":"half","year":1971,"mint":"D","value":"10.95"}`, gone: []string{"40% silver"}},
		{question: `{"country":"EU","denomination":"two-euro","value":"8.50"}`, there: []string{"Core off center"}, gone: []string{"Rolled thin"}},
		{question: `{"denomination":"nickel","year":1958,"mint":"D","value":"5.00"}`, there: []string{"Dark or coppery skin"}},
		{question: `{"denomination":"nickel","year":1958,"mint":"D","value":"4.20"}`, gone: []string{"Dark or coppery skin"}},
	} {
		v := verdictOf(t, tc.question)
		names := v.names()
		if !strings.Contains(v.sheet[0].Name, tc.first) {
			t.Errorf("%s: %q leads, want %q", tc.question, v.sheet[0].Name, tc.first)
		}
		for _, n := range tc.there {
			if !strings.Contains(names, n) {
				t.Errorf("%s: no %q in %s", tc.question, n, names)
			}
		}
		for _, n := range tc.gone {
			if strings.Contains(names, n) {
				t.Errorf("%s: %q in %s", tc.question, n, names)
			}
		}
	}
}

// shownBy are the verdict's explanations that a kind of look-for bears out. It is told here
// once more, by hand, to hold the data to it.
var shownBy = map[string][]string{
	"wrong-planchet": {"wrong-planchet", "wrong-stock"}, "double-denomination": {"double-denomination"},
	"transitional-alloy": {"transitional-alloy"}, "missing-clad-layer": {"missing-layer"},
	"lamination": {"damage"}, "clipped-planchet": {"damage"}, "damage": {"damage", "wear"}, "environmental-damage": {"damage"},
	"split-planchet": {"split-planchet"}, "wrong-thickness": {"wrong-stock"}, "altered": {"altered"}, "counterfeit": {"counterfeit"},
}

// TestWouldExplainTheWeightIsTrue over many coins: it is said only of an odd weight, and
// where the verdict has that explanation, none far likelier beside it. Five to eight
// look-fors are first, and "judge" names the same.
func TestWouldExplainTheWeightIsTrue(t *testing.T) {
	said, leads := 0, 0
	for _, denomination := range []string{"cent", "nickel", "dime", "quarter", "half", "dollar"} {
		for _, year := range []int{0, 1943, 1964, 1999} {
			for g := 0.9; g < 28; g *= 1.08 {
				date := ""
				if year != 0 {
					date = fmt.Sprintf(`,"year":%d`, year)
				}
				q := fmt.Sprintf(`{"denomination":%q%s,"value":"%.2f"}`, denomination, date, g)
				v, problem := tryVerdict(t, q)
				if problem != "" {
					continue // not struck that year
				}
				best := 0.0
				for _, e := range v.Explanations {
					best = max(best, e.Ratio)
				}
				first := 0
				for i, r := range v.sheet {
					if r.First {
						if first++; first != i+1 {
							t.Fatalf("%s: look-for %d is first, and not the one before", q, i+1)
						}
					}
					if !r.Explains {
						continue
					}
					said++
					borneOut := false
					for _, e := range v.Explanations {
						near := e.Kind != "wrong-planchet" && e.Kind != "double-denomination" || *e.Expected > 0.9*g && *e.Expected < 1.1*g
						borneOut = borneOut || slices.Contains(shownBy[r.Kind], e.Kind) && e.Ratio >= best/1001 && near
					}
					if !borneOut || v.Hint != "light" && v.Hint != "heavy" {
						t.Errorf("%s (%s): %q would explain the weight, say the explanations %+v", q, v.Hint, r.Name, v.Explanations)
					}
				}
				if first < 5 || first > 8 || len(v.Look) != first {
					t.Errorf("%s: %d look-fors first, judge names %d", q, first, len(v.Look))
				}
				if v.sheet[0].Explains {
					leads++
				}
			}
		}
	}
	if said < 500 || leads < 150 {
		t.Errorf("said %d times, led %d sheets", said, leads)
	}
}

// TestAnswersTravel: the open question is answered by a field of the evidence.
func TestAnswersTravel(t *testing.T) {
	const coin = `"denomination":"cent","year":1982,"mint":"D","value":"3.11"`
	v := verdictOf(t, `{`+coin+`}`)
	if v.Call != "ordinary" || v.Question == nil || v.Question.ID != "us-cent-1982-date" || len(v.Question.Choices) != 2 ||
		v.Question.Sentence != "Bronze. With a small date it would be very rare. Which is it?" || v.Question.Choices[0].ID != "small" || v.Question.Choices[0].See == "" || len(v.Answered) != 0 {
		t.Fatalf("%+v", v)
	}
	v = verdictOf(t, `{`+coin+`,"evidence":{"us-cent-1982-date":"small"}}`)
	if v.Call != "look" || v.Question != nil || len(v.Answered) != 1 || v.Answered[0].Name != "1982-D, bronze, small date" || v.Answered[0].Choice != "small" || v.Answered[0].ID != "us-cent-1982-date" {
		t.Errorf("small: %+v", v)
	}
	v = verdictOf(t, `{`+coin+`,"evidence":{"us-cent-1982-date":"large"}}`)
	if v.Call != "ordinary" || v.Question != nil || len(v.Answered) != 1 || v.Answered[0].Choice != "large" {
		t.Errorf("large: %+v", v)
	}
	for evidence, field := range map[string]string{
		`{"us-cent-1982-date":"huge"}`:        "evidence.us-cent-1982-date",
		`{"us-cent-1982-date":["small"]}`:     "evidence.us-cent-1982-date",
		`{"us-nickel-mark":"none"}`:           "evidence.us-nickel-mark",
		`{"us-cent-1960-date":"small"}`:       "evidence.us-cent-1960-date",
		`{"us-cent-1882-date":"small"}`:       "evidence.us-cent-1882-date",
		`{"us-cent-1982-date":"small","x":1}`: "evidence.x",
	} {
		if r := ask(t, `{`+coin+`,"evidence":`+evidence+`}`); r.Error == nil || r.Error.Code != "bad-input" || r.Error.Field != field {
			t.Errorf("%s: %+v, want a fault in %s", evidence, r.Error, field)
		}
	}
}

// TestTheAnswersOfTestsAreUnderstood: each button's value is evidence that "judge" takes,
// and that test isn't proposed again.
func TestTheAnswersOfTestsAreUnderstood(t *testing.T) {
	tapped := map[string]bool{}
	for _, coin := range []string{
		`"denomination":"cent","value":"2.72"`, `"denomination":"cent","year":1943,"value":"3.11"`, `"denomination":"nickel","year":1942,"value":"5.00"`,
		`"denomination":"dime","value":"1.89"`, `"denomination":"quarter","value":"2.27"`, `"denomination":"quarter","year":1999,"value":"4.73"`,
		`"denomination":"dollar","value":"8.10"`, `"country":"GB","denomination":"penny","year":1992,"value":"3.56"`,
	} {
		v := verdictOf(t, `{`+coin+`}`)
		if v.Next == nil {
			t.Errorf("%s: no test", coin)
			continue
		}
		for _, x := range append([]test{*v.Next}, v.Others...) {
			for _, c := range x.Choices {
				tapped[x.Test] = true
				after := verdictOf(t, fmt.Sprintf(`{%s,"evidence":{%q:%q}}`, coin, x.Evidence, c.Value))
				if after.Next != nil && after.Next.Test == x.Test {
					t.Errorf("%s: %s is %s, and is asked again", coin, x.Evidence, c.Value)
				}
			}
		}
	}
	for _, name := range []string{"colour", "stripe", "magnet", "mint", "design", "date"} {
		if !tapped[name] {
			t.Errorf("%s was never answered: %v", name, tapped)
		}
	}
}
