package bridge

import (
	"slices"
	"testing"

	"panside/internal/book/data"
	"panside/internal/fault"
)

// TestADoubledDieHasItsDates: who has named a doubled die on a cent hears of those
// that every searcher knows, each with where to look.
func TestADoubledDieHasItsDates(t *testing.T) {
	var out datedOut
	answer(t, callDated, `{"denomination":"cent","kind":"doubled-die"}`, &out)
	var years []string
	for _, d := range out.Dates {
		years = append(years, d.Years)
		if d.Name == "" || d.Where == "" || d.See == "" || d.Rarity == "" || d.Rarity == "normal" || d.Mints == nil {
			t.Errorf("%+v", d)
		}
	}
	for _, want := range []string{"1955", "1972", "1984"} {
		if !slices.Contains(years, want) {
			t.Errorf("%s isn't among %q", want, years)
		}
	}
	if !slices.IsSorted(years) {
		t.Errorf("not in order of years: %q", years)
	}
}

// TestKindsWithoutDates have none, and are no error: the person sees what they see.
func TestKindsWithoutDates(t *testing.T) {
	for _, in := range []string{
		`{"denomination":"cent","kind":"damage"}`, `{"denomination":"cent","kind":"no-such-kind"}`,
		`{"country":"EU","denomination":"2-euro","kind":"doubled-die"}`,
	} {
		var out datedOut
		answer(t, callDated, in, &out)
		if out.Dates == nil {
			t.Errorf("%s: no list", in)
		}
	}
	if _, err := callDated(data.Shelf(), []byte(`[`)); fault.Of(err).Code != fault.BadInput {
		t.Errorf("not an object: %v", err)
	}
}
