package hints_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"panside/internal/hints"
	"panside/internal/picture"
	"panside/internal/relief"
	"panside/internal/simcoin"
)

// hardKind is a type of coin with letters of any stroke, flank and height.
func hardKind(kind uint64) simcoin.Design {
	d := obverse(kind)
	r := rand.New(rand.NewPCG(kind, 71))
	d.Stroke, d.Flank = 0.2+0.15*r.Float64(), 0.06+0.08*r.Float64()
	d.WordHeight = 0.05 + 0.08*r.Float64()
	d.Round = r.IntN(3) == 0
	d.Bust, d.Hair = 0.1+0.2*r.Float64(), r.IntN(50)
	return d
}

// carried strikes a design and lets it go through hands that leave their marks: wear of its own that is not the same all
// over, scratches, metal that flowed outward near the rim, dirt that lies in the letters.
func carried(d simcoin.Design, seed uint64, change func(f *simcoin.Face)) simcoin.Stand {
	r := rand.New(rand.NewPCG(seed, 73))
	f := d.Strike(size / 24.)
	if change != nil {
		change(f)
	}
	flowed(f, 0.006*r.Float64(), r)
	f.Wear(0.4 * r.Float64())
	uneven(f, 0.5*r.Float64(), r)
	f.Scratch(10+r.IntN(60), r)
	metal := []simcoin.Polish{simcoin.BareNickel, simcoin.BareCopper, simcoin.BareSilver}[r.IntN(3)]
	metal.Rough, metal.Flow = 0.15+0.35*r.Float64(), 0.8*r.Float64()
	c := simcoin.Coin{Diameter: 24, Thickness: 1.7, Face: f, Dirt: 0.7 * r.Float64(), Tone: 0.7 * r.Float64(), Seed: seed,
		Metal: []simcoin.Metal{simcoin.White, simcoin.Brown}[r.IntN(2)]}
	s := simcoin.Stand{Coin: c, Size: size, Share: 0.92 + 0.03*r.Float64(), Turn: 360 * r.Float64(), Blur: 0.6 + 0.6*r.Float64(), Noise: 0.012,
		Shadows: r.IntN(2) == 0, Dull: 0.08 + 0.4*r.Float64(), Ambient: 0.03 + 0.12*r.Float64(), White: 0.002 + 0.02*r.Float64(),
		Vignette: 0.3 * r.Float64(), Contrast: 0.6 * r.Float64(), Sharpen: 0.7 * r.Float64()}
	if r.IntN(3) > 0 {
		s.Polish = &metal
	} else {
		s.Ambient += 0.1
	}
	return s
}

// uneven takes one side of the coin down more than the other, as wear and a weak strike do.
func uneven(f *simcoin.Face, most float64, r *rand.Rand) {
	s, c := math.Sincos(2 * math.Pi * r.Float64())
	for i, h := range f.Height {
		if h > 0 {
			x, y := float64(i%f.N-f.N/2)*f.Step, float64(i/f.N-f.N/2)*f.Step
			f.Height[i] = h * float32(1-most*min(max(0.5+(c*x+s*y)/24, 0), 1))
		}
	}
}

// flowed furrows the outer field along the radius, as dies that have struck long do.
func flowed(f *simcoin.Face, deep float64, r *rand.Rand) {
	const n = 700
	var wave [n]float64
	for i := range wave {
		wave[i] = r.NormFloat64()
	}
	for i := range f.Height {
		x, y := float64(i%f.N-f.N/2)*f.Step, float64(i/f.N-f.N/2)*f.Step
		out := min(max((math.Hypot(x, y)-5)/5, 0), 1)
		at := (math.Atan2(y, x)/(2*math.Pi) + 0.5) * n
		k := int(at)
		t := at - float64(k)
		f.Height[i] += float32(deep * out * ((1-t)*wave[k%n] + t*wave[(k+1)%n]))
	}
}

