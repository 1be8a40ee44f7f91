package segments_test

import (
	"math"
	"runtime"
	"slices"
	"testing"
	"time"

	"panside/internal/mass"
	"panside/internal/moment"
	"panside/internal/segments"
	"panside/internal/segments/rendered"
)

// table is an ordinary display before a phone, and the reader that was taught it.
type table struct {
	t      *testing.T
	scene  *rendered.Scene
	reader *segments.Reader
	at     float64
}

func ordinary() rendered.Look {
	l := rendered.Draw(1000)
	l.Kind, l.Glare, l.Comma, l.ZeroMark, l.Stable = rendered.LCD, 0, false, true, true
	l.Paper, l.Ink, l.Ghost, l.Shake = 0.6, 0.15, 0.05, 0.2
	return l
}

func (b *table) frame(sh rendered.Shown, hand rendered.Hand, moved float64) (segments.Frame, moment.Time) {
	b.at += 1.0 / 12
	return b.scene.Frame(sh, b.at, hand, moved), moment.UnixMilli(1e9 + int64(1000*b.at))
}

func weighs(text string) rendered.Shown {
	return rendered.Shown{Text: text, Unit: "g", Stable: true, Zero: text == "0.00"}
}

func newTable(t *testing.T, l rendered.Look) *table {
	b := &table{t: t, scene: rendered.New(l)}
	te := segments.NewTeacher(b.scene.Window(), mass.Gram)
	for _, text := range []string{"0.00", "3.11", "24.68"} {
		moving := weighs(text)
		moving.Stable = false
		for range 4 {
			te.See(b.frame(moving, rendered.Hand{}, 0))
		}
		for range 8 {
			te.See(b.frame(weighs(text), rendered.Hand{}, 0))
		}
		if why := te.Shown(text); why != "" {
			t.Fatalf("%s: %s", text, why)
		}
	}
	var why segments.Why
	if b.reader, why = te.Reader(); why != "" {
		t.Fatal(why)
	}
	return b
}

// sees gives what is read of so many frames, the last reason, and how many gave the number.
func (b *table) sees(n int, sh rendered.Shown, hand rendered.Hand, moved float64) (right int, why segments.Why) {
	b.t.Helper()
	for range n {
		got := b.reader.Read(b.frame(sh, hand, moved))
		switch {
		case got.Why != "":
			why = got.Why
		case got.Text != sh.Text:
			b.t.Errorf("%s was read as %s", sh.Text, got.Text)
		default:
			right++
		}
	}
	return right, why
}

func TestAReadingIsWhole(t *testing.T) {
	b := newTable(t, ordinary())
	var last segments.Seen
	for range 12 {
		last = b.reader.Read(b.frame(weighs("11.34"), rendered.Hand{}, 0))
	}
	r := last.Reading
	if last.Why != "" || r.Quantity.String() != "11.34 g" || r.Resolution.String() != "0.01" || !r.HasValue || r.Dialect != "camera" || r.Status != mass.StatusUnknown {
		t.Errorf("%+v", last)
	}
}

func TestAnotherUnitIsNoticed(t *testing.T) {
	b := newTable(t, ordinary())
	if n, _ := b.sees(12, weighs("5.67"), rendered.Hand{}, 0); n == 0 {
		t.Fatal("grams aren't read")
	}
	for _, unit := range rendered.Units[1:] {
		sh := weighs("5.67")
		sh.Unit = unit
		b.sees(4, sh, rendered.Hand{}, 0) // while the marks change
		if n, why := b.sees(20, sh, rendered.Hand{}, 0); n > 0 || why != segments.OtherUnit {
			t.Errorf("%s: %d numbers, %q", unit, n, why)
		}
	}
	if n, why := b.sees(12, weighs("5.67"), rendered.Hand{}, 0); n == 0 {
		t.Errorf("grams aren't read again: %s", why)
	}
}

func TestAHandIsNoNumber(t *testing.T) {
	b := newTable(t, ordinary())
	b.sees(12, weighs("8.88"), rendered.Hand{}, 0)
	for k := range 40 {
		x := -1 + 0.15*float64(k)
		b.sees(1, weighs("8.88"), rendered.Hand{X: x, Y: 0.3, R: 0.5}, 0)
	}
	if _, why := b.sees(20, weighs("8.88"), rendered.Hand{X: 3.2, Y: 0.5, R: 1.2}, 0); why == "" {
		t.Error("a hand over the digits isn't noticed")
	}
	if n, why := b.sees(20, weighs("8.88"), rendered.Hand{}, 0); n == 0 {
		t.Errorf("not read again: %s", why)
	}
}

