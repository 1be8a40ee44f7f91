//go:build !js

package bridge

import (
	"encoding/json"
	"strings"
	"testing"
)

// tryPattern asks "scale-pattern".
func tryPattern(t *testing.T, pattern string, lines ...string) patternOut {
	t.Helper()
	in, err := json.Marshal(patternIn{pattern, lines})
	if err != nil {
		t.Fatal(err)
	}
	var out struct {
		OK    patternOut
		Error *problem
	}
	raw := Call("scale-pattern", in)
	if err := json.Unmarshal(raw, &out); err != nil || out.Error != nil {
		t.Fatalf("%s: %v", raw, err)
	}
	return out.OK
}

func TestAPatternIsTriedOnLines(t *testing.T) {
	out := tryPattern(t, "G/N <sign><value> <unit> <state ok=stable --=moving hi=over>",
		"G/N +  3.11 g ok", "G/N -  0.02 g --", "G/N + ----- g hi", "G/N +  3.11 tl ok", "G/N + 3.1.1 g ok", "N/G +  3.11 g ok", "G/N +  3.11 g ÿ")
	for i, want := range []lineOut{
		{Value: "3.11", Unit: "g", Status: "stable"},
		{Value: "-0.02", Unit: "g", Status: "moving"},
		{Status: "over"},
		{Status: "error"}, // tael: understood, and refused in words
		{},
		{Stop: 1},
		{Stop: 15},
	} {
		got := out.Lines[i]
		problem := got.Problem
		got.Problem = ""
		if got != want {
			t.Errorf("line %d: %+v, want %+v", i, got, want)
		}
		if needs := i >= 2 && i <= 4; needs != (problem != "") {
			t.Errorf("line %d: problem “%s”", i, problem)
		}
	}
}

func TestAHalfTypedPatternIsNoError(t *testing.T) {
	whole := "ST <value> <unit>"
	for end := range len(whole) {
		out := tryPattern(t, whole[:end], "ST 3.11 g")
		if out.At == 0 || out.At > end+1 || out.Sentence == "" || len(out.Lines) != 0 {
			t.Errorf("%q: %+v", whole[:end], out)
		}
	}
	if out := tryPattern(t, whole, "ST 3.11 g"); out.At != 0 || out.Lines[0].Value != "3.11" {
		t.Errorf("the whole pattern: %+v", out)
	}
}

func TestABadQuestionAboutAPatternIsRefused(t *testing.T) {
	for _, in := range []string{"", "[]", `{"pattern":5}`, `{"lines":"x"}`, `{"lines":["` + strings.Repeat(`","`, mostPatternLines) + `"]}`} {
		if out := Call("scale-pattern", []byte(in)); !strings.Contains(string(out), `"bad-input"`) {
			t.Errorf("%.40q: %s", in, out)
		}
	}
}
