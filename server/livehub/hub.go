// Package livehub sends the scale's weights to every joined phone.
//
// Only the newest weight counts. Each phone has one slot: a new weight replaces
// one the phone was too slow to take, and the replaced one is counted as
// dropped. So a slow phone never delays the others and never shows an old
// weight after a newer one; the gap in the sequence numbers tells it. When
// nothing new comes, the last message is sent again twice a second with its
// age, so that a phone knows how old it is. The age is that of the moment of
// sending, not of publishing.
package livehub

import (
	"context"
	"log/slog"
	"sync"
	"sync/atomic"
	"time"

	"github.com/gorilla/websocket"

	"panside/internal/device"
	"panside/internal/fault"
	"panside/internal/say"
)

const (
	heartbeat  = 500 * time.Millisecond
	maxSockets = 1024
	maxADevice = 16 // sockets; more than anybody has pages open
)

// Options are the Hub's surroundings; all but Camera are required.
type Options struct {
	// Auth tells whose token it is. It is asked again when the socket is
	// listed, so that a device ended in between doesn't slip through.
	Auth func(ctx context.Context, token string) (device.Device, error)
	Now  func() time.Time
	Log  *slog.Logger
	// Camera, if set, hears what phones read off a display, and what a person confirms of it.
	Camera Camera
}

// Camera is a scale whose display a phone reads.
type Camera interface {
	// Shows takes the number that the phone of that id and name reads, or why it reads none. It
	// returns at once.
	Shows(id, name, shown, why string)
	// Confirm takes a person's word that the display shows a number for the load of that
	// placement. It may publish a new state.
	Confirm(placement uint64, shown string)
}

// Hub has the newest state and the phones that want it. Its methods are safe
// for concurrent use.
type Hub struct {
	opt     Options
	dropped atomic.Uint64

	mu       sync.Mutex
	closed   bool
	idle     chan struct{}                // closed once closed and without sockets
	sockets  map[*websocket.Conn]struct{} // all, also those that haven't said hello yet
	phones   map[*phone]struct{}
	newest   *frame
	sentLast time.Time
	notice   *websocket.PreparedMessage // what there is to be fetched, nil if there was nothing yet
	cursor   string                     // of the journal's newest entry
	photos   uint64                     // rises whenever phones are to ask about photos
	records  *wording                   // nil if there was never anything to say
	control  panControl
}

// frame is one message to all phones.
type frame struct {
	state   State
	seq     uint64
	at      time.Time // when it was encoded
	message *wording
}

// New returns a Hub that knows of no weight yet.
func New(opt Options) *Hub {
	h := &Hub{opt: opt, idle: make(chan struct{}), sockets: map[*websocket.Conn]struct{}{}, phones: map[*phone]struct{}{}}
	now := opt.Now()
	h.newest = newFrame(State{At: now}, 1, now)
	h.sentLast = now
	return h
}

func newFrame(s State, seq uint64, now time.Time) *frame {
	m := &wording{in: func(t *say.Tongue) []byte { return encode(t, s, seq, now) }, plain: s.Problem == nil}
	return &frame{s, seq, now, m}
}

// Publish makes s the newest state. It never waits for a phone.
func (h *Hub) Publish(s State) {
	h.mu.Lock()
	defer h.mu.Unlock()
	now := h.opt.Now()
	if s.At.IsZero() {
		s.At = now
	}
	h.publish(s, now)
}

func (h *Hub) publish(s State, now time.Time) {
	h.newest = newFrame(s, h.newest.seq+1, now)
	h.sentLast = now
	for p := range h.phones {
		h.put(p, h.newest)
	}
}

// Notify tells every phone, and those that join later, that the journal has
// grown to a cursor. Of several notices a slow phone gets the newest, which says
// all.
func (h *Hub) Notify(cursor string) {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.cursor = cursor
	h.tellNotice()
}

// NotifyPhotos tells every phone likewise that there is news of photos: one was
// read back, is asked for, or isn't any more.
func (h *Hub) NotifyPhotos() {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.photos++
	h.tellNotice()
}

func (h *Hub) tellNotice() {
	m, err := websocket.NewPreparedMessage(websocket.TextMessage, encodeNotice(h.cursor, h.photos))
	if err != nil {
		panic(err) // only for a message type that isn't one
	}
	h.notice = m
	for p := range h.phones {
		p.tell(m)
	}
}