func TestASmallMoveIsFollowedALargeOneSaid(t *testing.T) {
	b := newTable(t, ordinary())
	if n, why := b.sees(20, weighs("5.67"), rendered.Hand{}, 2); n == 0 {
		t.Errorf("2 pixels: %s", why)
	}
	if n, why := b.sees(80, weighs("5.67"), rendered.Hand{}, 40); n > 0 || why != segments.Moved {
		t.Errorf("40 pixels: %d numbers, %q", n, why)
	}
}

func TestNothingIsOff(t *testing.T) {
	b := newTable(t, ordinary())
	b.sees(12, weighs("5.67"), rendered.Hand{}, 0)
	b.sees(4, rendered.Shown{Off: true}, rendered.Hand{}, 0)
	if n, why := b.sees(10, rendered.Shown{Off: true}, rendered.Hand{}, 0); n > 0 || why != segments.Off {
		t.Errorf("%d numbers, %q", n, why)
	}
}

// TestDarknessIsSaid: a display that doesn't shine, once the lamp is out. One that is only switched off
// stays as bright as its paper.
func TestDarknessIsSaid(t *testing.T) {
	b := newTable(t, ordinary())
	for _, share := range []float64{0.98, 1} {
		b.sees(12, weighs("5.67"), rendered.Hand{}, 0)
		b.scene.Dim(share)
		b.sees(4, weighs("5.67"), rendered.Hand{}, 0)
		if n, why := b.sees(10, weighs("5.67"), rendered.Hand{}, 0); n > 0 || why != segments.Dark {
			t.Errorf("darker by %g: %d numbers, %q", share, n, why)
		}
		b.scene.Dim(0)
	}
	if n, why := b.sees(20, weighs("5.67"), rendered.Hand{}, 0); n == 0 {
		t.Errorf("not read again: %s", why)
	}
}

// lit is an ordinary display that was just switched on, and the teacher that saw it.
func lit(t *testing.T) (*table, *segments.Teacher) {
	t.Helper()
	l := ordinary()
	b := &table{t: t, scene: rendered.New(l)}
	te := segments.NewTeacher(b.scene.Window(), mass.Gram)
	for range 8 {
		te.See(b.frame(rendered.Shown{All: true}, rendered.Hand{}, 0))
	}
	if why := te.AllLit(l.Cells); why != "" {
		t.Fatal(why)
	}
	return b, te
}

// typed says what the display shows, and takes the reader that was taught by that.
func (b *table) typed(te *segments.Teacher, text string) {
	b.t.Helper()
	if why := te.Shown(text); why != "" {
		b.t.Fatal(why)
	}
	r, why := te.Reader()
	if why != "" {
		b.t.Fatal(why)
	}
	b.reader = r
}

// TestAllSegmentsTeach: the moment after switching on and one weight are enough.
func TestAllSegmentsTeach(t *testing.T) {
	b, te := lit(t)
	for _, text := range []string{"0.00", "3.11"} {
		for range 12 {
			te.See(b.frame(weighs(text), rendered.Hand{}, 0))
		}
	}
	b.typed(te, "3.11")
	for _, text := range []string{"12.34", "56.78", "9.01"} {
		if n, why := b.sees(16, weighs(text), rendered.Hand{}, 0); n == 0 {
			t.Errorf("%s: %s", text, why)
		}
	}
}

// TestAnEmptyScaleTeachesNoMarks: while nothing lies on it, its zero and stable marks stand all the
// time, as the unit does. A reader that took them for the unit would read nothing ever after.
func TestAnEmptyScaleTeachesNoMarks(t *testing.T) {
	b, te := lit(t)
	for range 18 {
		te.See(b.frame(weighs("0.00"), rendered.Hand{}, 0))
	}
	if why := te.Shown("0.00"); why != "" {
		t.Fatal(why)
	}
	if _, why := te.Reader(); why != segments.TooAlike {
		t.Errorf("an empty scale taught it all: %q", why)
	}
	moving := weighs("3.11")
	moving.Stable = false
	for range 6 {
		te.See(b.frame(moving, rendered.Hand{}, 0))
	}
	for range 12 {
		te.See(b.frame(weighs("3.11"), rendered.Hand{}, 0))
	}
	b.typed(te, "3.11")
	if n, why := b.sees(16, weighs("12.34"), rendered.Hand{}, 0); n == 0 {
		t.Error(why)
	}
}

