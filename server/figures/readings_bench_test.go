package figures

import (
	"bytes"
	"context"
	"log/slog"
	"testing"
	"time"

	"panside/internal/device"
	"panside/internal/dialect"
	"panside/internal/settle"
	"panside/internal/simscale"
	"panside/server/livehub"
)

// BenchmarkReadings sends an evening's bytes of a scale through decoder,
// tracker and hub, and compares that with a bare loop over the same bytes that
// finds the line ends. Of some runs, the two by turns, the quickest count.
func BenchmarkReadings(b *testing.B) {
	var wire []byte
	cfg := simscale.DefaultConfig()
	cfg.Seed, cfg.AutoOff = 1, 0
	scale := simscale.New(cfg)
	for lines := 0; lines < 6000; {
		if lines%120 == 20 {
			scale.Put(bronzeGrams, simscale.Gentle)
		}
		if lines%120 == 100 {
			scale.Clear()
		}
		for scale.Step(5*time.Millisecond) == 0 {
		}
		wire = append(wire, scale.Line("status-comma")...)
		lines++
	}
	hub := livehub.New(livehub.Options{
		Auth: func(context.Context, string) (device.Device, error) { return device.Device{}, nil },
		Now:  time.Now, Log: slog.New(slog.DiscardHandler),
	})
	for b.Loop() {
		bare, whole, readings := time.Hour, time.Hour, 0
		for range 7 {
			began, ends := time.Now(), 0
			for _, c := range wire {
				if c == '\n' {
					ends++
				}
			}
			bare = min(bare, time.Since(began))

			began, readings = time.Now(), 0
			decoder, tracker := dialect.NewDecoder(dialect.Options{}), settle.New(settle.Properties{})
			at := time.Unix(1_700_000_000, 0)
			for line := range bytes.Lines(wire) {
				at = at.Add(100 * time.Millisecond)
				for _, r := range decoder.Feed(line, at) {
					readings++
					hub.Publish(livehub.State{Estimate: tracker.Feed(r), Reading: r, At: at})
				}
			}
			whole = min(whole, time.Since(began))
			if readings < ends*9/10 {
				b.Fatalf("%d readings of %d lines", readings, ends)
			}
		}
		b.ReportMetric(float64(readings)/whole.Seconds(), "readings/s")
		b.ReportMetric(float64(whole)/float64(bare), "x-bare-loop")
	}
}
