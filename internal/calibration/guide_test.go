package calibration_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"panside/internal/calibration"
	"panside/internal/fault"
	"panside/internal/mass"
	"panside/internal/plain"
)

var (
	fifty  = calibration.SheetWeight{Nominal: "50", Class: "F2"}
	twenty = calibration.SheetWeight{Nominal: "20", Class: "M1", Value: "20.0012", Expanded: "0.0004"}
)

// scaleTable is a guide with a scale of ten lines a second and a clock.
type scaleTable struct {
	*calibration.Guide
	now int64
}

func sitDown(t interface {
	Helper()
	Fatal(...any)
}, times int, weights ...calibration.SheetWeight) *scaleTable {
	t.Helper()
	s := &scaleTable{Guide: calibration.NewGuide(calibration.UsualPace)}
	if err := s.Take(calibration.Event{Do: calibration.Begins, Weights: weights, Times: times}); err != nil {
		t.Fatal(err)
	}
	return s
}

// shows makes the scale show something for so long.
func (s *scaleTable) shows(e calibration.Event, for_ time.Duration) {
	e.Do = calibration.Shows
	if e.Scale.Name == "" {
		e.Scale = calibration.ScaleName{Name: "a", Format: "print-line"}
	}
	if e.Unit == "" {
		e.Unit = "g"
	}
	for end := s.now + for_.Milliseconds(); s.now < end; s.now += 100 {
		e.At = s.now
		if err := s.Take(e); err != nil {
			panic(err)
		}
	}
}

const enough = 1700 * time.Millisecond

func empty(shown string) calibration.Event {
	return calibration.Event{Phase: mass.PhaseEmpty, Shown: shown, Status: mass.StatusZero}
}

func lies(shown string) calibration.Event {
	return calibration.Event{Phase: mass.PhaseSettled, Shown: shown, Status: mass.StatusStable}
}

func inMotion(e calibration.Event) calibration.Event {
	e.Status = mass.StatusMoving
	return e
}

// weigh empties the pan and puts a weight on.
func (s *scaleTable) weigh(shown, zero string) {
	s.shows(empty(zero), enough)
	s.shows(calibration.Event{Phase: mass.PhaseMoving, Shown: "12.34", Status: mass.StatusMoving}, 300*time.Millisecond)
	s.shows(lies(shown), enough)
}

func (s *scaleTable) do(what string) {
	if err := s.Take(calibration.Event{Do: what}); err != nil {
		panic(err)
	}
}

// asks is what the person is asked, short: “put 0 2/3”.
func (s *scaleTable) asks() string {
	a := s.Ask()
	text := string(a.Do)
	if a.Of > 0 {
		text += fmt.Sprintf(" %d%s %d/%d", a.Weight, a.Edge, a.Nth, a.Of)
	}
	return text
}

func (s *scaleTable) said() string {
	if s.Moment.Said == nil {
		return ""
	}
	return s.Moment.Said.Is
}

func (s *scaleTable) readings() string {
	var all []string
	for _, list := range [][]calibration.SheetShown{s.Draft.Readings, s.Draft.OffCentre} {
		for _, r := range list {
			all = append(all, string(r.Weight)+":"+string(r.Shown)+"-"+string(r.Zero))
		}
	}
	return strings.Join(all, " ")
}

func want(t *testing.T, what, got, want string) {
	t.Helper()
	if got != want {
		t.Errorf("%s: got %q, want %q", what, got, want)
	}
}

