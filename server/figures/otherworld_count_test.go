package figures

import (
	"math"
	"slices"
	"testing"

	"panside/internal/otherscale"
)

// given are the numbers of the happening that stayed, in the order they came.
func (t *table) given() (all []*number) {
	for _, n := range t.numbers {
		if n.mean > 0 { // what is below zero is a load taken off
			all = append(all, n)
		}
	}
	slices.SortFunc(all, func(a, b *number) int { return int(math.Copysign(1, a.first-b.first)) })
	return all
}

// deal gives every number to a coin, in the order they came, and returns those that
// nobody takes. A coin that can't be known takes none from one that can: one that was
// exchanged for such a coin may be lifted under its number. What is left over may be its
// own, counted as late as while the next one lay there.
func (t *table) deal(all []*number) (left []*number) {
	took := func(i int, fits func(*number) bool) bool {
		j := slices.IndexFunc(all, fits)
		if j < 0 {
			return false
		}
		c, n := t.coins[i], all[j]
		c.numbers, c.mean = c.numbers+1, float64(n.mean)
		c.withheld = c.withheld && !n.rested
		all = slices.Delete(all, j, j+1)
		return true
	}
	for i, c := range t.coins {
		own := func(n *number) bool { return n.first >= c.touch && n.first <= t.counted(i) }
		taken := func(n *number) bool { return n.is == c.under && n.first >= t.unknownSince(i) }
		if c.apart == "" && !took(i, own) {
			took(i, taken)
		}
	}
	for i, c := range t.coins {
		until := t.counted(i)
		if i+1 < len(t.coins) {
			until = math.Max(until, t.coins[i+1].lift)
		}
		if c.apart != "" {
			took(i, func(n *number) bool { return n.first >= c.touch && n.first <= until })
		}
	}
	return all
}

// counted is until when a coin's number may come: a moment after the next one.
func (t *table) counted(i int) float64 {
	if i+1 < len(t.coins) {
		return t.coins[i+1].touch + math.Max(1, t.cfg.Response())
	}
	return math.Inf(1)
}

// unknownSince is since when only coins that can't be known lay where this one was put;
// its own time if there were none.
func (t *table) unknownSince(i int) float64 {
	since := t.coins[i].touch
	for i--; i >= 0 && t.coins[i].apart != "" && t.coins[i].lift < since; i-- {
		since = t.coins[i].touch
	}
	return since
}

// TestOtherWorldDealsNumbers holds the counting to coins and numbers written down one by
// one: of each coin when it was put down and lifted and under which number, of each number
// when it came.
func TestOtherWorldDealsNumbers(t *testing.T) {
	type coin struct {
		touch, lift float64
		under       uint64
		apart       string
	}
	for _, c := range []struct {
		what  string
		coins []coin
		first []float64 // of numbers 1, 2, …
		want  []int     // numbers of each coin
		left  int
	}{
		{"each its own", []coin{{1, 3, 1, ""}, {3.5, 6, 2, ""}}, []float64{1.5, 4}, []int{1, 1}, 0},
		{"the second isn't counted", []coin{{1, 3, 1, ""}, {3.5, 6, 1, ""}}, []float64{1.5}, []int{1, 0}, 0},
		{"the first never shown, one number for both", []coin{{1, 3, 1, "never shown"}, {3.5, 6, 1, ""}}, []float64{1.5}, []int{0, 1}, 0},
		{"the same, and the second told under no number", []coin{{1, 3, 1, "never shown"}, {3.5, 6, 0, ""}}, []float64{1.5}, []int{1, 0}, 0},
		{"the first never shown and counted with the second", []coin{{1, 3, 0, "never shown"}, {3.5, 6, 2, ""}}, []float64{4, 5.5}, []int{1, 1}, 0},
		{"the second counted twice", []coin{{1, 3, 1, ""}, {3.5, 6, 3, ""}}, []float64{1.5, 4, 5.5}, []int{1, 1}, 1},
		{"on top of one that was never shown", []coin{{1, 6, 1, "never shown"}, {3.5, 6, 1, ""}}, []float64{1.5}, []int{1, 0}, 0},
		{"two never shown before it", []coin{{1, 2, 1, "never shown"}, {2.2, 3, 1, "never shown"}, {3.5, 6, 1, ""}}, []float64{1.5}, []int{0, 0, 1}, 0},
	} {
		at := &table{cfg: otherscale.Config{DisplayRate: 10, Oversample: 1, Omega: 30, Zeta: 0.5}}
		for _, k := range c.coins {
			at.coins = append(at.coins, &laid{touch: k.touch, lift: k.lift, under: k.under, apart: k.apart})
		}
		var all []*number
		for i, first := range c.first {
			all = append(all, &number{is: uint64(i + 1), first: first, mean: 2.5})
		}
		left := at.deal(all)
		var got []int
		for _, k := range at.coins {
			got = append(got, k.numbers)
		}
		if !slices.Equal(got, c.want) || len(left) != c.left {
			t.Errorf("%s: %v and %d left, not %v and %d", c.what, got, len(left), c.want, c.left)
		}
	}
}
