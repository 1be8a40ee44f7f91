package settle_test

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"panside/internal/fault"
	"panside/internal/mass"
	"panside/internal/say"
	"panside/internal/settle"
	"panside/internal/simscale"
)

// lag is a scale reduced to arithmetic: a first-order lag, rounded to 0.01 g.
// It makes lines at any time for loads set at will.
type lag struct {
	tau      float64
	now      float64
	shown    float64
	load     float64
	status   mass.Status
	readings []mass.Reading
}

var epoch = time.Unix(2_000_000, 0)

func (l *lag) line() mass.Reading {
	return mass.Reading{
		At:         epoch.Add(time.Duration(l.now * 1e9)),
		Quantity:   mass.Quantity{Value: mass.NewDecimal(int64(math.Round(l.shown*100)), 2), Unit: mass.Gram},
		HasValue:   true,
		Resolution: mass.NewDecimal(1, 2),
		Status:     l.status,
	}
}

// run makes lines every dt seconds for a while.
func (l *lag) run(seconds, dt float64) {
	for n := int(math.Round(seconds / dt)); n > 0; n-- {
		l.now += dt
		l.shown += -math.Expm1(-dt/l.tau) * (l.load - l.shown)
		l.readings = append(l.readings, l.line())
	}
}

func newLag() *lag { return &lag{tau: 0.3, status: mass.StatusUnknown} }

func feed(t *settle.Tracker, lines []mass.Reading) (all []mass.Estimate) {
	for _, r := range lines {
		all = append(all, t.Feed(r))
	}
	return all
}

func last(all []mass.Estimate) mass.Estimate { return all[len(all)-1] }

func checkLoad(t *testing.T, e mass.Estimate, phase mass.Phase, number uint64, grams float64) {
	t.Helper()
	if e.Phase != phase || e.Placement != number || math.Abs(float64(e.Mean)-grams) > 0.012 {
		t.Errorf("%s, number %d, %.4f ± %.4f g; want %s, number %d, %.2f g", e.Phase, e.Placement, e.Mean, e.U, phase, number, grams)
	}
}

// TestValueOnly: a format without any status is judged by time alone, at any
// line rate.
func TestValueOnly(t *testing.T) {
	for _, dt := range []float64{0.05, 0.1, 0.2, 0.5, 1} {
		l := newLag()
		l.run(5, dt)
		l.load = 3.11
		l.run(8, dt)
		tr := settle.New(settle.Properties{})
		all := feed(tr, l.readings)
		checkLoad(t, last(all), mass.PhaseSettled, 1, 3.11)
		settled := 0.0
		for i, e := range all {
			if e.Phase == mass.PhaseSettled {
				settled = l.readings[i].At.Sub(epoch).Seconds() - 5
				break
			}
		}
		if settled < 0.3 || settled > 5 {
			t.Errorf("at %v s from line to line it settled after %v s", dt, settled)
		}
		l.load = 0
		l.readings = nil
		l.run(8, dt)
		if e := last(feed(tr, l.readings)); e.Phase != mass.PhaseEmpty || e.Placement != 1 {
			t.Errorf("at %v s from line to line the empty pan is %+v", dt, e)
		}
	}
}

// TestPile: coin after coin into a cup, each with its own weight and number,
// then some taken off again.
func TestPile(t *testing.T) {
	l := newLag()
	tr := settle.New(settle.Properties{})
	l.load = 24.37 // a cup that stands there from the start
	l.shown = l.load
	l.run(3, 0.1)
	checkLoad(t, last(feed(tr, l.readings)), mass.PhaseSettled, 1, 24.37)
	coins := []float64{3.11, 2.5, 2.5, 5, 3.11, 2.27, 11.34, 3.11, 3.11, 2.5}
	for i, g := range coins {
		l.readings = nil
		l.load += g
		l.run(2.5, 0.1)
		e := last(feed(tr, l.readings))
		checkLoad(t, e, mass.PhaseSettled, uint64(i+2), g)
		if math.Abs(float64(e.Pile)-l.load) > 0.02 {
			t.Errorf("pile %v, want %v", e.Pile, l.load)
		}
	}
	number := uint64(len(coins) + 1)
	for _, g := range []float64{2.5, 11.34} {
		l.readings = nil
		l.load -= g
		l.run(3, 0.1)
		number++
		checkLoad(t, last(feed(tr, l.readings)), mass.PhaseSettled, number, -g)
	}
	l.readings = nil
	l.load = 0
	l.run(4, 0.1)
	if e := last(feed(tr, l.readings)); e.Phase != mass.PhaseEmpty || e.Pile != 0 || e.Placement != number {
		t.Errorf("all taken off: %+v", e)
	}
}

