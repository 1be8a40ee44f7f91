package main

import (
	"bytes"
	"context"
	"encoding/json"
	"log/slog"
	"math"
	"net"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"panside/internal/fault"
	"panside/internal/mass"
	"panside/server/pseudoport"
	"panside/server/scalefeed"
	"panside/server/serialport"
)

// chain is a chosen scale with its feed, as serve has it.
type chain struct {
	chosenScale
	feed   *scalefeed.Feed
	states chan scalefeed.Snapshot
	lines  chan mass.Reading
}

func startChain(t *testing.T, f ScaleFlags) *chain {
	t.Helper()
	scale, err := chooseScale(f, replayOptions{speed: 1}, slog.New(slog.DiscardHandler))
	if err != nil {
		if fault.Of(err).Code == fault.PortMissing {
			t.Skip(err)
		}
		t.Fatal(err)
	}
	c := &chain{chosenScale: scale, states: make(chan scalefeed.Snapshot, 10_000), lines: make(chan mass.Reading, 10_000)}
	c.feed = scalefeed.New(scale.source, scalefeed.Options{Decode: scale.decode, OnLine: func(r mass.Reading) { c.lines <- r }})
	c.feed.Subscribe(func(s scalefeed.Snapshot) { c.states <- s })
	ctx, cancel := context.WithCancel(t.Context())
	done := make(chan struct{})
	scale.start(ctx)
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

func empty(s scalefeed.Snapshot) bool { return s.Estimate.Phase == mass.PhaseEmpty }

func problem(code fault.Code) func(scalefeed.Snapshot) bool {
	return func(s scalefeed.Snapshot) bool { return s.Problem != nil && s.Problem.Code == code }
}

func TestVirtualScaleThroughAPseudoTerminal(t *testing.T) {
	t.Parallel()
	c := startChain(t, ScaleFlags{Scale: "virtual"})
	c.until(t, "the empty pan", empty)
	if err := c.virtual.Put("bronze-cent", "gentle"); err != nil {
		t.Fatal(err)
	}
	s := c.settled(t, 3.11)
	if s.Info.Kind != scalefeed.Virtual || s.Dialect != "status-comma" || !s.Assumed || s.Estimate.Placement != 1 {
		t.Errorf("%+v", s)
	}

	first, err := c.virtual.Name()
	if err != nil {
		t.Fatal(err)
	}
	c.virtual.Unplug()
	c.until(t, "the pulled cable", problem(fault.PortLost))
	// Take the number that has become free, so that the scale comes back under
	// another name.
	other, err := pseudoport.Open()
	if err != nil {
		t.Fatal(err)
	}
	defer other.Close()
	c.until(t, "the missing port", problem(fault.PortMissing))
	if err := c.virtual.Plug(); err != nil {
		t.Fatal(err)
	}
	second, err := c.virtual.Name()
	if err != nil {
		t.Fatal(err)
	}
	if other.Name() == first && second == first {
		t.Errorf("it is back under the old name %s", first)
	}
	c.until(t, "a weight again", func(s scalefeed.Snapshot) bool { return s.Problem == nil && s.Reading.HasValue })
	if err := c.virtual.Lift("bronze-cent"); err != nil {
		t.Fatal(err)
	}
	c.until(t, "the empty pan", empty)
	if err := c.virtual.Put("zinc-cent", "dropped"); err != nil {
		t.Fatal(err)
	}
	c.settled(t, 2.5)
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
	c := startChain(t, ScaleFlags{Scale: "virtual"})
	c.until(t, "the empty pan", empty)
	if err := c.virtual.Put("clad-quarter", "gentle"); err != nil {
		t.Fatal(err)
	}
	c.settled(t, 5.67)
	c.virtual.Garbage()
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
	c := startChain(t, ScaleFlags{Scale: "tcp://" + l.Addr().String()})
	for range 2 {
		c.until(t, "a weight", func(s scalefeed.Snapshot) bool { return s.Reading.Quantity.String() == "2.50 g" })
		c.until(t, "the loss", problem(fault.PortLost))
	}
}

// capturesFolder has recorded lines and, for each, the readings they must give.
const capturesFolder = "../testdata/captures"

func TestListenGivesTheReadingsOfEveryCapture(t *testing.T) {
	logs, err := filepath.Glob(filepath.Join(capturesFolder, "*.log"))
	if err != nil || len(logs) == 0 {
		t.Fatalf("no captures: %v", err)
	}
	for _, file := range logs {
		t.Run(filepath.Base(file), func(t *testing.T) {
			t.Parallel()
			want, err := os.ReadFile(strings.TrimSuffix(file, ".log") + ".golden.jsonl")
			if err != nil {
				t.Fatal(err)
			}
			code, out, errOut := call(t, "listen", "--scale", "replay:"+file, "--json", "--speed", "0")
			if out != string(want) {
				t.Errorf("through a pseudo-terminal it gives\n%s\nwant\n%s", out, want)
			}
			bad := 0
			for _, line := range bytes.Split(bytes.TrimSpace(want), []byte("\n")) {
				var r struct {
					Status  string
					Problem *struct{ Code fault.Code }
				}
				if err := json.Unmarshal(line, &r); err == nil && r.Status == "error" && r.Problem.Code != fault.Recognising {
					bad = 1
				}
			}
			if code != bad {
				t.Errorf("exit code %d, want %d; %s", code, bad, errOut)
			}
		})
	}
}

func TestListenStopsByCountAndTime(t *testing.T) {
	t.Parallel()
	file := filepath.Join(capturesFolder, "status-comma.log")
	code, out, _ := call(t, "listen", "--scale", "replay:"+file, "--speed", "0", "--count", "3")
	if strings.Count(out, "\n") != 3 || code != exitGood {
		t.Errorf("code %d, %q", code, out)
	}
	if !strings.Contains(out, " g  ") || !strings.Contains(out, "status-comma") {
		t.Errorf("the plain lines are %q", out)
	}
	// A loop has no end of its own.
	code, out, _ = call(t, "listen", "--scale", "replay:"+file, "--speed", "20", "--loop", "--for", "6s")
	if out == "" || code != exitGood {
		t.Errorf("code %d, %q", code, out)
	}
}

func TestListenTellsWhatIsWrongWithAPort(t *testing.T) {
	t.Parallel()
	missing := filepath.Join(t.TempDir(), "ttyUSB0")
	code, out, _ := call(t, "listen", "--scale", missing, "--json", "--count", "1")
	var r struct {
		Raw     string
		Value   *string
		Status  string
		Problem struct {
			Code     fault.Code
			Sentence string
		}
	}
	if err := json.Unmarshal([]byte(out), &r); err != nil {
		t.Fatalf("%q: %v", out, err)
	}
	if code != exitBad || r.Status != "error" || r.Value != nil || r.Problem.Code != fault.PortMissing || !strings.Contains(r.Problem.Sentence, missing) {
		t.Errorf("code %d, %s", code, out)
	}
}

func TestScaleChoicesThatCanNeverWork(t *testing.T) {
	script := filepath.Join(t.TempDir(), "script")
	if err := os.WriteFile(script, []byte("after 1s jump"), 0o600); err != nil {
		t.Fatal(err)
	}
	for args, want := range map[string]int{
		"--scale nonsense":                           exitUsage,
		"--scale replay:":                            exitUsage,
		"--scale tcp://host":                         exitUsage,
		"--scale /dev/x --baud 7":                    exitUsage,
		"--scale /dev/x --framing 9N1":               exitUsage,
		"--scale /dev/x --dialect nonsense":          exitUsage,
		"--scale /dev/x --unit tael":                 exitUsage,
		"--scale /dev/x --pattern <value":            exitUsage,
		"--pattern <value> --dialect print-line":     exitUsage,
		"--for -1s":                                  exitUsage,
		"--count -1":                                 exitUsage,
		"--speed -1":                                 exitUsage,
		"--speed NaN":                                exitUsage,
		"--scale replay:/nowhere/x.log":              exitBad,
		"--scale virtual:/nowhere/script":            exitBad,
		"--scale virtual:" + script:                  exitBad,
		"--scale replay:" + script + " --count 1":    exitBad,
		"--scale virtual:" + t.TempDir() + " --json": exitBad,
	} {
		code, out, errOut := call(t, append([]string{"listen"}, strings.Fields(args)...)...)
		if code != want || out != "" || errOut == "" {
			t.Errorf("%s: code %d, want %d\nout %s\nerr %s", args, code, want, out, errOut)
		}
	}
}

func TestLineSettingsComeFromTheFormatUnlessGiven(t *testing.T) {
	for _, c := range []struct {
		flags ScaleFlags
		want  string
	}{
		{ScaleFlags{}, "9600 8N1"},
		{ScaleFlags{Baud: 1200}, "1200 8N1"},
		{ScaleFlags{Framing: "7E1"}, "9600 7E1"},
		{ScaleFlags{Dialect: "status-comma", Baud: 2400, Framing: "7O1"}, "2400 7O1"},
	} {
		if s, err := lineSettings(c.flags); err != nil || s.String() != c.want {
			t.Errorf("%+v gives %v, %v", c.flags, s, err)
		}
	}
}

func TestDemoEveningFlows(t *testing.T) {
	t.Parallel()
	c := startChain(t, ScaleFlags{Scale: "virtual:evening"})
	c.settled(t, 3.11)
}

// sends sends a line ten times a second until the test ends.
func sends(t *testing.T, far *pseudoport.Port, line string) {
	t.Helper()
	far.Lossy = true
	ctx, cancel := context.WithCancel(t.Context())
	done := make(chan struct{})
	go func() {
		defer close(done)
		tick := time.NewTicker(100 * time.Millisecond)
		defer tick.Stop()
		for {
			select {
			case <-tick.C:
				_, _ = far.Write([]byte(line))
			case <-ctx.Done():
				return
			}
		}
	}()
	t.Cleanup(func() {
		cancel()
		<-done
	})
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
	c := startChain(t, ScaleFlags{Scale: far.Name()})
	s := c.until(t, "the busy port", problem(fault.PortBusy))
	if !strings.Contains(s.Problem.Sentence, far.Name()) {
		t.Errorf("the sentence does not name the port: %s", s.Problem.Sentence)
	}
	other.Close()
	s = c.until(t, "a weight", func(s scalefeed.Snapshot) bool { return s.Problem == nil && s.Reading.HasValue })
	if s.Info.Kind != scalefeed.Serial || s.Info.Line != "9600 8N1" || s.Dialect != "status-comma" {
		t.Errorf("%+v", s)
	}
}

func TestGivenLineSettingsAreUsedAsTheyAre(t *testing.T) {
	t.Parallel()
	far, err := pseudoport.Open()
	if err != nil {
		t.Skip(err)
	}
	t.Cleanup(func() { far.Close() })
	sends(t, far, "3.11\r\n")
	c := startChain(t, ScaleFlags{Scale: far.Name(), Baud: 2400, Unit: "g", Dialect: "value-only"})
	s := c.until(t, "a weight", func(s scalefeed.Snapshot) bool { return s.Reading.HasValue })
	if s.Info.Line != "2400 8N1" || s.Reading.Quantity.String() != "3.11 g" {
		t.Errorf("%+v", s)
	}
}

func TestPatternReadsAFormatNobodyKnows(t *testing.T) {
	t.Parallel()
	code, out, errOut := call(t, "listen", "--scale", "replay:"+filepath.Join(capturesFolder, "unknown-format.log"), "--speed", "0",
		"--pattern", "G/N <sign><value> <unit> <state ok=stable --=moving>")
	first, _, _ := strings.Cut(out, "\n")
	if code != exitGood || strings.Join(strings.Fields(first), " ") != "3.11 g stable pattern" {
		t.Errorf("code %d\n%s%s", code, out, errOut)
	}
}
