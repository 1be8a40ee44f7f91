package livehub

import (
	"bufio"
	"context"
	"log/slog"
	"net"
	"net/http"
	"sync"
	"testing"
	"time"

	"github.com/gorilla/websocket"

	"panside/internal/device"
	"panside/internal/fault"
	"panside/internal/mass"
	"panside/internal/say"
	"panside/server/spoken"
)

// The tests run in a bubble of testing/synctest: its clock moves only when
// everybody waits, so that five seconds take no time and are exactly five.
// Sockets are gorilla's over net.Pipe, which has no buffer: a phone that
// doesn't read blocks its writer at once.

// door knows some tokens.
type door struct {
	mu      sync.Mutex
	devices map[string]device.Device
	asked   int
	onAsk   func(n int)
}

func (d *door) auth(_ context.Context, token string) (device.Device, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.asked++
	if d.onAsk != nil {
		d.onAsk(d.asked)
	}
	dev, ok := d.devices[token]
	if !ok {
		return dev, fault.New(fault.NotJoined, say.New("not joined"))
	}
	return dev, nil
}

type bubble struct {
	*Hub
	t    *testing.T
	door *door
}

func newBubble(t *testing.T) *bubble {
	d := &door{devices: map[string]device.Device{
		"token-a": {ID: "a", Role: device.Phone}, "token-b": {ID: "b", Role: device.Phone},
	}}
	b := &bubble{t: t, door: d}
	b.Hub = New(Options{Auth: d.auth, Now: time.Now, Log: slog.New(slog.DiscardHandler)})
	return b
}

// hijacked is what net/http gives an upgrade.
type hijacked struct {
	http.ResponseWriter
	conn net.Conn
	rw   *bufio.ReadWriter
}

func (h hijacked) Hijack() (net.Conn, *bufio.ReadWriter, error) { return h.conn, h.rw, nil }

// dial opens a socket that the hub serves; served is closed when it is done.
func (b *bubble) dial() (conn *websocket.Conn, served chan struct{}) { return b.dialIn("") }

// dialIn does so in a language.
func (b *bubble) dialIn(language string) (conn *websocket.Conn, served chan struct{}) {
	b.t.Helper()
	near, far := net.Pipe()
	served = make(chan struct{})
	go func() {
		defer close(served)
		rw := bufio.NewReadWriter(bufio.NewReader(far), bufio.NewWriter(far))
		r, err := http.ReadRequest(rw.Reader)
		if err != nil {
			b.t.Error(err)
			return
		}
		up := websocket.Upgrader{CheckOrigin: func(*http.Request) bool { return true }}
		server, err := up.Upgrade(hijacked{conn: far, rw: rw}, r, nil)
		if err != nil {
			b.t.Error(err)
			return
		}
		b.Serve(server, spoken.Accepted(r.URL.Query().Get("language")))
	}()
	dialer := websocket.Dialer{NetDial: func(string, string) (net.Conn, error) { return near, nil }}
	conn, _, err := dialer.Dial("ws://pan.local/?language="+language, nil)
	if err != nil {
		b.t.Fatal(err)
	}
	b.t.Cleanup(func() { conn.Close() })
	return conn, served
}

func (b *bubble) join(token string) (conn *websocket.Conn, served chan struct{}) {
	b.t.Helper()
	conn, served = b.dial()
	if err := conn.WriteJSON(map[string]string{"type": "hello", "token": token}); err != nil {
		b.t.Fatal(err)
	}
	return conn, served
}

// message is either of the two.
type message struct {
	Type    string
	Seq     uint64
	Phase   mass.Phase
	MeanG   *float64 `json:"mean_g"`
	AgeMS   int64    `json:"age_ms"`
	Code    fault.Code
	Problem *problem
}

func (b *bubble) next(conn *websocket.Conn) message {
	b.t.Helper()
	var m message
	if err := conn.ReadJSON(&m); err != nil {
		b.t.Fatal(err)
	}
	return m
}

// wantBye reads up to the goodbye and the close frame behind it. A socket that
// lives on instead would never end the reading.
func (b *bubble) wantBye(conn *websocket.Conn, code fault.Code, status int) {
	b.t.Helper()
	if err := conn.SetReadDeadline(time.Now().Add(time.Minute)); err != nil { // of the bubble
		b.t.Fatal(err)
	}
	for {
		m := b.next(conn)
		if m.Type == "weight" {
			continue
		}
		if m.Type != "bye" || m.Code != code {
			b.t.Errorf("got %+v, want a goodbye for %s", m, code)
		}
		break
	}
	if _, _, err := conn.ReadMessage(); !websocket.IsCloseError(err, status) {
		b.t.Errorf("closed by %v, want status %d", err, status)
	}
}

func load(g mass.Grams) State {
	return State{Estimate: mass.Estimate{Phase: mass.PhaseSettled, Mean: g, U: 0.01}, At: time.Now()}
}