// TestAWholeCheck is the course of a check, ask by ask.
func TestAWholeCheck(t *testing.T) {
	s := sitDown(t, 3, fifty, twenty)
	want(t, "first", s.asks(), "empty 0 1/3")
	for i, shown := range []string{"50.15", "50.16", "50.15", "20.06", "20.06", "20.07"} {
		s.shows(empty("0.00"), enough)
		want(t, "with the pan empty", s.asks(), fmt.Sprintf("put %d %d/3", i/3, i%3+1))
		s.shows(lies(shown), enough)
		want(t, "of "+shown, s.said(), calibration.SaidTaken)
	}
	want(t, "after the last", s.asks(), "lift")
	s.shows(empty("0.00"), enough)
	want(t, "with the last off", s.asks(), "choose")
	if d := s.Draft; d.At != calibration.Further || d.Unit != "g" || d.Resolution != "" || d.Scale.Name != "a" {
		t.Errorf("%+v", d)
	}
	s.do(calibration.ToEdges)
	for _, side := range calibration.Sides {
		s.shows(empty("0.00"), enough)
		want(t, "at the edge", s.asks(), fmt.Sprintf("put 0%s %d/4", side, slices.Index(calibration.Sides, side)+1))
		s.shows(lies("50.15"), enough)
	}
	s.shows(empty("0.00"), enough)
	s.do(calibration.ToAlone)
	want(t, "before it is left alone", s.asks(), "leave")
	s.shows(empty("0.00"), time.Minute)
	want(t, "with nothing on", s.asks(), "leave")
	s.shows(lies("50.15"), 3*time.Minute)
	want(t, "while it is left alone", s.asks(), "watch")
	s.shows(lies("50.16"), enough+500*time.Millisecond)
	want(t, "after three minutes", s.asks(), "lift")
	if u := s.Draft.Untouched; len(u) != 19 || u[18].Shown != "50.16" {
		t.Errorf("%+v", u)
	}
	if err := s.Take(calibration.Event{Do: calibration.Finishes, Temperature: "21", Place: "kitchen"}); err != nil {
		t.Fatal(err)
	}
	want(t, "at the end", s.asks(), "look")
	r, err := s.Result()
	if err != nil || !r.Proven() || !r.Drift.Measured || r.Place != "kitchen" || r.Temperature != 21 {
		t.Errorf("%+v, %v", r, err)
	}
	if check := s.Draft.Check(); len(check.Weights) != 2 || len(check.OffCentre) != 4 {
		t.Errorf("%+v", check)
	}
}

// TestADisplayInMotionIsNotTaken: the tracker may call a load settled while the
// scale's own sign says moving.
func TestADisplayInMotionIsNotTaken(t *testing.T) {
	s := sitDown(t, 3, fifty)
	s.shows(empty("0.00"), enough)
	s.shows(inMotion(lies("50.15")), 4*time.Second)
	want(t, "in motion", s.readings(), "")
	s.shows(lies("50.15"), 1400*time.Millisecond)
	want(t, "not yet at rest for long enough", s.readings(), "")
	s.shows(lies("50.15"), 300*time.Millisecond)
	want(t, "at rest", s.readings(), "0:50.15-0.00")
}

// TestADisplayThatTakesTurns is read after five times as long.
func TestADisplayThatTakesTurns(t *testing.T) {
	s := sitDown(t, 3, fifty)
	s.shows(empty("0.00"), enough)
	begun := s.now
	for i := 0; s.readings() == "" && s.now-begun < 20_000; i++ {
		s.shows(lies([]string{"50.15", "50.16"}[i%2]), 500*time.Millisecond)
	}
	if took := s.now - begun; took < 7_500 || took > 8_500 {
		t.Errorf("read after %d ms", took)
	}
}

// TestADisplayThatStaysAsItIs asks for nothing new and takes nothing twice.
func TestADisplayThatStaysAsItIs(t *testing.T) {
	s := sitDown(t, 3, fifty)
	s.shows(lies("50.15"), time.Minute)
	want(t, "before the pan was empty", s.asks()+s.readings(), "empty 0 1/3")
	s.shows(empty("0.00"), time.Minute)
	want(t, "with nothing put on", s.asks()+s.readings(), "put 0 1/3")
	s.shows(lies("50.15"), time.Minute)
	want(t, "with nothing taken off", s.asks()+" "+s.readings(), "lift 0 2/3 0:50.15-0.00")
}

// TestTheNewestZeroCounts, if the pan is looked at again before the weight comes.
func TestTheNewestZeroCounts(t *testing.T) {
	s := sitDown(t, 3, fifty)
	s.shows(empty("0.00"), enough)
	s.shows(empty("0.01"), enough)
	s.shows(lies("50.16"), enough)
	want(t, "the placement", s.readings(), "0:50.16-0.01")
}

// TestTheWrongWeight is refused at once, and the same asked again.
func TestTheWrongWeight(t *testing.T) {
	s := sitDown(t, 3, fifty, twenty)
	s.weigh("20.06", "0.00")
	want(t, "a wrong weight", s.said()+" "+s.asks()+s.readings(), "refused lift 0 1/3")
	if why := s.Moment.Said.Sentence; !strings.Contains(why, "another weight") || strings.Contains(why, "computed") {
		t.Error(why)
	}
	s.shows(empty("0.00"), enough)
	want(t, "the reason stays until the weight is on", s.said(), "refused")
	s.shows(lies("50.15"), enough)
	want(t, "the right one", s.said()+" "+s.readings(), "taken 0:50.15-0.00")
}

