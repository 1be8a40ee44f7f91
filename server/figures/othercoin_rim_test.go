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

	"panside/internal/measure"
	"panside/internal/othercoin"
	"panside/internal/picture"
	"panside/internal/rectify"
	"panside/internal/rim"
)

// rimTally counts what was said of the edges of coins.
type rimTally struct {
	shots, right, wrong, flagged int
	why                          map[rim.Why]int
	off                          []float64 // relative, of the diameters given
	sureOff                      int       // off by more than twice the uncertainty given
	lines, sureLines             int       // measured, and off by more than twice their uncertainty
	lineOff                      []float64 // mm
}

func (f *rimTally) String() string {
	slices.Sort(f.off)
	at := func(p float64) float64 {
		if len(f.off) == 0 {
			return 0
		}
		return 100 * f.off[int(p*float64(len(f.off)-1))]
	}
	var why []string
	for _, w := range slices.Sorted(maps.Keys(f.why)) {
		why = append(why, fmt.Sprintf("%d %s", f.why[w], w))
	}
	slices.Sort(f.lineOff)
	middle := math.NaN()
	if len(f.lineOff) > 0 {
		middle = f.lineOff[len(f.lineOff)/2]
	}
	return fmt.Sprintf("%d of %d diameters within 1 %%, %d wrong (%d of these flagged), refused: %s; off median %.2f %%, p90 %.2f, most %.2f; %d beyond twice their uncertainty\n%d lines of 2 to 8 mm, off median %.3f mm, %d beyond twice their uncertainty",
		f.right, f.shots, f.wrong, f.flagged, strings.Join(why, ", "), at(0.5), at(0.9), at(1), f.sureOff, f.lines, middle, f.sureLines)
}

// rimOf finds the edge in a photo.
func rimOf(shot *othercoin.Shot) (rim.Found, rim.Why) {
	size := shot.Picture.Rect.Size()
	colors, _ := picture.ShrunkColors(shot.Picture.Pix, size.X, size.Y, 1)
	return rim.Find(colors, nil)
}

// rule measures lines on a coin whose edge was found, by a hand that clicks 0.7 px off.
func (f *rimTally) rule(shot *othercoin.Shot, found rim.Found, diameter float64, r *rand.Rand) {
	on, why := rectify.New(found.Ellipse, diameter, 0, found.U)
	if why != "" {
		return
	}
	click := func(x, y float64) rectify.Point {
		u, v := shot.Pixel(x, y)
		return on.ToCoin(u+measure.Hand*r.NormFloat64(), v+measure.Hand*r.NormFloat64())
	}
	for range 4 {
		far, a := 0.35*diameter*math.Sqrt(r.Float64()), 2*math.Pi*r.Float64()
		x, y := far*math.Cos(a), far*math.Sin(a)
		long, b := 2+min(6, 0.3*diameter)*r.Float64(), 2*math.Pi*r.Float64()
		x2, y2 := x+long*math.Cos(b), y+long*math.Sin(b)
		if math.Hypot(x2, y2) > 0.42*diameter {
			continue
		}
		length, why := measure.Ruler{On: on}.Length(click(x, y), click(x2, y2))
		if why != "" {
			continue
		}
		f.lines++
		off := math.Abs(length.Value - long)
		f.lineOff = append(f.lineOff, off)
		if off > 2*length.U {
			f.sureLines++
		}
	}
}

// TestOtherCoinRims judges how a coin's edge is found, in the second world of package othercoin:
// tilt to ten degrees, other coins touching, tables, wear and dirt, one to three lamps, blur, noise, JPEG.
// The goal is a diameter within 1 % on 98 of 100, and a failure said: a wrong diameter without a
// reason or a flag is silent. Photos without one whole coin must be refused. PANSIDE_LONG
// takes 100, PANSIDE_SEED others; PANSIDE_SHOW lists the failures, for whoever works on this world.
func TestOtherCoinRims(t *testing.T) {
	if raceEnabled {
		t.Skip("a renderer of pictures; the test command runs it apart")
	}
	many, bad := uint64(3), uint64(1)
	long := os.Getenv("PANSIDE_LONG") != ""
	if long {
		many, bad = 100, 10
	}
	show := os.Getenv("PANSIDE_SHOW") != ""
	seed := otherSeed(t, 1) * 1_000_003
	r := rand.New(rand.NewPCG(seed, 0x72696d))
	f := &rimTally{why: map[rim.Why]int{}}
	for n := range many {
		scene := othercoin.Snapshot(seed + n)
		shot := shoot(t, scene)
		found, why := rimOf(shot)
		f.shots++
		off := math.Abs(found.A/shot.Edge.Long - 1)
		apart := math.Hypot(found.X-shot.Edge.X, found.Y-shot.Edge.Y)
		switch {
		case why != "":
			f.why[why]++
		case off > 0.01 || apart > 0.02*shot.Edge.Long:
			if f.wrong++; found.Check {
				f.flagged++
			}
		default:
			f.right++
		}
		if why == "" {
			f.off = append(f.off, off)
			if off > 2*found.U {
				f.sureOff++
			}
			f.rule(shot, found, scene.Coins[0].Diameter, r)
		}
		if show && (why != "" || off > 0.01) {
			t.Logf("seed %d: %q off %.2f %%, middle %.1f px, covered %.2f, check %v", seed+n, why, 100*off, apart, found.Covered, found.Check)
		}
	}
	t.Logf("simulated, from seed %d: %s", seed, f)
	// What is as uncertain as it says is beyond twice that in 5 of 100; lines of one coin share its edge.
	if long && f.sureLines*100 > 10*f.lines {
		t.Errorf("%d of %d lines are beyond twice their uncertainty, 10 of 100 is the most", f.sureLines, f.lines)
	}
	silent := f.wrong - f.flagged
	if silent > 0 {
		t.Errorf("%d wrong diameters are silent", silent)
	}
	if long && f.right*100 < f.shots*98 {
		t.Errorf("%d of %d diameters are within 1 %%, 98 of 100 is the goal", f.right, f.shots)
	}
	for _, what := range othercoin.Bads {
		if !long && what == othercoin.Smeared {
			continue
		}
		said, through := map[rim.Why]int{}, 0
		for n := range bad {
			shot := shoot(t, othercoin.Unfit(what, seed+n))
			found, why := rimOf(shot)
			// A smeared edge still has its middle where the edge is: who finds it there is right.
			right := what == othercoin.Smeared && math.Abs(found.A/shot.Edge.Long-1) <= 0.01
			switch {
			case why != "":
				said[why]++
			case !right && !found.Check:
				through++
			}
		}
		t.Logf("%s: %d of %d taken for a coin; said: %v", what, through, bad, said)
		if most := int(bad) / 10; through > most {
			t.Errorf("%s: %d of %d taken for a coin, %d is the most", what, through, bad, most)
		}
	}
}
