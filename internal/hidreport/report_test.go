package hidreport

import (
	"math/big"
	"testing"
	"time"

	"pgregory.net/rapid"

	"panside/internal/fault"
	"panside/internal/mass"
)

var now = time.Date(2025, 1, 31, 20, 0, 0, 0, time.UTC)

// usual is a descriptor written for this test after HID 1.11: report 3 with
// status, unit, scaling and a 16-bit weight, in a byte each but for the weight.
var usual = []byte{
	0x05, 0x8D, // usage page: weighing devices
	0x09, 0x20, // usage: scale device
	0xA1, 0x01, // collection: application
	0x09, 0x30, // usage: attribute report
	0xA1, 0x02, // collection: logical
	0x85, 0x01, //   report 1
	0x09, 0x21, //   usage: class; never decoded
	0x15, 0x00, 0x25, 0x0A, 0x75, 0x08, 0x95, 0x01, // 0 to 10, one byte
	0x81, 0x02, //   input: variable
	0x19, 0x51, 0x29, 0x5C, 0x81, 0x00, // a unit that isn't the load's
	0xC0,
	0x09, 0x32, // usage: data report
	0xA1, 0x02, // collection: logical
	0x85, 0x03, //   report 3
	0x15, 0x01, 0x25, 0x08, // 1 to 8
	0x19, 0x71, 0x29, 0x78, // usages: the members of status
	0x81, 0x00, //   input: array
	0x25, 0x0C, //   1 to 12
	0x19, 0x51, 0x29, 0x5C, // usages: the members of unit
	0x81, 0x00, //   input: array
	0x15, 0x81, 0x25, 0x7F, // -127 to 127
	0x09, 0x41, 0x81, 0x02, // scaling
	0x15, 0x00, 0x27, 0xFF, 0xFF, 0x00, 0x00, // 0 to 65535
	0x75, 0x10, // 16 bits
	0x09, 0x40, 0x81, 0x02, // weight
	0xC0, 0xC0,
}

