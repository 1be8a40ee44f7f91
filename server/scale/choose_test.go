package scale

import (
	"testing"

	"panside/server/scalefeed"
)

// TestPracticeStandsInOnlyForNothing: a built-in port alone is no reason to
// think that a scale is there; anything attached is.
func TestPracticeStandsInOnlyForNothing(t *testing.T) {
	for name, tc := range map[string]struct {
		certain bool
		want    bool
	}{
		"/dev/ttyS0":               {false, false},
		"/dev/ttyAMA0":             {false, false},
		"/dev/ttyUSB0":             {false, true},
		"/dev/rfcomm0":             {false, true},
		"/dev/serial/by-id/usb-x0": {false, true},
		"COM3":                     {false, true},
		"/dev/hidraw2":             {true, true},
	} {
		got := anythingPluggedIn([]scalefeed.Candidate{{Info: scalefeed.Info{Name: name}, Certain: tc.certain}})
		if got != tc.want {
			t.Errorf("%s: plugged in %v, want %v", name, got, tc.want)
		}
	}
	if anythingPluggedIn(nil) {
		t.Error("nothing counts as plugged in")
	}
}
