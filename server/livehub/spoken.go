package livehub

import (
	"sync"

	"github.com/gorilla/websocket"

	"panside/internal/say"
)

// spoken is a message that is written once a tongue, when the first phone takes it so.
type spoken struct {
	in    func(t *say.Tongue) []byte
	plain bool // it says nothing to a person, so one is for all

	mu    sync.Mutex
	ready map[*say.Tongue]*websocket.PreparedMessage
}

// to is the message in a tongue.
func (s *spoken) to(t *say.Tongue) *websocket.PreparedMessage {
	if s.plain {
		t = nil
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if m := s.ready[t]; m != nil {
		return m
	}
	// Fails only for a message type that isn't one.
	m, err := websocket.NewPreparedMessage(websocket.TextMessage, s.in(t))
	if err != nil {
		panic(err)
	}
	if s.ready == nil {
		s.ready = map[*say.Tongue]*websocket.PreparedMessage{}
	}
	s.ready[t] = m
	return m
}
