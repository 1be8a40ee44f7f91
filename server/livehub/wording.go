package livehub

import (
	"sync"

	"github.com/gorilla/websocket"

	"panside/internal/say"
)

// wording is a message that is written once a tongue, when the first phone takes it so.
type wording struct {
	in    func(t *say.Tongue) []byte
	plain bool // it says nothing to a person, so one is for all

	mu    sync.Mutex
	ready map[*say.Tongue]*websocket.PreparedMessage
}

// to is the message in a tongue.
func (w *wording) to(t *say.Tongue) *websocket.PreparedMessage {
	if w.plain {
		t = nil
	}
	w.mu.Lock()
	defer w.mu.Unlock()
	if m := w.ready[t]; m != nil {
		return m
	}
	// Fails only for a message type that isn't one.
	m, err := websocket.NewPreparedMessage(websocket.TextMessage, w.in(t))
	if err != nil {
		panic(err)
	}
	if w.ready == nil {
		w.ready = map[*say.Tongue]*websocket.PreparedMessage{}
	}
	w.ready[t] = m
	return m
}
