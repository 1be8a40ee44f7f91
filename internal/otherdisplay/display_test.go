package otherdisplay

import (
	"bytes"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

func TestOneSeedOneFilm(t *testing.T) {
	film := func() []byte {
		d := New(LED, Noisy, 5)
		d.Lay()
		var all []byte
		for range 10 {
			all = append(all, d.Frame(0.05)...)
		}
		return all
	}
	if !bytes.Equal(film(), film()) {
		t.Error("the same seed shows different pictures")
	}
}

func TestALoadComesToRest(t *testing.T) {
	for seed := range uint64(30) {
		d := New(Kinds[seed%uint64(len(Kinds))], Plain, seed)
		for range 5 {
			d.Lay()
			for i := 0; i < 200 && !d.Resting(); i++ {
				d.pass(0.05)
			}
			was := d.Text()
			if !d.Resting() || was != d.show(d.scale.target) {
				t.Fatalf("seed %d: %q for %g g", seed, was, d.scale.target)
			}
			for range 60 {
				if d.pass(0.05); d.Text() != was {
					t.Fatalf("seed %d: %q after %q at rest", seed, d.Text(), was)
				}
			}
			if digits := strings.Count(was, "") - 1 - strings.Count(was, ".") - strings.Count(was, "-"); digits > d.Digits {
				t.Fatalf("seed %d: %q on %d digits", seed, was, d.Digits)
			}
		}
	}
}

// Who knows where each segment lies must be able to read the films: the middle of a lit
// segment differs from an unlit one's.
func TestThePictureShowsTheText(t *testing.T) {
	for seed := range uint64(12) {
		d := New(Kinds[seed%uint64(len(Kinds))], Plain, seed)
		d.light.reflex = make([]float32, d.Width*d.Height)
		d.Lay()
		var frame []byte
		for range 80 {
			frame = d.Frame(0.05)
		}
		worst := map[bool]float64{true: math.Inf(1), false: math.Inf(-1)}
		for _, seven := range d.segments {
			for _, e := range seven {
				sum, weight := 0.0, 0.0
				for _, p := range e.parts {
					if p.share > 0.6 {
						ink := float64(d.light.panelLight[p.at]) - float64(frame[p.at])
						if d.light.bright {
							ink = -ink
						}
						sum, weight = sum+ink, weight+1
					}
				}
				if weight < 4 {
					continue
				}
				if lit := e.aim == 1; lit {
					worst[lit] = math.Min(worst[lit], sum/weight)
				} else {
					worst[lit] = math.Max(worst[lit], sum/weight)
				}
			}
		}
		if worst[true] < worst[false]+15 {
			t.Errorf("seed %d %s: lit %.0f, unlit %.0f", seed, d.Kind, worst[true], worst[false])
		}
	}
}

func TestTheLensGoesBothWays(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for seed := range uint64(20) {
		d := New(LCD, Tilted, seed)
		p := xy{4 * r.Float64(), r.Float64()}
		if q := through(&d.lens.back, through(&d.lens.to, p)); math.Hypot(p.x-q.x, p.y-q.y) > 1e-9 {
			t.Errorf("%v comes back as %v", p, q)
		}
	}
}

// A fine step changes nothing, a coarse one leaves the mean.
func TestBlocks(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 1))
	field := make([]float32, 16*16)
	for i := range field {
		field[i] = float32(255 * r.Float64())
	}
	fine := append([]float32(nil), field...)
	blocks(fine, 16, 16, 1e-3)
	for i := range field {
		if math.Abs(float64(fine[i]-field[i])) > 0.05 {
			t.Fatalf("pixel %d: %g of %g", i, fine[i], field[i])
		}
	}
	blocks(field, 16, 16, 1e6)
	if field[0] != field[7] || field[0] != 0 {
		t.Errorf("a step beyond all leaves %g and %g", field[0], field[7])
	}
}

// Over a long exposure each digit has its whole light, over a short one its row's share.
func TestTurns(t *testing.T) {
	d := New(LED, Plain, 3)
	d.light.multiplex, d.light.exposure = 100, 1
	for c, rows := range d.turns() {
		for _, v := range rows {
			if math.Abs(float64(v)-1) > 0.06 {
				t.Fatalf("digit %d: %g", c, v)
			}
		}
	}
}

// What the reader's API is promised: digits at least 24 pixels high, corners marked within a
// twentieth of the window's height, all within the picture.
func TestFramedAsPromised(t *testing.T) {
	for seed := range uint64(40) {
		d := New(Kinds[seed%uint64(len(Kinds))], Troubles[seed%uint64(len(Troubles))], seed)
		if low := d.lowest(); low < leastDigit-1e-9 {
			t.Errorf("seed %d: a digit is %.1f pixels high", seed, low)
		}
		var corners [4]xy
		for i, q := range d.glass {
			corners[i] = through(&d.lens.to, q)
		}
		height := math.Hypot(corners[3].x-corners[0].x, corners[3].y-corners[0].y)
		for i, q := range corners {
			f := d.finger[i]
			if off := math.Hypot(f.x-q.x, f.y-q.y); off > 0.06*height {
				t.Errorf("seed %d: corner %d is off by %.3f of the window's height", seed, i, off/height)
			}
			if f.x < 0 || f.y < 0 || f.x > float64(d.Width) || f.y > float64(d.Height) {
				t.Errorf("seed %d: corner %d lies outside the picture", seed, i)
			}
		}
	}
}
