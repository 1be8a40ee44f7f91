package stable_test

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"panside/internal/stable"
)

func TestSortsAsTheLibrary(t *testing.T) {
	type pair struct{ key, place int }
	rapid.Check(t, func(t *rapid.T) {
		var list []pair
		for place, key := range rapid.SliceOf(rapid.IntRange(0, 9)).Draw(t, "keys") {
			list = append(list, pair{key, place})
		}
		want := slices.Clone(list)
		by := func(a, b pair) int { return a.key - b.key }
		slices.SortStableFunc(want, by)
		stable.Sort(list, by)
		if !slices.Equal(list, want) {
			t.Fatalf("%v, want %v", list, want)
		}
	})
}
