package segments_test

import (
	"math/rand/v2"
	"slices"
	"strconv"
	"testing"

	"panside/internal/moment"
	"panside/internal/segments"
	"panside/internal/segments/rendered"
)

// TestASwingIsNoNumber: a slow display alternates between neighbors while the pan swings. Segments of
// both stay half lit and more, and their union looks like a third number, mostly with an 8 or a 9. That
// is never read; the number that rests is, within a second.
func TestASwingIsNoNumber(t *testing.T) {
	numbers, read := 0, 0
	for seed := range uint64(number("PANSIDE_DISPLAYS", 3)) {
		l := ordinary()
		l.Kind = rendered.Kinds[seed%3]
		if l.Kind == rendered.Inverse {
			l.Paper, l.Ink = 0.15, 0.85
		}
		b := newTable(t, l)
		r := rand.New(rand.NewPCG(seed, 0x5311))
		b.scene.Lag, b.scene.Fall = 0.02+0.06*r.Float64(), 1+7*r.Float64()
		var lately []string
		see := func(text string) (segments.Seen, bool) {
			b.at += 0.045 + 0.03*r.Float64()
			if lately = append(lately, text); len(lately) > 5 {
				lately = lately[1:]
			}
			sh := weighs(text)
			sh.Stable = false
			got := b.reader.Read(b.scene.Frame(sh, b.at, rendered.Hand{}, 0), moment.UnixMilli(1e9+int64(1000*b.at)))
			if got.Why == "" && !slices.Contains(lately, got.Text) {
				t.Errorf("%s, out in %.2f s: %q was read of %q", l.Kind, b.scene.Lag*b.scene.Fall, got.Text, lately)
			}
			return got, got.Why == "" && got.Text == text
		}
		for range 12 {
			rest := 100 + r.IntN(2000)
			most := 1 + r.IntN(9)
			for range 8 + r.IntN(10) { // refreshes
				text := strconv.FormatFloat(float64(rest+r.IntN(2*most)-most)/100, 'f', 2, 64)
				for range 1 + r.IntN(3) {
					see(text)
				}
			}
			text, right := strconv.FormatFloat(float64(rest)/100, 'f', 2, 64), false
			for range 16 {
				_, ok := see(text)
				right = right || ok
			}
			numbers++
			if right {
				read++
			}
		}
	}
	t.Logf("%d of %d rests read", read, numbers)
	if 10*read < 8*numbers {
		t.Errorf("%d of %d rests read", read, numbers)
	}
}

// TestAMinusInAReflection: a minus that stands apart from the digits lies in a reflection and is pale,
// or shows nothing. A number is read with its minus or not at all.
func TestAMinusInAReflection(t *testing.T) {
	taught, read := 0, 0
	for seed := range uint64(number("PANSIDE_DISPLAYS", 4)) {
		r := rand.New(rand.NewPCG(seed, 0x611e))
		for _, kind := range rendered.Kinds {
			l := rendered.Draw(1000 + seed)
			l.Kind, l.Glare, l.Comma, l.ZeroMark, l.Stable, l.Cells, l.Places = kind, 0, false, false, false, 4, 2
			l.Paper, l.Ink, l.Ghost, l.Shake, l.Noise = 0.6, 0.15, 0.03, 0.2, 2
			if kind == rendered.Inverse || kind == rendered.LED {
				l.Paper, l.Ink = 0.1, 0.85
			}
			l.FPS, l.Left, l.FixedMinus, l.MinusAt = 14, 0.6+0.6*r.Float64(), true, 0.8*r.Float64()
			l.Zoom *= 0.8
			l.Glint, l.GlintR, l.GlintY = 0.2+1.2*r.Float64(), 0.2+0.5*r.Float64(), 0.4+0.2*r.Float64()
			l.GlintX = 0.6*l.MarginX + l.MinusAt*l.Left + 0.14 + 0.2*(r.Float64()-0.5)
			b := &table{t: t, scene: rendered.New(l)}
			te := segments.NewTeacher(b.scene.Window(), "g")
			var why segments.Why
			for _, text := range []string{"0.00", "3.11", "5.42"} {
				for range 12 {
					te.See(b.frame(weighs(text), rendered.Hand{}, 0))
				}
				if why = te.Shown(text); why != "" {
					break
				}
			}
			if why == "" {
				b.reader, why = te.Reader()
			}
			if why != "" {
				t.Logf("%s, reflection %.2f of %.2f at %.2f: %s", kind, l.Glint, l.GlintR, l.GlintX, why)
				continue
			}
			taught++
			n := 0
			for range 4 {
				weight := 100 + r.IntN(900)
				text := strconv.FormatFloat(float64(weight)/100, 'f', 2, 64)
				for _, sign := range []string{"", "-"} {
					for k := range 14 {
						got := b.reader.Read(b.frame(weighs(sign+text), rendered.Hand{}, 0))
						switch {
						case got.Why != "":
						case got.Text == sign+text:
							n++
						case k > 3:
							t.Errorf("%s, reflection %.2f of %.2f at %.2f, minus at %.2f: %s was read as %s", kind, l.Glint, l.GlintR, l.GlintX, 0.6*l.MarginX+l.MinusAt*l.Left, sign+text, got.Text)
						}
					}
				}
			}
			if n > 0 {
				read++
			}
		}
	}
	t.Logf("%d taught, %d of them read", taught, read)
	if taught == 0 || read == 0 {
		t.Errorf("%d taught, %d read", taught, read)
	}
}

// TestAUnitInAReflection: where a unit's letters can't be seen nothing is taught, though another mark
// stands by the digits all the time.
func TestAUnitInAReflection(t *testing.T) {
	l := rendered.DrawWide(6100014) // its grams and their neighbors lie in a reflection, and its battery is lit
	s := rendered.NewSitting(l)
	if r, why := s.Teach(); why == "" {
		if wrong := s.Mistaken(r); len(wrong) > 0 {
			t.Errorf("%v read as %s", wrong, l.Set[0])
		}
	} else if why != segments.Glare {
		t.Error(why)
	}
	l.Glint = 0
	if _, why := rendered.NewSitting(l).Teach(); why != "" {
		t.Errorf("without the reflection it can't be taught: %s", why)
	}
}
