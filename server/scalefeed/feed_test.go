package scalefeed_test

import (
	"context"
	"errors"
	"io"
	"os"
	"strings"
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

// stream is a scale's line in fake time.
type stream struct {
	in     chan []byte
	fail   chan error
	closed chan struct{}
	once   sync.Once

	mu    sync.Mutex
	heard []string
	reply func(command string) []byte
}

func newStream() *stream {
	return &stream{in: make(chan []byte, 64), fail: make(chan error, 1), closed: make(chan struct{})}
}

func (s *stream) Read(b []byte) (int, error) {
	select {
	case p := <-s.in:
		return copy(b, p), nil
	case err := <-s.fail:
		return 0, err
	case <-s.closed:
		return 0, os.ErrClosed
	}
}

func (s *stream) Write(b []byte) (int, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.heard = append(s.heard, string(b))
	if s.reply != nil {
		if answer := s.reply(string(b)); answer != nil {
			s.in <- answer
		}
	}
	return len(b), nil
}

func (s *stream) Close() error { s.once.Do(func() { close(s.closed) }); return nil }

func (s *stream) commands() []string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return append([]string(nil), s.heard...)
}

// send sends a line n times, ten a second.
func (s *stream) send(line string, n int) {
	for range n {
		s.in <- []byte(line)
		time.Sleep(100 * time.Millisecond)
	}
}

const (
	empty  = "ST,GS,+   0.00  g\r\n"
	bronze = "ST,GS,+   3.11  g\r\n"
)

// source hands out what the test put into it.
type source struct {
	info   scalefeed.Info
	next   chan any // io.ReadWriteCloser or error
	mu     sync.Mutex
	opened []time.Duration // since the first attempt
	first  time.Time
}

func newSource(outcomes ...any) *source {
	s := &source{info: scalefeed.Info{Name: "/dev/scale", Kind: scalefeed.Serial, PortSettings: "9600 8N1"}, next: make(chan any, 64)}
	for _, o := range outcomes {
		s.next <- o
	}
	return s
}

func (s *source) Open(ctx context.Context) (io.ReadWriteCloser, scalefeed.Info, error) {
	s.mu.Lock()
	if s.first.IsZero() {
		s.first = time.Now()
	}
	s.opened = append(s.opened, time.Since(s.first))
	s.mu.Unlock()
	select {
	case o := <-s.next:
		if err, bad := o.(error); bad {
			return nil, s.info, err
		}
		return o.(io.ReadWriteCloser), s.info, nil
	case <-ctx.Done():
		return nil, s.info, ctx.Err()
	}
}

// table is a running feed in fake time.
type table struct {
	*scalefeed.Feed
	lines  []mass.Reading
	states []scalefeed.Snapshot
}

func run(t *testing.T, src scalefeed.Source, o scalefeed.Options) *table {
	b := &table{}
	o.OnLine = func(r mass.Reading) { b.lines = append(b.lines, r) }
	b.Feed = scalefeed.New(src, o)
	b.Subscribe(func(s scalefeed.Snapshot) { b.states = append(b.states, s) })
	ctx, cancel := context.WithCancel(t.Context())
	done := make(chan struct{})
	go func() { b.Run(ctx); close(done) }()
	t.Cleanup(func() {
		cancel()
		<-done
	})
	return b
}

func (b *table) after(d time.Duration) scalefeed.Snapshot {
	time.Sleep(d)
	synctest.Wait()
	return b.Latest()
}

func wantProblem(t *testing.T, s scalefeed.Snapshot, want fault.Code) {
	t.Helper()
	switch {
	case want == "" && s.Problem != nil:
		t.Fatalf("problem %v, want none", s.Problem)
	case want != "" && (s.Problem == nil || s.Problem.Code != want):
		t.Fatalf("problem %v, want %s", s.Problem, want)
	}
	if s.Problem != nil && s.Problem.Code != fault.Overload && (s.Estimate.HasLoad() || s.Estimate.Phase != mass.PhaseNone || s.Reading.HasValue) {
		t.Fatalf("a weight stays on show beside the problem: %+v", s)
	}
}

func wantWeight(t *testing.T, s scalefeed.Snapshot, grams float64) {
	t.Helper()
	wantProblem(t, s, "")
	if d := float64(s.Estimate.Mean) - grams; s.Estimate.Phase != mass.PhaseSettled || d > 0.005 || d < -0.005 {
		t.Fatalf("estimate %+v, want %v g settled", s.Estimate, grams)
	}
}

