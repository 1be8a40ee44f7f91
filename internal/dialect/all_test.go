package dialect

import (
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"panside/internal/mass"
)

var start = time.Date(2025, 1, 31, 20, 0, 0, 0, time.UTC)

// units that every format can say.
var units = []mass.Unit{mass.Gram, mass.Milligram, mass.Kilogram, mass.Carat, mass.Grain, mass.Pennyweight, mass.TroyOunce, mass.Ounce, mass.Pound}

// quantity draws what a small scale may show: up to 4 digits before and 3 after
// the point.
func quantity(t *rapid.T) mass.Quantity {
	coef, places := rapid.Int64Range(-9_999_99, 9_999_99).Draw(t, "digits"), rapid.Uint8Range(0, 3).Draw(t, "places")
	return mass.Quantity{Value: mass.NewDecimal(coef, places), Unit: rapid.SampledFrom(units).Draw(t, "unit")}
}

var statuses = []mass.Status{mass.StatusStable, mass.StatusMoving, mass.StatusZero, mass.StatusOver, mass.StatusUnder, mass.StatusUnknown, mass.StatusError}

// comesBackAs is the status that Parse gives for what Format wrote: formats
// differ in what they can say.
func comesBackAs(d Dialect, s mass.Status) mass.Status {
	switch {
	case s == mass.StatusOver || s == mass.StatusUnder:
		return s
	case d.Name == valueOnly.Name:
		return mass.StatusUnknown
	case s == mass.StatusZero && d.framing == lineFraming:
		return mass.StatusStable
	case s == mass.StatusUnknown:
		return mass.StatusMoving
	}
	return s
}

func TestEveryFormatIsComplete(t *testing.T) {
	names := map[string]bool{}
	for _, d := range append(All(), template) {
		if names[d.Name] || d.Name == "" || d.Name != strings.ToLower(d.Name) || strings.ContainsAny(d.Name, " _,") {
			t.Errorf("%q is no good name, or is there twice", d.Name)
		}
		names[d.Name] = true
		if d.Summary.None() || d.Parse == nil || d.Format == nil || len(d.Settings) == 0 || d.bits <= 0 {
			t.Errorf("%s lacks something: %+v", d.Name, d)
		}
		for _, s := range d.Settings {
			if s.Baud < 1200 || s.Baud > 115200 || len(s.Framing) != 3 ||
				!strings.Contains("78", s.Framing[:1]) || !strings.Contains("NEO", s.Framing[1:2]) || !strings.Contains("12", s.Framing[2:]) {
				t.Errorf("%s: settings %v", d.Name, s)
			}
		}
		if d.KeepAwake && d.Poll == nil {
			t.Errorf("%s is kept awake by a poll it doesn't have", d.Name)
		}
	}
	if len(All()) < 8 {
		t.Errorf("only %d formats", len(All()))
	}
	if _, ok := ByName("no-such-format"); ok {
		t.Error("a format that doesn't exist was found")
	}
	if template.Name == "" || names[patternName] {
		t.Error("a format takes the pattern's name")
	}
}

// TestFormatAndParseAgree writes and reads back every kind of reading in every
// format, through the framer.
func TestFormatAndParseAgree(t *testing.T) {
	for _, d := range append(All(), template) {
		t.Run(d.Name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				q := quantity(t)
				status := rapid.SampledFrom(statuses).Draw(t, "status")
				wire := d.Format(q, status)
				if status == mass.StatusError || status == mass.StatusUnknown && wire == nil {
					if wire != nil {
						t.Fatalf("%q pretends to say an error", wire)
					}
					return
				}
				if wire == nil {
					t.Fatalf("can't say %v %s", q, status)
				}
				dec := decoderFor(d, q.Unit)
				got := dec.Feed(wire, start)
				if len(got) != 1 {
					t.Fatalf("%q gives %d readings", wire, len(got))
				}
				want := comesBackAs(d, status)
				over := want == mass.StatusOver || want == mass.StatusUnder
				if got[0].Status != want || got[0].HasValue == over {
					t.Fatalf("%q: %s, value %v; want %s", wire, got[0].Status, got[0].HasValue, want)
				}
				if !over && (got[0].Quantity != q || got[0].Resolution != q.Value.Step()) {
					t.Fatalf("%q: %v step %v, want %v", wire, got[0].Quantity, got[0].Resolution, q)
				}
			})
		})
	}
}

