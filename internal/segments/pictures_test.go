package segments

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

func drawPicture(t *rapid.T) raster {
	r := raster{w: rapid.IntRange(1, 12).Draw(t, "w"), h: rapid.IntRange(1, 12).Draw(t, "h"), scale: 1}
	for range r.w * r.h {
		r.v = append(r.v, float32(rapid.IntRange(0, 255).Draw(t, "v")))
	}
	return r
}

// boxMean is the mean over a box about a cell, cut at the edges, by its definition.
func boxMean(r *raster, i, j, n int) float32 {
	var sum, count float32
	for b := max(j-n, 0); b <= min(j+n, r.h-1); b++ {
		for a := max(i-n, 0); a <= min(i+n, r.w-1); a++ {
			sum += r.v[b*r.w+a]
			count++
		}
	}
	return sum / count
}

func TestBlurredIsTheMean(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := drawPicture(t)
		n := rapid.IntRange(0, 4).Draw(t, "n")
		got := r.blurred(n)
		for q := range r.v {
			if d := got.v[q] - boxMean(&r, q%r.w, q/r.w, n); abs(d) > 0.01 {
				t.Fatalf("cell %d is off by %g", q, d)
			}
		}
	})
}

// TestThreesAreTheMean: in a part of a picture, and nothing is written beyond it.
func TestThreesAreTheMean(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := drawPicture(t)
		part := box{x0: rapid.IntRange(0, r.w-1).Draw(t, "x0"), y0: rapid.IntRange(0, r.h-1).Draw(t, "y0")}
		part.x1, part.y1 = rapid.IntRange(part.x0, r.w-1).Draw(t, "x1"), rapid.IntRange(part.y0, r.h-1).Draw(t, "y1")
		got := make([]float32, len(r.v))
		threes(r.v, got, r.w, r.h, part)
		for q := range got {
			i, j := q%r.w, q/r.w
			var want float32
			if i >= part.x0 && i <= part.x1 && j >= part.y0 && j <= part.y1 {
				want = boxMean(&r, i, j, 1)
			}
			if d := got[q] - want; abs(d) > 0.01 {
				t.Fatalf("cell %d is off by %g", q, d)
			}
		}
	})
}

// TestTheLoops holds the unrolled sums against plain ones, whatever is left over.
func TestTheLoops(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, 11).Draw(t, "n")
		some := func(name string) []float32 {
			return rapid.SliceOfN(rapid.Map(rapid.IntRange(-100, 100), func(x int) float32 { return float32(x) }), n, n).Draw(t, name)
		}
		a, b, limit := some("a"), some("b"), float32(900)
		var ab, apart, nearAB, nearBB float32
		for k := range a {
			ab += a[k] * b[k]
			d := 2*a[k] - b[k]
			apart += abs(d)
			if e := a[k] - 2*b[k]; e*e <= limit {
				nearAB += a[k] * b[k]
				nearBB += b[k] * b[k]
			}
		}
		if got := dot(a, b); got != ab {
			t.Errorf("products: %g, not %g", got, ab)
		}
		if got := distances(2, a, b); got != apart {
			t.Errorf("distances: %g, not %g", got, apart)
		}
		if x, y := within(limit, 2, a, b); x != nearAB || y != nearBB {
			t.Errorf("within: %g and %g, not %g and %g", x, y, nearAB, nearBB)
		}
		product, mixed := make([]float32, n), slices.Clone(a)
		times(a, b, product)
		mix(mixed, 3, b, -2)
		for k := range a {
			if product[k] != a[k]*b[k] || mixed[k] != 3*a[k]-2*b[k] {
				t.Errorf("cell %d: %g and %g", k, product[k], mixed[k])
			}
		}
	})
}