func TestCoinSettles(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := newStream()
		b := run(t, newSource(s), scalefeed.Options{})
		s.send(empty, 20)
		s.send(bronze, 40)
		now := b.after(0)
		wantWeight(t, now, 3.11)
		if now.Dialect != "status-comma" || now.Sure < 0.95 || !now.Assumed || now.Info.Name != "/dev/scale" {
			t.Errorf("%+v", now)
		}
		if now.Reading.Quantity.String() != "3.11 g" || now.Reading.Status != mass.StatusStable {
			t.Errorf("the reading is %+v", now.Reading)
		}
		if len(b.lines) != 60 {
			t.Errorf("%d lines were handed on, want 60", len(b.lines))
		}
		if c := s.commands(); len(c) != 0 {
			t.Errorf("a scale that speaks by itself was asked: %q", c)
		}
	})
}

func TestStaleWithinASecondThenSilentThenBack(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := newStream()
		b := run(t, newSource(s), scalefeed.Options{})
		s.send(empty, 20)
		s.send(bronze, 30)
		stale := func(s scalefeed.Snapshot) bool { return time.Since(s.At) > scalefeed.StaleAfter }
		if stale(b.after(0)) {
			t.Error("stale while lines arrive")
		}
		if !stale(b.after(time.Second)) {
			t.Error("not stale a second after the last line")
		}
		now := b.after(2100 * time.Millisecond)
		wantProblem(t, now, fault.ScaleSilent)
		if !strings.Contains(now.Problem.English(), "switch themselves off") {
			t.Errorf("no word of a sleeping scale: %s", now.Problem.English())
		}
		placed := now.Estimate.Placement
		if placed != 1 {
			t.Errorf("%d placements, want 1", placed)
		}
		s.send(bronze, 30)
		wantWeight(t, b.after(0), 3.11)
	})
}

func TestScaleThatNeverSpeaks(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := newStream()
		b := run(t, newSource(s), scalefeed.Options{})
		wantProblem(t, b.after(2900*time.Millisecond), "")
		now := b.after(200 * time.Millisecond)
		wantProblem(t, now, fault.ScaleSilent)
		if strings.Contains(now.Problem.English(), "stopped") {
			t.Errorf("it never sent anything: %s", now.Problem.English())
		}
		if n := len(b.lines); n != 1 || b.lines[0].Problem.Code != fault.ScaleSilent || b.lines[0].Status != mass.StatusError {
			t.Errorf("lines %+v", b.lines)
		}
	})
}

func TestPulledMidLineAndBack(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		first, second := newStream(), newStream()
		gone := fault.New(fault.PortMissing, say.New("There is no port."))
		src := newSource(first, gone, gone, gone)
		b := run(t, src, scalefeed.Options{})
		first.send(empty, 20)
		first.send(bronze, 30)
		first.in <- []byte("ST,GS,+   3.")
		synctest.Wait()
		first.fail <- fault.New(fault.PortLost, say.New("The cable came loose."))
		wantProblem(t, b.after(0), fault.PortLost)
		wantProblem(t, b.after(600*time.Millisecond), fault.PortMissing)
		<-first.closed
		b.after(4 * time.Second)
		src.next <- second
		b.after(3 * time.Second)
		second.send(bronze, 30)
		wantWeight(t, b.after(0), 3.11)
		for _, r := range b.lines {
			if r.HasValue && r.Quantity.String() != "0.00 g" && r.Quantity.String() != "3.11 g" {
				t.Errorf("the cut line became %v", r.Quantity)
			}
		}
		missing := 0
		for _, r := range b.lines {
			if r.Problem != nil && r.Problem.Code == fault.PortMissing {
				missing++
			}
		}
		if missing != 1 {
			t.Errorf("the missing port was told %d times, want once", missing)
		}
	})
}

// TestAScaleThatIsBackIsTakenAsItIsFound: a slow scale, away for less than a few
// of its lines. What lay there before isn't said of it before it has rested.
func TestAScaleThatIsBackIsTakenAsItIsFound(t *testing.T) {
	for name, away := range map[string]func(b *table, s *stream){
		"unplugged": func(_ *table, s *stream) { s.fail <- fault.New(fault.PortLost, say.New("The cable came loose.")) },
		"silent":    func(b *table, _ *stream) { b.after(3200 * time.Millisecond) },
	} {
		synctest.Test(t, func(t *testing.T) {
			first, second := newStream(), newStream()
			b := run(t, newSource(first, second), scalefeed.Options{Decode: dialect.Options{Dialect: "status-comma"}})
			slowly := func(s *stream, line string, n int) {
				for range n {
					s.in <- []byte(line)
					time.Sleep(time.Second)
				}
			}
			slowly(first, empty, 20)
			slowly(first, bronze, 20)
			wantWeight(t, b.after(0), 3.11)
			away(b, first)
			if now := b.after(time.Second); now.Problem == nil {
				t.Fatalf("%s: %+v", name, now)
			}
			back := second
			if name == "silent" {
				back = first
			}
			back.in <- []byte(bronze)
			if now := b.after(100 * time.Millisecond); now.Problem != nil || now.Estimate.Phase == mass.PhaseSettled {
				t.Errorf("%s: by its first line the scale is back with %+v", name, now.Estimate)
			}
			slowly(back, bronze, 20)
			wantWeight(t, b.after(0), 3.11)
		})
	}
}