// decoderFor is a Decoder fixed to a format, past the first line end, as on a
// port that has been open for a while.
func decoderFor(d Dialect, unit mass.Unit) *Decoder {
	dec := NewDecoder(Options{Unit: unit})
	dec.formats, dec.fixed, dec.settled = []Dialect{d}, true, 0
	dec.evidence, dec.results, dec.considered = make(evidence, 1), make([]Result, 1), make([]bool, 1)
	dec.Feed([]byte("\r\n"), start)
	return dec
}

// TestFormatRefusesWhatDoesNotFit: a value too long for its columns is never
// cut to size.
func TestFormatRefusesWhatDoesNotFit(t *testing.T) {
	q := mass.Quantity{Value: mass.MustDecimal("12345678901.23"), Unit: mass.Gram}
	for _, d := range All() {
		if wire := d.Format(q, mass.StatusStable); wire != nil && !strings.Contains(string(wire), "12345678901.23") {
			t.Errorf("%s writes %q", d.Name, wire)
		}
	}
}

// TestFormatsDoNotContradictEachOther: what one format says is read by another
// in the same way or not at all, so that detection can't go wrong on it. Bare
// numbers are the exception: value-only may read the value of others and knows
// no status; its evidence is small for that reason.
func TestFormatsDoNotContradictEachOther(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := rapid.SampledFrom(All()).Draw(t, "format")
		q := quantity(t)
		wire := a.Format(q, rapid.SampledFrom(statuses[:5]).Draw(t, "status"))
		if wire == nil {
			return
		}
		var mine Result
		collect(wire, func(f frame) {
			if f.kind == a.framing {
				mine = a.Parse(f.data)
			}
		})
		collect(wire, func(f frame) {
			for _, b := range All() {
				if b.framing != f.kind || b.Name == a.Name {
					continue
				}
				r := b.Parse(f.data)
				switch {
				case r.Outcome != Read || r.same(mine):
				case b.loose && r.HasValue && r.Quantity.Value == q.Value && (r.unitless || r.Quantity.Unit == q.Unit):
				case b.loose && !r.HasValue:
				case a.loose && r.HasValue && r.Quantity == q:
				case mine.unitless && r.HasValue && r.Quantity.Value == q.Value:
					t.Fatalf("%s gives the unitless %q of %s a unit", b.Name, wire, a.Name)
				default:
					t.Fatalf("%q of %s: %s; %s reads %s", wire, a.Name, describe(mine), b.Name, describe(r))
				}
			}
		})
	})
}

// collect runs all framers over bytes.
func collect(wire []byte, take func(frame)) {
	var l lineFramer
	var b blockFramer
	var r replyFramer
	for _, c := range wire {
		l.feed(c, take)
		b.feed(c, take)
		r.feed(c, take)
	}
}

// TestKinIsOneName for the formats that the lines of one scale can alternate
// between, and no other.
func TestKinIsOneName(t *testing.T) {
	for _, d := range All() {
		want := d.Name
		if slices.Contains([]string{"worded-line", "value-only", "print-line"}, d.Name) {
			want = "worded-line"
		}
		if got := Kin(d.Name); got != want {
			t.Errorf("%s is of the kin %s, want %s", d.Name, got, want)
		}
	}
	if Kin("") != "" || Kin("a pattern") != "a pattern" {
		t.Error("what is no format has a kin")
	}
}
