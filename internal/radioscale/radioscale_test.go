package radioscale

import (
	"encoding/binary"
	"math/big"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"panside/internal/fault"
	"panside/internal/mass"
)

var now = time.Date(2025, 1, 31, 20, 0, 0, 0, time.UTC)

func says(r mass.Reading) string {
	if r.Problem != nil {
		return string(r.Status) + " " + string(r.Problem.Code)
	}
	return r.Quantity.String() + ", step " + r.Resolution.String() + ", " + string(r.Status)
}

// TestMeasurements goes through the fields of Weight Measurement as the GATT
// Specification Supplement lists them: flags, weight (0.005 kg or 0.01 lb), time
// stamp (7 bytes), user (1), body mass index (2), height (2); least significant
// byte first. The supplement gives no examples, so the bytes are put together
// after it.
func TestMeasurements(t *testing.T) {
	stamp := []byte{0xE9, 0x07, 1, 31, 20, 0, 0} // 2025-01-31 20:00:00 as Date Time has it
	user, body := []byte{0xFF}, []byte{0xE6, 0x00, 0xD6, 0x06}
	for name, c := range map[string]struct {
		value []byte
		want  string
	}{
		"kilograms":                    {[]byte{0, 0x10, 0x27}, "50.000 kg, step 0.005, unknown"},
		"pounds":                       {[]byte{1, 0x10, 0x27}, "100.00 lb, step 0.01, unknown"},
		"nothing on it":                {[]byte{0, 0, 0}, "0.000 kg, step 0.005, unknown"},
		"one step":                     {[]byte{0, 1, 0}, "0.005 kg, step 0.005, unknown"},
		"the most there is":            {[]byte{0, 0xFE, 0xFF}, "327.670 kg, step 0.005, unknown"},
		"with its time":                {slices.Concat([]byte{2, 200, 0}, stamp), "1.000 kg, step 0.005, unknown"},
		"with an unknown user":         {slices.Concat([]byte{4, 200, 0}, user), "1.000 kg, step 0.005, unknown"},
		"with body mass and height":    {slices.Concat([]byte{8, 200, 0}, body), "1.000 kg, step 0.005, unknown"},
		"with all, in pounds":          {slices.Concat([]byte{15, 200, 0}, stamp, user, body), "2.00 lb, step 0.01, unknown"},
		"unsuccessful":                 {[]byte{0, 0xFF, 0xFF}, "error scale-fault"},
		"unsuccessful, with its time":  {slices.Concat([]byte{2, 0xFF, 0xFF}, stamp), "error scale-fault"},
		"nothing":                      {nil, "error garbled"},
		"half a weight":                {[]byte{0, 1}, "error garbled"},
		"its time cut short":           {slices.Concat([]byte{2, 200, 0}, stamp[:6]), "error garbled"},
		"more than its flags announce": {[]byte{0, 200, 0, 0}, "error garbled"},
		"a reserved flag":              {[]byte{16, 0, 0}, "error not-a-scale"},
	} {
		if got := says(Read(c.value, Steps{}, now)); got != c.want {
			t.Errorf("%s: %s, want %s", name, got, c.want)
		}
	}
}

// TestStepsOfTheFeature is the table of Weight Scale Feature, bits 3 to 6, of the
// GATT Specification Supplement.
func TestStepsOfTheFeature(t *testing.T) {
	for code, want := range []struct{ kg, lb string }{
		{"0.005", "0.01"}, // not specified
		{"0.5", "1"}, {"0.2", "0.5"}, {"0.1", "0.2"}, {"0.05", "0.1"}, {"0.02", "0.05"}, {"0.01", "0.02"}, {"0.005", "0.01"},
	} {
		// Bits around it: time stamps, users and body mass are known, heights to 1 mm.
		value := binary.LittleEndian.AppendUint32(nil, 7|uint32(code)<<3|3<<7)
		s, err := ParseFeature(value)
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range []struct {
			pounds bool
			want   string
			unit   mass.Unit
		}{{false, want.kg, mass.Kilogram}, {true, want.lb, mass.Pound}} {
			if got := s.In(c.pounds); got.Unit != c.unit || got.Value.Cmp(mass.MustDecimal(c.want)) != 0 {
				t.Errorf("code %d: %v, want %s %s", code, got, c.want, c.unit)
			}
		}
	}
	for name, c := range map[string]struct {
		value []byte
		want  fault.Code
	}{
		"cut short":             {[]byte{0x38, 0, 0}, fault.Garbled},
		"empty":                 {nil, fault.Garbled},
		"a reserved step":       {[]byte{8 << 3, 0, 0, 0}, fault.NotAScale},
		"the last reserved one": {[]byte{15 << 3, 0, 0, 0}, fault.NotAScale},
	} {
		if _, err := ParseFeature(c.value); err == nil || fault.Of(err).Code != c.want {
			t.Errorf("%s: %v", name, err)
		}
	}
	if s, err := ParseFeature([]byte{7 << 3, 0xFC, 0xFF, 0xFF}); err != nil || s.code != 7 {
		t.Errorf("bits of a later version: %v, %v", s, err)
	}
}

