package main

import (
	"bytes"
	"cmp"
	"fmt"
	"os"
	"os/exec"
	"slices"
	"strconv"
	"strings"
)

// suite is one run of benchmarks.
type suite struct {
	pkg, run string // a pattern for go test -bench
	browser  bool
	figures  []figure
}

// figure is one line of the board. Benchmarks report its value and its ratio
// to a baseline of the same run under the names of their metrics.
type figure struct {
	name          string
	value, unit   string // the metric and how it reads, with %v for the number
	ratio, versus string // the metric and what the baseline is; empty if value is the ratio itself
	goal          float64
	free          bool // there is no goal
	atLeast       bool // else at most
}

// suites are all figures, in the order of the chain: scale, verdict, glass,
// start, phones, journal.
func suites() []suite {
	return []suite{
		{pkg: "./server/figures", run: "VerdictBeforeStable|Readings", figures: []figure{
			{name: "right verdict, of the time to the scale’s stable sign", value: "verdict/stable", unit: "%v of it", goal: 0.35},
			{name: "wrong verdicts in these placements", value: "wrong", unit: "%v", goal: 0},
			{name: "readings through decoder, tracker and hub", value: "readings/s", unit: "%v a second", ratio: "x-bare-loop", versus: "a bare loop’s time over the bytes", goal: 10_000, atLeast: true},
		}},
		{pkg: "./server/figures", run: "OtherWorld", figures: []figure{
			{name: "second world: right verdict, of the time to the stable sign, clean", value: "clean-verdict/stable", unit: "%v of it", goal: 0.35},
			{name: "the same with hands on the pan or slow filters", value: "hands-verdict/stable", unit: "%v of it", goal: 0.4},
			{name: "settled weights against the display or the truth, of 1,500 coins", value: "broken", unit: "%v", goal: 0},
			{name: "wrong verdicts of these", value: "wrong", unit: "%v", goal: 0},
		}},
		{pkg: "./internal/verdict", run: "EveryDenomination", figures: []figure{
			{name: "one verdict on the server, slowest denomination", value: "worst-µs", unit: "%v µs", ratio: "densities", versus: "one density’s time", goal: 50},
		}},
		{pkg: "./server/e2e", run: "VerdictInTheBrowser", browser: true, figures: []figure{
			{name: "one verdict in the browser, four times slower, slowest", value: "worst-ms", unit: "%v ms", ratio: "over-native", versus: "the same questions natively (mean)", goal: 2},
			{name: "(how much slower the browser was made)", value: "fold", unit: "%v times", free: true},
		}},
		{pkg: "./server/e2e", run: "SampleToGlass", browser: true, figures: []figure{
			{name: "line written to number on the glass, median", value: "p50-ms", unit: "%v ms", ratio: "p50-over-bare", versus: "a bare page’s", goal: 100},
			{name: "line written to number on the glass, p99", value: "p99-ms", unit: "%v ms", ratio: "p99-over-bare", versus: "a bare page’s", goal: 100},
		}},
		{pkg: "./server/e2e", run: "FirstOpening", browser: true, figures: []figure{
			{name: "first load over the wire, without the core", value: "kB", unit: "%v kB", ratio: "of-unpacked", versus: "the same unpacked", goal: 350},
			{name: "first opening to a usable weigh screen, page throttled fourfold", value: "usable-ms", unit: "%v ms", ratio: "usable-over-bare", versus: "a bare page’s", goal: 2500},
			{name: "(the same, the whole browser four times slower)", value: "whole-usable-ms", unit: "%v ms", ratio: "whole-usable-over-bare", versus: "a bare page’s", free: true},
		}},
		{pkg: "./server/e2e", run: "Tap", browser: true, figures: []figure{
			{name: "tap on a denomination to its verdict, page throttled fourfold", value: "ms", unit: "%v ms", ratio: "over-bare", versus: "a bare page’s button and word", goal: 200},
			{name: "(the same, the whole browser four times slower)", value: "whole-ms", unit: "%v ms", ratio: "whole-over-bare", versus: "a bare page’s button and word", free: true},
		}},
		{pkg: "./server/e2e", run: "OfflineStart", browser: true, figures: []figure{
			{name: "start without the laptop to the shell, page throttled fourfold", value: "shell-ms", unit: "%v ms", ratio: "shell-over-bare", versus: "a bare page’s with its server", goal: 1500},
			{name: "start without the laptop to a verdict, page throttled fourfold", value: "verdict-ms", unit: "%v ms", ratio: "verdict-over-bare", versus: "a bare page’s with its server", goal: 2500},
			{name: "(to the shell, the whole browser four times slower)", value: "whole-shell-ms", unit: "%v ms", ratio: "whole-shell-over-bare", versus: "a bare page’s with its server", free: true},
			{name: "(to a verdict, the whole browser four times slower)", value: "whole-verdict-ms", unit: "%v ms", ratio: "whole-verdict-over-bare", versus: "a bare page’s with its server", free: true},
		}},
		{pkg: "./server", run: "LivePhones", figures: []figure{
			{name: "200 phones, 20 weights a second: lateness, p99", value: "p99-ratio", unit: "%v times a bare broadcast’s", goal: 2},
			{name: "memory of the server then", value: "MB", unit: "%v MB", goal: 64},
		}},
		{pkg: "./server", run: "Journal|PhotoUpload", figures: []figure{
			{name: "200,000 entries pushed and pulled", value: "times-bare-insert", unit: "%v times a bare bulk insert", goal: 2.5},
			{name: "photos uploaded, speed", value: "speed-of-bare", unit: "%v of a bare file upload’s", goal: 0.7, atLeast: true},
		}},
		{pkg: "./server/e2e", run: "FrameInTheBrowser", browser: true, figures: []figure{
			{name: "one frame of a display in the browser’s worker, four times slower", value: "frame-ms", unit: "%v ms", ratio: "over-bare-loop", versus: "a bare loop over its pixels", goal: 12},
		}},
		{pkg: "./server/photostore", run: "ReadAgain", figures: []figure{
			{name: "photos read again, of the disk’s time", value: "disk-share", unit: "%v of it", ratio: "of-bare", versus: "a bare reading’s time past the cache", goal: 0.05},
		}},
		{pkg: "./server/e2e", run: "FindsInTheBrowser", browser: true, figures: []figure{
			{name: "state of 10,000 finds computed, four times slower", value: "computed-ms", unit: "%v ms", ratio: "over-bare-loop", versus: "a bare loop over the snapshot", goal: 300},
			{name: "the same after one more entry", value: "one-more-ms", unit: "%v ms", free: true},
			{name: "from the store to the first list, in a fresh core", value: "first-ms", unit: "%v ms", free: true},
			{name: "the same with the page’s thread slowed by four, not its worker", value: "page-slowed-ms", unit: "%v ms", free: true},
			{name: "the same with the whole browser slowed by four", value: "all-slowed-ms", unit: "%v ms", free: true},
		}},
	}
}

