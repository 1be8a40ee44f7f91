package verdict_test

import (
	"testing"
	"time"

	"panside/internal/book/data"
	"panside/internal/mass"
	"panside/internal/stats"
	"panside/internal/verdict"
)

// BenchmarkEveryDenomination judges weights of every denomination in the book:
// as struck, a tenth lighter, and the mass of another coin's blank, with and
// without a year. It reports the slowest of them, the mean of all, and the
// slowest in units of one evaluation of the mass model's density in the same
// run. Of some repeated timings the quickest counts, so that other programs'
// work isn't measured.
func BenchmarkEveryDenomination(b *testing.B) {
	book := data.Coins()
	var questions []verdict.Question
	for _, c := range book.Countries() {
		for _, d := range book.Denominations(c.ID) {
			seen := map[mass.Grams]bool{}
			for _, i := range book.Issues(c.ID, d.ID) {
				g := mass.Grams(book.Planchet(i.Planchet).Mass.Value)
				for _, q := range []verdict.Question{{Mean: g}, {Mean: 0.9 * g}, {Mean: 2.27}, {Mean: g, Year: i.First()}} {
					if q.Year == 0 && seen[q.Mean] {
						continue
					}
					seen[q.Mean] = true
					q.Country, q.Denomination, q.Resolution = c.ID, d.ID, 0.01
					q.U = mass.UnprovenScale(0.01, q.Mean).U()
					questions = append(questions, q)
				}
			}
		}
	}
	e := stats.EMG{Mu: 3.11, Sigma: 0.045, Tau: -0.03}
	for b.Loop() {
		density := quickest(100, 200, func() { e.PDF(3.05) })
		best := make([]float64, len(questions))
		for round := range 30 { // so that a busy moment meets no question in all of them
			for i, q := range questions {
				t := quickest(1, 3, func() {
					if _, err := verdict.Judge(book, q); err != nil {
						b.Fatalf("%+v: %v", q, err)
					}
				})
				if round == 0 || t < best[i] {
					best[i] = t
				}
			}
		}
		sum, worst, which := 0.0, 0.0, questions[0]
		for i, t := range best {
			sum += t
			if t > worst {
				worst, which = t, questions[i]
			}
		}
		b.Logf("%d questions; slowest: %s %s, year %d, %v g", len(questions), which.Country, which.Denomination, which.Year, which.Mean)
		b.ReportMetric(worst/1000, "worst-µs")
		b.ReportMetric(sum/float64(len(questions))/1000, "mean-µs")
		b.ReportMetric(worst/density, "densities")
	}
}

// quickest is the time of one call in ns, over the quickest of some batches.
func quickest(batches, calls int, act func()) float64 {
	best := time.Hour
	for range batches {
		began := time.Now()
		for range calls {
			act()
		}
		best = min(best, time.Since(began))
	}
	return float64(best) / float64(calls)
}
