package verdict

import (
	"math"

	"panside/internal/coin"
	"panside/internal/say"
)

// A solid planchet may split along its plane, by gas or dirt rolled into the
// strip, before it is struck or after. What is left has the full width, one face
// rough and striated, and any weight: mostly something like half. Assumed.
const (
	splitMean   = 0.55 // of the whole planchet's mass
	splitSpread = 0.15
)

// splits adds such halves of the denomination's solid planchets. Clad ones come
// apart at the bond: see missingLayers.
func (c *compiler) splits(k int) {
	own := &c.issues[k]
	p := &c.blanks[own.blank]
	if !own.Circulating || p.Layers[0].Part != coin.Whole || p.alloy.Magnetic != coin.NotMagnetic || p.alloy.Share("Au") > 0.5 {
		return
	}
	t := p.clean
	for i := range t.colour {
		t.colour[i] = 0.8*t.colour[i] + 0.2*flat5[i] // the rough face may be dark
	}
	t.thickness.mean *= splitMean
	t.thickness.sd = math.Hypot(thicknessU, splitSpread*p.Thickness.Value)
	c.add(alternative{
		kind: SplitPlanchet, name: c.write(say.New("split-planchet")), word: say.New("a-coin-split", say.Noun("coin", c.coin)), blank: own.blank, alike: []int{k},
		mu: splitMean * p.mu, sigma: splitSpread * p.mu, rate: own.rate, until: own.until, observables: t,
		years: own.years, weight: own.weight,
		confirm: say.New("confirm-split"),
	})
}
