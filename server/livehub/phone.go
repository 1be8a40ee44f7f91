package livehub

import (
	"context"
	"encoding/json"
	"sync"
	"sync/atomic"
	"time"

	"github.com/gorilla/websocket"

	"panside/internal/device"
	"panside/internal/fault"
	"panside/internal/say"
)

const (
	helloWithin = 5 * time.Second
	writeWithin = 10 * time.Second // a phone that takes nothing for so long is gone
	pingEvery   = 10 * time.Second
	heardWithin = 25 * time.Second // two pings unanswered
	byeWithin   = 1 * time.Second

	// maxFrame is far more than a hello needs. A phone that sends more breaks
	// the contract and is cut off with status 1009.
	maxFrame = 4096

	// A message that waited longer in its slot is written anew, so that its
	// age is true.
	freshFor = 50 * time.Millisecond
)

// phone is one socket of a joined device.
type phone struct {
	dev     device.Device
	conn    *websocket.Conn
	tongue  *say.Tongue
	slot    atomic.Pointer[frame]
	notice  atomic.Pointer[websocket.PreparedMessage]
	control atomic.Pointer[websocket.PreparedMessage]
	records atomic.Pointer[wording]
	wake    chan struct{} // holds one: something of the above was filled

	endOnce sync.Once
	why     *fault.Error
	ending  chan struct{}
}

// end lets the writer say goodbye and makes sure that the socket closes even
// if the phone takes nothing.
func (p *phone) end(why *fault.Error) {
	p.endOnce.Do(func() {
		p.why = why
		close(p.ending)
		time.AfterFunc(byeWithin, func() { p.conn.Close() })
	})
}

// Serve speaks with one socket until either side ends it, and always closes
// it. The phone's first message must be its hello with a token. It returns why
// it refused the token, nil if it didn't or there was none. What is said is written in t.
func (h *Hub) Serve(conn *websocket.Conn, t *say.Tongue) *fault.Error {
	defer conn.Close()
	if refusal := h.enter(conn); refusal != nil {
		goodbye(conn, t, refusal)
		return nil
	}
	defer h.leave(conn)
	conn.SetReadLimit(maxFrame)

	token, refusal := hello(conn)
	if refusal != nil {
		goodbye(conn, t, refusal)
		return nil
	}
	ctx := context.Background() // a look into the database; not worth cancelling
	dev, err := h.opt.Auth(ctx, token)
	if err != nil {
		refusal = h.told(err)
		goodbye(conn, t, refusal)
		return refusal
	}
	p := &phone{dev: dev, conn: conn, tongue: t, wake: make(chan struct{}, 1), ending: make(chan struct{})}
	h.list(p)
	defer h.unlist(p)
	if _, err := h.opt.Auth(ctx, token); err != nil {
		p.end(h.told(err))
	}

	gone := make(chan struct{})
	var writer sync.WaitGroup
	writer.Go(func() { h.write(p, gone) })
	h.read(p)
	close(gone)
	conn.Close() // a write that hangs ends now
	writer.Wait()
	return nil
}

// told logs what a person doesn't need to read.
func (h *Hub) told(err error) *fault.Error {
	f := fault.Of(err)
	if f.Cause != nil {
		h.opt.Log.Error("can’t check a token", "cause", err)
	}
	return f
}

// hello reads the first message.
func hello(conn *websocket.Conn) (token string, refusal *fault.Error) {
	refusal = fault.New(fault.NotJoined, say.New("live-no-hello"))
	if conn.SetReadDeadline(time.Now().Add(helloWithin)) != nil {
		return "", refusal
	}
	kind, data, err := conn.ReadMessage()
	if err != nil || kind != websocket.TextMessage {
		return "", refusal
	}
	var m struct{ Type, Token string }
	if json.Unmarshal(data, &m) != nil || m.Type != "hello" {
		return "", refusal
	}
	return m.Token, nil
}

// read takes what the phone sends until the socket ends. After the hello there
// are only the pan and a display that it reads to speak about; what else comes is ignored, so that a newer
// page can talk to an older server.
func (h *Hub) read(p *phone) {
	heard := func() error { return p.conn.SetReadDeadline(time.Now().Add(heardWithin)) }
	p.conn.SetPongHandler(func(string) error { return heard() })
	for heard() == nil {
		kind, data, err := p.conn.ReadMessage()
		if err != nil {
			return
		}
		if kind == websocket.TextMessage && (h.hearControl(p, data) || h.hearCamera(p, data)) {
			select {
			case <-time.After(panPause):
			case <-p.ending:
			}
		}
	}
}

// write sends what the slot holds until the phone is gone or ended. It leaves
// closing to Serve: closing at once would tear away the goodbye.
func (h *Hub) write(p *phone, gone <-chan struct{}) {
	ping := time.NewTicker(pingEvery)
	defer ping.Stop()
	for {
		// Ending comes before anything else that may be due at the same time.
		select {
		case <-p.ending:
			sayGoodbye(p.conn, p.tongue, p.why)
			return
		default:
		}
		var err error
		select {
		case <-gone:
			return
		case <-p.ending:
			continue
		case <-ping.C:
			err = p.conn.WriteControl(websocket.PingMessage, nil, time.Now().Add(writeWithin))
		case <-p.wake:
			if f := p.slot.Swap(nil); f != nil {
				if now := h.opt.Now(); now.Sub(f.at) > freshFor {
					f = newFrame(f.state, f.seq, now)
				}
				err = p.send(f.message.to(p.tongue))
			}
			for _, last := range []*atomic.Pointer[websocket.PreparedMessage]{&p.control, &p.notice} {
				if m := last.Swap(nil); m != nil && err == nil {
					err = p.send(m)
				}
			}
			if m := p.records.Swap(nil); m != nil && err == nil {
				err = p.send(m.to(p.tongue))
			}
		}
		if err != nil {
			p.conn.Close()
			return
		}
	}
}

func (p *phone) send(m *websocket.PreparedMessage) error {
	if err := p.conn.SetWriteDeadline(time.Now().Add(writeWithin)); err != nil {
		return err
	}
	return p.conn.WritePreparedMessage(m)
}

// sayGoodbye sends the last message and the close frame.
func sayGoodbye(conn *websocket.Conn, t *say.Tongue, why *fault.Error) {
	status := websocket.CloseInternalServerErr
	switch why.Code {
	case fault.NotJoined:
		status = websocket.ClosePolicyViolation
	case fault.Stopping:
		status = websocket.CloseGoingAway
	case fault.TooManyTries:
		status = websocket.CloseTryAgainLater
	}
	deadline := time.Now().Add(byeWithin)
	// Errors mean that the other side is gone, which is what is wanted.
	if conn.SetWriteDeadline(deadline) == nil && conn.WriteMessage(websocket.TextMessage, encodeBye(t, why)) == nil {
		_ = conn.WriteControl(websocket.CloseMessage, websocket.FormatCloseMessage(status, string(why.Code)), deadline)
	}
}

// goodbye is for a socket that isn't listed: it waits for the other side's
// close frame, because closing with bytes unread would reset the connection
// before the goodbye is read.
func goodbye(conn *websocket.Conn, t *say.Tongue, why *fault.Error) {
	sayGoodbye(conn, t, why)
	if conn.SetReadDeadline(time.Now().Add(byeWithin)) != nil {
		return
	}
	for {
		if _, _, err := conn.ReadMessage(); err != nil {
			return
		}
	}
}