func TestRetriesStayCalmForEverAndBeginEagerlyAfterALoss(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		busy := fault.New(fault.PortBusy, say.New("Another program is using it."))
		src := newSource()
		for range 30 {
			src.next <- busy
		}
		b := run(t, src, scalefeed.Options{})
		wantProblem(t, b.after(60*time.Second), fault.PortBusy)
		src.mu.Lock()
		opened := append([]time.Duration(nil), src.opened...)
		src.mu.Unlock()
		want := []time.Duration{0, 500 * time.Millisecond, 1500 * time.Millisecond, 3500 * time.Millisecond, 6500 * time.Millisecond, 9500 * time.Millisecond}
		for i, w := range want {
			if opened[i] != w {
				t.Fatalf("attempts at %v, want to begin with %v", opened, want)
			}
		}
		if len(opened) > 25 {
			t.Errorf("%d attempts in a minute are not calm", len(opened))
		}
	})
}

func TestOneBrokenLinePassesManyAreTold(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := newStream()
		b := run(t, newSource(s), scalefeed.Options{})
		s.send(empty, 20)
		s.send(bronze, 30)
		s.send("ST,GS,+   3.1\r\n", 1)
		wantWeight(t, b.after(0), 3.11)
		if last := b.lines[len(b.lines)-1]; last.Status != mass.StatusError || last.HasValue {
			t.Errorf("whoever listens to lines must see the broken one: %+v", last)
		}
		s.send("ST,GS,+   3.1\r\n", 12)
		wantProblem(t, b.after(0), fault.Garbled)
		s.send(bronze, 20)
		wantWeight(t, b.after(0), 3.11)
	})
}

func TestOverloadHasNoWeight(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := newStream()
		b := run(t, newSource(s), scalefeed.Options{})
		s.send(empty, 20)
		s.send("OL,GS,+9999999E+19\r\n", 2)
		now := b.after(0)
		wantProblem(t, now, fault.Overload)
		if now.Estimate.Phase != mass.PhaseOver || now.Estimate.HasLoad() {
			t.Errorf("%+v", now.Estimate)
		}
		s.send(bronze, 30)
		wantProblem(t, b.after(0), "")
	})
}

func TestUnusableUnitIsToldAtOnce(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := newStream()
		b := run(t, newSource(s), scalefeed.Options{Decode: dialect.Options{Dialect: "status-comma"}})
		s.send(empty, 20)
		s.send("ST,GS,+   3.11 tl\r\n", 1)
		wantProblem(t, b.after(0), fault.RefusedUnit)
	})
}

func TestWhatIsNoScaleNeverGivesANumber(t *testing.T) {
	for name, text := range map[string]string{
		"position receiver": "$GPGGA,201530.00,5130.00,N,00007.00,W,1,08,0.9,46.2,M,,,,*42\r\n",
		"log":               "2025-01-31 20:15:30 temperature 21.5 humidity 40\r\n",
		"no line ends":      "\x00\xff\x80\x7f",
	} {
		synctest.Test(t, func(t *testing.T) {
			s := newStream()
			b := run(t, newSource(s), scalefeed.Options{})
			s.send(text, 80)
			now := b.after(0)
			wantProblem(t, now, fault.NotAScale)
			for _, r := range b.lines {
				if r.HasValue {
					t.Errorf("%s: became %v", name, r.Quantity)
				}
			}
			if c := s.commands(); len(c) != 0 {
				t.Errorf("%s: it was sent %q", name, c)
			}
		})
	}
}

