// Package conformance holds what several implementations of one interface must do
// alike: the real one, and those that stand for it in tests. A test proves nothing
// about the program if its stand-in answers otherwise than the real thing.
package conformance

import (
	"testing"

	"panside/internal/fault"
)

// wantCode checks which fault an error is; an empty code is none.
func wantCode(t *testing.T, doing string, err error, want fault.Code) {
	t.Helper()
	if want == "" && err == nil {
		return
	}
	if got := fault.Of(err); err == nil || got.Code != want {
		t.Errorf("%s: %v, want the fault %q", doing, err, want)
	}
}