// TestTaredCupLifted: a pan below its zero is empty, what is put on then is weighed
// by difference, and back at zero the pan is empty again.
func TestTaredCupLifted(t *testing.T) {
	l := newLag()
	tr := settle.New(settle.Properties{})
	step := func(load float64) mass.Estimate {
		l.readings = nil
		l.load = load
		l.run(4, 0.1)
		return last(feed(tr, l.readings))
	}
	if e := step(0); e.Phase != mass.PhaseEmpty {
		t.Fatalf("zero: %+v", e)
	}
	if e := step(-24.37); e.Phase != mass.PhaseEmpty || e.Placement != 0 {
		t.Errorf("cup lifted: %+v", e)
	}
	checkLoad(t, step(-24.37+3.11), mass.PhaseSettled, 1, 3.11)
	if e := step(0); e.Phase != mass.PhaseEmpty {
		t.Errorf("cup back: %+v", e)
	}
}

// TestEveningWithoutACoin: four hours of a zero that creeps by a gram an hour,
// wanders with the draught and is never tracked by the scale, are no load.
func TestEveningWithoutACoin(t *testing.T) {
	tr := settle.New(settle.Properties{})
	r := rand.New(rand.NewPCG(3, 4))
	l := newLag()
	draught := 0.0
	for l.now < 4*3600 {
		l.now += 0.2
		draught += 0.2/0.7*(0-draught) + 0.004*r.NormFloat64()
		l.shown = l.now/3600 + draught
		e := tr.Feed(l.line())
		if e.Placement != 0 || l.now > 2 && e.Phase != mass.PhaseEmpty {
			t.Fatalf("after %.0f s: %+v at %.2f g", l.now, e, l.shown)
		}
	}
}

// TestCoinsOnACreepingZero: coins are weighed right on it, all evening.
func TestCoinsOnACreepingZero(t *testing.T) {
	tr := settle.New(settle.Properties{})
	l := newLag()
	for n := uint64(1); n <= 100; n++ {
		rest := func(seconds, coin float64) mass.Estimate {
			var e mass.Estimate
			for end := l.now + seconds; l.now < end; {
				l.readings = nil
				l.load = coin + 0.5*l.now/3600
				l.run(0.1, 0.1)
				e = tr.Feed(l.readings[0])
			}
			return e
		}
		if e := rest(30, 0); e.Phase != mass.PhaseEmpty || e.Placement != n-1 {
			t.Fatalf("after %.0f s: %+v at %.2f g", l.now, e, l.shown)
		}
		checkLoad(t, rest(6, 2.5), mass.PhaseSettled, n, 2.5)
		if t.Failed() {
			t.Fatalf("after %.0f s, showing %.2f", l.now, l.shown)
		}
	}
}

// TestBadLinesChangeNothing: neither garbage nor a unit that has no grams ever
// becomes a number, and after a second of nothing else nothing is known.
func TestBadLinesChangeNothing(t *testing.T) {
	l := newLag()
	l.run(2, 0.1)
	l.load = 3.11
	l.run(4, 0.1)
	tr := settle.New(settle.Properties{})
	before := last(feed(tr, l.readings))
	bad := []mass.Reading{
		{Status: mass.StatusError, Problem: fault.New(fault.Garbled, say.New("The line can't be read."))},
		{Status: mass.StatusStable},
		{Status: mass.StatusStable, HasValue: true, Quantity: mass.Quantity{Value: mass.NewDecimal(999, 0), Unit: "stone"}},
	}
	for i := range 9 {
		l.now += 0.1
		r := bad[i%len(bad)]
		r.At = l.line().At
		if e := tr.Feed(r); e != before {
			t.Fatalf("bad line %d changed the estimate to %+v", i, e)
		}
	}
	l.now += 0.5
	r := bad[0]
	r.At = l.line().At
	if e := tr.Feed(r); e.Phase != mass.PhaseNone || e.HasLoad() || e.Mean != 0 {
		t.Errorf("after 1.4 s of bad lines: %+v", e)
	}
	l.readings = nil
	l.run(1.5, 0.1)
	checkLoad(t, last(feed(tr, l.readings)), mass.PhaseSettled, 1, 3.11) // the same coin still
}