// Records tells every phone and desk, and those that join later, what the laptop's
// records lack and what is wrong with their copies; what says nothing ends what was said.
func (h *Hub) Records(lacking, copies say.Line) {
	m := &wording{in: func(t *say.Tongue) []byte { return encodeRecords(t, lacking, copies) }}
	h.mu.Lock()
	defer h.mu.Unlock()
	h.records = m
	for p := range h.phones {
		p.records.Store(m)
		p.rouse()
	}
}

func (h *Hub) put(p *phone, f *frame) {
	if p.slot.Swap(f) != nil {
		h.dropped.Add(1)
	}
	p.rouse()
}

// tell puts a notice before a phone.
func (p *phone) tell(m *websocket.PreparedMessage) {
	p.notice.Store(m)
	p.rouse()
}

func (p *phone) rouse() {
	select {
	case p.wake <- struct{}{}:
	default: // it is awake, or will find the slot filled
	}
}

// Run repeats the newest state while nothing new comes, until ctx ends.
func (h *Hub) Run(ctx context.Context) {
	tick := time.NewTicker(heartbeat)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		}
		h.mu.Lock()
		// A tick may come a moment early; half a beat of leeway keeps the rhythm.
		if now := h.opt.Now(); now.Sub(h.sentLast) >= heartbeat/2 {
			h.publish(h.newest.state, now)
		}
		h.release(h.opt.Now())
		h.mu.Unlock()
	}
}

// Stats count what happened since the start.
type Stats struct {
	Phones  int    // joined now
	Dropped uint64 // weights replaced before a slow phone took them
}

// Stats gives the present counts.
func (h *Hub) Stats() Stats {
	h.mu.Lock()
	defer h.mu.Unlock()
	return Stats{len(h.phones), h.dropped.Load()}
}

// End closes every socket of a device at once, with a word of goodbye. If it
// holds the pan, the pan is free.
func (h *Hub) End(deviceID string) {
	h.mu.Lock()
	defer h.mu.Unlock()
	for p := range h.phones {
		if p.dev.ID == deviceID {
			p.end(ended)
		}
	}
	if h.control.holder != nil && h.control.holder.ID == deviceID {
		h.control.holder = nil
		h.tellControl()
	}
}

var (
	ended    = fault.New(fault.NotJoined, say.New("live-ended"))
	stopping = fault.New(fault.Stopping, say.New("live-stopping"))
	crowded  = fault.New(fault.TooManyTries, say.New("live-too-many"))
)

// Close says goodbye to every phone and waits until all sockets are closed or
// ctx ends. Nothing is served afterwards.
func (h *Hub) Close(ctx context.Context) error {
	h.mu.Lock()
	if !h.closed {
		h.closed = true
		if len(h.sockets) == 0 {
			close(h.idle)
		}
	}
	listed := map[*websocket.Conn]bool{}
	for p := range h.phones {
		listed[p.conn] = true
		p.end(stopping)
	}
	for conn := range h.sockets {
		if !listed[conn] {
			conn.Close()
		}
	}
	h.mu.Unlock()
	select {
	case <-h.idle:
		return nil
	case <-ctx.Done():
		return ctx.Err()
	}
}

// enter takes a socket in; a refusal is what to tell it.
func (h *Hub) enter(conn *websocket.Conn) (refusal *fault.Error) {
	h.mu.Lock()
	defer h.mu.Unlock()
	switch {
	case h.closed:
		return stopping
	case len(h.sockets) >= maxSockets:
		return crowded
	}
	h.sockets[conn] = struct{}{}
	return nil
}

func (h *Hub) leave(conn *websocket.Conn) {
	h.mu.Lock()
	defer h.mu.Unlock()
	delete(h.sockets, conn)
	if h.closed && len(h.sockets) == 0 {
		close(h.idle)
	}
}

// list makes a phone hear what is published, beginning with the newest state.
func (h *Hub) list(p *phone) {
	h.mu.Lock()
	defer h.mu.Unlock()
	same := 0
	for other := range h.phones {
		if other.dev.ID == p.dev.ID {
			same++
		}
	}
	if same >= maxADevice {
		p.end(crowded)
	}
	h.phones[p] = struct{}{}
	h.present(p.dev.ID)
	h.put(p, h.newest)
	if h.records != nil {
		p.records.Store(h.records)
		p.rouse()
	}
	if h.notice != nil {
		p.tell(h.notice)
	}
	if h.control.told != nil {
		p.control.Store(h.control.told) // the weight has roused it
	}
	if h.closed {
		p.end(stopping)
	}
}

func (h *Hub) unlist(p *phone) {
	h.mu.Lock()
	defer h.mu.Unlock()
	delete(h.phones, p)
	h.present(p.dev.ID)
}
