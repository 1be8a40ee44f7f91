package livehub

import (
	"os"
	"testing"

	"panside/server/described"
)

// TestLimitsAreAsDescribed holds the described figures of the live stream to the
// code's.
func TestLimitsAreAsDescribed(t *testing.T) {
	raw, err := os.ReadFile("../httpapi/openapi.json")
	if err != nil {
		t.Fatal(err)
	}
	got := described.Read(raw).Limits()
	for name, want := range map[string]float64{
		"sockets": maxSockets, "sockets_a_device": maxADevice, "socket_message_bytes": maxFrame, "asks_bytes": maxAsks,
		"hello_seconds": helloWithin.Seconds(), "ping_seconds": pingEvery.Seconds(), "unheard_seconds": heardWithin.Seconds(), "pan_held_seconds": awayFor.Seconds(),
	} {
		if got[name] != want {
			t.Errorf("%s is described as %v, it is %v", name, got[name], want)
		}
	}
}
