package figures

import (
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"

	"panside/internal/align"
	"panside/internal/othercoin"
	"panside/internal/picture"
)

// turnTally counts how coins were laid over each other.
type turnTally struct {
	pairs, right, wrong int
	why                 map[align.Why]int
	off                 []float64 // degrees
}

func (f *turnTally) String() string {
	slices.Sort(f.off)
	at := func(p float64) float64 {
		if len(f.off) == 0 {
			return 0
		}
		return f.off[int(p*float64(len(f.off)-1))]
	}
	var why []string
	for _, w := range slices.Sorted(maps.Keys(f.why)) {
		why = append(why, fmt.Sprintf("%d %s", f.why[w], w))
	}
	return fmt.Sprintf("%2d of %2d within 1 degree, %d wrong, refused: %s; off median %.2f degrees, p90 %.2f, most %.2f",
		f.right, f.pairs, f.wrong, strings.Join(why, ", "), at(0.5), at(0.9), at(1))
}

// faceOf is a photo as the coin's edge, known to a quarter of a percent, leaves it.
func faceOf(shot *othercoin.Shot, r *rand.Rand) align.Face {
	size := shot.Picture.Rect.Size()
	p, _ := picture.FromRGBA(shot.Picture.Pix, size.X, size.Y)
	e, k := shot.Edge, 0.0025*shot.Edge.Long
	return align.Face{Picture: p, X: e.X + k*r.NormFloat64(), Y: e.Y + k*r.NormFloat64(), R: e.Long + k*r.NormFloat64()}
}

// TestOtherCoinTurns judges how one photo of a coin is laid over another, in the second world of
// package othercoin: two finds of one type and side at any turn, from straight above, by lamps that
// stand as far apart in the two photos as a row says. The goal is a turn within 1 degree, with the lamp
// moved by 90 degrees, too. Coins of two types must be refused. PANSIDE_LONG takes 25 of each
// instead of 2, PANSIDE_SEED others; PANSIDE_SHOW lists the failures, for whoever works on this world, and
// "totals" in it the totals so far alone.
func TestOtherCoinTurns(t *testing.T) {
	if raceEnabled {
		t.Skip("a renderer of pictures; the test command runs it apart")
	}
	many := 2
	long := os.Getenv("PANSIDE_LONG") != ""
	if long {
		many = 25
	}
	seed := otherSeed(t, 1)
	r := rand.New(rand.NewPCG(seed, 0x7475726e))
	photo := func(d *othercoin.Design, lamp float64) *othercoin.Shot {
		c := d.Strike(d.Obverse, d.Reverse, othercoin.Nickel, othercoin.Found(r), r)
		c.Turn = 2 * math.Pi * r.Float64()
		s := othercoin.Sided(c, 1, 500, 0.09, r.Uint64())[0]
		l := &s.Lamps[0]
		far := math.Hypot(l.X, l.Y)
		l.X, l.Y = far*math.Cos(lamp), far*math.Sin(lamp)
		return shoot(t, s)
	}
	var b strings.Builder
	all := &turnTally{why: map[align.Why]int{}}
	for _, apart := range []float64{0, 90, 180} {
		if !long && apart != 90 {
			continue
		}
		f := &turnTally{why: map[align.Why]int{}}
		for range many {
			d := othercoin.NewDesign(r.Uint64(), othercoin.Diameters[r.IntN(len(othercoin.Diameters))])
			lamp := 2 * math.Pi * r.Float64()
			one, two := photo(d, lamp), photo(d, lamp+apart*math.Pi/180)
			fit, why := align.Over(faceOf(one, r), faceOf(two, r), nil)
			// Turns are counted clockwise here, and counterclockwise there.
			want := (two.Turn - one.Turn) * 180 / math.Pi
			off := math.Abs(math.Remainder(fit.Degrees-want, 360))
			f.pairs++
			switch {
			case why != "":
				f.why[why]++
			case off > 1:
				f.wrong++
			default:
				f.right++
			}
			if why == "" {
				f.off = append(f.off, off)
			}
			show := os.Getenv("PANSIDE_SHOW")
			if show != "" && show != "totals" && (why != "" || off > 1) {
				t.Logf("lamps %g apart: %q %.2f degrees for %.2f, agree %.2f", apart, why, fit.Degrees, want, fit.Agree)
			}
			if show != "" && f.pairs%5 == 0 {
				t.Logf("lamps %g apart, so far: %s", apart, f)
			}
		}
		fmt.Fprintf(&b, "lamps %3g degrees apart: %s\n", apart, f)
		if apart <= 90 {
			all.pairs, all.right, all.wrong = all.pairs+f.pairs, all.right+f.right, all.wrong+f.wrong
		}
	}
	fits := 0
	for range many {
		one := photo(othercoin.NewDesign(r.Uint64(), 24.26), 1)
		two := photo(othercoin.NewDesign(r.Uint64(), 24.26), 1)
		if _, why := align.Over(faceOf(one, r), faceOf(two, r), nil); why == "" {
			fits++
		}
	}
	t.Logf("simulated, from seed %d\n%s%d of %d pairs of two types were taken for one", seed, &b, fits, many)
	if most := all.pairs / 50; all.wrong > most {
		t.Errorf("%d of %d turns are off by more than a degree and not refused, %d is the most", all.wrong, all.pairs, most)
	}
	if long && all.right*100 < all.pairs*95 {
		t.Errorf("%d of %d turns with the lamp moved by up to 90 degrees are within 1 degree, 95 of 100 is the least", all.right, all.pairs)
	}
	if most := many / 20; fits > most {
		t.Errorf("%d of %d pairs of two types were taken for one, %d is the most", fits, many, most)
	}
}
