package coin_test

import (
	"testing"

	"panside/internal/book/data"
	"panside/internal/coin"
)

func TestTheBookHasEveryDenomination(t *testing.T) {
	b := data.Coins()
	for country, denominations := range map[string]string{
		"US": "half-cent cent two-cent three-cent half-dime nickel dime twenty-cent quarter half dollar dollar-gold quarter-eagle three-dollar half-eagle eagle double-eagle gold-25 gold-50",
		"CA": "cent nickel dime quarter half dollar two-dollar",
		"GB": "farthing old-halfpenny old-penny threepence groat sixpence shilling florin half-crown double-florin crown half-sovereign sovereign double-sovereign halfpenny penny two-pence five-pence ten-pence twenty-pence fifty-pence pound two-pounds five-pounds",
		"EU": "one-cent two-cent five-cent ten-cent twenty-cent fifty-cent one-euro two-euro",
	} {
		got := ""
		for n, d := range b.Denominations(country) {
			if d.Order != n+1 {
				t.Errorf("%s: order %d at place %d", d.ID, d.Order, n+1)
			}
			if n > 0 {
				got += " "
			}
			got += d.ID
		}
		if got != denominations {
			t.Errorf("%s has\n%s, want\n%s", country, got, denominations)
		}
	}
}

// TestEveryYearOfTheCent: a hunter's first coin has no gap after 1816, and the
// alloys follow one another as generally known.
func TestEveryYearOfTheCent(t *testing.T) {
	b := data.Coins()
	for year := 1816; year <= 2025; year++ {
		issues, err := b.Find("US", "cent", year, "")
		if err != nil {
			t.Errorf("%d: %v", year, err)
			continue
		}
		family := map[string]bool{}
		for _, i := range issues {
			if i.Circulating {
				family[b.Alloy(b.Planchet(i.Planchet).Alloy).Family] = true
			}
		}
		want := map[string]bool{}
		switch {
		case year <= 1857:
			want["copper"] = true
		case year <= 1864:
			want["cupronickel"] = true
		}
		switch {
		case year >= 1864 && year <= 1942, year >= 1944 && year <= 1982:
			want["bronze"] = true
		case year == 1943:
			want["steel-zinc"] = true
		}
		if year >= 1982 {
			want["zinc"] = true
		}
		// 1856 and 1857: the small cents overlap the large.
		if year == 1856 || year == 1857 {
			want["cupronickel"] = true
		}
		if len(family) != len(want) {
			t.Errorf("%d: alloys %v, want %v", year, family, want)
		}
		for f := range want {
			if !family[f] {
				t.Errorf("%d: alloys %v, want %v", year, family, want)
			}
		}
	}
}

func TestWhatEyeAndMagnetFind(t *testing.T) {
	b := data.Coins()
	for _, tc := range []struct {
		planchet string
		colour   coin.Colour
		stripe   bool
		magnetic coin.Magnetism
	}{
		{"us-cent-bronze", coin.Red, false, coin.NotMagnetic},
		{"us-cent-zinc", coin.Red, false, coin.NotMagnetic},
		{"us-cent-steel", coin.Grey, false, coin.VeryMagnetic},
		{"us-nickel-1982", coin.White, false, coin.NotMagnetic},
		{"us-quarter-clad", coin.White, true, coin.NotMagnetic},
		{"us-half-400", coin.White, false, coin.NotMagnetic},
		{"us-dollar-brass", coin.Yellow, true, coin.NotMagnetic},
		{"ca-quarter-nickel", coin.White, false, coin.VeryMagnetic},
		{"ca-nickel-steel", coin.White, false, coin.VeryMagnetic},
		{"ca-cent-steel", coin.Red, false, coin.VeryMagnetic},
		{"gb-penny-steel", coin.Red, false, coin.VeryMagnetic},
		{"gb-two-pounds", coin.TwoHue, false, coin.NotMagnetic},
		{"gb-pound", coin.TwoHue, false, coin.MagnetUnknown},
		{"eu-two-euro", coin.TwoHue, false, coin.WeakMagnetic},
	} {
		p := b.Planchet(tc.planchet)
		if p.Colour != tc.colour || p.Stripe != tc.stripe || p.Magnetic != tc.magnetic {
			t.Errorf("%s: %s, stripe %v, magnet %q", tc.planchet, p.Colour, p.Stripe, p.Magnetic)
		}
	}
}

// TestSampleRemediesAreNeverAPiecesLimit: UK and Canadian remedies are of a
// batch, US limits of a piece.
func TestSampleRemediesAreNeverAPiecesLimit(t *testing.T) {
	b := data.Coins()
	for _, i := range b.All() {
		l := b.Planchet(i.Planchet).Limit
		if !l.Known() {
			if l.Scope != "" || l.Value != 0 {
				t.Errorf("%s: an unknown limit has a scope or a value", i.ID)
			}
			continue
		}
		if (l.Scope == coin.PerPiece) != (i.Country == "US") || (l.Batch != "") != (l.Scope == coin.PerBatch) {
			t.Errorf("%s: scope %s, rule %q", i.ID, l.Scope, l.Batch)
		}
	}
}

func BenchmarkFind(b *testing.B) {
	book := data.Coins()
	for b.Loop() {
		if _, err := book.Find("US", "cent", 1982, "D"); err != nil {
			b.Fatal(err)
		}
	}
}
