package scale

import (
	"context"
	"log/slog"
	"math"
	"net"
	"strings"
	"testing"
	"time"

	"panside/internal/fault"
	"panside/internal/mass"
	"panside/internal/simscale"
	"panside/server/pseudoport"
	"panside/server/scalefeed"
	"panside/server/serialport"
)

// chain is a chosen scale with its feed, as serve has it.
type chain struct {
	Choice
	feed   *scalefeed.Feed
	states chan scalefeed.Snapshot
	lines  chan mass.Reading
}

func startChain(t *testing.T, s Settings) *chain {
	t.Helper()
	choice, err := Choose(s, Options{Log: slog.New(slog.DiscardHandler)})
	if err != nil {
		if fault.Of(err).Code == fault.PortMissing {
			t.Skip(err)
		}
		t.Fatal(err)
	}
	c := &chain{Choice: choice, states: make(chan scalefeed.Snapshot, 10_000), lines: make(chan mass.Reading, 10_000)}
	c.feed = scalefeed.New(choice.Source, scalefeed.Options{Decode: choice.Decode, OnLine: func(r mass.Reading) { c.lines <- r }})
	c.feed.Subscribe(func(s scalefeed.Snapshot) { c.states <- s })
	ctx, cancel := context.WithCancel(t.Context())
	done := make(chan struct{})
	choice.Start(ctx)
	go func() { c.feed.Run(ctx); close(done) }()
	t.Cleanup(func() {
		cancel()
		<-done
	})
	return c
}

// until waits for a state.
func (c *chain) until(t *testing.T, what string, ok func(scalefeed.Snapshot) bool) scalefeed.Snapshot {
	t.Helper()
	limit := time.After(time.Minute)
	var last scalefeed.Snapshot
	for {
		select {
		case last = <-c.states:
			if last.Problem != nil && last.Problem.Code != fault.Overload && last.Estimate.HasLoad() {
				t.Fatalf("a weight beside the problem %v", last.Problem)
			}
			if ok(last) {
				return last
			}
		case <-limit:
			t.Fatalf("waited in vain for %s; the last state is %+v", what, last)
		}
	}
}

func (c *chain) settled(t *testing.T, grams float64) scalefeed.Snapshot {
	t.Helper()
	return c.until(t, "a settled coin", func(s scalefeed.Snapshot) bool {
		return s.Estimate.Phase == mass.PhaseSettled && s.Reading.Status == mass.StatusStable &&
			math.Abs(float64(s.Estimate.Mean)-grams) < 0.015 && math.Abs(s.Reading.Quantity.Value.Float64()-grams) < 0.025
	})
}

// lays puts a coin on the bare pan, and again if its weight is withheld, as the phone
// asks: where lines come late on a busy computer, nobody saw how it came there.
func (c *chain) lays(t *testing.T, coin string, how simscale.How, grams float64) scalefeed.Snapshot {
	t.Helper()
	for range 5 {
		if err := c.Virtual.Put(coin, how); err != nil {
			t.Fatal(err)
		}
		s := c.until(t, coin+" at rest", func(s scalefeed.Snapshot) bool {
			return s.Reading.Status == mass.StatusStable && math.Abs(s.Reading.Quantity.Value.Float64()-grams) < 0.025 &&
				(s.Estimate.Phase == mass.PhaseWithheld || s.Estimate.Phase == mass.PhaseSettled && math.Abs(float64(s.Estimate.Mean)-grams) < 0.015)
		})
		if s.Estimate.Phase == mass.PhaseSettled {
			return s
		}
		if err := c.Virtual.Lift(coin); err != nil {
			t.Fatal(err)
		}
		c.until(t, "the bare pan", empty)
	}
	t.Fatalf("%s was withheld five times", coin)
	return scalefeed.Snapshot{}
}

func empty(s scalefeed.Snapshot) bool { return s.Estimate.Phase == mass.PhaseEmpty }

func problem(code fault.Code) func(scalefeed.Snapshot) bool {
	return func(s scalefeed.Snapshot) bool { return s.Problem != nil && s.Problem.Code == code }
}

func TestVirtualScaleThroughAPseudoTerminal(t *testing.T) {
	t.Parallel()
	c := startChain(t, Settings{Port: "virtual"})
	c.until(t, "the empty pan", empty)
	s := c.lays(t, "bronze-cent", simscale.Gentle, 3.11)
	if s.Info.Kind != scalefeed.Virtual || s.Dialect != "status-comma" || !s.Assumed || s.Estimate.Placement == 0 {
		t.Errorf("%+v", s)
	}

	first, err := c.Virtual.Name()
	if err != nil {
		t.Fatal(err)
	}
	c.Virtual.Unplug()
	c.until(t, "the pulled cable", problem(fault.PortLost))
	// Take the number that has become free, so that the scale comes back under
	// another name.
	other, err := pseudoport.Open()
	if err != nil {
		t.Fatal(err)
	}
	defer other.Close()
	c.until(t, "the missing port", problem(fault.PortMissing))
	if err := c.Virtual.Plug(); err != nil {
		t.Fatal(err)
	}
	second, err := c.Virtual.Name()
	if err != nil {
		t.Fatal(err)
	}
	if other.Name() == first && second == first {
		t.Errorf("it is back under the old name %s", first)
	}
	c.until(t, "a weight again", func(s scalefeed.Snapshot) bool { return s.Problem == nil && s.Reading.HasValue })
	if err := c.Virtual.Lift("bronze-cent"); err != nil {
		t.Fatal(err)
	}
	c.until(t, "the empty pan", empty)
	c.lays(t, "zinc-cent", simscale.Dropped, 2.5)
	for len(c.lines) > 0 {
		// Bounces and fingers give odd values, but no line may show what the
		// cut one would have made.
		if r := <-c.lines; r.Status == mass.StatusStable && r.Quantity.Value.Cmp(mass.MustDecimal("0.5")) > 0 && r.Quantity.Value.Cmp(mass.MustDecimal("2.4")) < 0 {
			t.Errorf("%q became %v", r.Raw, r.Quantity)
		}
	}
}

