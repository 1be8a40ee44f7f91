package livehub

import (
	"bytes"
	"encoding/json"
	"time"

	"github.com/gorilla/websocket"

	"panside/internal/device"
)

const (
	// awayFor is how long the pan stays with a holder that has no socket: a
	// phone that was locked or out of reach for a moment keeps it. A socket that
	// died without a word is noticed after heardWithin at most.
	awayFor = 15 * time.Second

	// maxAsks bounds what a holder asks of the coin on the pan, as JSON.
	maxAsks = 2048

	// panPause is the least time between two words of one socket about the pan,
	// since each goes to every phone. It holds up nothing but that socket's own.
	panPause = 20 * time.Millisecond
)

// panControl is who holds the pan, and for what that device has the coin on it judged. Only
// the holder's taps count; the other devices follow.
type panControl struct {
	holder *device.Device  // nil if it is free
	asks   json.RawMessage // the holder's question, for the other phones to read; nil if there is none
	awayAt time.Time       // when the holder's last socket closed; zero while it has one
	told   *websocket.PreparedMessage
}

// controlWord is what a phone says about the pan.
type controlWord struct {
	Type   string          `json:"type"`
	Do     string          `json:"do"`      // take, leave, ask
	IfFree bool            `json:"if_free"` // take: not from another
	Asks   json.RawMessage `json:"asks"`    // take, ask
}

// hearControl acts on what a phone says; what isn't understood changes nothing, so
// that a newer page can talk to an older server. It reports whether it was about
// the pan.
func (h *Hub) hearControl(p *phone, data []byte) bool {
	var w controlWord
	if json.Unmarshal(data, &w) != nil || w.Type != "pan" {
		return false
	}
	h.mu.Lock()
	defer h.mu.Unlock()
	select {
	case <-p.ending:
		return true // its device was ended meanwhile
	default:
	}
	mine := h.control.holder != nil && h.control.holder.ID == p.dev.ID
	switch w.Do {
	case "take":
		if h.control.holder != nil && !mine && w.IfFree {
			return true
		}
		h.control.holder, h.control.awayAt = &p.dev, time.Time{}
		h.ask(w.Asks)
	case "ask":
		if !mine {
			return true // a tap on a phone that only watches doesn't count
		}
		h.ask(w.Asks)
	case "leave":
		if !mine {
			return true
		}
		h.control.holder = nil
	default:
		return true
	}
	h.tellControl()
	return true
}

// ask keeps the holder's question if it is a JSON object of a sensible size.
func (h *Hub) ask(asks json.RawMessage) {
	if len(asks) > maxAsks || !bytes.HasPrefix(asks, []byte("{")) {
		return
	}
	h.control.asks = bytes.Clone(asks)
}

// tellControl tells every phone who holds the pan. Of several changes a slow phone
// gets the newest, which says all.
func (h *Hub) tellControl() {
	m, err := websocket.NewPreparedMessage(websocket.TextMessage, encodeControl(h.control.holder, h.control.asks))
	if err != nil {
		panic(err) // as in newFrame
	}
	h.control.told = m
	for p := range h.phones {
		p.control.Store(m)
		p.rouse()
	}
}

// present notes that a socket of a device came or went.
func (h *Hub) present(id string) {
	if h.control.holder == nil || h.control.holder.ID != id {
		return
	}
	for p := range h.phones {
		if p.dev.ID == id {
			h.control.awayAt = time.Time{}
			return
		}
	}
	h.control.awayAt = h.opt.Now()
}

// Renamed tells everybody the new name of the device that holds the pan, and
// takes it for whatever the device does next.
func (h *Hub) Renamed(id, name string) {
	h.mu.Lock()
	defer h.mu.Unlock()
	for p := range h.phones {
		if p.dev.ID == id {
			p.dev.Name = name
		}
	}
	if h.control.holder == nil || h.control.holder.ID != id {
		return
	}
	holder := *h.control.holder // its socket may be gone meanwhile
	holder.Name = name
	h.control.holder = &holder
	h.tellControl()
}

// release frees the pan once its holder has been away for long.
func (h *Hub) release(now time.Time) {
	if h.control.holder == nil || h.control.awayAt.IsZero() || now.Sub(h.control.awayAt) < awayFor {
		return
	}
	h.control.holder = nil
	h.tellControl()
}

// controlNews tells who holds the pan, and what they ask.
type controlNews struct {
	Type   string          `json:"type"`
	V      int             `json:"v"`
	Holder *controlHolder  `json:"holder"` // null: nobody
	Asks   json.RawMessage `json:"asks"`   // null: not known; kept when the pan is free, as the last question
}

type controlHolder struct {
	ID   string      `json:"id"`
	Name string      `json:"name"`
	Role device.Role `json:"role"`
}

func encodeControl(holder *device.Device, asks json.RawMessage) []byte {
	n := controlNews{Type: "pan", V: version, Asks: asks}
	if holder != nil {
		n.Holder = &controlHolder{holder.ID, holder.Name, holder.Role}
	}
	return must(json.Marshal(n))
}
