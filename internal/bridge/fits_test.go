package bridge

import (
	"encoding/json"
	"strings"
	"testing"
)

type fitsAnswer struct {
	OK *struct {
		Sentence string
		Coins    []struct {
			ID, Country, Name string
			CountryName       string `json:"country_name"`
			Chance            float64
			LikelihoodRatio   float64 `json:"likelihood_ratio"`
			Planchet          struct{ Mass struct{ Source string } }
		}
		Tried   int
		Caution string
		Sources []struct{ ID string }
	}
	Error *struct{ Field, Sentence string }
}

func askFits(t *testing.T, in string) fitsAnswer {
	t.Helper()
	var a fitsAnswer
	if err := json.Unmarshal(Call("fits", []byte(in)), &a); err != nil {
		t.Fatal(err)
	}
	return a
}

// TestWhatFitsIsNamedWithItsSources: weights and sizes are from memory, as the book says.
func TestWhatFitsIsNamedWithItsSources(t *testing.T) {
	for in, want := range map[string]string{
		`{"value":"10.01","evidence":{"diameter_mm":28.5,"colour":"red","magnetic":false}}`: "Mexico, 20 centavos",
		`{"value":"6.25","evidence":{"diameter_mm":"24.8","magnetic":true}}`:                "Italy, 50 lire",
		`{"mean_g":3.95,"u_g":0.01,"evidence":{"diameter_mm":21,"color":"bimetal"}}`:        "Mexico, 1 peso",
		`{"value":"3.75","evidence":{"diameter_mm":22,"colour":"golden"}}`:                  "Japan, 5 yen",
		`{"value":"154.3","unit":"gr","evidence":{"diameter_mm":26.5,"colour":"golden"}}`:   "New Zealand, 2 dollars",
	} {
		a := askFits(t, in)
		if a.OK == nil || len(a.OK.Coins) == 0 {
			t.Errorf("%s: %+v", in, a.Error)
			continue
		}
		first := a.OK.Coins[0]
		if got := first.CountryName + ", " + first.Name; got != want || !strings.Contains(a.OK.Sentence, want) || !(first.Chance > 0 && first.LikelihoodRatio > 10) || a.OK.Tried < 600 {
			t.Errorf("%s: %s, %q, %+v, want %s", in, got, a.OK.Sentence, first, want)
		}
		named := false
		for _, s := range a.OK.Sources {
			named = named || s.ID == first.Planchet.Mass.Source
		}
		if !named {
			t.Errorf("%s: the source %q isn't listed", in, first.Planchet.Mass.Source)
		}
	}
	if a := askFits(t, `{"value":"7.4","evidence":{"diameter_mm":40}}`); a.OK == nil || len(a.OK.Coins) != 0 || !strings.HasPrefix(a.OK.Sentence, "No coin in the book fits.") {
		t.Errorf("%+v", a.OK)
	}
	if a := askFits(t, `{"value":"7.98","evidence":{"diameter_mm":22,"colour":"gold"}}`); a.OK == nil || !strings.Contains(a.OK.Caution, "fake") {
		t.Errorf("%+v", a.OK)
	}
}

func TestFitsRefusesByField(t *testing.T) {
	for in, field := range map[string]string{
		`{}`:                                  "value",
		`{"value":"x"}`:                       "value",
		`{"value":"-3"}`:                      "value",
		`{"value":"3","unit":"stone"}`:        "unit",
		`{"value":"3","denomination":"cent"}`: "denomination",
		`{"value":"3","evidence":{"design":true}}`:        "evidence.design",
		`{"value":"3","evidence":{"diameter_mm":"wide"}}`: "evidence.diameter_mm",
		`{"value":"3","evidence":{"diameter_mm":1000}}`:   "evidence.diameter_mm",
		`{"value":"3","evidence":{"magnetic":"perhaps"}}`: "evidence.magnetic",
		`{"value":"3","evidence":[]}`:                     "evidence",
		`{"value":"3","year":"long ago"}`:                 "year",
	} {
		if a := askFits(t, in); a.Error == nil || a.Error.Field != field || a.Error.Sentence == "" {
			t.Errorf("%s: %+v %+v, want the field %s", in, a.OK, a.Error, field)
		}
	}
}

// TestStrangersAreLookedUp by country, metal and year, and stay apart from what is judged.
func TestStrangersAreLookedUp(t *testing.T) {
	for in, want := range map[string]string{
		`{"text":"mexico 20 1950"}`:                    "mx-20-centavos-1943",
		`{"text":"yen aluminum"}`:                      "jp-1-yen-1955",
		`{"country":"PA","text":"silver","year":1966}`: "pa-1-2-balboa-1966 pa-1-balboa-1931",
		`{"text":"lincoln"}`:                           "",
		`{"text":"20","denomination":"cent"}`:          "",
	} {
		c := coins(t, in)
		var ids []string
		for _, s := range c.Strangers {
			ids = append(ids, s.ID)
			if s.CountryName == "" || s.Denomination != "" {
				t.Errorf("%+v", s)
			}
		}
		if got := strings.Join(ids, " "); got != want {
			t.Errorf("%s: %s, want %s", in, got, want)
		}
	}
}
