package scalefeed

import (
	"context"
	"time"
)

// lookAgain is how often the candidates are listed anew during a search.
const lookAgain = 500 * time.Millisecond

// untilPlugged is a context that ends early when a candidate appears that isn't
// known yet. A search that asks silent ports takes up to half a minute, most of
// it at built-in ports, which are there always and seldom carry anything; a
// scale that is plugged in meanwhile shall not wait for the end of that. stop
// must be called, and returns once nothing runs any more.
func (f *Finder) untilPlugged(ctx context.Context, known map[string]bool) (inner context.Context, stop func()) {
	inner, cancel := context.WithCancel(ctx)
	ended := make(chan struct{})
	go func() {
		defer close(ended)
		tick := time.NewTicker(lookAgain)
		defer tick.Stop()
		for {
			select {
			case <-inner.Done():
				return
			case <-tick.C:
			}
			for _, c := range f.Candidates() {
				if !known[c.Info.Name] {
					cancel()
					return
				}
			}
		}
	}()
	return inner, func() { cancel(); <-ended }
}