// TestNoStepTellsACoinsMetals: a half dollar of 90% silver weighs 12.50 g and a
// clad one 11.34 g (United States Mint, coin specifications), the widest gap from
// dime to half; every step of the service is three times as wide or more.
func TestNoStepTellsACoinsMetals(t *testing.T) {
	const gap = 12.50 - 11.34
	for code := range steps {
		for _, pounds := range []bool{false, true} {
			step := Steps{byte(code)}.In(pounds)
			f, err := step.Unit.Factor()
			if err != nil {
				t.Fatal(err)
			}
			if g := step.Value.Float64() * f.Float64(); g < 3*gap {
				t.Errorf("%v is fine enough for a half dollar: Refuse needs a limit", step)
			}
		}
	}
}

func TestTooCoarseIsSaidInsteadOfAWeight(t *testing.T) {
	tens := Steps{6}
	for _, c := range []struct {
		value []byte
		want  string
	}{
		{[]byte{0, 2, 0}, "steps of 10 g"},
		{[]byte{1, 2, 0}, "steps of 0.02 lb"},
	} {
		r := tens.Refuse(Read(c.value, tens, now))
		if r.HasValue || r.Status != mass.StatusError || r.Problem.Code != fault.TooCoarse || !strings.Contains(r.Problem.English(), c.want) {
			t.Errorf("%+v: %v", r, r.Problem)
		}
	}
	if r := tens.Refuse(Read([]byte{0, 0xFF, 0xFF}, tens, now)); r.Problem.Code != fault.ScaleFault {
		t.Errorf("another problem became %v", r.Problem)
	}
}

// TestWeightsAreExact compares with rational arithmetic.
func TestWeightsAreExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.Uint16Range(0, 0xFFFE).Draw(t, "n")
		flags := rapid.ByteRange(0, 15).Draw(t, "flags")
		value := append([]byte{flags, byte(n), byte(n >> 8)}, make([]byte, length(flags)-header)...)
		r := Read(value, Steps{rapid.ByteRange(0, 7).Draw(t, "steps")}, now)
		step, unit := big.NewRat(5, 1000), mass.Kilogram
		if flags&1 != 0 {
			step, unit = big.NewRat(1, 100), mass.Pound
		}
		got, ok := new(big.Rat).SetString(r.Quantity.Value.String())
		if !r.HasValue || !ok || r.Quantity.Unit != unit || got.Cmp(step.Mul(step, new(big.Rat).SetInt64(int64(n)))) != 0 {
			t.Fatalf("% x gives %+v", value, r)
		}
		if cutShort := Read(value[:len(value)-1], Steps{}, now); cutShort.HasValue {
			t.Fatalf("cut short, % x still gives %v", value, cutShort.Quantity)
		}
	})
}

// FuzzRead holds for any bytes: no panic; either a value with unit and step, or a
// reason; and never a value after Refuse.
func FuzzRead(f *testing.F) {
	f.Add([]byte{0, 0x10, 0x27}, []byte{7 << 3, 0, 0, 0})
	f.Add([]byte{15, 200, 0, 0xE9, 7, 1, 31, 20, 0, 0, 0xFF, 0xE6, 0, 0xD6, 6}, []byte{8 << 3, 0, 0, 0})
	f.Add([]byte{16, 0xFF, 0xFF}, []byte{})
	f.Fuzz(func(t *testing.T, value, feature []byte) {
		s, err := ParseFeature(feature)
		if err != nil && fault.Of(err).Code != fault.Garbled && fault.Of(err).Code != fault.NotAScale {
			t.Fatal(err)
		}
		r := Read(value, s, now)
		if _, err := r.Quantity.Unit.Factor(); r.HasValue && (err != nil || r.Resolution.Sign() != 1 || r.Problem != nil) {
			t.Fatalf("%+v", r)
		}
		if r.HasValue == (r.Problem != nil) {
			t.Fatalf("neither a value nor a reason, or both: %+v", r)
		}
		if c := s.Refuse(r); c.HasValue || c.Problem == nil {
			t.Fatalf("%+v", c)
		}
	})
}
