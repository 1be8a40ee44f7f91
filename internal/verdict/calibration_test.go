package verdict_test

import (
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"panside/internal/verdict"
	"panside/internal/want"
)

// tally counts claims and which of them are true.
type tally struct{ claims, good int }

func (t *tally) see(good bool) {
	t.claims++
	if good {
		t.good++
	}
}

func (t tally) rate() float64 { return float64(t.good) / math.Max(float64(t.claims), 1) }

func (t tally) String() string { return fmt.Sprintf("%.2f %% of %d", 100*t.rate(), t.claims) }

// figures are what one resolution gave.
type figures struct {
	coins                  int
	alloys                 tally
	byState                map[verdict.State]*tally
	calls                  map[verdict.Call]int
	keepers                tally // regular coins of silver, asked for with the start's list
	expert, looks          int
	misdated               int       // of looks, those whose date was misread
	bins                   [10]tally // by probability of the likeliest alloy
	sums                   [10]float64
	rare, caught, separate int
	missed                 map[verdict.Kind]int
}

func simulate(t *testing.T, j jar, step float64, coins, rares int, seed uint64) figures {
	s := newSimulator(seed, j)
	f := figures{byState: map[verdict.State]*tally{}, calls: map[verdict.Call]int{}, missed: map[verdict.Kind]int{}}
	for _, st := range []verdict.State{verdict.Within, verdict.Below, verdict.Above} {
		f.byState[st] = &tally{}
	}
	sc := s.scale(step, 5)
	for n := 0; f.coins < coins; n++ {
		if n%100 == 0 {
			sc = s.scale(step, 5)
		}
		c := s.ordinary()
		q := s.question(c, sc)
		q.Keep = want.Start(s.book, q.Country)
		v, err := verdict.Judge(s.book, q)
		if err != nil {
			continue // a misread date or mark that never was: the person is told
		}
		f.coins++
		f.calls[v.Call]++
		if v.Call == verdict.Keeper {
			f.keepers.see(c.ordinary && strings.HasPrefix(c.family, "silver-"))
		}
		if len(v.Alloys) > 0 {
			right := s.calls(v.Alloys[0].Name, c)
			p := float64(v.Alloys[0].Probability)
			b := min(int(p*10), 9)
			f.bins[b].see(right)
			f.sums[b] += p
			if v.Decisive {
				f.alloys.see(right)
			}
		}
		if st := f.byState[v.Tolerance.State]; st != nil {
			low, high := float64(v.Tolerance.Nominal-v.Tolerance.Limit), float64(v.Tolerance.Nominal+v.Tolerance.Limit)
			switch v.Tolerance.State {
			case verdict.Within:
				st.see(c.mass >= low && c.mass <= high)
			case verdict.Below:
				st.see(c.mass < low)
			case verdict.Above:
				st.see(c.mass > high)
			}
		}
		if v.Call == verdict.Look && c.ordinary {
			f.looks++
			if q.Year != 0 && q.Year != c.year {
				f.misdated++
			}
		}
		if slices.ContainsFunc(v.Explanations, func(e verdict.Explanation) bool { return e.Expert && e.Kind.Rare() }) {
			f.expert++
			if os.Getenv("PANSIDE_SHOW") != "" {
				t.Logf("called rare: %+v %s -> %+v", c, show(q), v.Explanations)
			}
		}
	}
	for n := 0; n < rares; n++ {
		c, ok := s.rare()
		if !ok {
			continue
		}
		f.rare++
		q := s.question(c, sc)
		if !s.separable(c, q) {
			continue
		}
		f.separate++
		v, err := verdict.Judge(s.book, q)
		if err != nil {
			t.Fatalf("%+v: %v", q, err)
		}
		listed := slices.ContainsFunc(v.Explanations, func(e verdict.Explanation) bool {
			return e.Kind == c.kind && math.Abs(float64(e.Expected)/c.expected-1) < 0.02
		})
		if v.Call == verdict.Look && listed {
			f.caught++
			continue
		}
		f.missed[c.kind]++
		if os.Getenv("PANSIDE_SHOW") != "" {
			t.Logf("missed: %+v %s -> %s %q %+v", c, show(q), v.Call, v.Headline, v.Explanations)
		}
	}
	return f
}

// TestCalibrationOfClaims is the calibration proof. By default it runs a
// short version; PANSIDE_LONG=1 simulates 100,000 coins at each resolution.
// PANSIDE_SHOW=1 prints the coins that went wrong.
func TestCalibrationOfClaims(t *testing.T) {
	coins, rares := 4_000, 3_000
	if os.Getenv("PANSIDE_LONG") != "" {
		coins, rares = 100_000, 60_000
	}
	for _, step := range []float64{0.1, 0.01, 0.001} {
		t.Run(fmt.Sprintf("%g g", step), func(t *testing.T) {
			total := figures{byState: map[verdict.State]*tally{}}
			for n, j := range jars {
				f := simulate(t, j, step, coins/len(jars), rares/len(jars), uint64(100*n)+uint64(1/step))
				var missed []string
				for k, m := range f.missed {
					missed = append(missed, fmt.Sprintf("%s %d", k, m))
				}
				slices.Sort(missed)
				t.Logf("%-8s alloy claims %v true, keepers %v; within %v, below %v, above %v; calls %v; looks at ordinary %d (%d misdated), expert %d; rare %d, separable %d, caught %d, missed %s",
					j.name, f.alloys, f.keepers, f.byState[verdict.Within], f.byState[verdict.Below], f.byState[verdict.Above], f.calls,
					f.looks, f.misdated, f.expert, f.rare, f.separate, f.caught, strings.Join(missed, ", "))
				for b, bin := range f.bins {
					if bin.claims >= 30 {
						t.Logf("         claimed %.1f %%, true %v", 100*f.sums[b]/float64(bin.claims), bin)
					}
				}
				total.coins += f.coins
				total.alloys.claims += f.alloys.claims
				total.alloys.good += f.alloys.good
				total.keepers.claims += f.keepers.claims
				total.keepers.good += f.keepers.good
				total.expert += f.expert
				total.separate += f.separate
				total.caught += f.caught
				for st, x := range f.byState {
					if total.byState[st] == nil {
						total.byState[st] = &tally{}
					}
					total.byState[st].claims += x.claims
					total.byState[st].good += x.good
				}
			}
			claims := map[string]tally{"alloy": total.alloys, "keeper": total.keepers}
			for st, x := range total.byState {
				claims[string(st)] = *x
			}
			for name, x := range claims {
				// Few claims make a noisy rate: allow what chance does at 3σ.
				slack := 3 * math.Sqrt(0.05*0.95/math.Max(float64(x.claims), 1))
				if x.claims >= 2000 {
					slack = 0
				}
				if x.claims > 0 && x.rate() < 0.94-slack {
					t.Errorf("claims “%s” at 95 %%: only %v true", name, x)
				}
			}
			if limit := max(1, total.coins/10_000); total.expert > limit {
				t.Errorf("%d of %d ordinary coins would be sent to an expert", total.expert, total.coins)
			}
			if float64(total.caught) < 0.99*float64(total.separate) {
				t.Errorf("caught only %d of %d separable rare coins", total.caught, total.separate)
			}
			if total.separate < 100 {
				t.Errorf("only %d rare coins were separable: the test proves nothing", total.separate)
			}
		})
	}
}