// TestATypingErrorTeachesNothing: digits that the display doesn't show give no reader.
func TestATypingErrorTeachesNothing(t *testing.T) {
	b := &table{t: t, scene: rendered.New(ordinary())}
	te := segments.NewTeacher(b.scene.Window(), mass.Gram)
	for _, c := range []struct{ shows, typed string }{{"0.00", "0.00"}, {"3.11", "8.11"}} {
		for range 12 {
			te.See(b.frame(weighs(c.shows), rendered.Hand{}, 0))
		}
		if why := te.Shown(c.typed); why != "" {
			t.Fatal(why)
		}
	}
	if _, why := te.Reader(); why == "" {
		t.Error("8.11 was believed where 3.11 stands")
	}
}

// taught teaches a display of the wider world and fails the test if that can't be done.
func taught(t *testing.T, l rendered.Look) (*rendered.Sitting, *segments.Reader) {
	t.Helper()
	s := rendered.NewSitting(l)
	r, why := s.Teach()
	if why != "" {
		t.Fatalf("it can't be taught: %s", why)
	}
	return s, r
}

// TestHarmlessThingsHinderNothing: what displays and cameras do all the time keeps no display from
// being taught and read, and never makes its unit another.
func TestHarmlessThingsHinderNothing(t *testing.T) {
	for name, change := range map[string]func(*rendered.Look){
		"a hand that shakes":           func(l *rendered.Look) { l.Walk, l.Roll, l.Shake = 2.5, 0.003, 0.4 },
		"a lens that breathes":         func(l *rendered.Look) { l.Breath = 0.005 },
		"an exposure that drifts":      func(l *rendered.Look) { l.Drift, l.HandDims = 0.1, 0.3 },
		"marks that come and go":       func(l *rendered.Look) { l.Stable, l.ZeroMark = true, true },
		"noise and blocks":             func(l *rendered.Look) { l.Noise, l.Blocks = 5, 4 },
		"a shadow behind the segments": func(l *rendered.Look) { l.Shadow, l.ShadowX, l.ShadowY = 0.25, 0.05, 0.1 },
		"a smaller last digit":         func(l *rendered.Look) { l.Last, l.Ends = 0.72, rendered.Square },
		"marks and light that are new": func(l *rendered.Look) { l.Late = rendered.Late{Marks: 3, Flicker: 0.5, Step: 0.25, Edge: 0.3} },
		"square ends":                  func(l *rendered.Look) { l.Ends = rendered.Square },
		"bars that are multiplexed":    func(l *rendered.Look) { l.Kind, l.Paper, l.Ink, l.Band, l.BandRows = rendered.LED, 0.1, 0.8, 0.4, 60 },
	} {
		t.Run(name, func(t *testing.T) {
			l := ordinary()
			l.FPS, l.Refresh, l.StableX, l.StableY = 15, 6, l.MarginX, -0.12
			change(&l)
			s, r := taught(t, l)
			tally := s.Weigh(r, 5)
			if tally.Wrong+tally.WrongUnit > 0 || tally.Read < 3 || tally.Refused[segments.OtherUnit] > 0 {
				t.Error(&tally, tally.Examples)
			}
		})
	}
}

// TestDigitsThatMoveTeachNothing: a text is typed while the digits run.
func TestDigitsThatMoveTeachNothing(t *testing.T) {
	b := &table{t: t, scene: rendered.New(ordinary())}
	te := segments.NewTeacher(b.scene.Window(), mass.Gram)
	for _, text := range []string{"0.00", "11.11", "4.72", "88.08", "1.11", "36.96"} {
		te.See(b.frame(weighs(text), rendered.Hand{}, 0))
	}
	if why := te.Shown("36.96"); why != segments.Busy {
		t.Errorf("%q", why)
	}
}

// TestNothingIsReadFromDoubt: while an eight's middle fades slowly, the number is read neither way as
// long as it is about half there.
func TestNothingIsReadFromDoubt(t *testing.T) {
	b := newTable(t, ordinary())
	if n, why := b.sees(20, weighs("12.38"), rendered.Hand{}, 0); n == 0 {
		t.Fatal(why)
	}
	const lag = 5.0
	b.scene.Lag = lag
	for k := range 90 {
		left := math.Exp(-float64(k+1) / 12 / lag)
		got := b.reader.Read(b.frame(weighs("12.30"), rendered.Hand{}, 0))
		if got.Why == "" && left > 0.42 && left < 0.58 {
			t.Errorf("%s with %.2f of the middle", got.Text, left)
		}
	}
}

// TestAUnitMustComeBackForGood: after another unit, the first frames that show the taught one give no
// number yet.
func TestAUnitMustComeBackForGood(t *testing.T) {
	b := newTable(t, ordinary())
	b.sees(12, weighs("5.67"), rendered.Hand{}, 0)
	other := weighs("5.67")
	other.Unit = "oz"
	b.sees(8, other, rendered.Hand{}, 0)
	if n, _ := b.sees(6, weighs("5.67"), rendered.Hand{}, 0); n > 0 {
		t.Errorf("%d numbers at once", n)
	}
	if n, why := b.sees(12, weighs("5.67"), rendered.Hand{}, 0); n == 0 {
		t.Errorf("grams aren't read again: %s", why)
	}
}

