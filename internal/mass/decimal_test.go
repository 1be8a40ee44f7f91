package mass_test

import (
	"math/big"
	"testing"

	"pgregory.net/rapid"

	"panside/internal/fault"
	"panside/internal/mass"
)

func TestParseDecimalKeepsEveryDigit(t *testing.T) {
	for in, want := range map[string]string{
		"3.11":                  "3.11",
		"3.110":                 "3.110",
		"+0.00":                 "0.00",
		"-0.01":                 "-0.01",
		"0003.11":               "3.11",
		"12":                    "12",
		"0.000000000000001":     "0.000000000000001",
		"999999999999999999":    "999999999999999999",
		"000000000000000000003": "3",
	} {
		d, err := mass.ParseDecimal(in)
		if err != nil {
			t.Errorf("%q: %v", in, err)
			continue
		}
		if got := d.String(); got != want {
			t.Errorf("%q prints as %q, want %q", in, got, want)
		}
	}
}

func TestParseDecimalRefusesWhatIsNoNumber(t *testing.T) {
	for _, in := range []string{
		"", "-", "+", ".", "3.", ".5", "3,11", "3.1.1", "1e3", "NaN", "Inf", " 3", "3 ", "--3", "0x10",
		"٣", "3.11g", "1000000000000000000", "0.0000000000000001", "3.1\x001",
	} {
		d, err := mass.ParseDecimal(in)
		if err == nil {
			t.Errorf("%q was read as %v", in, d)
			continue
		}
		if fault.Of(err).Code != fault.BadNumber {
			t.Errorf("%q: code %v", in, fault.Of(err).Code)
		}
	}
}

// TestDecimalAgainstBigRat checks value, product and order against the
// standard library's exact rationals.
func TestDecimalAgainstBigRat(t *testing.T) {
	decimals := rapid.Custom(func(t *rapid.T) mass.Decimal {
		return mass.NewDecimal(rapid.Int64Range(-1e9, 1e9).Draw(t, "coef"), uint8(rapid.IntRange(0, 6).Draw(t, "places")))
	})
	rat := func(d mass.Decimal) *big.Rat {
		r, ok := new(big.Rat).SetString(d.String())
		if !ok {
			t.Fatalf("big.Rat can't read %q", d.String())
		}
		return r
	}
	rapid.Check(t, func(t *rapid.T) {
		a, b := decimals.Draw(t, "a"), decimals.Draw(t, "b")
		back, err := mass.ParseDecimal(a.String())
		if err != nil || back != a {
			t.Fatalf("%v reads back as %v, %v", a, back, err)
		}
		if got, want := a.Cmp(b), rat(a).Cmp(rat(b)); got != want {
			t.Fatalf("Cmp(%v, %v) = %d, want %d", a, b, got, want)
		}
		want := new(big.Rat).Mul(rat(a), rat(b))
		if p, err := a.Mul(b); err == nil {
			if rat(p).Cmp(want) != 0 {
				t.Fatalf("%v × %v = %v, want %v", a, b, p, want.FloatString(15))
			}
			if p.Places() < a.Places() {
				t.Fatalf("%v × %v = %v lost digits", a, b, p)
			}
		}
		f, _ := rat(a).Float64()
		if a.Float64() != f {
			t.Fatalf("Float64(%v) = %v, nearest is %v", a, a.Float64(), f)
		}
	})
}

func TestMulRefusesToOverflow(t *testing.T) {
	if p, err := mass.MustDecimal("999999999999").Mul(mass.MustDecimal("28.349523125")); err == nil {
		t.Errorf("an overflow gave %v", p)
	}
}

func FuzzParseDecimal(f *testing.F) {
	for _, s := range []string{"3.11", "-0.00", "1e5", "9999999999999999999", "0.1234567890123456"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		d, err := mass.ParseDecimal(s)
		if err != nil {
			return
		}
		r, ok := new(big.Rat).SetString(s)
		if !ok {
			t.Fatalf("%q was read as %v, but is no number", s, d)
		}
		if back, _ := new(big.Rat).SetString(d.String()); back.Cmp(r) != 0 {
			t.Fatalf("%q was read as %v", s, d)
		}
	})
}