func TestOverAndUnder(t *testing.T) {
	l := newLag()
	l.run(2, 0.1)
	l.load = 3.11
	l.run(4, 0.1)
	tr := settle.New(settle.Properties{})
	feed(tr, l.readings)
	for status, phase := range map[mass.Status]mass.Phase{mass.StatusOver: mass.PhaseOver, mass.StatusUnder: mass.PhaseUnder} {
		for range 5 {
			l.now += 0.1
			r := mass.Reading{At: l.line().At, Status: status}
			if e := tr.Feed(r); e.Phase != phase || e.Mean != 0 || e.Placement != 1 {
				t.Fatalf("%s: %+v", status, e)
			}
		}
	}
	l.readings = nil
	l.run(1.5, 0.1)
	checkLoad(t, last(feed(tr, l.readings)), mass.PhaseSettled, 1, 3.11)
	l.readings = nil
	l.load, l.shown = 0, 0
	l.now += 0.1
	tr.Feed(mass.Reading{At: l.line().At, Status: mass.StatusOver})
	l.run(2, 0.1)
	if e := last(feed(tr, l.readings)); e.Phase != mass.PhaseEmpty {
		t.Errorf("emptied while over: %+v", e)
	}
}

// TestGaps: after a silence the load is the same if it weighs the same. Another
// weight may be another coin's or one more, and is not told.
func TestGaps(t *testing.T) {
	l := newLag()
	tr := settle.New(settle.Properties{})
	after := func(gap, load float64) mass.Estimate {
		l.readings = nil
		l.now += gap
		l.load, l.shown = load, load
		l.run(1.5, 0.1)
		return last(feed(tr, l.readings))
	}
	after(0, 0)
	checkLoad(t, after(60, 3.11), mass.PhaseSettled, 1, 3.11)
	checkLoad(t, after(60, 3.11), mass.PhaseSettled, 1, 3.11)
	if e := after(600, 5.61); e.Phase != mass.PhaseWithheld || e.HasLoad() || e.Placement != 1 {
		t.Errorf("one more, or another in its place: %+v", e)
	}
	if e := after(60, 0); e.Phase != mass.PhaseEmpty || e.Placement != 1 {
		t.Errorf("emptied during a gap: %+v", e)
	}
	checkLoad(t, after(60, 5.61), mass.PhaseSettled, 2, 5.61)
}

// TestPrintKey: a scale that sends one stable line at each press of a key.
func TestPrintKey(t *testing.T) {
	l := newLag()
	l.status = mass.StatusStable
	tr := settle.New(settle.Properties{})
	for i, g := range []float64{0, 3.11, 0, 2.5, 2.5} {
		l.now += 20
		l.shown = g
		var e mass.Estimate
		for range 3 { // three presses, a second apart
			l.now++
			e = tr.Feed(l.line())
		}
		switch want := []uint64{0, 1, 1, 2, 2}[i]; {
		case g == 0 && e.Phase != mass.PhaseEmpty:
			t.Errorf("line %d: %+v", i, e)
		case g != 0:
			checkLoad(t, e, mass.PhaseSettled, want, g)
		}
	}
}

// disturb plays the same coins with something wrong about the lines' times.
func disturb(t *testing.T, name string, change func(i int, r *mass.Reading) bool) {
	t.Helper()
	l := newLag()
	tr := settle.New(settle.Properties{})
	var all []mass.Estimate
	var times []float64
	n := 0
	for _, load := range []float64{0, 3.11, 0, 2.5, 5.61, 0} {
		l.readings = nil
		l.load = load
		l.run(4, 0.1)
		for _, r := range l.readings {
			n++
			if change(n, &r) {
				all, times = append(all, tr.Feed(r)), append(times, float64(n)*0.1)
			}
		}
	}
	at := func(second float64) mass.Estimate {
		i := 0
		for i+1 < len(times) && times[i+1] <= second {
			i++
		}
		return all[i]
	}
	for _, want := range []struct {
		second float64
		number uint64
		grams  float64
	}{{7.9, 1, 3.11}, {15.9, 2, 2.5}, {19.9, 3, 3.11}} {
		e := at(want.second)
		if e.Phase != mass.PhaseSettled || e.Placement != want.number || math.Abs(float64(e.Mean)-want.grams) > 0.012 {
			t.Errorf("%s: at %v s %+v, want number %d, %v g", name, want.second, e, want.number, want.grams)
		}
	}
	if e := last(all); e.Phase != mass.PhaseEmpty {
		t.Errorf("%s: in the end %+v", name, e)
	}
}

