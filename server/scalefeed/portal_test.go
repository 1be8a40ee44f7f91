package scalefeed_test

import (
	"context"
	"io"
	"testing"
	"time"

	"panside/internal/dialect"
	"panside/internal/mass"
	"panside/server/pseudoport"
	"panside/server/scalefeed"
	"panside/server/serialport"
)

func quantity(value string) mass.Quantity {
	return mass.Quantity{Value: mass.MustDecimal(value), Unit: mass.Gram}
}

// portAt is a real port as a candidate.
func portAt(name string) scalefeed.Candidate {
	return scalefeed.Candidate{
		Info: scalefeed.Info{Name: name, Kind: scalefeed.Serial},
		Open: func(ctx context.Context, s dialect.Settings) (io.ReadWriteCloser, error) {
			p, err := serialport.Open(ctx, name, s)
			if err != nil {
				return nil, err
			}
			return p, nil
		},
	}
}

func runInBackground(t *testing.T, f *scalefeed.Feed) {
	ctx, cancel := context.WithCancel(t.Context())
	done := make(chan struct{})
	go func() { f.Run(ctx); close(done) }()
	t.Cleanup(func() {
		cancel()
		<-done
	})
}

// TestSlowLinesThroughAPseudoTerminal: plain lines and bare numbers, one a
// second, over a real port in real time.
func TestSlowLinesThroughAPseudoTerminal(t *testing.T) {
	t.Parallel()
	for line, ok := range map[string]func(scalefeed.Snapshot) bool{
		"3.11 g\r\n": func(s scalefeed.Snapshot) bool { return s.Reading.Quantity.String() == "3.11 g" },
		"3.11\r\n":   func(s scalefeed.Snapshot) bool { return s.Ask != nil && s.Ask.Digits == "3.11" && !s.Reading.HasValue },
	} {
		t.Run(line[:len(line)-2], func(t *testing.T) {
			t.Parallel()
			far, err := pseudoport.Open()
			if err != nil {
				t.Skip(err)
			}
			defer far.Close()
			go func() {
				tick := time.NewTicker(time.Second)
				defer tick.Stop()
				for {
					select {
					case <-t.Context().Done():
						return
					case <-tick.C:
						_, _ = io.WriteString(far, line)
					}
				}
			}()
			wantFound(t, far.Name(), ok)
		})
	}
}