// TestTheScaleChangesUnderway: unit, step and scale stay those of the first reading.
func TestTheScaleChangesUnderway(t *testing.T) {
	for name, c := range map[string]struct{ zero, load calibration.Event }{
		calibration.SaidUnit:  {calibration.Event{Phase: mass.PhaseEmpty, Shown: "0.00", Unit: "ct"}, calibration.Event{Phase: mass.PhaseSettled, Shown: "250.75", Unit: "ct"}},
		"unit ":               {calibration.Event{Phase: mass.PhaseEmpty, Shown: "0.00", Unit: "ct"}, lies("50.15")},
		calibration.SaidStep:  {empty("0.0"), lies("50.2")},
		calibration.SaidScale: {calibration.Event{Phase: mass.PhaseEmpty, Shown: "0.00", Scale: calibration.ScaleName{Name: "b"}}, calibration.Event{Phase: mass.PhaseSettled, Shown: "50.15", Scale: calibration.ScaleName{Name: "b"}}},
	} {
		s := sitDown(t, 3, fifty)
		s.weigh("50.15", "0.00")
		s.shows(c.zero, enough)
		s.shows(c.load, enough)
		want(t, name, s.said()+" "+s.asks()+" "+s.readings(), strings.TrimSpace(name)+" lift 0 2/3 0:50.15-0.00")
		s.weigh("50.16", "0.00")
		want(t, "set back", s.said()+" "+s.readings(), "taken 0:50.15-0.00 0:50.16-0.00")
	}
	// Before the first reading too, zero and load have one unit.
	s := sitDown(t, 3, fifty)
	s.shows(calibration.Event{Phase: mass.PhaseEmpty, Shown: "0.00", Unit: "ct"}, enough)
	s.shows(lies("50.15"), enough)
	want(t, "a zero in another unit", s.said()+s.readings(), "unit")
}

// TestTheScaleGoesAway: its zero may be another when it is back.
func TestTheScaleGoesAway(t *testing.T) {
	s := sitDown(t, 3, fifty)
	s.shows(empty("0.00"), enough)
	s.shows(lies("50.15"), time.Second)
	s.shows(calibration.Event{Problem: "The cable is out."}, time.Second)
	want(t, "away", s.asks()+s.Moment.Trouble, "empty 0 1/3The cable is out.")
	s.shows(lies("50.18"), 10*time.Second)
	want(t, "back, with the weight on", s.asks()+s.readings()+s.Moment.Trouble, "empty 0 1/3")
	s.weigh("50.16", "0.01")
	want(t, "weighed anew", s.readings(), "0:50.16-0.01")

	// A line that only stutters is no reason to begin with the zero again.
	s.shows(empty("0.00"), enough)
	s.shows(lies("50.15"), time.Second)
	s.shows(calibration.Event{}, time.Second)
	s.shows(lies("50.15"), time.Second)
	want(t, "in the middle of a stutter", s.readings(), "0:50.16-0.01")
	s.shows(lies("50.15"), time.Second)
	want(t, "after it", s.readings(), "0:50.16-0.01 0:50.15-0.00")
}

// TestALoadThatCanNotBeTold is put on again.
func TestALoadThatCanNotBeTold(t *testing.T) {
	s := sitDown(t, 3, fifty)
	s.shows(empty("0.00"), enough)
	s.shows(calibration.Event{Phase: mass.PhaseWithheld, Shown: "49.80"}, enough)
	want(t, "withheld", s.said()+" "+s.asks(), "withheld lift 0 1/3")
	s.shows(lies("50.15"), enough)
	want(t, "without lifting it", s.readings(), "")
	s.weigh("50.15", "0.00")
	want(t, "put on again", s.readings(), "0:50.15-0.00")
}

