package otherscale

import (
	"math"
	"testing"
	"time"

	"panside/internal/dialect"
	"panside/internal/mass"
)

// plain is a scale without noise, drift or filter.
func plain() Config {
	return Config{
		Places: 2, DisplayRate: 10, Oversample: 1, SincOrder: 1, Filter: Filter{Kind: Bare}, Sign: Sign{Kind: Equal, Displays: 8},
		Format: StatusComma, Repeat: 1, Omega: 80, Zeta: 0.7, CreepTime: 30, Capacity: 200, Tracking: NoTracking, Boot: 1,
	}
}

func play(s *Scale, seconds float64) (lines []Line) {
	s.Advance(seconds, func(l Line) { lines = append(lines, l) })
	return lines
}

func weight(s *Scale, grams float64) {
	now := s.Now()
	s.Push([]Point{{now, 0}, {now + 0.01, grams}})
}

// TestScaleShowsTheLoad: rounded, with its gain, its creep and its drift.
func TestScaleShowsTheLoad(t *testing.T) {
	c := plain()
	c.Places = 3
	c.Gain, c.CreepShare, c.Drift = 0.0004, 0.001, 0.003
	s := New(c, 1)
	play(s, 1)
	at := s.Now()
	weight(s, 10)
	for _, after := range []float64{60, 120, 300} {
		lines := play(s, after-(s.Now()-at))
		last := lines[len(lines)-1]
		want := 10*1.0004 + 10*0.001*(1-math.Exp(-(last.At-at)/30)) + 0.003*last.At/60
		near(t, "display, g", float64(last.Steps)/1000, want, 0.0011)
	}
}

// TestSwitchesItselfOff: 45 s of an unchanged weight count as idle (manual); it
// wakes with what lies on it as zero, and the first 0.3 s are off by 5 d.
func TestSwitchesItselfOff(t *testing.T) {
	c := plain()
	c.AutoOff = 45
	s := New(c, 2)
	play(s, 2)
	weight(s, 3.11)
	lines := play(s, 60)
	if !s.Off() {
		t.Fatal("still on")
	}
	near(t, "last line, s", lines[len(lines)-1].At, 2+45, 0.6)
	s.Wake()
	lines = play(s, 3)
	if len(lines) == 0 || s.Off() {
		t.Fatal("doesn't wake")
	}
	if first := lines[0].Steps; first < 0 || first > 5 {
		t.Errorf("begins with %d d", first)
	}
	if last := lines[len(lines)-1]; last.Steps != 0 {
		t.Errorf("shows %d d with the coin on that it took for zero", last.Steps)
	}
	weight(s, -3.11)
	lines = play(s, 2)
	near(t, "with the coin taken, d", float64(lines[len(lines)-1].Steps), -311, 0)
}

// TestZeroTracking: not faster than 0.5 d a second, or once a second and only
// from within 1 d (manuals).
func TestZeroTracking(t *testing.T) {
	for _, k := range []Tracking{Continuous, Stepped} {
		c := plain()
		c.Tracking, c.Drift = k, 0.06 // a tenth of a step a second
		s := New(c, 3)
		lines := play(s, 60)
		for _, l := range lines {
			if l.Steps < -1 || l.Steps > 1 {
				t.Fatalf("%s: %d d at %.1f s under a slow drift", k, l.Steps, l.At)
			}
		}
		was := s.zero
		play(s, 1.1)
		if d := math.Abs(s.zero-was) / 0.01; k == Continuous && d > 0.56 {
			t.Errorf("moved by %.2f d in a second", d)
		}
		weight(s, 0.03)
		lines = play(s, 3)
		if last := lines[len(lines)-1].Steps; last < 2 {
			t.Errorf("%s: a load of 3 d was tracked away to %d", k, last)
		}
	}
}

// TestLines: repeats of 2 to 4 a display, every n-th display, uneven intervals
// (0.166 to 1.766 s, mean 0.249, deviation 0.169), gaps, overload.
func TestLines(t *testing.T) {
	c := plain()
	c.Repeat = 3
	s := New(c, 4)
	weight(s, 50)
	lines := play(s, 20)
	if len(lines) < 599 || len(lines) > 601 {
		t.Errorf("%d lines in 20 s", len(lines))
	}
	c.Repeat, c.Every = 1, 5
	if n := len(play(New(c, 4), 20)); n != 40 {
		t.Errorf("%d lines in 20 s with every fifth display", n)
	}
	c.Every, c.Uneven = 1, true
	lines = play(New(c, 5), 4000)
	var gaps []float64
	for i := 1; i < len(lines); i++ {
		g := lines[i].At - lines[i-1].At
		if g < 0.1659 || g > 1.7661 {
			t.Fatalf("a gap of %.3f s", g)
		}
		gaps = append(gaps, g)
	}
	mean := 0.0
	for _, g := range gaps {
		mean += g / float64(len(gaps))
	}
	near(t, "mean gap", mean, 0.249, 0.01)
	near(t, "spread of gaps", deviation(gaps), 0.169, 0.04)

	c = plain()
	c.Burst = 0.25
	lines = play(New(c, 5), 10)
	if len(lines) < 97 {
		t.Errorf("%d lines in 10 s of bursts", len(lines))
	}
	for _, l := range lines {
		if off := math.Mod(l.At+1e-9, 0.25); off > 0.02 {
			t.Fatalf("a line at %.3f s", l.At)
		}
	}
	s = New(plain(), 6)
	s.Hush(1, 5)
	for _, l := range play(s, 8) {
		if l.At >= 1 && l.At < 5 {
			t.Fatalf("a line at %.2f s", l.At)
		}
	}
	weight(s, 200.08)
	if l := play(s, 3); l[len(l)-1].Over {
		t.Error("over at 8 d above its capacity")
	}
	weight(s, 0.02)
	if l := play(s, 3); !l[len(l)-1].Over || l[len(l)-1].Stable {
		t.Error("not over at 10 d above its capacity")
	}
}

// TestBytesAreRead: what it writes is what package dialect reads, unit and sign
// as far as the format carries them.
func TestBytesAreRead(t *testing.T) {
	for _, f := range []Format{StatusComma, TrailingFlag, LeadingMark, PrintLine, UnitAtRest, ValueOnly} {
		d := dialect.NewDecoder(dialect.Options{Dialect: string(f), Unit: mass.Gram})
		at := time.Unix(0, 0)
		d.Feed([]byte("\r\n"), at)
		for _, steps := range []int{0, 7, 311, -311, 12345} {
			for _, stable := range []bool{true, false} {
				for try := range 2 { // the decoder believes a line of another width at its second
					at = at.Add(time.Second)
					r := d.Feed(write(f, steps, 2, false, stable), at)
					if try == 0 {
						continue
					}
					want := mass.StatusMoving
					switch {
					case f == ValueOnly:
						want = mass.StatusUnknown
					case stable:
						want = mass.StatusStable
					}
					if len(r) != 1 || !r[0].HasValue || r[0].Status != want || math.Abs(r[0].Quantity.Value.Float64()-float64(steps)/100) > 1e-9 || r[0].Resolution.Float64() != 0.01 {
						t.Errorf("%s %d %v: %q read as %+v", f, steps, stable, write(f, steps, 2, false, stable), r)
					}
				}
			}
		}
		at = at.Add(time.Second)
		if r := d.Feed(write(f, 0, 2, true, false), at); len(r) != 1 || r[0].Status != mass.StatusOver {
			t.Errorf("%s: overload read as %+v", f, r)
		}
	}
}
