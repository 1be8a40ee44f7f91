package scalefeed_test

import (
	"math"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"panside/internal/calibration"
	"panside/internal/fault"
	"panside/internal/mass"
	"panside/internal/say"
	"panside/server/scalefeed"
)

// aCheck is a scale that shows 0.3 % too much up to 50 g.
func aCheck(t *testing.T) *calibration.Result {
	t.Helper()
	rec := calibration.Record{
		Resolution: 0.01, Temperature: math.NaN(), Taken: time.Date(2026, 3, 1, 18, 0, 0, 0, time.UTC),
		Weights: []calibration.Weight{{Nominal: 50, Class: calibration.F1}},
	}
	for range 5 {
		rec.Placements = append(rec.Placements, calibration.Placement{Shown: 50.15})
	}
	r, err := calibration.Evaluate(rec)
	if err != nil {
		t.Fatal(err)
	}
	return &r
}

// TestACheckCorrectsFromTheNextReading: it comes, counts while the load lies
// there, says that it reaches so far only, outlives a pulled cable, and goes.
func TestACheckCorrectsFromTheNextReading(t *testing.T) {
	check := aCheck(t)
	synctest.Test(t, func(t *testing.T) {
		var now atomic.Pointer[calibration.Result]
		first, second := newStream(), newStream()
		b := run(t, newSource(first, second), scalefeed.Options{Check: func(info scalefeed.Info, dialect string) *calibration.Result {
			if info.Name != "/dev/scale" || dialect != "status-comma" {
				return nil
			}
			return now.Load()
		}})
		first.send(empty, 20)
		first.send("ST,GS,+  30.09  g\r\n", 30)
		want := func(mean float64, assumed, checked bool) mass.Estimate {
			t.Helper()
			s := b.after(0)
			if math.Abs(float64(s.Estimate.Mean)-mean) > 1e-3 || s.Assumed != assumed || s.Checked.Equal(check.Taken) != checked ||
				s.Reading.Quantity.String() == "" || s.Estimate.Placement != 1 {
				t.Fatalf("%+v, want %v", s, mean)
			}
			return s.Estimate
		}
		before := want(30.09, true, false)
		now.Store(check)
		first.send("ST,GS,+  30.09  g\r\n", 1)
		if after := want(30.09/1.003, false, true); !(after.U < before.U) || after.Pile != after.Mean {
			t.Fatalf("u is %v, before %v", after.U, before.U)
		}
		first.send("ST,GS,+  60.18  g\r\n", 30)
		if s := b.after(0); !s.Assumed || s.Checked.IsZero() || math.Abs(float64(s.Estimate.Pile)-60) > 0.01 {
			t.Fatalf("heavier than the weights: %+v", s)
		}
		first.fail <- fault.New(fault.PortLost, say.New("The cable came loose."))
		if s := b.after(time.Second); s.Problem == nil || s.Checked.IsZero() {
			t.Fatalf("without a cable: %+v", s)
		}
		second.send(empty, 20)
		if s := b.after(0); s.Assumed || s.Checked.IsZero() {
			t.Fatalf("on an empty pan: %+v", s)
		}
		now.Store(nil)
		second.send(empty, 2)
		if s := b.after(0); !s.Assumed || !s.Checked.IsZero() {
			t.Fatalf("without a check: %+v", s)
		}
	})
}
