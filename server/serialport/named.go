package serialport

import (
	"context"
	"sync"
)

// Named is one port that the person chose, found again after its cable was
// pulled even if the device then comes back under another number.
type Named struct {
	Devices Devices
	Name    string

	mu     sync.Mutex
	stable string // the name that stays, learnt when it was open first
}

// Open opens the port as the function Open does.
func (n *Named) Open(ctx context.Context, s Settings) (*Port, error) {
	n.mu.Lock()
	name := n.stable
	n.mu.Unlock()
	if name == "" {
		name = n.Name
	}
	p, err := Open(ctx, name, s)
	if err != nil {
		return nil, err
	}
	n.mu.Lock()
	n.stable = n.Devices.Stable(name)
	n.mu.Unlock()
	return p, nil
}
