package segments_test

import (
	"testing"

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

// TestAllSegmentsTeach: the moment after switching on and one weight are enough.
func TestAllSegmentsTeach(t *testing.T) {
	l := ordinary()
	b := &table{t: t, scene: rendered.New(l)}
	te := segments.NewTeacher(b.scene.Window(), mass.Gram)
	for range 8 {
		te.See(b.frame(rendered.Shown{All: true}, rendered.Hand{}, 0))
	}
	if why := te.AllLit(l.Cells); why != "" {
		t.Fatal(why)
	}
	for _, text := range []string{"0.00", "3.11"} {
		for range 12 {
			te.See(b.frame(weighs(text), rendered.Hand{}, 0))
		}
	}
	if why := te.Shown("3.11"); why != "" {
		t.Fatal(why)
	}
	r, why := te.Reader()
	if why != "" {
		t.Fatal(why)
	}
	b.reader = r
	for _, text := range []string{"12.34", "56.78", "9.01"} {
		if n, why := b.sees(16, weighs(text), rendered.Hand{}, 0); n == 0 {
			t.Errorf("%s: %s", text, why)
		}
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

func BenchmarkFrame(b *testing.B) {
	s := rendered.NewSitting(ordinary())
	r, why := s.Teach()
	if why != "" {
		b.Fatal(why)
	}
	f, at := s.Frame()
	for b.Loop() {
		r.Read(f, at)
	}
}
