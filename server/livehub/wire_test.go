package livehub

import (
	"encoding/json"
	"errors"
	"math"
	"os"
	"reflect"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"panside/internal/fault"
	"panside/internal/mass"
	"panside/internal/say"
)

var noon = time.Date(2026, 3, 1, 12, 0, 0, 0, time.UTC)

func settledCent() State {
	return State{
		Estimate: mass.Estimate{Phase: mass.PhaseSettled, Mean: 3.1102, U: 0.0076, Resolution: 0.01, Placement: 17, ScaleStable: true},
		Reading: mass.Reading{
			HasValue: true, Quantity: mass.Quantity{Value: mass.MustDecimal("3.11"), Unit: mass.Gram}, Status: mass.StatusStable,
		},
		Scale: Scale{Name: "virtual scale", Kind: "virtual", Format: "status-comma", Assumed: true},
		At:    noon,
	}
}

// checkedCent lies on a scale that a check found to show too much.
func checkedCent() State {
	s := settledCent()
	s.Estimate.U, s.Estimate.Placement, s.Reading.Quantity.Value = 0.0052, 18, mass.MustDecimal("3.12")
	s.Scale = Scale{
		Name: "/dev/ttyUSB0", Kind: "serial", Format: "status-comma",
		Checked: time.Date(2026, 3, 1, 19, 0, 0, 0, time.FixedZone("", 3600)),
	}
	return s
}

// heldCent shows almost all of its weight, and may be in a hand yet.
func heldCent() State {
	s := settledCent()
	s.Estimate = mass.Estimate{
		Phase: mass.PhaseMoving, Mean: 3.1087, U: 0.7361, Half: 0.014, WholeU: 0.0093, Resolution: 0.01, Placement: 21,
	}
	s.Reading.Status = mass.StatusMoving
	return s
}

// withheldCent lies there, and nobody can tell its weight.
func withheldCent() State {
	s := settledCent()
	s.Estimate.Phase, s.Estimate.Placement = mass.PhaseWithheld, 19
	return s
}

// readHalf was read by a phone's camera, and nobody has confirmed it.
func readHalf() State {
	return State{
		Estimate:    mass.Estimate{Phase: mass.PhaseSettled, Mean: 11.5, Pile: 11.5, U: 0.0075, Resolution: 0.01, Placement: 20},
		Reading:     mass.Reading{Quantity: mass.Quantity{Value: mass.MustDecimal("11.50"), Unit: mass.Gram}, HasValue: true, Status: mass.StatusUnknown},
		Scale:       Scale{Name: "Ada's phone", Kind: "camera", Format: "camera", Assumed: true},
		Unconfirmed: true,
		At:          noon,
	}
}

// TestWireIsAsAgreed holds the messages to testdata/wire, which the phone's
// tests read too.
func TestWireIsAsAgreed(t *testing.T) {
	for name, tc := range map[string]struct {
		state State
		seq   uint64
		now   time.Time
	}{
		"weight.json":         {settledCent(), 412, noon.Add(12 * time.Millisecond)},
		"weight-checked.json": {checkedCent(), 414, noon.Add(12 * time.Millisecond)},
		"weight-problem.json": {State{
			Estimate: mass.Estimate{Phase: mass.PhaseNone, Placement: 17},
			Scale:    Scale{Name: "/dev/ttyUSB0", Kind: "serial", Assumed: true},
			Problem: fault.Wrap(fault.PortLost,
				say.New("The cable to the scale came loose. Nothing that was saved is lost; plug it in again and weighing goes on by itself."),
				errors.New("EIO")),
			At: noon,
		}, 413, noon},
		"weight-ask.json": {State{
			Estimate: mass.Estimate{Phase: mass.PhaseNone, Placement: 17},
			Reading:  mass.Reading{Quantity: mass.Quantity{Value: mass.MustDecimal("15.55"), Unit: mass.Gram}, HasValue: true},
			Scale:    Scale{Name: "/dev/ttyUSB0", Kind: "serial", Format: "value-only", Assumed: true},
			Problem:  fault.New(fault.UnknownUnit, say.New("scale-no-unit")),
			Ask:      &Ask{Of: "unit", Digits: "15.55", Units: []mass.Unit{mass.Gram, mass.Carat}},
			At:       noon,
		}, 415, noon},
		"weight-withheld.json":    {withheldCent(), 416, noon.Add(12 * time.Millisecond)},
		"weight-half.json":        {heldCent(), 418, noon.Add(12 * time.Millisecond)},
		"weight-unconfirmed.json": {readHalf(), 417, noon.Add(12 * time.Millisecond)},
	} {
		golden, err := os.ReadFile("../../testdata/wire/" + name)
		if err != nil {
			t.Fatal(err)
		}
		var got, want any
		if err := json.Unmarshal(encode(say.English, tc.state, tc.seq, tc.now), &got); err != nil {
			t.Fatal(err)
		}
		if err := json.Unmarshal(golden, &want); err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(got, want) {
			t.Errorf("%s:\n got %v\nwant %v", name, got, want)
		}
	}
}

