package scalefeed_test

import (
	"fmt"
	"slices"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"panside/internal/dialect"
	"panside/internal/fault"
	"panside/internal/mass"
	"panside/internal/say"
	"panside/server/scalefeed"
)

// TestPlainLinesOfSlowTalkersAreFound: "3.11 g" has little evidence in a line, so
// at one line a second it takes some seconds under the right setting.
func TestPlainLinesOfSlowTalkersAreFound(t *testing.T) {
	for _, every := range []time.Duration{time.Second, 500 * time.Millisecond, 333 * time.Millisecond, 1800 * time.Millisecond} {
		for _, own := range []dialect.Settings{{Baud: 9600, Framing: "8N1"}, {Baud: 4800, Framing: "7E1"}, {Baud: 1200, Framing: "8N1"}} {
			synctest.Test(t, func(t *testing.T) {
				d := serialDevice("/dev/ttyUSB0", own.Baud, own.Framing)
				d.says, d.every = "    3.11 g\r\n", every
				b := run(t, finderOf(nil, d), scalefeed.Options{})
				found := b.until(time.Minute, func(s scalefeed.Snapshot) bool { return s.Reading.HasValue })
				now := b.Latest()
				if now.Reading.Quantity.String() != "3.11 g" || now.Info.PortSettings != own.String() {
					t.Fatalf("every %v at %v: %+v", every, own, now)
				}
				if own.Baud == 9600 && every <= time.Second && found > 10*time.Second {
					t.Errorf("every %v: found after %v", every, found)
				}
				if got := d.asked(); every <= time.Second && len(got) > 0 {
					t.Errorf("a scale that speaks was asked %q", got)
				}
			})
		}
	}
}

// until waits for a state and tells how long it took.
func (b *table) until(limit time.Duration, ok func(scalefeed.Snapshot) bool) time.Duration {
	begun := time.Now()
	for time.Since(begun) < limit && !ok(b.after(50*time.Millisecond)) {
	}
	return time.Since(begun)
}

// said is what the person answered.
type said struct {
	mu sync.Mutex
	a  scalefeed.Answers
}

func (s *said) of(string) scalefeed.Answers {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.a
}

func (s *said) say(b *table, a scalefeed.Answers) {
	s.mu.Lock()
	s.a = a
	s.mu.Unlock()
	b.Answered()
}

// TestABareNumberIsAskedAboutAndTheAnswerCountsAtOnce: the search doesn't cycle
// for ever, the digits stay live, and no weight is there before the answer.
func TestABareNumberIsAskedAboutAndTheAnswerCountsAtOnce(t *testing.T) {
	for _, every := range []time.Duration{100 * time.Millisecond, time.Second} {
		synctest.Test(t, func(t *testing.T) {
			d := serialDevice("/dev/ttyUSB0", 9600, "8N1")
			d.says, d.every = "15.55\r\n", every
			var answers said
			f := finderOf(nil, d)
			f.Answers = answers.of
			b := run(t, f, scalefeed.Options{Answers: answers.of})
			asked := b.until(time.Minute, func(s scalefeed.Snapshot) bool { return s.Ask != nil })
			if asked > 16*every+3*time.Second {
				t.Errorf("every %v: asked after %v", every, asked)
			}
			now := b.Latest()
			wantProblem(t, now, fault.UnknownUnit)
			if now.Ask == nil || now.Ask.What != dialect.AskUnit || now.Ask.Digits != "15.55" || !slices.Contains(now.Ask.Units, mass.Carat) {
				t.Fatalf("every %v: asked %+v", every, now.Ask)
			}

			d.say("7.00\r\n")
			tuned := len(d.tuned)
			if now = b.after(2 * time.Minute); now.Ask == nil || now.Ask.Digits != "7.00" {
				t.Errorf("the digits beside the question: %+v", now.Ask)
			}
			if len(d.tuned) != tuned {
				t.Error("the search went on beside the question")
			}

			d.say("15.55\r\n")
			b.after(2 * every)
			answers.say(b, scalefeed.Answers{Unit: mass.Carat})
			now = b.after(0)
			if now.Ask != nil || now.Reading.Quantity.String() != "15.55 ct" || now.Problem != nil {
				t.Fatalf("every %v: right after the answer %+v", every, now)
			}
			b.after(10 * every)
			answers.say(b, scalefeed.Answers{Unit: mass.Gram}) // it was the wrong one
			if now = b.after(0); now.Reading.Quantity.String() != "15.55 g" {
				t.Errorf("after a change: %v", now.Reading.Quantity)
			}
			for _, r := range b.lines {
				if r.HasValue && r.Quantity.Unit != mass.Carat && r.Quantity.Unit != mass.Gram {
					t.Errorf("a weight in %s", r.Quantity.Unit)
				}
			}
		})
	}
}