// handheld photographs a stand by a lamp that is moved by hand, and says where the coin lies as an eye for rims
// does. why isn't empty where the frames are refused.
func handheld(s simcoin.Stand) (relief.Relief, relief.Why) {
	r := rand.New(rand.NewPCG(s.Seed, 79))
	up, near := 25+15*r.Float64(), 50+100*r.Float64()
	window := simcoin.Lamp{From: 360 * r.Float64(), Up: 50, Strength: 0.12 * r.Float64()}
	var frames []relief.Frame
	slip := 1.5 * r.Float64()
	var on relief.Disc
	for k := range 4 {
		st := s
		st.OffX, st.OffY = slip*r.NormFloat64(), slip*r.NormFloat64()
		st.Turn += 0.1 * r.NormFloat64()
		side := 90*float64(k) + 15
		lamp := simcoin.Lamp{From: side + 14*r.Float64() - 7, Up: up + 4*r.NormFloat64(), Strength: 0.85, Near: near * (0.9 + 0.2*r.Float64())}
		shot := st.Shoot(r.Uint64(), lamp, window).JPEG(75 + r.IntN(25))
		p, _ := picture.FromRGBA(shot.Pix, shot.Width, shot.Height)
		frames = append(frames, relief.Frame{Picture: p, Lamp: relief.Lamp{Side: side, Up: 32}})
		if k == 0 {
			x, y, rad := st.Truth()
			on = relief.Disc{X: x + 0.7*r.NormFloat64(), Y: y + 0.7*r.NormFloat64(), R: rad * (1 + 0.003*r.NormFloat64())}
		}
	}
	return relief.Of(frames, on, nil)
}

// TestCarriedCoins: coins of bare metal that went through hands, each lit by hand and turned otherwise, against an
// ordinary coin of their type. Ordinary ones have no second image, nor have most that lack letters; most doubled words
// are found where the slopes agree well enough to be compared.
func TestCarriedCoins(t *testing.T) {
	from, to := uint64(4), uint64(5)
	if long() {
		from, to = 0, 34
	}
	ordinary, missing, doubledCoins := tally{}, tally{}, tally{}
	for kind := from; kind < to; kind++ {
		d := hardKind(kind)
		ref, why := handheld(carried(d, 1000+kind, nil))
		if why != "" {
			continue
		}
		lacks, twice := d, d
		lacks.Words, twice.Words = slices.Clone(d.Words), slices.Clone(d.Words)
		lacks.Words[1].Text = lacks.Words[1].Text[:5] + "    "
		like, _, _ := doubled(kind, 0.12)
		twice.Words[0].DoubledX, twice.Words[0].DoubledY = like.Words[0].DoubledX, like.Words[0].DoubledY
		ordinary.look(t, carried(d, 2000+kind, nil), ref)
		missing.look(t, carried(lacks, 7000+kind, nil), ref)
		doubledCoins.look(t, carried(twice, 3000+kind, nil), ref)
	}
	t.Logf("ordinary %v\nmissing letters %v\ndoubled %v", ordinary, missing, doubledCoins)
	if 20*ordinary.marked > ordinary.compared {
		t.Errorf("of %d ordinary coins %d are marked", ordinary.compared, ordinary.marked)
	}
	if 3*missing.marked > missing.compared {
		t.Errorf("of %d coins that lack letters %d are marked with a second image", missing.compared, missing.marked)
	}
	if 10*doubledCoins.marked < 6*doubledCoins.compared {
		t.Errorf("of %d doubled coins %d are marked", doubledCoins.compared, doubledCoins.marked)
	}
}

// tally counts coins that were looked at for a second image.
type tally struct {
	marked, compared, refused int
	scores                    []float64
}

func (c *tally) look(t *testing.T, s simcoin.Stand, ref relief.Relief) {
	mine, why := handheld(s)
	if why != "" {
		c.refused++
		return
	}
	got, not := hints.Look(hints.Asked{Mine: mine, Ordinary: &ref, Diameter: 24}, nil)
	if not != "" {
		t.Logf("coin %d isn't compared: %s", s.Seed, not)
		c.refused++
		return
	}
	c.compared++
	c.scores = append(c.scores, got.Scores[hints.SecondImage])
	slices.Sort(c.scores)
	if clearest(got.Marks, hints.SecondImage) != nil {
		c.marked++
	}
}