// TestNoNumberBesideAProblem draws any state: a message with a problem never
// carries a weight, and no message carries what is no number.
func TestNoNumberBesideAProblem(t *testing.T) {
	grams := rapid.Custom(func(t *rapid.T) mass.Grams {
		special := []float64{0, math.NaN(), math.Inf(1), math.Inf(-1), 3.11}
		return mass.Grams(rapid.OneOf(rapid.SampledFrom(special), rapid.Float64()).Draw(t, "g"))
	})
	phases := []mass.Phase{"", mass.PhaseNone, mass.PhaseEmpty, mass.PhaseMoving, mass.PhaseSettled, mass.PhaseOver, mass.PhaseUnder, mass.PhaseWithheld}
	rapid.Check(t, func(t *rapid.T) {
		s := settledCent()
		s.Estimate.Phase = rapid.SampledFrom(phases).Draw(t, "phase")
		s.Estimate.Mean, s.Estimate.U, s.Estimate.Resolution = grams.Draw(t, "mean"), grams.Draw(t, "u"), grams.Draw(t, "d")
		s.Reading.HasValue = rapid.Bool().Draw(t, "has value")
		if rapid.Bool().Draw(t, "problem") {
			s.Problem = fault.New(fault.Garbled, say.New("scale-line-cut"))
		}
		s.At = noon.Add(time.Duration(rapid.Int64Range(-1e9, 1e12).Draw(t, "at")))
		var m map[string]any
		if err := json.Unmarshal(encode(say.English, s, 1, noon), &m); err != nil {
			t.Fatal(err)
		}
		if m["phase"] == "" || m["status"] == "" {
			t.Fatal("an empty phase or status")
		}
		if m["age_ms"].(float64) < 0 {
			t.Fatal("an age below zero")
		}
		numbers := m["mean_g"] != nil || m["u_g"] != nil || m["shown"] != nil || m["resolution_g"] != nil
		if s.Problem != nil && numbers {
			t.Fatalf("a number beside a problem: %v", m)
		}
		if !s.Estimate.HasLoad() && (m["mean_g"] != nil || m["u_g"] != nil) {
			t.Fatalf("a weight without a load: %v", m)
		}
		if s.Problem != nil && m["phase"] == string(mass.PhaseSettled) {
			t.Fatal("settled beside a problem")
		}
	})
}

func TestCausesStayInTheLog(t *testing.T) {
	s := State{Problem: fault.Wrap(fault.PortBusy, say.New("port-busy", say.Text("port", "x")), errors.New("open /dev/ttyUSB0: EBUSY"))}
	if text := string(encode(say.English, s, 1, noon)); strings.Contains(text, "EBUSY") {
		t.Errorf("the phone reads %s", text)
	}
}

// TestNoticeIsAsAgreed holds the notices to the shared examples.
func TestNoticeIsAsAgreed(t *testing.T) {
	for file, photos := range map[string]uint64{"notice": 0, "notice-photos": 3} {
		want, err := os.ReadFile("../../testdata/wire/" + file + ".json")
		if err != nil {
			t.Fatal(err)
		}
		if got := string(encodeNotice("412.9f86d081884c7d65", photos)) + "\n"; got != string(want) {
			t.Errorf("got  %swant %s", got, want)
		}
	}
}

// TestRecordsIsAsAgreed holds the word about the records to the shared example.
func TestRecordsIsAsAgreed(t *testing.T) {
	want, err := os.ReadFile("../../testdata/wire/records.json")
	if err != nil {
		t.Fatal(err)
	}
	if got := string(encodeRecords(say.English, say.New("The laptop's records lack 2 entries that it had confirmed."), say.Line{})) + "\n"; got != string(want) {
		t.Errorf("%s, want %s", got, want)
	}
}