// TestGramOrGrainIsAsked: "gr" is either.
func TestGramOrGrainIsAsked(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := serialDevice("/dev/ttyUSB0", 9600, "8N1")
		d.says, d.every = "ST,GS,+  48.00 gr\r\n", time.Second
		var answers said
		f := finderOf(nil, d)
		f.Answers = answers.of
		b := run(t, f, scalefeed.Options{Answers: answers.of})
		b.until(30*time.Second, func(s scalefeed.Snapshot) bool { return s.Ask != nil })
		now := b.Latest()
		if now.Ask == nil || now.Ask.What != dialect.AskGr || fmt.Sprint(now.Ask.Units) != "[g gr]" || now.Reading.HasValue {
			t.Fatalf("%+v", now)
		}
		answers.say(b, scalefeed.Answers{Gr: mass.Grain})
		if now = b.after(0); now.Ask != nil || now.Reading.Quantity.String() != "48.00 gr" {
			t.Errorf("%+v", now)
		}
	})
}

// TestARememberedAnswerIsNotAskedForAgain, also after the cable was pulled.
func TestARememberedAnswerIsNotAskedForAgain(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := serialDevice("/dev/ttyUSB0", 4800, "8N1")
		d.says = "3.11\r\n"
		answers := said{a: scalefeed.Answers{Unit: mass.Gram}}
		f := finderOf(nil, d)
		f.Answers = answers.of
		b := run(t, f, scalefeed.Options{Answers: answers.of})
		b.after(10 * time.Second)
		d.mu.Lock()
		d.online.fail <- fault.New(fault.PortLost, say.New("The cable came loose."))
		d.mu.Unlock()
		if now := b.after(10 * time.Second); now.Problem != nil || now.Reading.Quantity.String() != "3.11 g" {
			t.Errorf("%+v", now)
		}
		for _, s := range b.states {
			if s.Ask != nil {
				t.Fatal("it was asked for again")
			}
		}
	})
}

// TestAQuestionGivesWayToAScale: what is asked about may be no scale at all.
func TestAQuestionGivesWayToAScale(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		counter, scale := serialDevice("/dev/ttyACM0", 9600, "8N1"), serialDevice("/dev/ttyUSB0", 9600, "8N1")
		counter.says, scale.says = "21.50\r\n", bronze
		var mu sync.Mutex
		plugged := []scalefeed.Candidate{counter.candidate()}
		f := &scalefeed.Finder{Candidates: func() []scalefeed.Candidate {
			mu.Lock()
			defer mu.Unlock()
			return plugged
		}}
		b := run(t, f, scalefeed.Options{})
		if b.until(20*time.Second, func(s scalefeed.Snapshot) bool { return s.Ask != nil }); b.Latest().Ask == nil {
			t.Fatal("nothing was asked")
		}
		mu.Lock()
		plugged = append(plugged, scale.candidate())
		mu.Unlock()
		if now := b.after(10 * time.Second); now.Problem != nil || now.Info.Name != "/dev/ttyUSB0" {
			t.Errorf("%+v", now)
		}
	})
}