func TestGarbageFromTheVirtualScaleShowsNoWeight(t *testing.T) {
	t.Parallel()
	c := startChain(t, Settings{Port: "virtual"})
	c.until(t, "the empty pan", empty)
	c.lays(t, "clad-quarter", simscale.Gentle, 5.67)
	c.Virtual.Garbage()
	c.until(t, "the noise being told", func(s scalefeed.Snapshot) bool { return s.Problem != nil && !s.Reading.HasValue })
	c.settled(t, 5.67)
	for len(c.lines) > 0 {
		r := <-c.lines
		if r.HasValue && !strings.HasPrefix(string(r.Raw), "ST,GS,") && !strings.HasPrefix(string(r.Raw), "US,GS,") {
			t.Errorf("noise %q became %v", r.Raw, r.Quantity)
		}
	}
}

func TestSerialServer(t *testing.T) {
	t.Parallel()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	go func() {
		for {
			c, err := l.Accept()
			if err != nil {
				return
			}
			// The box restarts after a few lines, each time.
			for range 5 {
				_, _ = c.Write([]byte("ST,GS,+   2.50  g\r\n"))
			}
			c.Close()
		}
	}()
	c := startChain(t, Settings{Port: "tcp://" + l.Addr().String()})
	for range 2 {
		c.until(t, "a weight", func(s scalefeed.Snapshot) bool { return s.Reading.Quantity.String() == "2.50 g" })
		c.until(t, "the loss", problem(fault.PortLost))
	}
}

func TestPortSettingsComeFromTheFormatUnlessGiven(t *testing.T) {
	for _, c := range []struct {
		settings Settings
		want     string
	}{
		{Settings{}, "9600 8N1"},
		{Settings{Baud: 1200}, "1200 8N1"},
		{Settings{Framing: "7E1"}, "9600 7E1"},
		{Settings{Format: "status-comma", Baud: 2400, Framing: "7O1"}, "2400 7O1"},
	} {
		if p := portSettings(c.settings); p.String() != c.want {
			t.Errorf("%+v gives %v", c.settings, p)
		}
	}
}

func TestDemoEveningFlows(t *testing.T) {
	t.Parallel()
	c := startChain(t, Settings{Port: "virtual:evening"})
	c.settled(t, 3.11)
}

// sends has a scale say a line until the test ends.
func sends(t *testing.T, far *pseudoport.Port, line string) {
	t.Helper()
	ctx, cancel := context.WithCancel(t.Context())
	done := make(chan struct{})
	go func() { far.Repeat(ctx, line); close(done) }()
	t.Cleanup(func() { cancel(); <-done })
}

func TestNamedPortThatIsBusyIsTakenWhenItIsFree(t *testing.T) {
	t.Parallel()
	far, err := pseudoport.Open()
	if err != nil {
		t.Skip(err)
	}
	t.Cleanup(func() { far.Close() })
	sends(t, far, "ST,GS,+   2.50  g\r\n")
	other, err := serialport.Open(t.Context(), far.Name(), serialport.Usual)
	if err != nil {
		t.Fatal(err)
	}
	c := startChain(t, Settings{Port: far.Name()})
	s := c.until(t, "the busy port", problem(fault.PortBusy))
	if !strings.Contains(s.Problem.English(), far.Name()) {
		t.Errorf("the sentence does not name the port: %s", s.Problem.English())
	}
	other.Close()
	s = c.until(t, "a weight", func(s scalefeed.Snapshot) bool { return s.Problem == nil && s.Reading.HasValue })
	if s.Info.Kind != scalefeed.Serial || s.Info.PortSettings != "9600 8N1" || s.Dialect != "status-comma" {
		t.Errorf("%+v", s)
	}
}

func TestGivenPortSettingsAreUsedAsTheyAre(t *testing.T) {
	t.Parallel()
	far, err := pseudoport.Open()
	if err != nil {
		t.Skip(err)
	}
	t.Cleanup(func() { far.Close() })
	sends(t, far, "3.11\r\n")
	c := startChain(t, Settings{Port: far.Name(), Baud: 2400, Unit: "g", Format: "value-only"})
	s := c.until(t, "a weight", func(s scalefeed.Snapshot) bool { return s.Reading.HasValue })
	if s.Info.PortSettings != "2400 8N1" || s.Reading.Quantity.String() != "3.11 g" {
		t.Errorf("%+v", s)
	}
}
