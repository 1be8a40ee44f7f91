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

func TestQuickSortsAsTheLibrary(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		words := rapid.SliceOf(rapid.StringMatching(`[ab]{0,3}`)).Draw(t, "words")
		want := slices.Clone(words)
		slices.Sort(want)
		set := map[string]int{}
		for _, w := range words {
			set[w]++
		}
		stable.Words(words)
		if !slices.Equal(words, want) {
			t.Fatalf("%v, want %v", words, want)
		}
		if got := stable.Keys(set); !slices.Equal(got, slices.Compact(want)) {
			t.Fatalf("keys %v of %v", got, want)
		}
	})
}

func TestInsertedInTheOrderOfTheLibrary(t *testing.T) {
	type pair struct{ key, place int }
	rapid.Check(t, func(t *rapid.T) {
		var list, want []pair
		for place, key := range rapid.SliceOf(rapid.IntRange(0, 9)).Draw(t, "keys") {
			want = append(want, pair{key, place})
			list = stable.Insert(list, pair{key, place}, func(a, b pair) bool { return a.key < b.key })
		}
		slices.SortStableFunc(want, func(a, b pair) int { return a.key - b.key })
		if !slices.Equal(list, want) {
			t.Fatalf("%v, want %v", list, want)
		}
	})
}
