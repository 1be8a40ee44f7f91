package ring_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"panside/internal/book/data"
	"panside/internal/plate"
	"panside/internal/ring"
	"panside/internal/simring"
	"panside/internal/verdict"
)

// rungCoin are the modes of a coin of the first world: 3 % of error common to its type, 2.5 %
// its own, 1 % of each mode.
func rungCoin(r *rand.Rand, d *plate.Disc, bias float64) []float64 {
	own := math.Exp(0.025 * r.NormFloat64())
	var out []float64
	for _, hz := range d.Hz {
		out = append(out, hz*bias*own*math.Exp(0.01*r.NormFloat64()))
	}
	return out
}

// TestMetalsOfTheFirstWorld counts wrong and untold metals: three rings in a kitchen at 20, 10 and
// 0 dB, alone and after a known coin.
func TestMetalsOfTheFirstWorld(t *testing.T) {
	trials, noises := long(1, 34), []float64{20, 10, 0}
	if trials == 1 {
		noises = noises[1:2]
	}
	b := data.Coins()
	wrong, told := 0, 0
	for _, c := range []struct{ country, denomination, planchet, known string }{
		{"US", "dime", "us-dime-clad", "us-dime-clad"}, {"US", "dime", "us-dime-silver", "us-dime-clad"},
		{"US", "quarter", "us-quarter-clad", "us-quarter-clad"}, {"US", "quarter", "us-quarter-silver", "us-quarter-clad"},
		{"US", "half", "us-half-clad", "us-half-clad"}, {"US", "half", "us-half-400", "us-half-clad"}, {"US", "half", "us-half-silver", "us-half-clad"},
		{"US", "dollar", "us-dollar-clad", "us-dollar-clad"}, {"US", "dollar", "us-dollar-silver", "us-dollar-clad"},
		{"US", "nickel", "us-nickel-1982", "us-nickel-1982"}, {"US", "nickel", "us-nickel-silver", "us-nickel-1982"},
		{"CA", "quarter", "ca-quarter-800-1953", "ca-quarter-nickel"}, {"CA", "quarter", "ca-quarter-500", "ca-quarter-nickel"}, {"CA", "quarter", "ca-quarter-nickel", "ca-quarter-nickel"},
		{"GB", "shilling", "gb-shilling-500", "gb-shilling-cupronickel"}, {"GB", "shilling", "gb-shilling-cupronickel", "gb-shilling-cupronickel"},
	} {
		planchet := b.Planchet(c.planchet)
		d, _ := plate.Of(b, planchet)
		k, _ := plate.Of(b, b.Planchet(c.known))
		want := b.Alloy(planchet.Alloy).Family
		for _, noise := range noises {
			for _, reference := range []bool{false, true} {
				right, off, unsure, deaf := 0, 0, 0, 0
				for n := range trials {
					r := rand.New(rand.NewPCG(uint64(n), uint64(len(c.planchet))+1000*uint64(noise)))
					size := math.Exp(0.02 * r.NormFloat64())
					q := verdict.RingQuestion{Country: c.country, Denomination: c.denomination}
					hear := func(m []float64) (ring.Evidence, ring.Why) {
						scene := simring.Scene{Rate: 48000, Rand: r, Noise: noise, Knock: -10 + 30*r.Float64()}
						return ring.Together(ring.Listen(scene.Render(simring.Coin, m, nil, 3), 48000).Rings)
					}
					if reference {
						ev, why := hear(rungCoin(r, &k, size*math.Exp(0.022*r.NormFloat64())))
						if why == "" {
							q.Ring.Known = &verdict.KnownRing{Planchet: c.known, Hz: ev.Hz, U: ev.U}
						}
					}
					ev, why := hear(rungCoin(r, &d, size*math.Exp(0.022*r.NormFloat64())))
					if why != "" {
						deaf++
						continue
					}
					q.Ring.Hz, q.Ring.U = ev.Hz, ev.U
					told, err := verdict.Tell(b, q)
					switch {
					case err != nil:
						deaf++
					case told.Alloy == want:
						right++
					case told.Alloy == "":
						unsure++
					default:
						off++
						t.Logf("%s heard %.0f of %.0f: %s %v", c.planchet, ev.Hz, d.Hz, told.Alloy, told.Metals)
					}
				}
				wrong, told = wrong+off, told+trials
				t.Logf("%-26s %2.0f dB, known %-5v: right %3d, can’t tell %3d, not heard %3d, wrong %d of %d", c.planchet, noise, reference, right, unsure, deaf, off, trials)
			}
		}
	}
	if wrong*200 > told {
		t.Errorf("%d of %d wrong; at most 0.5 %% may be", wrong, told)
	}
}
