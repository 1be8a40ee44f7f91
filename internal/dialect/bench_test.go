package dialect

import (
	"bytes"
	"testing"
	"time"

	"panside/internal/mass"
)

// BenchmarkDecoder gives the cost of detecting and decoding a status-comma
// stream, and as a ratio to a bare loop over the same bytes that looks for line
// ends only.
func BenchmarkDecoder(b *testing.B) {
	line := statusComma.Format(mass.Quantity{Value: mass.MustDecimal("3.11"), Unit: mass.Gram}, mass.StatusStable)
	wire := bytes.Repeat(line, 1000)

	loops, ends := 200, 0
	began := time.Now()
	for range loops {
		for _, c := range wire {
			if c == '\n' {
				ends++
			}
		}
	}
	bare := float64(time.Since(began)) / float64(loops)

	d := NewDecoder(Options{})
	b.SetBytes(int64(len(wire)))
	for b.Loop() {
		if got := d.Feed(wire, start); len(got) != 1000 {
			b.Fatalf("%d readings", len(got))
		}
	}
	perLoop := float64(b.Elapsed()) / float64(b.N)
	b.ReportMetric(1000/perLoop*float64(time.Second), "readings/s")
	b.ReportMetric(perLoop/bare, "x-bare-loop")
}
