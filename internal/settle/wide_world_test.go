package settle_test

import (
	"cmp"
	"fmt"
	"os"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
)

// wideSeed is the first scale's seed; PANSIDE_SEED replaces it.
func wideSeed() uint64 {
	if n, err := strconv.ParseUint(os.Getenv("PANSIDE_SEED"), 10, 64); err == nil {
		return n
	}
	return 70_000
}

// playWide plays placements on scales of seeds in a row, on two at a time, and
// gives the score.
func playWide(seed uint64, scales, each int) *wideScore {
	results := make([][]*wideCourse, scales)
	next := make(chan int, scales)
	for i := range scales {
		next <- i
	}
	close(next)
	var all sync.WaitGroup
	for range min(2, runtime.NumCPU()) {
		all.Go(func() {
			for i := range next {
				w := newWideTable(seed + uint64(i))
				for index := range each {
					results[i] = append(results[i], w.play(index))
				}
			}
		})
	}
	all.Wait()
	score := newWideScore()
	for i, courses := range results {
		s := seed + uint64(i)
		for _, c := range courses {
			score.add(s, wideScale(s), c)
		}
	}
	return score
}

// TestWideWorldLong plays scales and hands of every kind, prints how the tracker
// does, and holds it to what it reached. PANSIDE_LONG plays 10 000 placements on 500
// scales, PANSIDE_SCALES=N twenty on each of N. The goals are none wrong at rest, one
// wrong alloy and twenty miscounted in 10 000; DEVELOPERS.md says how far off they are.
func TestWideWorldLong(t *testing.T) {
	scales, each := 15, 20
	if long {
		scales = 500
	} else if slow {
		scales = 2
	}
	if n, err := strconv.Atoi(os.Getenv("PANSIDE_SCALES")); err == nil {
		scales = n
	}
	score := playWide(wideSeed(), scales, each)
	t.Logf("simulated, from seed %d\n%s", wideSeed(), score)
	all := score.rows["all"]
	if all.atRest > 2+all.coins/200 {
		t.Errorf("%d settled weights at rest against the display", all.atRest)
	}
	if all.wrong > 1+all.coins/1000 {
		t.Errorf("%d wrong alloys of %d coins", all.wrong, all.coins)
	}
	if all.named == 0 {
		t.Error("no coin was named, so nothing was tested")
	}
	if n := all.missed + all.doubled; long && n*1000 > 20*all.coins {
		t.Errorf("%d missed and %d doubled of %d coins", all.missed, all.doubled, all.coins)
	}
}

// TestWideCourse prints one placement of TestWideWorldLong line by line:
//
//	PANSIDE_COURSE=70003:12 go test -run TestWideCourse -v ./internal/settle
func TestWideCourse(t *testing.T) {
	which := os.Getenv("PANSIDE_COURSE")
	if which == "" {
		t.Skip("PANSIDE_COURSE=seed:index names the placement to print")
	}
	var seed uint64
	var index int
	if _, err := fmt.Sscanf(which, "%d:%d", &seed, &index); err != nil {
		t.Fatalf("PANSIDE_COURSE=%s is not seed:index", which)
	}
	w := newWideTable(seed)
	for i := range index {
		w.play(i)
	}
	w.record = true
	c := w.play(index)
	var b strings.Builder
	fmt.Fprintf(&b, "%+v\n%s %d:%d, %d numbers for %d coins\n", w.cfg, c.style, seed, index, c.got, len(c.coins))
	for _, n := range c.coins {
		fmt.Fprintf(&b, "coin %.3f g put at %.2f, seen %.2f, named %.2f, stable sign %.2f\n", n.grams, n.put, n.moved, n.named, n.stable)
	}
	fmt.Fprintf(&b, "broken: %s; wrong: %s\n", cmp.Or(c.broken, "no"), cmp.Or(c.wrong, "no"))
	fmt.Fprintf(&b, "%8s %9s %-8s %-8s %9s %8s %3s %-6s %7s\n", "s", "display", "sign", "phase", "mean", "u", "no", "name", "load")
	for _, l := range c.lines {
		fmt.Fprintf(&b, "%8.2f %9v %-8s %-8s %9.4f %8.4f %3d %-6s %7.3f %s%s\n", l.t, l.reading.Quantity.Value, l.reading.Status,
			l.est.Phase, l.est.Mean, l.est.U, l.est.Placement, l.name, l.load, l.note, mark(l.verdict))
	}
	t.Log(b.String())
}

func mark(verdict string) string {
	if verdict == "" {
		return ""
	}
	return " <-- " + verdict
}

// TestWideEveningDoesNotDependOnTheTracker: what the hands do and the scale
// shows is the same, however a scale is drawn again.
func TestWideEveningDoesNotDependOnTheTracker(t *testing.T) {
	evening := func() (lines []string) {
		w := newWideTable(wideSeed())
		w.record = true
		for i := range 4 {
			for _, l := range w.play(i).lines {
				lines = append(lines, fmt.Sprint(l.t, l.reading.Quantity, l.reading.Status))
			}
		}
		return lines
	}
	if a, b := evening(), evening(); len(a) == 0 || !slices.Equal(a, b) {
		t.Errorf("%d and %d lines of the same evening differ", len(a), len(b))
	}
}
