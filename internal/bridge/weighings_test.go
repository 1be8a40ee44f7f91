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
	if !remains["90% silver"] || remains["clad, copper-nickel on copper"] {
		t.Errorf("remaining alloys: %v", remains)
	}
	// Halves of 1794 to 1836 had 89.24 % silver; no kitchen scale tells
	// from 90 %, and the answer must not pretend to.
	if !remains["89.24% silver"] {
		t.Error("89.24 % silver was excluded")
	}
}

func TestDensityRefuses(t *testing.T) {
	for question, want := range map[string]string{
		`{"method":"hung","dry_g":"12.5","wet_g":"12.6","water_c":"21"}`:                        "heavier in water",
		`{"method":"hung","wet_g":"11.3","water_c":"21"}`:                                       "dry weight is missing",
		`{"method":"hung","dry_g":"12.5","water_c":"21"}`:                                       "in water is missing",
		`{"method":"hung","dry_g":"12.5","wet_g":"11.3"}`:                                       "temperature is missing",
		`{"method":"hung","dry_g":"heavy","wet_g":"11.3","water_c":"21"}`:                       "isn’t a number",
		`{"method":"hung","dry_g":"12.5","wet_g":"11.3","water_c":"21","pressure_hpa":"1000"}`:  "go together",
		`{"method":"hung","dry_g":"12.5","wet_g":"11.3","water_c":"21","denomination":"florn"}`: "no denomination “florn”",
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
	if count.Of != "count" || count.Mix != nil || count.Low > 50 || count.High < 50 {
		t.Errorf("a roll of fifty dimes: %+v", count)
	}
	var mix rollOut
	ask(t, "roll", `{"issue":"us-dime-clad","other":"us-dime-silver","count":"50","total_g":"113.9","wrapper_g":"0.7","u_wrapper_g":"0.15","expected_share":"0.001"}`, &mix)
	if mix.Mix == nil || mix.OneSeen > 0.5 || mix.Least < 2 {
		t.Errorf("a wrapped roll claims too much: %+v", mix)
	}
	if !strings.Contains(mix.Sentence, "would show up") {
		t.Errorf("the sentence does not say how little it can tell: %q", mix.Sentence)
	}
	if mix.Pure < 0.05 || mix.Any == nil {
		t.Errorf("a roll that weighs what a pure one may: %+v", mix)
	}
	// Named by denomination and year, and with nothing expected beforehand: no
	// probability is claimed.
	mix = rollOut{}
	ask(t, "roll", `{"issue":"dime 1998","other":"dime 1960","count":"50","total_g":"113.9"}`, &mix)
	if mix.Any != nil || mix.Mix == nil {
		t.Errorf("a probability out of nothing: %+v", mix)
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
		`{"issue":"us-dime-clad"}`:                                                     "weight is missing",
		`{"issue":"us-dime-clad","total_g":"heavy"}`:                                   "isn’t a number",
		`{"issue":"dime 1795","total_g":"113"}`:                                        "no dime of 1795",
		`{"issue":"cent 1982","total_g":"113"}`:                                        "us-cent-zinc",
		`{"issue":"us-dime-clad","other":"us-dime-silver","total_g":"113"}`:            "whole number",
		`{"issue":"us-dime-clad","other":"us-dime-clad","count":"50","total_g":"113"}`: "same",
	} {
		if p := refusal(t, "roll", question); !strings.Contains(p.Sentence, want) {
			t.Errorf("%s: %q, want %q", question, p.Sentence, want)
		}
	}
}

// TestRefusalsNameTheValue: a form or a program can point at what is wrong.
func TestRefusalsNameTheValue(t *testing.T) {
	const (
		weighing = `"method":"hung","dry_g":"12.5","wet_g":"11.3","water_c":"21"`
		pile     = `"issue":"us-dime-clad","other":"us-dime-silver","count":"50","total_g":"113"`
	)
	for _, tc := range []struct{ method, given, change, field string }{
		{"density", weighing, `"dry_g":"0"`, "dry_g"},
		{"density", weighing, `"wet_g":"12.6"`, "wet_g"},
		{"density", weighing, `"wet_g":"-1"`, "wet_g"},
		{"density", weighing, `"method":"cup","wet_g":"0"`, "wet_g"},
		{"density", weighing, `"method":"cup","wet_g":"12.5"`, "wet_g"},
		{"density", weighing, `"method":"guess"`, "method"},
		{"density", weighing, `"water_c":"95"`, "water_c"},
		{"density", weighing, `"u_water_c":"-1"`, "u_water_c"},
		{"density", weighing, `"u_g":"0"`, "u_g"},
		{"density", weighing, `"pressure_hpa":"100","humidity_pct":"50","air_c":"20"`, "pressure_hpa"},
		{"density", weighing, `"pressure_hpa":"1000","humidity_pct":"150","air_c":"20"`, "humidity_pct"},
		{"density", weighing, `"pressure_hpa":"1000","humidity_pct":"50","air_c":"90"`, "air_c"},
		{"roll", pile, `"total_g":"0"`, "total_g"},
		{"roll", pile, `"count":"0"`, "count"},
		{"roll", pile, `"count":"some"`, "count"},
		{"roll", pile, `"other":"us-dime-clad"`, "other"},
		{"roll", pile, `"wrapper_g":"200"`, "wrapper_g"},
		{"roll", pile, `"u_wrapper_g":"-1"`, "u_wrapper_g"},
		{"roll", pile, `"expected_share":"1.5"`, "expected_share"},
		{"roll", pile, `"total_g":"9999"`, "total_g"},
	} {
		// The later of two equal names counts.
		p := refusal(t, tc.method, "{"+tc.given+","+tc.change+"}")
		if p.Field != tc.field || !strings.HasSuffix(p.Sentence, ".") {
			t.Errorf("%s with %s: %+v, want field %s", tc.method, tc.change, p, tc.field)
		}
	}
}

// TestDensityNamesTheCoinThatWasWeighed: a quarter of 6.21 g, of any denomination,
// is one of silver coins, and among these a quarter stands first.
func TestDensityNamesTheCoinThatWasWeighed(t *testing.T) {
	for _, tc := range []struct{ dry, wet, metal, coin string }{
		{"6.21", "5.61", "90% silver", "quarter"},
		{"2.48", "2.24", "90% silver", "dime"},
		{"12.44", "11.24", "90% silver", "half dollar"},
	} {
		var got struct {
			Alloys []struct {
				Name  string
				Coins []string
			}
		}
		ask(t, "density", `{"method":"hung","dry_g":"`+tc.dry+`","wet_g":"`+tc.wet+`","water_c":"21"}`, &got)
		found := false
		for _, a := range got.Alloys {
			if a.Name == tc.metal {
				found = true
				if len(a.Coins) == 0 || !strings.Contains(a.Coins[0], tc.coin) {
					t.Errorf("%s g: %s: %v", tc.dry, a.Name, a.Coins)
				}
			}
		}
		if !found {
			t.Errorf("%s g: no %s among %+v", tc.dry, tc.metal, got.Alloys)
		}
	}
}

// TestTheSourceOfTheCoinsCounts: a dime of 2.50 g of a jar is silver; from a roll it
// may as well be a cent that strayed in.
func TestTheSourceOfTheCoinsCounts(t *testing.T) {
	for source, call := range map[string]string{"": "ordinary", "jar": "ordinary", "bank-roll": "either", "Bank roll": "either", "inherited": "ordinary"} {
		var got struct {
			Call, Headline string
			Alloys         []struct{ Probability float64 }
		}
		ask(t, "judge", `{"denomination":"dime","value":"2.50","keep":[],"source":"`+source+`"}`, &got)
		if got.Call != call || call == "either" && !(got.Alloys[0].Probability < 0.75) {
			t.Errorf("%q: %+v", source, got)
		}
	}
}