func TestScaleThatWaitsToBeAsked(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := newStream()
		weight := "       0.00 g     \r\n"
		s.reply = func(command string) []byte {
			switch command {
			case "IP\r\n":
				return []byte(weight)
			case "SI\r\n":
				return []byte("ES\r\n")
			}
			return nil
		}
		b := run(t, newSource(s), scalefeed.Options{})
		if b.after(1400 * time.Millisecond); len(s.commands()) != 0 {
			t.Errorf("it was asked before it was listened to: %q", s.commands())
		}
		now := b.after(6 * time.Second)
		if now.Dialect != "print-line" {
			t.Fatalf("the format is %q", now.Dialect)
		}
		s.mu.Lock()
		weight = "       3.11 g     \r\n"
		s.heard = nil
		s.mu.Unlock()
		wantWeight(t, b.after(5*time.Second), 3.11)
		if n := len(s.commands()); n < 25 || n > 55 {
			t.Errorf("%d commands in 5 s", n)
		}
		for _, c := range s.commands() {
			if c != "IP\r\n" {
				t.Errorf("it is still asked %q", c)
			}
		}

		// It goes to sleep, and is asked calmly until it wakes.
		s.mu.Lock()
		s.heard, s.reply = nil, nil
		s.mu.Unlock()
		wantProblem(t, b.after(2*time.Minute), fault.ScaleSilent)
		if n := len(s.commands()); n > 60 {
			t.Errorf("a sleeping scale was asked %d times in two minutes", n)
		}
	})
}

func TestFixedFormatSendsOnlyItsOwnCommand(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := newStream()
		b := run(t, newSource(s), scalefeed.Options{Decode: dialect.Options{Dialect: "print-line"}})
		b.after(time.Minute)
		if len(s.commands()) == 0 {
			t.Fatal("it was not asked")
		}
		for _, c := range s.commands() {
			if c != "IP\r\n" {
				t.Errorf("it was asked %q", c)
			}
		}
	})
}

func TestKeepAwakeAsksNowAndThen(t *testing.T) {
	for _, keep := range []bool{false, true} {
		synctest.Test(t, func(t *testing.T) {
			s := newStream()
			run(t, newSource(s), scalefeed.Options{KeepAwake: keep})
			s.send(empty, 1500) // 150 s
			want := 0
			if keep {
				want = 3
			}
			if c := s.commands(); len(c) != want {
				t.Errorf("keep awake %v: asked %q", keep, c)
			}
		})
	}
}

// hanging never comes back from a read, a write or from closing.
type hanging struct{}

func (hanging) Read([]byte) (int, error)  { select {} }
func (hanging) Write([]byte) (int, error) { select {} }
func (hanging) Close() error              { select {} }

// It runs in real time: goroutines that hang for ever don't fit fake time.
func TestHangingPortNeitherStopsTheFeedNorItsEnd(t *testing.T) {
	t.Parallel()
	f := scalefeed.New(newSource(hanging{}), scalefeed.Options{})
	silent := make(chan struct{})
	var once sync.Once
	f.Subscribe(func(s scalefeed.Snapshot) {
		if s.Problem != nil && s.Problem.Code == fault.ScaleSilent {
			once.Do(func() { close(silent) })
		}
	})
	ctx, cancel := context.WithCancel(t.Context())
	done := make(chan struct{})
	go func() { f.Run(ctx); close(done) }()
	<-silent
	cancel()
	<-done
}

func TestAnotherScaleKeepsCountingPlacements(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		first, second := newStream(), newStream()
		src := newSource(first)
		b := run(t, src, scalefeed.Options{})
		first.send(empty, 20)
		first.send(bronze, 30)
		if p := b.after(0).Estimate.Placement; p != 1 {
			t.Fatalf("placement %d", p)
		}
		src.info.Name = "/dev/other"
		src.next <- second
		first.fail <- io.EOF // a plain end counts as lost
		wantProblem(t, b.after(0), fault.PortLost)
		b.after(time.Second)
		second.send(empty, 20)
		second.send(bronze, 30)
		now := b.after(0)
		if now.Estimate.Placement != 2 || now.Info.Name != "/dev/other" {
			t.Errorf("placement %d on %s, want 2 on /dev/other", now.Estimate.Placement, now.Info.Name)
		}
	})
}

func TestUnknownErrorsAreNeverShownRaw(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := run(t, newSource(errors.New("ioctl 0x5401: secret")), scalefeed.Options{})
		now := b.after(100 * time.Millisecond)
		wantProblem(t, now, fault.Internal)
		if strings.Contains(now.Problem.English(), "ioctl") {
			t.Errorf("%s", now.Problem.English())
		}
	})
}

func TestSubscribersSeeEveryStateInOrderUntilTheyCancel(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := newStream()
		b := run(t, newSource(s), scalefeed.Options{})
		seen := 0
		var cancel func()
		cancel = b.Subscribe(func(now scalefeed.Snapshot) {
			if seen++; seen == 6 {
				cancel()
			}
			if now.At != b.Latest().At {
				t.Error("the state handed over is not the newest")
			}
		})
		s.send(empty, 20)
		b.after(0)
		if seen != 6 {
			t.Errorf("it was called %d times, want 6", seen)
		}
		if len(b.states) != 21 {
			t.Errorf("the other one saw %d states, want 21", len(b.states))
		}
	})
}
