package main

import (
	"testing"
	"time"

	"github.com/gorilla/websocket"

	"panside/internal/device"
	"panside/internal/fault"
	"panside/server/scaleapi"
)

// atDisplay stands for a phone whose camera reads a display: until it is stopped it says, ten times
// a second, what it was told that it reads.
func atDisplay(t *testing.T, conn *websocket.Conn) (reads func(word map[string]string), stop func()) {
	t.Helper()
	words, stopped, done := make(chan map[string]string), make(chan struct{}), make(chan struct{})
	go func() {
		defer close(done)
		tick := time.NewTicker(100 * time.Millisecond)
		defer tick.Stop()
		var now map[string]string
		for {
			select {
			case <-stopped:
				return
			case now = <-words:
			case <-tick.C:
			}
			if now != nil && conn.WriteJSON(now) != nil {
				return
			}
		}
	}()
	stop = func() { close(stopped); <-done }
	return func(w map[string]string) { w["type"] = "display"; words <- w }, stop
}

// TestADisplayReadByPhone: what a phone's camera reads goes through the tracker to everybody at
// the table, is marked, and is no weight until somebody has confirmed it.
func TestADisplayReadByPhone(t *testing.T) {
	t.Parallel()
	k := openFixable(t, t.TempDir())
	one, other := k.join(device.Phone).Token, k.join(device.Phone).Token
	camera, table := k.socket(one), k.socket(other)
	var v scaleapi.View
	if status := k.ask("PUT", "/api/v1/scale", one, scaleapi.Settings{Port: scaleapi.Camera}, &v); status != 200 || v.Settings.Port != scaleapi.Camera {
		t.Fatalf("%d %+v", status, v)
	}
	until(t, table, "that a phone is waited for", func(m live) bool { return m.Problem.Code == fault.NoScale && m.Scale.Kind == "camera" })
	reads, stop := atDisplay(t, camera)
	reads(map[string]string{"shown": "0.00"})
	until(t, table, "the empty pan", func(m live) bool { return m.Phase == "empty" && m.Shown == "0.00" && m.Scale.Format == "camera" })
	reads(map[string]string{"why": "moving"})
	reads(map[string]string{"shown": "11.50"})
	m := until(t, table, "the coin", func(m live) bool { return m.Phase == "settled" && m.Shown == "11.50" })
	if !m.Unconfirmed || m.MeanG != nil || m.UG != nil {
		t.Errorf("unconfirmed it is a weight: %+v", m)
	}
	confirm := func(placement uint64, shown string) {
		t.Helper()
		if err := table.WriteJSON(map[string]any{"type": "confirm", "placement": placement, "shown": shown}); err != nil {
			t.Fatal(err)
		}
	}
	confirm(m.Placement, "11.56") // not what stands there
	confirm(m.Placement+1, "11.50")
	confirm(m.Placement, "11.50")
	m = until(t, table, "the confirmed weight", func(m live) bool { return m.MeanG != nil })
	if m.Unconfirmed || *m.MeanG < 11.49 || *m.MeanG > 11.51 || *m.UG <= 0 || m.Shown != "11.50" {
		t.Errorf("confirmed: %+v", m)
	}
	reads(map[string]string{"shown": "0.00"})
	until(t, table, "the pan empty again", func(m live) bool { return m.Phase == "empty" })
	reads(map[string]string{"shown": "3.11"})
	if m = until(t, table, "the next coin", func(m live) bool { return m.Phase == "settled" && m.Shown == "3.11" }); m.MeanG != nil {
		t.Errorf("the next coin counts unasked: %+v", m)
	}
	reads(map[string]string{"why": "moved"})
	until(t, table, "that the phone was moved", func(m live) bool { return m.Problem.Code == fault.ScaleFault && m.MeanG == nil })
	reads(map[string]string{"shown": "3.11"})
	until(t, table, "the coin again", func(m live) bool { return m.Shown == "3.11" })
	stop()
	until(t, table, "that the phone is silent", func(m live) bool { return m.Problem.Code == fault.PortLost })
}

// TestWhoWatchesDoesNotConfirm: while another device holds the pan, a tap doesn't count.
func TestWhoWatchesDoesNotConfirm(t *testing.T) {
	t.Parallel()
	k := openFixable(t, t.TempDir())
	one, other := k.join(device.Phone).Token, k.join(device.Phone).Token
	camera, watcher := k.socket(one), k.socket(other)
	k.ask("PUT", "/api/v1/scale", one, scaleapi.Settings{Port: scaleapi.Camera}, nil)
	if err := camera.WriteJSON(map[string]any{"type": "pan", "do": "take", "asks": map[string]any{}}); err != nil {
		t.Fatal(err)
	}
	until(t, watcher, "who holds the pan", func(m live) bool { return m.Type == "pan" })
	reads, stop := atDisplay(t, camera)
	defer stop()
	reads(map[string]string{"shown": "0.00"})
	until(t, watcher, "the empty pan", func(m live) bool { return m.Phase == "empty" })
	reads(map[string]string{"shown": "5.00"})
	m := until(t, watcher, "the coin", func(m live) bool { return m.Phase == "settled" && m.Shown == "5.00" })
	for range 3 {
		if err := watcher.WriteJSON(map[string]any{"type": "confirm", "placement": m.Placement, "shown": "5.00"}); err != nil {
			t.Fatal(err)
		}
		if m = until(t, watcher, "the next message", func(m live) bool { return m.Type == "weight" }); m.MeanG != nil {
			t.Fatalf("a watcher's tap counts: %+v", m)
		}
	}
}
