package main

import (
	"context"
	"io"
	"log/slog"
	"net"
	"sync"
	"testing"
	"time"

	"panside/internal/device"
	"panside/internal/fault"
	"panside/server/config"
	"panside/server/scale"
	"panside/server/scaleapi"
	"panside/server/scalefeed"
)

// memory is a source whose other end a test writes to, ten lines a second as a
// scale does.
type memory struct {
	mu   sync.Mutex
	line string
	far  net.Conn
}

func (m *memory) Open(ctx context.Context) (io.ReadWriteCloser, scalefeed.Info, error) {
	near, far := net.Pipe()
	m.mu.Lock()
	m.far = far
	m.mu.Unlock()
	go io.Copy(io.Discard, far)
	return near, scalefeed.Info{Name: "memory", Kind: scalefeed.Serial}, nil
}

func (m *memory) show(line string) {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.line = line
}

// pull pulls the cable.
func (m *memory) pull() {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.far.Close()
}

func (m *memory) run(ctx context.Context) {
	tick := time.NewTicker(100 * time.Millisecond)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		}
		m.mu.Lock()
		line, far := m.line, m.far
		m.mu.Unlock()
		if far != nil {
			_, _ = io.WriteString(far, line) // fails while the cable is out
		}
	}
}

// TestFromTheLineToThePhone: bytes at a line become a weight on the phone, a
// pulled cable a sentence without a number, and a new cable a weight again.
func TestFromTheLineToThePhone(t *testing.T) {
	t.Parallel()
	m := &memory{line: "ST,GS,+   0.00  g\r\n"}
	start := func(ctx context.Context) { go m.run(ctx) }
	k := openWith(t, config.Config{}, scale.Flow(m, scalefeed.Options{Log: slog.New(slog.DiscardHandler)}, start))
	conn := k.socket(k.join(device.Phone).Token)

	until(t, conn, "the empty pan", func(m live) bool { return m.Phase == "empty" })
	m.show("ST,GS,+   3.11  g\r\n")
	got := until(t, conn, "the cent at rest", func(m live) bool { return m.Phase == "settled" })
	if got.MeanG == nil || *got.MeanG < 3.10 || *got.MeanG > 3.12 || got.Shown != "3.11" || got.Unit != "g" || got.Status != "stable" ||
		got.Scale.Name != "memory" || got.Scale.Kind != "serial" || got.Scale.Format != "status-comma" {
		t.Errorf("the phone reads %+v", got)
	}
	m.pull()
	got = until(t, conn, "the pulled cable", func(m live) bool { return m.Problem.Code != "" })
	if got.Problem.Code != fault.PortLost || got.MeanG != nil || got.Shown != "" || got.Phase != "none" {
		t.Errorf("without a cable the phone reads %+v", got)
	}
	until(t, conn, "the weight again", func(m live) bool { return m.Phase == "settled" && m.Shown == "3.11" })
}

// TestCoinsOnTheVirtualScale plays with the page's moves on the scale behind
// its pseudo-terminal.
func TestCoinsOnTheVirtualScale(t *testing.T) {
	t.Parallel()
	sc, err := scale.Open(scale.Settings{Port: "virtual"}, scale.Options{Log: slog.New(slog.DiscardHandler)})
	if err != nil {
		t.Fatal(err)
	}
	k := openWith(t, config.Config{}, sc)
	phone := k.join(device.Phone)
	conn := k.socket(phone.Token)
	var tray scaleapi.PracticeTray
	if status := k.ask("GET", "/api/v1/virtual", phone.Token, nil, &tray); status != 200 || len(tray.Tray) == 0 || len(tray.Pan) != 0 {
		t.Fatalf("at first: %d %+v", status, tray)
	}
	until(t, conn, "the empty pan", func(m live) bool { return m.Phase == "empty" })
	if status := k.ask("POST", "/api/v1/virtual", phone.Token, map[string]string{"do": "put", "coin": "zinc-cent"}, &tray); status != 200 || len(tray.Pan) != 1 {
		t.Fatalf("putting a coin: %d %+v", status, tray)
	}
	got := until(t, conn, "the coin at rest", func(m live) bool { return m.Phase == "settled" })
	// 2.500 g: 31 U.S.C. 5112 and the mint's specification.
	if *got.MeanG < 2.4 || *got.MeanG > 2.6 || got.Scale.Kind != "virtual" {
		t.Errorf("the phone reads %+v", got)
	}
	k.ask("POST", "/api/v1/virtual", phone.Token, map[string]string{"do": "unplug"}, &tray)
	got = until(t, conn, "the pulled cable", func(m live) bool { return m.Problem.Code != "" })
	if got.MeanG != nil || tray.PluggedIn {
		t.Errorf("unplugged: %+v, %+v", got, tray)
	}
	k.ask("POST", "/api/v1/virtual", phone.Token, map[string]string{"do": "plug"}, nil)
	until(t, conn, "the coin again", func(m live) bool { return m.Phase == "settled" })
	for _, tc := range []struct {
		do, coin string
		status   int
		want     fault.Code
	}{
		{"throw", "", 400, fault.BadInput},
		{"", "", 400, fault.BadInput},
		{"put", "nothing", 404, fault.NotFound},
	} {
		var e joinedAs
		move := map[string]string{"do": tc.do, "coin": tc.coin}
		if status := k.ask("POST", "/api/v1/virtual", phone.Token, move, &e); status != tc.status || e.Error.Code != tc.want {
			t.Errorf("%v: %d %+v", move, status, e)
		}
	}
}

// TestTheCoreAnswersOverHTTP asks the real core.
func TestTheCoreAnswersOverHTTP(t *testing.T) {
	t.Parallel()
	k := open(t, config.Config{})
	phone := k.join(device.Phone)
	var out struct{ OK map[string]any }
	in := map[string]string{"denomination": "cent", "value": "3.11"}
	if status := k.ask("POST", "/api/v1/core/judge", phone.Token, in, &out); status != 200 || out.OK["alloys"] == nil {
		t.Errorf("judge: %d %+v", status, out)
	}
	var e joinedAs
	if status := k.ask("POST", "/api/v1/core/nothing", phone.Token, in, &e); status != 404 || e.Error.Code != fault.NotFound {
		t.Errorf("unknown method: %d %+v", status, e)
	}
}
