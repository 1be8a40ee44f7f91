package verdict_test

import (
	"testing"
	"time"

	"panside/internal/book/data"
	"panside/internal/coin"
	"panside/internal/mass"
	"panside/internal/stats"
	"panside/internal/verdict"
)

// BenchmarkJudge prints what a verdict costs beside one evaluation of the
// mass model, measured in the same run, so that the figure says the same on
// any machine.
func BenchmarkJudge(b *testing.B) {
	book := data.Coins()
	e := stats.EMG{Mu: 3.11, Sigma: 0.045, Tau: -0.03}
	const rounds = 200_000
	start, sum := time.Now(), 0.0
	for i := range rounds {
		sum += e.PDF(2.9 + float64(i%64)/200)
	}
	one := float64(time.Since(start).Nanoseconds()) / rounds
	if sum <= 0 {
		b.Fatal(sum)
	}
	for _, q := range []struct {
		name string
		verdict.Question
	}{
		{"cent", verdict.Question{Mean: 3.11, Denomination: "cent"}},
		{"cent with date", verdict.Question{Mean: 3.11, Denomination: "cent", Year: 1964, Mint: "D"}},
		{"cent that fits a dime", verdict.Question{Mean: 2.27, Denomination: "cent"}},
		{"quarter", verdict.Question{Mean: 5.67, Denomination: "quarter"}},
		{"quarter without a layer", verdict.Question{Mean: 4.73, Denomination: "quarter", Year: 1970}},
		{"half, either", verdict.Question{Mean: 11.4, Denomination: "half"}},
		{"dollar", verdict.Question{Mean: 26.7, Denomination: "dollar"}},
		{"dollar with evidence", verdict.Question{Mean: 8.1, Denomination: "dollar", Evidence: verdict.Evidence{Colour: coin.Yellow, Diameter: 26.5}}},
	} {
		q.Country, q.Resolution, q.U = "US", 0.01, mass.UnprovenScale(0.01, q.Mean).U()
		b.Run(q.name, func(b *testing.B) {
			b.ReportAllocs()
			for range b.N {
				if _, err := verdict.Judge(book, q.Question); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/one, "densities")
		})
	}
}