// TestRestartTakesNothingAlong: neither a reading taken before nor a display that
// was about to be read enters the new check.
func TestRestartTakesNothingAlong(t *testing.T) {
	s := sitDown(t, 3, fifty)
	s.weigh("50.15", "0.00")
	s.shows(empty("0.00"), enough)
	s.shows(lies("50.16"), 1400*time.Millisecond)
	s.do(calibration.Restarts)
	want(t, "thrown away", s.asks()+s.readings(), "name")
	if d := s.Draft; len(d.Weights) != 1 || d.Unit != "" || d.Scale.Name != "" || d.Times != 3 {
		t.Errorf("%+v", d)
	}
	s.shows(lies("50.16"), time.Minute)
	want(t, "while the weights are named", s.asks()+s.readings(), "name")
	if err := s.Take(calibration.Event{Do: calibration.Begins, Weights: s.Draft.Weights, Times: 3}); err != nil {
		t.Fatal(err)
	}
	s.shows(lies("50.16"), time.Minute)
	want(t, "begun with the weight still on", s.asks()+s.readings(), "empty 0 1/3")
	s.weigh("50.17", "0.01")
	want(t, "the new check", s.readings(), "0:50.17-0.01")
}

func TestTheLastReadingIsTakenBack(t *testing.T) {
	s := sitDown(t, 3, fifty)
	for _, shown := range []string{"50.15", "50.16", "50.15"} {
		s.weigh(shown, "0.00")
	}
	s.shows(empty("0.00"), enough)
	s.do(calibration.ToEdges)
	s.weigh("50.14", "0.00")
	s.shows(lies("50.14"), time.Second) // on its way to nothing new
	s.do(calibration.Undoes)
	want(t, "the one at the edge", s.asks()+" "+s.readings(), "empty 0front 1/4 0:50.15-0.00 0:50.16-0.00 0:50.15-0.00")
	s.do(calibration.Undoes)
	want(t, "the last in the middle", s.asks()+" "+s.readings(), "empty 0 3/3 0:50.15-0.00 0:50.16-0.00")
	s.do(calibration.Undoes)
	s.do(calibration.Undoes)
	want(t, "all", s.asks()+s.readings(), "empty 0 1/3")
	if s.Draft.Unit != "" || s.Draft.Scale.Name != "" {
		t.Errorf("another scale can't begin: %+v", s.Draft)
	}
	s.do(calibration.Undoes)
	want(t, "nothing more", s.asks()+s.readings(), "empty 0 1/3")
}

func TestAScaleThatIsNotLeftAlone(t *testing.T) {
	for name, disturb := range map[string]func(*scaleTable){
		"lifted":    func(s *scaleTable) { s.shows(empty("0.00"), enough) },
		"gone away": func(s *scaleTable) { s.shows(calibration.Event{Problem: "The cable is out."}, time.Second) },
		"another on": func(s *scaleTable) {
			s.shows(calibration.Event{Phase: mass.PhaseSettled, Shown: "50.15", Placement: 9}, enough)
		},
		"knocked": func(s *scaleTable) { s.shows(lies("53.11"), 11*time.Second) },
		"unit": func(s *scaleTable) {
			s.shows(calibration.Event{Phase: mass.PhaseSettled, Shown: "250.75", Unit: "ct"}, time.Second)
		},
	} {
		s := sitDown(t, 1, fifty)
		s.weigh("50.15", "0.00")
		s.do(calibration.ToAlone)
		still := lies("50.15")
		still.Placement = 8
		s.shows(still, 63*time.Second) // some time before the next look
		want(t, name+", before", s.asks(), "watch")
		disturb(s)
		want(t, name, s.said(), calibration.SaidDisturbed)
		if len(s.Draft.Untouched) > 1 {
			t.Errorf("%s: %+v", name, s.Draft.Untouched)
		}
	}
	s := sitDown(t, 1, fifty)
	s.weigh("50.15", "0.00")
	s.do(calibration.ToAlone)
	s.shows(lies("50.15"), 30*time.Second)
	s.do(calibration.Ends)
	if s.Draft.At != calibration.Further || len(s.Draft.Untouched) != 0 {
		t.Errorf("half a minute counts: %+v", s.Draft)
	}
	s.do(calibration.ToAlone)
	s.shows(lies("50.15"), 150*time.Second)
	s.do(calibration.Ends)
	if s.Draft.At != calibration.Further || len(s.Draft.Untouched) < 10 {
		t.Errorf("two minutes don't count: %+v", s.Draft)
	}
}

