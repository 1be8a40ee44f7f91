package figures

import (
	"math"
	"os"
	"path/filepath"
	"testing"
	"time"

	"panside/internal/dialect"
	"panside/internal/dialect/capture"
	"panside/internal/mass"
	"panside/internal/settle"
)

const (
	recordedCourses = "../../testdata/courses"
	madeCaptures    = "../../testdata/captures"
)

// TestRecordedCoursesHoldTheInvariant replays every recorded course and every
// capture: at rest, the weight is the display's level less a zero, or a level
// that rested, that the display has shown before, within the scale's step.
func TestRecordedCoursesHoldTheInvariant(t *testing.T) {
	courses, settled := 0, 0
	for _, folder := range []string{recordedCourses, madeCaptures} {
		files, err := filepath.Glob(filepath.Join(folder, "*.log"))
		if err != nil {
			t.Fatal(err)
		}
		if folder == recordedCourses {
			courses = len(files)
		}
		for _, file := range files {
			settled += holdToDisplay(t, file)
		}
	}
	if settled == 0 {
		t.Error("no capture came to rest, so nothing was tested")
	}
	t.Logf("%d settled readings held to the display, of %d recorded courses and the captures", settled, courses)
	if courses == 0 {
		t.Log("no course of a real scale is there: what is said of settling is simulated")
	}
}

// display is what a scale's display has shown, in grams.
type display struct {
	step   float64
	recent []shownAt
	rested []float64 // levels that stayed, newest last
}

type shownAt struct {
	at time.Time
	g  float64
}

const (
	// stays is how many lines in a row a level must stay within one step to have
	// rested.
	stays = 3
	// standing is how far back the display counts as standing now.
	standing = time.Second
)

func (d *display) show(r mass.Reading) {
	g, err := r.Quantity.Grams()
	if err != nil {
		return
	}
	d.recent = append(d.recent, shownAt{r.At, g.Float64()})
	if step, err := (mass.Quantity{Value: r.Resolution, Unit: r.Quantity.Unit}).Grams(); err == nil {
		d.step = step.Float64()
	}
	if last := d.recent[max(0, len(d.recent)-stays):]; len(last) == stays || r.Status == mass.StatusStable || r.Status == mass.StatusZero {
		if low, high := extremes(last); high-low <= 1.001*d.step {
			d.rested = append(d.rested, g.Float64())
		}
	}
}

func extremes(of []shownAt) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, s := range of {
		low, high = min(low, s.g), max(high, s.g)
	}
	return low, high
}

// explains reports whether a weight is what the display shows now less zero or a
// level that rested earlier, within a step on either side. A scale is at zero
// when it is switched on.
func (d *display) explains(weight float64) bool {
	now := d.recent[len(d.recent)-1].at
	first := len(d.recent) - 1
	for first > 0 && now.Sub(d.recent[first-1].at) <= standing {
		first--
	}
	low, high := extremes(d.recent[first:])
	for _, before := range append([]float64{0}, d.rested...) {
		if weight >= low-before-1.001*d.step && weight <= high-before+1.001*d.step {
			return true
		}
	}
	return false
}

// holdToDisplay replays one file, and tells how many settled readings it had.
func holdToDisplay(t *testing.T, file string) (settled int) {
	t.Helper()
	raw, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	c, err := capture.Parse(raw)
	if err != nil {
		t.Fatalf("%s: %v", file, err)
	}
	var o dialect.Options
	if u, err := mass.ParseUnit(c.Header.Unit); err == nil {
		o.Unit = u
	}
	decoder, tracker := dialect.NewDecoder(o), settle.New(settle.Properties{})
	var shown display
	at := time.Unix(1_700_000_000, 0)
	for _, chunk := range c.Chunks {
		at = at.Add(chunk.After)
		for _, r := range decoder.Feed(chunk.Bytes, at) {
			e := tracker.Feed(r)
			if !r.HasValue {
				continue
			}
			shown.show(r)
			if e.Phase != mass.PhaseSettled {
				continue
			}
			settled++
			if !shown.explains(float64(e.Mean)) {
				t.Errorf("%s, %v in: settled %.4f g beside a display of %s after levels %.3f", filepath.Base(file), at.Sub(time.Unix(1_700_000_000, 0)), float64(e.Mean), r.Quantity, tail(shown.rested))
				return settled
			}
		}
	}
	return settled
}

func tail(all []float64) []float64 { return all[max(0, len(all)-8):] }