// TestLookingInsideIsLooking: where no place lies beyond the picture, however the display lies in it,
// looking without limits sees the same, and never leaves the picture.
func TestLookingInsideIsLooking(t *testing.T) {
	sure := 0
	rapid.Check(t, func(t *rapid.T) {
		w := drawWindow(t)
		e := newEye(w)
		f := Frame{520, 220, make([]byte, 520*220)}
		for i := range f.Pix {
			f.Pix[i] = byte(i * 7919 >> 3)
		}
		move, turn := rapid.Float64Range(-60, 60), rapid.Float64Range(-0.1, 0.1)
		lies := warp{move.Draw(t, "dx"), move.Draw(t, "dy"), turn.Draw(t, "s"), turn.Draw(t, "r")}
		for _, g := range []*grid{&e.full, &e.half} {
			if !g.inside(f, lies) {
				continue
			}
			sure++
			got := g.look(f, lies, make([]float32, len(g.places)))
			limited := *g
			limited.low = Point{math.Inf(-1), 0}
			want := limited.look(f, lies, make([]float32, len(g.places)))
			if !slices.Equal(got.v, want.v) {
				t.Fatal("they differ")
			}
		}
	})
	if sure == 0 {
		t.Error("no display lay inside")
	}
}

// TestTheDigitsBoxHoldsAllThatIsRead: of a picture only what lies in it is softened, so a place that it
// leaves out, or leaves once its cell is nudged, would be read from an older frame.
func TestTheDigitsBoxHoldsAllThatIsRead(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		eye := newEye(drawWindow(t))
		share := func(name string, from, to float64) float64 { return rapid.Float64Range(from, to).Draw(t, name) }
		l := layout{height: share("height", 0.4, 0.7), slant: share("slant", 0, 0.3), tilt: share("tilt", -0.1, 0.1)}
		l.width, l.stroke = 0.55*l.height, 0.15*l.height
		l.pitch = 1.4 * l.width
		l.x, l.y = eye.plane.aspect-share("right", 0.1, 0.6), share("y", 0.4, 0.6)
		cells := max(l.cells(eye.plane.aspect), 2)
		full := &eye.full.raster
		r := Reader{eye: eye, layout: l, cells: cells, point: point{1.15, 0.95}}
		r.ink, r.match = newInk(&l, cells, 1, full), newMatcher(&l, cells, 1, full)
		r.strip = strip{high: 1.3 * l.stroke, half: 0.25 * l.stroke}
		for x := l.x - l.width; x > edge; x -= l.stroke / 2 {
			r.strip.at = append(r.strip.at, Point{x, l.y + l.tilt*(x-l.x)})
		}
		r.makeRoom()
		bright := full.empty()
		for q := range bright.v {
			bright.v[q] = 1
		}
		soft := r.soften(&bright)
		if soft.v[0] == 1 && soft.v[len(soft.v)-1] == 1 {
			t.Skip("all is softened")
		}
		read := func(what string, x float32) {
			if abs(x-1) > 1e-4 {
				t.Fatalf("%s is read beyond it", what)
			}
		}
		for k, at := range r.strip.at {
			read("the row before the digits", soft.at(at))
			read("the ground of the row before the digits", 1+r.strip.ink(soft, k, 1))
		}
		for _, by := range []float64{0, mostNudge * l.stroke, -2 * mostNudge * l.stroke} {
			for c := range cells {
				r.match.at[c].shift(full, by)
				for k := range r.match.at[c].on {
					read("a digit's picture", soft.on(&r.match.at[c].on[k]))
				}
				for s := range r.ink.seg[c] {
					r.ink.seg[c][s].shift(full, by)
					read("a segment", soft.meanOn(&r.ink.seg[c][s]))
				}
				for h := range r.ink.hole[c] {
					r.ink.hole[c][h].shift(full, by)
					read("a hole", soft.meanOn(&r.ink.hole[c][h]))
				}
				read("a point", soft.meanOn(&r.points[c].on))
				read("the gap above", soft.meanOn(&r.points[c].off))
			}
		}
	})
}