func TestTypedDisplays(t *testing.T) {
	s := sitDown(t, 3, fifty)
	_ = s.Take(calibration.Event{Do: calibration.Switches, ByHand: true})
	typed := func(shown string) { _ = s.Take(calibration.Event{Do: calibration.Types, Shown: shown}) }
	typed("40.15")
	want(t, "a wrong one", s.said()+" "+s.asks(), "refused put 0 1/3")
	for _, shown := range []string{"50.15", "50.16", "50.15"} {
		before := s.asks() + s.said()
		s.shows(empty("0.00"), enough)
		s.shows(lies("50.20"), enough)
		want(t, "a live display meanwhile", s.asks()+s.said(), before)
		typed(shown)
	}
	want(t, "typed", s.asks()+" "+s.readings(), "choose 0:50.15-0 0:50.16-0 0:50.15-0")
	if s.Draft.Unit != "" || s.Draft.Scale.Name != "" {
		t.Errorf("%+v", s.Draft)
	}
}

func TestAWeightThatCanNotBe(t *testing.T) {
	g := calibration.NewGuide(calibration.UsualPace)
	for field, e := range map[string]calibration.Event{
		"weights.1.nominal_g": {Weights: []calibration.SheetWeight{fifty, {Nominal: "30", Class: "F2"}}, Times: 3},
		"weights.0.class":     {Weights: []calibration.SheetWeight{{Nominal: "5", Class: "nickel"}}, Times: 3},
		"weights.0.u_g":       {Weights: []calibration.SheetWeight{{Value: "50"}}, Times: 3},
		"weights":             {Times: 3},
		"times":               {Weights: []calibration.SheetWeight{fifty}, Times: 51},
	} {
		e.Do = calibration.Begins
		var in *fault.Field
		if err := g.Take(e); !errors.As(err, &in) || in.Name != field || g.Draft.At != calibration.Kit {
			t.Errorf("want a fault of %s: %v", field, err)
		}
	}
}

// TestAStepThatIsCoarserThanTheDigits, named by hand, stands in the sheet.
func TestAStepThatIsCoarserThanTheDigits(t *testing.T) {
	for resolution, want := range map[mass.Grams]plain.Text{0: "", 0.01: "0.01", 0.02: "0.02", 0.0100000001: "0.01"} {
		s := sitDown(t, 1, fifty)
		s.shows(empty("0.00"), enough)
		e := lies("50.14")
		e.Resolution = resolution
		s.shows(e, enough)
		if s.Draft.Resolution != want || s.readings() == "" {
			t.Errorf("%v: %q, %s", resolution, s.Draft.Resolution, s.readings())
		}
	}
	s := sitDown(t, 1, calibration.SheetWeight{Nominal: "10", Class: "F2"})
	s.shows(calibration.Event{Phase: mass.PhaseEmpty, Shown: "0.00", Unit: "ct"}, enough)
	s.shows(calibration.Event{Phase: mass.PhaseSettled, Shown: "50.05", Unit: "ct", Resolution: 0.01}, enough)
	if s.Draft.Resolution != "0.05" {
		t.Errorf("in carats: %q", s.Draft.Resolution)
	}
}

// TestADraftOutlivesAPause, and of a damaged one what can be kept is.
func TestADraftOutlivesAPause(t *testing.T) {
	s := sitDown(t, 3, fifty)
	s.weigh("50.15", "0.00")
	s.shows(empty("0.00"), enough)
	again := &scaleTable{Guide: calibration.ResumeGuide(calibration.UsualPace, s.Draft)}
	want(t, "after it", again.asks()+" "+again.readings(), "empty 0 2/3 0:50.15-0.00")
	if r, err := again.Result(); err != nil || r.Spread.Placements != 1 {
		t.Errorf("%+v, %v", r, err)
	}
	s.Draft.At, s.Draft.Untouched = calibration.Alone, []calibration.SheetMoment{{After: "0", Shown: "50.15"}}
	again = &scaleTable{Guide: calibration.ResumeGuide(calibration.UsualPace, s.Draft)}
	if again.Draft.At != calibration.Further || len(again.Draft.Untouched) != 0 {
		t.Errorf("%+v", again.Draft)
	}
	for name, d := range map[string]calibration.Draft{
		"nothing":         {},
		"no weights":      {At: calibration.Middle, Times: 3, Sheet: calibration.Sheet{Readings: []calibration.SheetShown{{Shown: "1"}}}},
		"no such stage":   {At: "x", Sheet: calibration.Sheet{Weights: []calibration.SheetWeight{fifty}}},
		"no such weight":  {At: calibration.Middle, Sheet: calibration.Sheet{Weights: []calibration.SheetWeight{fifty}, Readings: []calibration.SheetShown{{Weight: "7", Shown: "1"}, {Weight: plain.Not, Shown: "1"}}}},
		"no such reading": {At: calibration.Middle, Sheet: calibration.Sheet{Weights: []calibration.SheetWeight{fifty}, Readings: []calibration.SheetShown{{Shown: "x"}}}},
	} {
		g := calibration.ResumeGuide(calibration.UsualPace, d)
		if g.Ask().Do == "" || g.Draft.Times != 5 && g.Draft.Times != 3 {
			t.Errorf("%s: %+v", name, g)
		}
	}
}

