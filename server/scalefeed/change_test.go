package scalefeed_test

import (
	"slices"
	"testing"
	"testing/synctest"
	"time"

	"panside/internal/dialect"
	"panside/internal/fault"
	"panside/internal/mass"
	"panside/internal/say"
	"panside/server/scalefeed"
)

const homemade = "G/N +  3.11 g ok\r\n"

func TestAPatternTakesEffectAtOnce(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		first, second := newStream(), newStream()
		src := newSource(first, second)
		var tail scalefeed.Tail
		b := run(t, src, scalefeed.Options{OnBytes: tail.Add})
		first.send(homemade, 10)
		if s := b.after(0); s.Problem == nil || s.Problem.Code != fault.NotAScale {
			t.Fatalf("before: %+v", s.Problem)
		}
		if e := b.Evidence(); e.Dialect != "" || e.Lines < 9 {
			t.Errorf("evidence before: %+v", e)
		}
		if l := tail.Lines(); len(l) != 1 || string(l[0].Raw) != "G/N +  3.11 g ok" || l[0].Times != 10 {
			t.Errorf("tail: %+v", l)
		}
		pattern, err := dialect.Compile("G/N <sign><value> <unit> <state ok=stable>")
		if err != nil {
			t.Fatal(err)
		}
		b.Change(src, scalefeed.Handling{Decode: dialect.Options{Pattern: pattern}})
		b.after(10 * time.Millisecond)
		select {
		case <-first.closed:
		default:
			t.Error("the port stayed open")
		}
		second.send(homemade, 10)
		if s := b.after(0); s.Problem != nil || s.Dialect != "pattern" || s.Reading.Quantity.String() != "3.11 g" {
			t.Errorf("after: %+v", s)
		}
		if e := b.Evidence(); e != (scalefeed.Evidence{Dialect: "pattern", Sure: 1, Lines: 10}) {
			t.Errorf("evidence after: %+v", e)
		}
		if !slices.ContainsFunc(b.states, func(s scalefeed.Snapshot) bool {
			return s.Info == scalefeed.Info{} && s.Problem == nil && s.Estimate.Phase == mass.PhaseNone && s.At.IsZero()
		}) {
			t.Error("the old weight was never taken back")
		}
	})
}

func TestPlacementsGoOnOverAChange(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		first, second := newStream(), newStream()
		src := newSource(first, second)
		b := run(t, src, scalefeed.Options{})
		for _, s := range []*stream{first, second} {
			s.send(empty, 20)
			s.send(bronze, 30)
			b.after(0)
			b.Change(src, scalefeed.Handling{})
			b.after(10 * time.Millisecond)
		}
		if got := b.Latest().Estimate.Placement; got != 2 {
			t.Errorf("placement %d after one coin on each", got)
		}
	})
}

func TestAChangeEndsWaiting(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		src := newSource(fault.New(fault.PortBusy, say.New("Busy.")))
		b := run(t, src, scalefeed.Options{})
		b.after(10 * time.Millisecond)
		second := newStream()
		src.next <- second
		b.Change(src, scalefeed.Handling{})
		second.send(bronze, 3)
		// Well before the half second after which it would have tried again.
		if s := b.after(0); s.Problem != nil || s.Reading.Quantity.String() != "3.11 g" {
			t.Errorf("%+v", s)
		}
	})
}

func TestACoarserStepIsBelieved(t *testing.T) {
	for step, want := range map[string]string{"0.05 g": "0.05", "0.001 g": "0.01", "0.05 ct": "0.01"} {
		synctest.Test(t, func(t *testing.T) {
			line := newStream()
			src := newSource(line)
			b := run(t, src, scalefeed.Options{})
			value, unit := step[:len(step)-2], mass.Gram
			if step == "0.05 ct" {
				value, unit = "0.05", mass.Unit("ct")
			}
			src.next <- line
			b.Change(src, scalefeed.Handling{Resolution: mass.Quantity{Value: mass.MustDecimal(value), Unit: unit}})
			line.send(bronze, 5)
			if got := b.after(0).Reading.Resolution.String(); got != want {
				t.Errorf("%s: resolution %s, want %s", step, got, want)
			}
		})
	}
}

func TestASearchTellsWhatItHeard(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		silent := serialDevice("/dev/a", 9600, "8N1")
		odd := serialDevice("/dev/b", 2400, "8N1")
		odd.says = homemade
		busy := serialDevice("/dev/c", 9600, "8N1")
		busy.openErr = fault.New(fault.PortBusy, say.New("Another program has it."))
		f := &scalefeed.Finder{Candidates: func() []scalefeed.Candidate {
			return []scalefeed.Candidate{silent.candidate(), odd.candidate(), busy.candidate()}
		}}
		if _, _, err := f.Open(t.Context()); err == nil {
			t.Fatal("a scale was found")
		}
		all := f.Looked()
		if len(all) != 3 || all[0].Outcome != scalefeed.IsSilent || all[2].Outcome != scalefeed.NotOpened || all[2].Problem.Code != fault.PortBusy {
			t.Errorf("%+v", all)
		}
		b := all[1]
		// What came in while the speed was changed may stand behind it, in noise.
		if b.Outcome != scalefeed.Speaks || b.Info.PortSettings != "2400 8N1" || len(b.Heard) == 0 || b.Heard[0].Times < 15 || string(b.Heard[0].Raw) != "G/N +  3.11 g ok" {
			t.Errorf("%+v", b)
		}
	})
}
