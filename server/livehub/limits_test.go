package livehub

import (
	"os"
	"testing"

	"panside/server/openapitest"
)

// TestLimitsAreAsDescribed holds the described figures of the live stream to the
// code's.
func TestLimitsAreAsDescribed(t *testing.T) {
	raw, err := os.ReadFile("../httpapi/openapi.json")
	if err != nil {
		t.Fatal(err)
	}
	if problem := openapitest.Read(raw).Limited(map[string]float64{
		"sockets": maxSockets, "sockets_a_device": maxADevice, "socket_message_bytes": maxFrame, "asks_bytes": maxAsks,
		"hello_seconds": helloWithin.Seconds(), "ping_seconds": pingEvery.Seconds(), "unheard_seconds": heardWithin.Seconds(), "pan_held_seconds": awayFor.Seconds(),
	}); problem != "" {
		t.Error(problem)
	}
}
