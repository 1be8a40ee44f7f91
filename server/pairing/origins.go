package pairing

import (
	"context"
	"log/slog"
	"maps"
	"slices"
	"strings"
	"sync"
	"time"
)

const (
	// maxOrigins is years of a network that hands out a new address every few
	// days. The one served longest ago goes first.
	maxOrigins  = 500
	servedEvery = 24 * time.Hour // how finely “last served” is kept on the disk
)

// OriginStore keeps origins over restarts.
type OriginStore interface {
	Origins(ctx context.Context) (map[string]time.Time, error)
	KeepOrigin(ctx context.Context, origin string, at time.Time) error
	DropOrigin(ctx context.Context, origin string) error
}

// Origins are those under which this server has served its app, such as
// https://192.168.1.5:8311. A browser keeps a phone's records by origin, so a
// page of an old one must still reach the server at its new address; a page of
// any other must not. Its methods are safe for concurrent use.
type Origins struct {
	store OriginStore
	now   func() time.Time
	log   *slog.Logger

	mu     sync.RWMutex
	served map[string]time.Time // when last, as the store knows it
}

// OpenOrigins reads what the store knows.
func OpenOrigins(ctx context.Context, store OriginStore, now func() time.Time, log *slog.Logger) (*Origins, error) {
	served, err := store.Origins(ctx)
	if err != nil {
		return nil, err
	}
	return &Origins{store: store, now: now, log: log, served: served}, nil
}

// Has reports whether the server has ever served under the origin.
func (o *Origins) Has(origin string) bool {
	o.mu.RLock()
	defer o.mu.RUnlock()
	_, ok := o.served[origin]
	return ok
}

// Learn notes that the server serves under the origin. If that can't be stored
// it holds until the restart and the log says so: no reason to refuse anybody.
func (o *Origins) Learn(ctx context.Context, origin string) {
	now := o.now()
	o.mu.RLock()
	last, known := o.served[origin]
	o.mu.RUnlock()
	if known && now.Sub(last) < servedEvery {
		return
	}
	o.mu.Lock()
	defer o.mu.Unlock()
	if last, raced := o.served[origin]; raced && now.Sub(last) < servedEvery {
		return
	}
	_, known = o.served[origin]
	o.served[origin] = now
	if err := o.store.KeepOrigin(ctx, origin, now); err != nil {
		o.log.Warn("can’t note the address served under", "origin", origin, "cause", err)
	}
	if !known && len(o.served) > maxOrigins {
		oldest := o.newestFirst()[maxOrigins]
		delete(o.served, oldest)
		if err := o.store.DropOrigin(ctx, oldest); err != nil {
			o.log.Warn("can’t forget an address served under", "origin", oldest, "cause", err)
		}
	}
}

// All lists them, the one served last first.
func (o *Origins) All() []string {
	o.mu.RLock()
	defer o.mu.RUnlock()
	return o.newestFirst()
}

func (o *Origins) newestFirst() []string {
	return slices.SortedFunc(maps.Keys(o.served), func(a, b string) int {
		if c := o.served[b].Compare(o.served[a]); c != 0 {
			return c
		}
		return strings.Compare(a, b)
	})
}