// TestAnotherUnitIsSaid: one with fewer decimals, too, whose point stands where none was taught.
func TestAnotherUnitIsSaid(t *testing.T) {
	b := newTable(t, ordinary())
	b.sees(12, weighs("5.67"), rendered.Hand{}, 0)
	sh := weighs("87.5")
	sh.Unit = "gn"
	b.sees(6, sh, rendered.Hand{}, 0)
	if n, why := b.sees(12, sh, rendered.Hand{}, 0); n > 0 || why != segments.OtherUnit {
		t.Errorf("grains: %d numbers, %q", n, why)
	}
}

// TestABlendIsNoNumber: while a slow display goes from 3 to 5, its old segments fade and it shows a 9
// for a while. That is never read, and the 5 is soon.
func TestABlendIsNoNumber(t *testing.T) {
	l := ordinary()
	b := newTable(t, l)
	b.scene.Lag, b.scene.Fall = 0.03, 16
	if n, why := b.sees(40, weighs("12.33"), rendered.Hand{}, 0); n == 0 {
		t.Fatal(why)
	}
	if n, why := b.sees(30, weighs("12.35"), rendered.Hand{}, 0); n == 0 {
		t.Error(why)
	}
}

// TestAMarkBesideTheUnitIsNoLetter: one above or below it, or smaller than a letter, is none.
func TestAMarkBesideTheUnitIsNoLetter(t *testing.T) {
	l := ordinary()
	l.Marks, l.Seed = 3, 1001
	b := newTable(t, l)
	b.sees(12, weighs("5.67"), rendered.Hand{}, 0)
	sh := weighs("5.67")
	sh.Late = [3]bool{true, true, true}
	b.sees(6, sh, rendered.Hand{}, 0)
	if n, why := b.sees(12, sh, rendered.Hand{}, 0); n < 12 {
		t.Errorf("%d numbers, %q", n, why)
	}
	sh.Unit = "gn"
	b.sees(4, sh, rendered.Hand{}, 0)
	if n, why := b.sees(12, sh, rendered.Hand{}, 0); n > 0 || why != segments.OtherUnit {
		t.Errorf("grains: %d numbers, %q", n, why)
	}
}

// TestAFrameMakesNoPictures: a phone that makes pictures anew 20 times a second stops to collect them.
func TestAFrameMakesNoPictures(t *testing.T) {
	b := newTable(t, ordinary())
	b.sees(12, weighs("5.67"), rendered.Hand{}, 0)
	frames := make([]segments.Frame, 6)
	for k := range frames {
		text := []string{"5.67", "12.34"}[k/3]
		frames[k], _ = b.frame(weighs(text), rendered.Hand{}, 0)
		frames[k].Pix = slices.Clone(frames[k].Pix)
	}
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	const rounds = 10
	at := moment.UnixMilli(1e10)
	for range rounds {
		for _, f := range frames {
			at = at.Add(80 * time.Millisecond)
			b.reader.Read(f, at)
		}
	}
	runtime.ReadMemStats(&after)
	if made := (after.TotalAlloc - before.TotalAlloc) / rounds / uint64(len(frames)); made > 8<<10 {
		t.Errorf("%d bytes a frame", made)
	}
}

// BenchmarkFrame reads pictures of a display at rest in turn, each with its own noise and shake, and
// tells how many times longer one takes than a bare loop over its pixels.
func BenchmarkFrame(b *testing.B) {
	s := rendered.NewSitting(ordinary())
	r, why := s.Teach()
	if why != "" {
		b.Fatal(why)
	}
	var frames [12]segments.Frame
	var at moment.Time
	for k := range frames {
		f, now := s.Frame()
		f.Pix = slices.Clone(f.Pix)
		frames[k], at = f, now
	}
	b.ReportAllocs()
	var frame, bare time.Duration
	var sum, k int
	for b.Loop() {
		f := frames[k%len(frames)]
		at = at.Add(80 * time.Millisecond)
		start := time.Now()
		r.Read(f, at)
		read := time.Now()
		for _, x := range f.Pix {
			sum += int(x)
		}
		bare += time.Since(read)
		frame += read.Sub(start)
		k++
	}
	if sum == 0 {
		b.Fatal("the pictures are black")
	}
	b.ReportMetric(float64(frame)/float64(bare), "x-bare-loop")
}