// bench measures every figure of the board, or those of the suites whose
// benchmarks' names contain one of args, and prints a line for each. A goal
// that is missed is no error: on a busy machine times are too long, and only the
// ratios count.
func bench(p project, args []string) error {
	env := []string{"CGO_ENABLED=1"}
	chromium, noBrowser := findOrInstallChromium()
	if err := p.buildAll(); err != nil {
		return err
	}
	env = append(env, "PANSIDE_CHROMIUM="+chromium, "PANSIDE_SERVER="+p.serverBinary())
	if busy := busyness(); busy != "" {
		fmt.Println(busy)
	}
	met, missed, without := 0, 0, 0
	for _, s := range suites() {
		if len(args) > 0 && !slices.ContainsFunc(args, func(a string) bool { return strings.Contains(s.run, a) }) {
			continue
		}
		var got map[string]float64
		if !s.browser || noBrowser == nil {
			var err error
			if got, err = p.measure(s, env); err != nil {
				fmt.Fprintf(os.Stderr, "   %s: %v\n", s.run, err)
			}
		}
		for _, f := range s.figures {
			line, state := f.line(got)
			switch state {
			case isMet:
				met++
			case isMissed:
				missed++
			case notMeasured:
				without++
			}
			fmt.Println(line)
		}
	}
	fmt.Printf("%d goals met, %d missed, %d not measured.\n", met, missed, without)
	if noBrowser != nil {
		fmt.Println(noBrowser)
	}
	return nil
}

// measure runs a suite and gathers its metrics.
func (p project) measure(s suite, env []string) (map[string]float64, error) {
	fmt.Fprintf(os.Stderr, "── %s %s\n", s.pkg, s.run)
	cmd := exec.Command("go", "test", "-run", "^$", "-bench", s.run, "-benchtime", "1x", "-timeout", "10m", s.pkg)
	cmd.Dir, cmd.Env = p.root, append(os.Environ(), env...)
	out, err := cmd.CombinedOutput()
	if err != nil {
		err = fmt.Errorf("%w\n%s", err, out)
	}
	return metrics(out), err
}

// metrics reads the lines that go test prints for benchmarks: a name, how often
// it ran, then pairs of a number and its unit.
func metrics(out []byte) map[string]float64 {
	got := map[string]float64{}
	for line := range bytes.Lines(out) {
		word := strings.Fields(string(line))
		if len(word) < 4 || !strings.HasPrefix(word[0], "Benchmark") {
			continue
		}
		for i := 2; i+1 < len(word); i += 2 {
			if v, err := strconv.ParseFloat(word[i], 64); err == nil {
				got[word[i+1]] = v
			}
		}
	}
	return got
}

type state int

const (
	noGoal state = iota
	isMet
	isMissed
	notMeasured
)

// line says a figure in one line: its name, its value, its ratio to the
// baseline, the goal, and whether that is met.
func (f figure) line(got map[string]float64) (string, state) {
	name := fmt.Sprintf("%-64s", f.name)
	v, ok := got[f.value]
	if !ok {
		return name + " not measured", notMeasured
	}
	s := fmt.Sprintf(f.unit, short(v))
	if f.ratio != "" {
		s += fmt.Sprintf(" (%s × %s)", short(got[f.ratio]), f.versus)
	}
	if f.free {
		return name + " " + s, noGoal
	}
	bound, good := "at most", cmp.Compare(v, f.goal) <= 0
	if f.atLeast {
		bound, good = "at least", cmp.Compare(v, f.goal) >= 0
	}
	verdict, st := "met", isMet
	if !good {
		verdict, st = "MISSED", isMissed
	}
	return fmt.Sprintf("%s %s; goal %s %v: %s", name, s, bound, f.goal, verdict), st
}

// short writes a number with three figures, and more only before the point.
func short(v float64) string {
	switch {
	case v >= 100:
		return strconv.FormatFloat(v, 'f', 0, 64)
	case v >= 10:
		return strconv.FormatFloat(v, 'f', 1, 64)
	}
	return strconv.FormatFloat(v, 'g', 3, 64)
}

// busyness warns where the system reports whether other programs are at work.
func busyness() string {
	raw, err := os.ReadFile("/proc/loadavg")
	if err != nil {
		return ""
	}
	word := strings.Fields(string(raw))
	if len(word) == 0 {
		return ""
	}
	if load, err := strconv.ParseFloat(word[0], 64); err != nil || load < 1.5 {
		return ""
	}
	return "Other programs keep this machine busy (load " + word[0] + "): times below are too long; the ratios to the baseline hold."
}
