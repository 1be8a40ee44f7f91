package bridge

import (
	"encoding/json"
	"strings"
	"testing"
)

func ask(t *testing.T, method, question string, into any) {
	t.Helper()
	var a struct {
		OK    json.RawMessage `json:"ok"`
		Error *problem        `json:"error"`
	}
	if err := json.Unmarshal(Call(method, []byte(question)), &a); err != nil {
		t.Fatal(err)
	}
	if a.Error != nil {
		t.Fatalf("%s %s: %+v", method, question, *a.Error)
	}
	if err := json.Unmarshal(a.OK, into); err != nil {
		t.Fatal(err)
	}
}

func refusal(t *testing.T, method, question string) problem {
	t.Helper()
	var a struct {
		Error *problem `json:"error"`
	}
	if err := json.Unmarshal(Call(method, []byte(question)), &a); err != nil {
		t.Fatal(err)
	}
	if a.Error == nil {
		t.Fatalf("%s %s was answered", method, question)
	}
	return *a.Error
}

// TestDensityTellsSilverFromClad: a half dollar of 90 % silver, 12.50 g, hung
// in water of 21 °C shows 12.50 − 12.50/10.323 · 0.99800 = 11.29 g. The density
// of the alloy is the mass-fraction rule's, 10.323 g/cm³.
func TestDensityTellsSilverFromClad(t *testing.T) {
	var got weighedOut
	ask(t, "density", `{"denomination":"half","country":"US","method":"hung","dry_g":"12.500","wet_g":"11.292","water_c":"21"}`, &got)
	if got.Low > 10.323 || got.High < 10.323 {
		t.Errorf("density %.3f, from %.3f to %.3f", got.Density, got.Low, got.High)
	}
	remains := map[string]bool{}
	for _, m := range got.Alloys {
		remains[m.Name] = m.Remains
	}
	if !remains["90 % silver"] || remains["copper-nickel clad copper"] {
		t.Errorf("remaining alloys: %v", remains)
	}
	// Halves of 1794 to 1836 had 89.24 % silver; no kitchen scale tells that
	// from 90 %, and the answer must not pretend to.
	if !remains["89.24 % silver"] {
		t.Error("89.24 % silver was excluded")
	}
}

func TestDensityRefuses(t *testing.T) {
	for question, want := range map[string]string{
		`{"method":"hung","dry_g":"12.5","wet_g":"12.6","water_c":"21"}`:                        "heavier in water",
		`{"method":"hung","dry_g":"12.5","water_c":"21"}`:                                       "in water is missing",
		`{"method":"hung","dry_g":"12.5","wet_g":"11.3"}`:                                       "temperature is missing",
		`{"method":"hung","dry_g":"heavy","wet_g":"11.3","water_c":"21"}`:                       "not a plain decimal",
		`{"method":"hung","dry_g":"12.5","wet_g":"11.3","water_c":"21","pressure_hpa":"1000"}`:  "go together",
		`{"method":"hung","dry_g":"12.5","wet_g":"11.3","water_c":"21","denomination":"florn"}`: "no such denomination",
		`{"method":"hung","dry":"12.5"}`:                                                        "no field",
		`[]`:                                                                                    "JSON object",
	} {
		if p := refusal(t, "density", question); !strings.Contains(p.Sentence, want) {
			t.Errorf("%s: %q, want %q", question, p.Sentence, want)
		}
	}
}

func TestRollCountsAndMixes(t *testing.T) {
	var count rollOut
	ask(t, "roll", `{"issue":"us-dime-clad","total_g":"113.2"}`, &count)
	if count.Of != "count" || count.Low > 50 || count.High < 50 {
		t.Errorf("a roll of fifty dimes: %+v", count)
	}
	var mix rollOut
	ask(t, "roll", `{"issue":"us-dime-clad","other":"us-dime-silver","count":"50","total_g":"113.9","wrapper_g":"0.7","u_wrapper_g":"0.15","expected_share":"0.001"}`, &mix)
	if mix.OneSeen == nil || *mix.OneSeen > 0.5 || *mix.Least < 2 {
		t.Errorf("a wrapped roll claims too much: %+v", mix)
	}
	if !strings.Contains(mix.Sentence, "would be noticed") {
		t.Errorf("the sentence does not say how little it can tell: %q", mix.Sentence)
	}
	// Half of an open pile of cents being bronze is plain to see.
	ask(t, "roll", `{"issue":"us-cent-zinc","other":"us-cent-memorial-bronze","count":"50","total_g":"139.5"}`, &mix)
	if mix.Low > 25 || mix.High < 24 || mix.High-mix.Low > 12 {
		t.Errorf("a half-bronze pile: %+v", mix)
	}
}

func TestRollRefuses(t *testing.T) {
	for question, want := range map[string]string{
		`{"issue":"us-dime-tin","total_g":"113.2"}`:                                    "no issue",
		`{"issue":"us-dime-clad","total_g":"-3"}`:                                      "total weight",
		`{"issue":"us-dime-clad"}`:                                                     "not a plain decimal",
		`{"issue":"us-dime-clad","other":"us-dime-silver","total_g":"113"}`:            "whole number",
		`{"issue":"us-dime-clad","other":"us-dime-clad","count":"50","total_g":"113"}`: "same",
	} {
		if p := refusal(t, "roll", question); !strings.Contains(p.Sentence, want) {
			t.Errorf("%s: %q, want %q", question, p.Sentence, want)
		}
	}
}