func layout(t *testing.T, descriptor []byte) *Layout {
	t.Helper()
	l, err := ParseDescriptor(descriptor)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func says(r mass.Reading) string {
	switch {
	case r.HasValue:
		return r.Quantity.String() + ", step " + r.Resolution.String() + ", " + string(r.Status)
	case r.Problem != nil:
		return string(r.Status) + " " + string(r.Problem.Code)
	}
	return string(r.Status)
}

// TestReports checks reports against what they are known to mean. Sources: the
// rows marked “note” are from a developer's public device note, with the status
// byte it left open set to stable; “computed” rows are made from the usage
// tables; the rest are the tables' other members.
func TestReports(t *testing.T) {
	l := layout(t, usual)
	for _, tc := range []struct {
		report []byte
		want   string
		from   string
	}{
		{[]byte{3, 4, 0x02, 0x00, 0x14, 0x00}, "20 g, step 1, stable", "note"},
		{[]byte{3, 4, 0x0B, 0xFF, 0x34, 0x19}, "645.2 oz, step 0.1, stable", "note"},
		{[]byte{3, 0x04, 0x02, 0xFE, 0x37, 0x01}, "3.11 g, step 0.01, stable", "computed"},
		{[]byte{3, 0x04, 0x06, 0xFF, 0xE0, 0x01}, "48.0 gr, step 0.1, stable", "computed"},
		// In motion: not to be taken for a weighing, and says so.
		{[]byte{3, 0x03, 0x02, 0xFE, 0x37, 0x01}, "3.11 g, step 0.01, moving", "computed"},
		{[]byte{3, 0x02, 0x02, 0xFE, 0x00, 0x00}, "0.00 g, step 0.01, zero", "table"},
		{[]byte{3, 0x01, 0x02, 0xFE, 0x37, 0x01}, "error scale-fault", "table"},
		{[]byte{3, 0x05, 0x02, 0xFE, 0x37, 0x01}, "under underload", "table"},
		{[]byte{3, 0x06, 0x02, 0xFE, 0x37, 0x01}, "over overload", "table"},
		{[]byte{3, 0x07, 0x02, 0xFE, 0x37, 0x01}, "error scale-fault", "table"},
		{[]byte{3, 0x08, 0x02, 0xFE, 0x37, 0x01}, "error scale-fault", "table"},
		{[]byte{3, 0x00, 0x02, 0xFE, 0x37, 0x01}, "error garbled", "table"},
		{[]byte{3, 0x09, 0x02, 0xFE, 0x37, 0x01}, "error garbled", "table"},
		{[]byte{3, 4, 0x01, 0x00, 0x26, 0x0C}, "3110 mg, step 1, stable", "table"},
		{[]byte{3, 4, 0x03, 0xFD, 0x03, 0x00}, "0.003 kg, step 0.001, stable", "table"},
		{[]byte{3, 4, 0x04, 0xFE, 0x13, 0x06}, "15.55 ct, step 0.01, stable", "table"},
		{[]byte{3, 4, 0x05, 0xFE, 0x08, 0x00}, "error refused-unit", "table: tael"},
		{[]byte{3, 4, 0x07, 0xFD, 0xD0, 0x07}, "2.000 dwt, step 0.001, stable", "table"},
		{[]byte{3, 4, 0x08, 0x00, 0x01, 0x00}, "error refused-unit", "table: metric ton"},
		{[]byte{3, 4, 0x09, 0x00, 0x01, 0x00}, "error refused-unit", "table: avoirdupois ton"},
		{[]byte{3, 4, 0x0A, 0xFD, 0x64, 0x00}, "0.100 ozt, step 0.001, stable", "table"},
		{[]byte{3, 4, 0x0C, 0xFE, 0x64, 0x00}, "1.00 lb, step 0.01, stable", "table"},
		{[]byte{3, 4, 0x00, 0xFE, 0x37, 0x01}, "error unknown-unit", "table"},
		{[]byte{3, 4, 0x0D, 0xFE, 0x37, 0x01}, "error unknown-unit", "table"},
		{[]byte{3, 4, 0x02, 0x01, 0x14, 0x00}, "200 g, step 10, stable", "computed"},
		{[]byte{3, 4, 0x02, 0x80, 0x14, 0x00}, "error garbled", "computed"},
		{[]byte{3, 4, 0x02, 0x7F, 0x14, 0x00}, "error garbled", "computed"},
		{[]byte{3, 4, 0x02, 0xFE, 0x37}, "error garbled", "a byte short"},
		{[]byte{3, 4, 0x02, 0xFE, 0x37, 0x01, 0x00}, "3.11 g, step 0.01, stable", "padded with zero"},
		{[]byte{3, 4, 0x02, 0xFE, 0x37, 0x01, 0x07}, "error garbled", "a byte nobody explains"},
	} {
		r, ours := l.Read(tc.report, now)
		if got := says(r); !ours || got != tc.want {
			t.Errorf("% x (%s): %s, want %s", tc.report, tc.from, got, tc.want)
		}
		if r.Dialect != Dialect || !r.At.Equal(now) {
			t.Errorf("% x: dialect %q at %v", tc.report, r.Dialect, r.At)
		}
	}
	for _, report := range [][]byte{{1, 3, 2}, {}, {4, 4, 2, 0xFE, 0x37, 1}} {
		if _, ours := l.Read(report, now); ours {
			t.Errorf("% x is taken for a weight", report)
		}
	}
}

// TestOunceRowInGrams checks the published row 0B FF 34 19: 645.2 oz are
// 18291.1 g.
func TestOunceRowInGrams(t *testing.T) {
	r, _ := layout(t, usual).Read([]byte{3, 4, 0x0B, 0xFF, 0x34, 0x19}, now)
	g, err := r.Quantity.Grams()
	if err != nil || g.Float64() < 18291.05 || g.Float64() > 18291.15 {
		t.Errorf("%v, %v", g, err)
	}
}

// TestFieldsComeFromTheDescriptor: another order, no report number, fields of
// odd sizes, padding, a wide usage, push and pop.
func TestFieldsComeFromTheDescriptor(t *testing.T) {
	l := layout(t, []byte{
		0x05, 0x0D, // another page first
		0x0B, 0x01, 0x00, 0x8D, 0x00, // usage with its page: scales
		0xA1, 0x01,
		0x05, 0x8D,
		0xA4,                               // push
		0x15, 0x00, 0x75, 0x18, 0x95, 0x01, // 24 bits
		0x09, 0x40, 0x81, 0x02, // weight first
		0x75, 0x03, 0x81, 0x01, // 3 bits of padding
		0x15, 0x00, 0x75, 0x05, 0x09, 0x51, 0x09, 0x52, 0x09, 0x56, 0x81, 0x00, // mg, g or gr from 0
		0xB4,                               // pop: sizes are gone
		0x15, 0x81, 0x75, 0x08, 0x95, 0x01, // a byte
		0x09, 0x41, 0x81, 0x02, // scaling
		0x91, 0x02, // an output takes no room
		0xFE, 0x01, 0x00, 0xAA, // a long item is skipped
		0xC0,
	})
	r, ours := l.Read([]byte{0x37, 0x01, 0x00, 1 << 3, 0xFE}, now)
	if got := says(r); !ours || got != "3.11 g, step 0.01, unknown" {
		t.Errorf("grams: %s", got)
	}
	r, _ = l.Read([]byte{0xE0, 0x01, 0x00, 2<<3 | 5, 0xFF}, now)
	if got := says(r); got != "48.0 gr, step 0.1, unknown" {
		t.Errorf("grains, with padding set: %s", got)
	}
	r, _ = l.Read([]byte{0xE0, 0x01, 0x00, 3 << 3, 0xFF}, now)
	if got := says(r); got != "error unknown-unit" {
		t.Errorf("a unit past the list: %s", got)
	}
}

// TestStatusAndUnitAsPlainFields: some devices give the lists as plain fields.
func TestStatusAndUnitAsPlainFields(t *testing.T) {
	l := layout(t, []byte{
		0x05, 0x8D, 0x09, 0x20, 0xA1, 0x01,
		0x15, 0x00, 0x75, 0x08, 0x95, 0x02, 0x09, 0x70, 0x09, 0x50, 0x81, 0x02,
		0x16, 0x00, 0x80, 0x75, 0x10, 0x95, 0x01, 0x09, 0x40, 0x81, 0x02, // signed weight
		0xC0,
	})
	r, _ := l.Read([]byte{4, 2, 0xFE, 0xFF}, now)
	if got := says(r); got != "-2 g, step 1, stable" {
		t.Error(got)
	}
}

func TestWhatIsNoScaleIsRefused(t *testing.T) {
	mouse := []byte{0x05, 0x01, 0x09, 0x02, 0xA1, 0x01, 0x09, 0x30, 0x15, 0x81, 0x25, 0x7F, 0x75, 0x08, 0x95, 0x01, 0x81, 0x06, 0xC0}
	noWeight := []byte{0x05, 0x8D, 0x09, 0x20, 0xA1, 0x01, 0x19, 0x51, 0x29, 0x5C, 0x75, 0x08, 0x95, 0x01, 0x81, 0x00, 0xC0}
	limitOnly := []byte{0x05, 0x8D, 0x09, 0x20, 0xA1, 0x01, 0x09, 0x34, 0xA1, 0x02, 0x75, 0x08, 0x95, 0x01, 0x19, 0x51, 0x29, 0x5C, 0x81, 0x00, 0x09, 0x40, 0x81, 0x02, 0xC0, 0xC0}
	for name, d := range map[string][]byte{"mouse": mouse, "no weight": noWeight, "limit only": limitOnly, "empty": nil} {
		if _, err := ParseDescriptor(d); fault.Of(err) == nil || fault.Of(err).Code != fault.NotAScale {
			t.Errorf("%s: %v", name, err)
		}
	}
	for name, d := range map[string][]byte{
		"cut item":          usual[:1],
		"cut long item":     {0xFE, 0x09, 0x00},
		"pop from nothing":  {0xB4},
		"end of nothing":    {0xC0},
		"report number 0":   {0x85, 0x00},
		"reversed usages":   {0x19, 0x05, 0x29, 0x01},
		"an endless report": {0x75, 0x20, 0x96, 0xFF, 0xFF, 0x81, 0x02},
	} {
		if _, err := ParseDescriptor(d); fault.Of(err) == nil || fault.Of(err).Code != fault.Damaged {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// TestWeightsAreExact compares with rational arithmetic.
func TestWeightsAreExact(t *testing.T) {
	l := layout(t, usual)
	rapid.Check(t, func(t *rapid.T) {
		n, power := rapid.Uint16().Draw(t, "weight"), rapid.Int8Range(-15, 9).Draw(t, "power")
		r, _ := l.Read([]byte{3, 4, 2, byte(power), byte(n), byte(n >> 8)}, now)
		got, ok := new(big.Rat).SetString(r.Quantity.Value.String())
		want := new(big.Rat).SetInt64(int64(n))
		ten := big.NewRat(10, 1)
		for range max(power, -power) {
			if power > 0 {
				want.Mul(want, ten)
			} else {
				want.Quo(want, ten)
			}
		}
		if !r.HasValue || !ok || got.Cmp(want) != 0 {
			t.Fatalf("%d × 10^%d = %v, want %v", n, power, r.Quantity, want)
		}
	})
}

// FuzzDescriptor holds for any bytes: no panic; a value only with a known unit
// and a step.
func FuzzDescriptor(f *testing.F) {
	f.Add(usual, []byte{3, 4, 2, 0xFE, 0x37, 1})
	f.Add([]byte{0x05, 0x8D, 0x09, 0x20, 0xA1, 0x01, 0x75, 0x08, 0x95, 0x02, 0x09, 0x70, 0x09, 0x50, 0x81, 0x02, 0x09, 0x40, 0x81, 0x02, 0xC0}, []byte{4, 2, 9, 9})
	f.Fuzz(func(t *testing.T, descriptor, report []byte) {
		l, err := ParseDescriptor(descriptor)
		if err != nil {
			if c := fault.Of(err).Code; c != fault.NotAScale && c != fault.Damaged {
				t.Fatal(err)
			}
			return
		}
		r, ours := l.Read(report, now)
		if !ours {
			return
		}
		if _, err := r.Quantity.Unit.Factor(); r.HasValue && (err != nil || r.Resolution.Sign() != 1 || r.Problem != nil) {
			t.Fatalf("%+v", r)
		}
		if !r.HasValue && r.Problem == nil {
			t.Fatalf("neither a value nor a reason: %+v", r)
		}
	})
}
