package journal

import (
	"fmt"
	"math/big"
	"testing"

	"pgregory.net/rapid"
)

// TestFaceValuesAddExactly holds the sums to exact rationals.
func TestFaceValuesAddExactly(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, want := purse{}, new(big.Rat)
		for range rapid.IntRange(1, 20).Draw(t, "amounts") {
			f := Face{fmt.Sprintf("%d", rapid.IntRange(0, 999_999_999).Draw(t, "whole")), "USD"}
			if digits := rapid.IntRange(0, 4).Draw(t, "digits"); digits > 0 {
				f.Amount += fmt.Sprintf(".%0*d", digits, rapid.IntRange(0, []int{0, 9, 99, 999, 9999}[digits]).Draw(t, "fraction"))
			}
			if wrong := f.check(); !wrong.None() {
				t.Fatalf("%s: %s", f.Amount, wrong.Code)
			}
			r, _ := new(big.Rat).SetString(f.Amount)
			if rapid.Bool().Draw(t, "out") {
				p.add(&f, -1)
				want.Sub(want, r)
			} else {
				p.add(&f, 1)
				want.Add(want, r)
			}
		}
		got, ok := new(big.Rat).SetString(p.list()[0].Amount)
		if !ok || got.Cmp(want) != 0 {
			t.Fatalf("%s, want %s", p.list()[0].Amount, want)
		}
	})
}

func TestFaceValuesKeepTheirDigits(t *testing.T) {
	p := purse{}
	for _, f := range []Face{{"25", "USD"}, {"0.50", "USD"}, {"1000", "JPY"}, {"0.005", "GBP"}} {
		p.add(&f, 1)
	}
	p.add(&Face{"0.51", "GBP"}, -1)
	got := fmt.Sprint(p.list())
	if want := "[{-0.505 GBP} {1000 JPY} {25.50 USD}]"; got != want {
		t.Errorf("%s, want %s", got, want)
	}
}

// TestActiveTimeMinuteByMinute counts the minutes that no pause covers.
func TestActiveTimeMinuteByMinute(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		const minute = 60_000
		at := rapid.Int64Range(1, 60)
		begun, ended, now := at.Draw(t, "begun"), rapid.Int64Range(0, 60).Draw(t, "ended"), at.Draw(t, "now")
		var pauses [][2]int64
		for range rapid.IntRange(0, 4).Draw(t, "pauses") {
			from := at.Draw(t, "from")
			to := int64(0)
			if rapid.Bool().Draw(t, "over") {
				to = from + rapid.Int64Range(0, 20).Draw(t, "for")
			}
			pauses = append(pauses, [2]int64{from * minute, to * minute})
		}
		end := ended
		if end == 0 {
			end = now
		}
		want := int64(0)
		for m := begun; m < end; m++ {
			covered := false
			for _, p := range pauses {
				covered = covered || p[0] <= m*minute && (p[1] == 0 || m*minute < p[1])
			}
			if !covered {
				want += minute
			}
		}
		if got := activeTime(begun*minute, ended*minute, now*minute, pauses); got != want {
			t.Fatalf("%d minutes, want %d; from %d to %d, pauses %v", got/minute, want/minute, begun, end, pauses)
		}
	})
}