// TestIrregularTimes: late lines, bursts, lost lines, a clock set back or
// forward, and lines that repeat an old value.
func TestIrregularTimes(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	disturb(t, "nothing", func(int, *mass.Reading) bool { return true })
	disturb(t, "late by up to 30 ms", func(_ int, l *mass.Reading) bool {
		l.At = l.At.Add(time.Duration(r.Float64() * 30e6))
		return true
	})
	disturb(t, "bursts of three", func(i int, l *mass.Reading) bool {
		l.At = l.At.Add(time.Duration(2-i%3) * 100 * time.Millisecond)
		return true
	})
	disturb(t, "one in four lost", func(int, *mass.Reading) bool { return r.IntN(4) > 0 })
	var shift time.Duration
	disturb(t, "clock set back by an hour, and forward by a day", func(i int, l *mass.Reading) bool {
		switch i {
		case 70:
			shift -= time.Hour
		case 110:
			shift += 24 * time.Hour
		}
		l.At = l.At.Add(shift)
		return true
	})
	var old mass.Reading
	disturb(t, "every second line repeats the one before", func(i int, l *mass.Reading) bool {
		if i%2 == 0 {
			l.Quantity = old.Quantity
		}
		old = *l
		return true
	})
}

// TestUnitChangedInMidStream: grams stay grams, only coarser.
func TestUnitChangedInMidStream(t *testing.T) {
	l := newLag()
	tr := settle.New(settle.Properties{})
	l.run(2, 0.1)
	l.load = 31.10
	l.run(4, 0.1)
	feed(tr, l.readings)
	for range 30 {
		l.now += 0.1
		r := l.line()
		r.Quantity = mass.Quantity{Value: mass.MustDecimal("1.000"), Unit: mass.TroyOunce}
		r.Resolution = mass.MustDecimal("0.001")
		e := tr.Feed(r)
		if e.Placement != 1 || e.Phase != mass.PhaseSettled || math.Abs(float64(e.Mean)-31.10) > 0.02 {
			t.Fatalf("in troy ounces: %+v", e)
		}
		if math.Abs(float64(e.Resolution)-0.0311034768) > 1e-9 {
			t.Fatalf("step %v", e.Resolution)
		}
	}
}

// TestOneNumberACoin: on the virtual scale, whatever hands and the table do,
// each coin gets one number and rests at what the display shows.
func TestOneNumberACoin(t *testing.T) {
	each := 30
	if slow {
		each = 8
	}
	for _, style := range []string{"gentle", "dropped", "slow", "bump", "swap", "double"} {
		cfg, props := evening(77)
		b := newTable(cfg, props)
		wrong := 0
		for range each {
			p := b.play(style)
			if !p.rightNumbers() {
				wrong++
			}
			if off := math.Abs(float64(p.last.Pile) - p.shows); p.last.Phase != mass.PhaseSettled || off > 0.021 {
				t.Errorf("%s: ends with %+v while the scale shows %.2f", style, p.last, p.shows)
			}
		}
		// A light coin within a second of a heavy one may pass for its tail, a coin
		// swapped for its like for the same coin, and a hand's second push for another.
		if allowed := map[string]int{"slow": 1, "double": 1, "swap": 1}[style]; wrong > allowed {
			t.Errorf("%s: %d of %d have a wrong number of numbers", style, wrong, each)
		}
	}
}

// TestPressBeforeLifting: fingers that press on a coin before they take it are
// no load.
func TestPressBeforeLifting(t *testing.T) {
	cfg, props := evening(78)
	b := newTable(cfg, props)
	for i := range 10 {
		b.scale.Put(5, simscale.Gentle)
		b.run(3)
		b.scale.Press(10, 0.8)
		b.run(0.8)
		b.scale.Clear()
		b.run(4)
		if b.shown.Phase != mass.PhaseEmpty || b.shown.Placement != uint64(i+1) {
			t.Fatalf("after %d coins: %+v", i+1, b.shown)
		}
	}
}
