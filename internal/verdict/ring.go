package verdict

import (
	"math"

	"panside/internal/coin"
	"panside/internal/fault"
	"panside/internal/plate"
	"panside/internal/say"
)

// Ring is how a coin rang: see panside/internal/ring for how that is heard, and
// panside/internal/plate for what it means.
type Ring struct {
	Hz    []float64  // partials, lowest first, one to four
	U     float64    // their relative standard uncertainty
	Known *KnownRing // a coin of known metal rung before it, nil for none

	grams float64 // what the coin weighs, 0 where it wasn't weighed
	disc  *plate.Disc
	shift plate.Shift // of the known coin
	last  *plate.Disc // what was asked last, since a hypothesis asks three times
	was   float64
}

// KnownRing is the ring of a coin whose planchet is known, or the mean of several.
type KnownRing struct {
	Planchet string // id in the coin book
	Hz       []float64
	U        float64
	Coins    int // how many were rung of which Hz are the means, 0 for one
}

// check refuses what no coin rings like. field is where the ring stands.
func (r *Ring) check(field string) error {
	if err := checkPartials(field, r.Hz, r.U); err != nil || r.Known == nil {
		return err
	}
	if n := r.Known.Coins; n < 0 || n > mostKnown {
		return fault.InField(field+".known.coins", fault.BadInput, say.New("ring-coins", say.Count("most", mostKnown)))
	}
	return checkPartials(field+".known", r.Known.Hz, r.Known.U)
}

// mostKnown is how many known coins an evening takes.
const mostKnown = 20

func checkPartials(field string, hz []float64, u float64) error {
	if len(hz) < 1 || len(hz) > plate.MostHeard {
		return fault.InField(field+".hz", fault.BadInput, say.New("ring-count"))
	}
	before := 0.0
	for _, f := range hz {
		if !(f >= plate.Lowest && f <= plate.Highest && f > before) {
			return fault.InField(field+".hz", fault.BadInput, say.New("ring-range"))
		}
		before = f
	}
	if !(u > 0 && u < 0.1) {
		return fault.InField(field+".u", fault.BadInput, say.New("ring-u"))
	}
	return nil
}

// against is the ring of a coin of that mass, the known coin looked up. Errors: *fault.Field
// with fault.BadInput for a known coin that the book can't predict, or that rang like another.
func (r *Ring) against(book *coin.Book, grams float64, field string) (*Ring, error) {
	out := *r
	out.grams, out.last = grams, nil
	if r.Known == nil {
		return &out, nil
	}
	disc, ok := plate.Of(book, book.Planchet(r.Known.Planchet))
	if !ok {
		return nil, fault.InField(field+".known.planchet", fault.BadInput, say.New("ring-unpredicted"))
	}
	shift, ok := disc.Shift(plate.Heard{Hz: r.Known.Hz, U: r.Known.U})
	if !ok || math.Abs(shift.Mean) > 3*disc.Alone(1).SD {
		return nil, fault.InField(field+".known.hz", fault.BadInput, say.New("ring-not-known"))
	}
	out.disc, out.shift = &disc, shift
	return &out, nil
}

// prior is the shift of a disc's frequencies before this coin was heard.
func (r *Ring) prior(d *plate.Disc, massRatio float64) plate.Shift {
	s := d.Alone(massRatio)
	if r.grams > 0 {
		s = d.Weighed(massRatio)
	}
	if r.disc != nil {
		s = d.Given(s, r.disc, r.shift, r.Known.Coins)
	}
	return s
}

// likelihood of what was heard under the observables. A coin that nothing is predicted of
// may ring like anything.
func (r *Ring) likelihood(t *observables) float64 {
	h := plate.Heard{Hz: r.Hz, U: r.U}
	if t.disc == nil {
		return plate.Anything(h)
	}
	if t.disc != r.last {
		r.last, r.was = t.disc, t.disc.Likelihood(h, r.prior(t.disc, r.grams/t.discMass))
	}
	return r.was
}

// ring is what ringing the coin is expected to tell of the metals that remain, by its lowest
// partial; nothing where one of them isn't predicted, and among explanations of a wrong weight,
// which a split or holed piece doesn't ring like.
func (c *discrimination) ring() (bits float64, tell func() say.Line) {
	if c.own == nil {
		return 0, nil
	}
	for n := range c.ownBlanks {
		if b := &c.blanks[n]; b.clean.disc == nil && b.usual > seldomMetal {
			return 0, nil // as Tell, which can't tell these
		}
	}
	for _, x := range c.all {
		if x.observables.disc == nil {
			return 0, nil
		}
	}
	return c.measured(func(t *observables) measurement {
		ratio := c.y / t.discMass
		return measurement{t.disc.Hz[0] * ratio / 1000, t.disc.Hz[0] * ratio / 1000 * t.disc.Weighed(1).SD}
	}, "kHz", 1)
}
