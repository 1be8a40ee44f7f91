package mat

import (
	"cmp"
	"slices"
)

// number gives the coins their numbers, row by row: a coin whose middle lies lower than the row's
// first by less than a radius belongs to the row.
func number(coins []Coin) {
	slices.SortFunc(coins, func(a, b Coin) int { return cmp.Or(cmp.Compare(a.Y, b.Y), cmp.Compare(a.X, b.X)) })
	for from := 0; from < len(coins); {
		to := from + 1
		for to < len(coins) && coins[to].Y < coins[from].Y+coins[from].Radius {
			to++
		}
		slices.SortFunc(coins[from:to], func(a, b Coin) int { return cmp.Compare(a.X, b.X) })
		from = to
	}
	for i := range coins {
		coins[i].Number = i + 1
	}
}

// Act is what is to be done with a coin. Words for the wire.
type Act string

// The acts.
const (
	Leave  Act = "leave"
	Turn   Act = "turn"    // the other side is wanted
	PickUp Act = "pick-up" // of a color that is looked for
	Look   Act = "look"    // color or side is unsure
)

// Wish is what the hunter looks for.
type Wish struct {
	// Classes to be picked up.
	Classes []string
	// Side that must lie up, "" for any.
	Side string
}

// For is what is to be done with one coin. Picking up comes first; what is unsure is looked at only
// if it matters to the wish.
func (w Wish) For(c Coin) Act {
	switch {
	case slices.Contains(w.Classes, c.Class):
		return PickUp
	case len(w.Classes) > 0 && c.Class == "":
		return Look
	case w.Side != "" && c.Side == "":
		return Look
	case w.Side != "" && c.Side != w.Side:
		return Turn
	}
	return Leave
}
