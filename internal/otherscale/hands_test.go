package otherscale

import (
	"math"
	"testing"
)

// impulse is ∫F dt of a course.
func impulse(c []Point) float64 {
	sum := 0.0
	for i := 1; i < len(c); i++ {
		sum += (c[i].Grams + c[i-1].Grams) / 2 * (c[i].At - c[i-1].At)
	}
	return sum
}

// TestDropsKeepTheirMomentum: over the whole bounce the pan takes up the coin's
// momentum and its weight for as long as it lasts.
func TestDropsKeepTheirMomentum(t *testing.T) {
	rng := testRand(7)
	for range 200 {
		h := Put(Dropped, 3.11, 5, plain(), rng)
		if h.Touch != 5 || h.Free <= 5 || h.Free > 5.6 || h.Force[len(h.Force)-1].Grams != 3.11 {
			t.Fatalf("%+v", h)
		}
		// The speed at touch lies between that of falls of 1 and 20 mm.
		got := impulse(h.Force) - 3.11*(h.Free-h.Touch)
		least, most := 3.11*math.Sqrt(2*0.001/9.81), 3.11*math.Sqrt(2*0.02/9.81)
		if got < 0.9*least || got > 1.2*most {
			t.Fatalf("momentum %.4f g·s, from %.4f to %.4f", got, least, most)
		}
	}
}

// TestEveryHandLeavesTheCoin: after all ways the force is the coin's weight; a
// leaning hand stays 0.2 to 1 s, and 2.1 s after its last touch not a tenth of a
// gram is left of it, with up to forty grams (recorded at a raw cell).
func TestEveryHandLeavesTheCoin(t *testing.T) {
	rng := testRand(8)
	many := 0
	for _, way := range []Way{Gentle, Dropped, Slid, Leaned, HalfWay, Spun} {
		for range 300 {
			h := Put(way, 3.11, 0, plain(), rng)
			var f forces
			f.add(h.Force)
			most := 0.0
			for _, p := range h.Force {
				most = math.Max(most, p.Grams)
			}
			if g, _ := f.at(h.Free + 2.1); math.Abs(g-3.11) > 0.1 {
				t.Fatalf("%s: %.3f g 2.1 s after it let go", way, g)
			}
			if g, _ := f.at(1e6); math.Abs(g-3.11) > 1e-9 {
				t.Fatalf("%s: leaves %g g", way, g)
			}
			if way == Leaned {
				if h.Free < 0.2 || h.Free > 1.5 {
					t.Fatalf("leaned for %.2f s", h.Free)
				}
				if most > 20 {
					many++
				}
			}
		}
	}
	if many < 20 {
		t.Errorf("%d of 300 hands leaned with many times the coin", many)
	}
	for range 300 {
		var f forces
		f.add(Take(Pressed, 3.11, 0, rng).Force)
		if g, _ := f.at(1e6); math.Abs(g+3.11) > 1e-9 {
			t.Fatalf("lifts %g g", g)
		}
	}
}

// TestRestsHalfWay: one item put down in two movements rested for twelve lines
// at 55 % of its weight, all of them marked unstable (recorded stream of three
// lines a display).
func TestRestsHalfWay(t *testing.T) {
	c := plain()
	c.Places, c.Repeat = 1, 3
	rng := testRand(9)
	for range 50 {
		s := New(c, rng.Uint64())
		play(s, 2)
		h := Put(HalfWay, 20, s.Now(), c, rng)
		s.Push(h.Force)
		longest, run, last := 0, 0, 0
		for _, l := range play(s, h.Free-s.Now()) {
			share := float64(l.Steps) / 200
			if run++; l.Steps != last {
				run = 1
			}
			last = l.Steps
			if share > 0.35 && share < 0.65 {
				longest = max(longest, run)
				if l.Stable {
					t.Fatal("marked stable half way")
				}
			}
		}
		if longest < 9 || longest > 24 {
			t.Fatalf("rested half way for %d lines", longest)
		}
	}
}

// TestKnocksDieOut: a knock and a draft leave nothing behind.
func TestKnocksDieOut(t *testing.T) {
	rng := testRand(10)
	for range 100 {
		for _, h := range []Hand{Knock(0, rng), Draft(0, 2, 0.1, rng)} {
			if last := h.Force[len(h.Force)-1]; last.Grams != 0 || h.Free > 3 {
				t.Fatalf("%+v", last)
			}
		}
	}
}