// TestWhateverHappens plays courses of chance: every reading was shown at rest, none
// is too many, what was taken can be right, and a guide that is written down and
// read again after every event goes on alike.
func TestWhateverHappens(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		times := rapid.IntRange(1, 3).Draw(t, "times")
		s := sitDown(t, times, fifty, twenty)
		twin := *s.Guide
		phases := []mass.Phase{mass.PhaseEmpty, mass.PhaseSettled, mass.PhaseSettled, mass.PhaseMoving, mass.PhaseWithheld, mass.PhaseNone}
		loads := []string{"50.15", "50.16", "20.06", "20.07", "20.06"}
		var still, calm int64 // since when this display is shown, and without a sign of motion
		var before calibration.Event
		for range rapid.IntRange(1, 60).Draw(t, "events") {
			e := calibration.Event{Do: rapid.SampledFrom([]string{
				calibration.Shows, calibration.Shows, calibration.Shows, calibration.Shows, calibration.Shows, calibration.Shows, calibration.Shows, calibration.Shows,
				calibration.Undoes, calibration.Restarts, calibration.Begins, calibration.ToEdges, calibration.ToAlone, calibration.Ends, calibration.Finishes,
			}).Draw(t, "what")}
			e.Weights, e.Times = s.Draft.Weights, times
			repeat := 1
			if e.Do == calibration.Shows {
				e = calibration.Event{
					Do: e.Do, Phase: rapid.SampledFrom(phases).Draw(t, "phase"), Unit: "g",
					Status: rapid.SampledFrom([]mass.Status{mass.StatusStable, mass.StatusMoving, mass.StatusUnknown}).Draw(t, "status"),
				}
				e.Shown = rapid.SampledFrom(loads).Draw(t, "load")
				if e.Phase == mass.PhaseEmpty {
					e.Shown = rapid.SampledFrom([]string{"0.00", "0.01"}).Draw(t, "zero")
				}
				repeat = rapid.IntRange(1, 30).Draw(t, "tenths of a second")
			}
			for range repeat {
				e.At = s.now
				s.now += 100
				had := len(s.Draft.Readings) + len(s.Draft.OffCentre)
				if e.Do == calibration.Shows {
					if e.Phase != before.Phase {
						still, calm = e.At, e.At
					}
					if e.Shown != before.Shown || e.Status == mass.StatusMoving {
						calm = e.At
					}
					before = e
				}
				stood := s.Draft
				if err := s.Take(e); err != nil {
					t.Fatal(err)
				}
				if e.Do != calibration.Shows && !reflect.DeepEqual(stood, s.Draft) {
					before = calibration.Event{} // what rested before counts no more
				}
				if err := twin.Take(e); err != nil {
					t.Fatal(err)
				}
				raw, err := json.Marshal(&twin)
				if err != nil {
					t.Fatal(err)
				}
				var read calibration.Guide
				if err := json.Unmarshal(raw, &read); err != nil {
					t.Fatal(err)
				}
				read.Mend()
				twin = read
				if now := len(s.Draft.Readings) + len(s.Draft.OffCentre); now > had {
					if now != had+1 || e.Do != calibration.Shows || e.Phase != mass.PhaseSettled || e.At-calm < 1500 && e.At-still < 7500 {
						t.Fatalf("%+v was taken after %d ms", e, e.At-calm)
					}
				}
			}
			for i := range s.Draft.Weights {
				n := 0
				for _, r := range s.Draft.Readings {
					if string(r.Weight) == fmt.Sprint(i) {
						n++
					}
				}
				if n > times {
					t.Fatalf("weight %d was taken %d times", i, n)
				}
			}
			if _, err := s.Result(); err != nil && len(s.Draft.Readings) > 0 {
				t.Fatalf("what was taken can't be: %v", err)
			}
			a, b := s.Ask(), twin.Ask()
			if a != b || !reflect.DeepEqual(s.Draft.Check(), twin.Draft.Check()) {
				t.Fatalf("written down and read again it asks %+v, else %+v", b, a)
			}
		}
	})
}
