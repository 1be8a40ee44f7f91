package main

import (
	"strings"
	"testing"
)

func TestMetricsOfGoTest(t *testing.T) {
	got := metrics([]byte("goos: linux\nBenchmarkJournal-2   \t       1\t612345 ns/op\t         2.10 times-bare-insert\t 1.5e+03 push-s\n--- BENCH: x\nok  \tpanside/server\t6.1s\n"))
	if got["times-bare-insert"] != 2.1 || got["push-s"] != 1500 || got["ns/op"] != 612345 || len(got) != 3 {
		t.Errorf("%v", got)
	}
}

func TestALineOfTheBoard(t *testing.T) {
	least := figure{name: "speed", value: "s", unit: "%v of it", goal: 0.7, atLeast: true}
	most := figure{name: "time", value: "t", unit: "%v ms", ratio: "r", versus: "a bare page’s", goal: 100}
	for _, c := range []struct {
		f    figure
		got  map[string]float64
		want string
		state
	}{
		{least, map[string]float64{"s": 0.7}, "0.7 of it; goal at least 0.7: met", isMet},
		{least, map[string]float64{"s": 0.69}, "0.69 of it; goal at least 0.7: MISSED", isMissed},
		{most, map[string]float64{"t": 99.96, "r": 3.456}, "100.0 ms (3.46 × a bare page’s); goal at most 100: met", isMet},
		{most, map[string]float64{"t": 1234.5, "r": 12.34}, "1234 ms (12.3 × a bare page’s); goal at most 100: MISSED", isMissed},
		{most, nil, "not measured", notMeasured},
	} {
		line, st := c.f.line(c.got)
		if !strings.HasPrefix(line, c.f.name) || !strings.HasSuffix(line, " "+c.want) || st != c.state {
			t.Errorf("%q %d, want … %q %d", line, st, c.want, c.state)
		}
	}
}

// TestEveryFigureCanBeRead holds the table of the board to its own form.
func TestEveryFigureCanBeRead(t *testing.T) {
	for _, s := range suites() {
		for _, f := range s.figures {
			if f.name == "" || f.value == "" || strings.Count(f.unit, "%v") != 1 || (f.ratio == "") != (f.versus == "") {
				t.Errorf("%s: %+v", s.run, f)
			}
		}
	}
}
