package main

import (
	"context"
	"fmt"
	"io"
	"math"
	"net"
	"testing"
	"testing/synctest"
	"time"

	"panside/internal/mass"
	"panside/internal/simscale"
	"panside/server/scalefeed"
	"panside/server/virtualscale"
)

// cable joins a virtual scale and a feed in fake time.
type cable struct{ near, far net.Conn }

func (c cable) Open(context.Context) (io.ReadWriteCloser, scalefeed.Info, error) {
	return c.near, scalefeed.Info{Name: "cable", Kind: scalefeed.Virtual}, nil
}
func (c cable) Name() string                { return "cable" }
func (c cable) Read(b []byte) (int, error)  { return c.far.Read(b) }
func (c cable) Write(b []byte) (int, error) { return c.far.Write(b) }
func (c cable) Close() error                { return c.far.Close() }

// TestZeroAfterThePowerOff: the empty pan has drifted to 0.02 g when the scale
// switches itself off, and it sets itself to zero as it wakes for the next
// coin. From then on that zero counts, not the one before, however short the
// scale was off and however quick the coins come (simulated).
func TestZeroAfterThePowerOff(t *testing.T) {
	for _, off := range []time.Duration{300 * time.Millisecond, time.Second, 2 * time.Second, 5 * time.Second, 2 * time.Minute} {
		for _, empty := range []time.Duration{700 * time.Millisecond, time.Second, 2 * time.Second} {
			for _, how := range []simscale.How{simscale.Gentle, simscale.Dropped} {
				t.Run(fmt.Sprintf("off for %v, empty for %v, %s", off, empty, how), func(t *testing.T) {
					synctest.Test(t, func(t *testing.T) { wake(t, off, empty, how) })
				})
			}
		}
	}
}

func wake(t *testing.T, off, empty time.Duration, how simscale.How) {
	cfg := simscale.DefaultConfig()
	cfg.NoTracking, cfg.WarmUp, cfg.Drift, cfg.Placement, cfg.Noise = true, 0, 0.6, 0, 0.002
	var line cable
	line.near, line.far = net.Pipe()
	v, err := virtualscale.New(virtualscale.Options{
		Config: cfg, Tray: []virtualscale.Coin{{ID: "cent", Grams: 3.1}},
		NewLine: func() (virtualscale.Line, error) { return line, nil },
	})
	if err != nil {
		t.Fatal(err)
	}
	feed := scalefeed.New(line, scalefeed.Options{})
	ctx, end := context.WithCancel(t.Context())
	defer synctest.Wait()
	defer end()
	go v.Run(ctx)
	go feed.Run(ctx)
	newest := func() scalefeed.Snapshot {
		synctest.Wait()
		return feed.Latest()
	}

	for !v.State().Shows.Off {
		time.Sleep(10 * time.Millisecond)
	}
	if shows := newest().Reading.Quantity.Value.String(); shows != "0.02" {
		t.Fatalf("the empty pan shows %s as the scale goes off", shows)
	}
	time.Sleep(off)
	for range 5 {
		if err := v.Put("cent", how); err != nil {
			t.Fatal(err)
		}
		time.Sleep(4 * time.Second)
		// What the live stream sends as mean_g and shown, and a find keeps.
		e, shows := newest().Estimate, feed.Latest().Reading.Quantity.Value
		if e.Phase != mass.PhaseSettled || math.Abs(float64(e.Mean)-shows.Float64()) > 0.011 || math.Abs(float64(e.Mean)-3.1) > 0.011 {
			t.Errorf("the scale shows %v, and the coin is %s at %.4f ± %.4f", shows, e.Phase, e.Mean, e.U)
		}
		v.Clear()
		time.Sleep(empty)
	}
}
