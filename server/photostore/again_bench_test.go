package photostore

import (
	"io"
	"os"
	"testing"
	"time"

	"panside/server/testjpeg"
)

// BenchmarkReadAgain reads photos back from the disk and compares that with a
// bare reading of the same files past the cache: "of-bare". "disk-share" is the
// part of the time that the disk is read in the weekly round, to be at most
// 0.05; "MB/s" tells how quick this disk is.
func BenchmarkReadAgain(b *testing.B) {
	s := open(b, b.TempDir())
	now := time.Unix(1_700_000_000, 0)
	s.Now = func() time.Time { return now }
	bytes := 0
	for i := range 30 {
		p := testjpeg.Noise(uint64(i), 1600) // some 2 MB
		put(b, s, p, 1<<20)
		bytes += len(p)
	}
	bare := func() {
		err := s.Each(func(p Photo) error {
			f, err := os.Open(p.Path)
			if err != nil {
				return err
			}
			defer f.Close()
			passCache(f)
			_, err = io.Copy(io.Discard, struct{ io.Reader }{f})
			return err
		})
		if err != nil {
			b.Fatal(err)
		}
	}
	round := func() (read, rest time.Duration) {
		for {
			began := time.Now()
			step, err := s.ReadNext(Calm)
			if err != nil {
				b.Fatal(err)
			}
			if step.Found == Nothing {
				return read, rest
			}
			read += time.Since(began)
			rest += step.Wait
		}
	}
	now = now.Add(Calm.Quiet)
	round() // for the first time
	var bareTook, took, rested time.Duration
	for b.Loop() {
		began := time.Now()
		bare()
		bareTook += time.Since(began)
		now = now.Add(7 * 24 * time.Hour)
		read, rest := round()
		took += read
		rested += rest
	}
	b.ReportMetric(float64(took)/float64(bareTook), "of-bare")
	b.ReportMetric(float64(took)/float64(took+rested), "disk-share")
	b.ReportMetric(float64(bytes)*float64(b.N)/1e6/bareTook.Seconds(), "MB/s")
}
