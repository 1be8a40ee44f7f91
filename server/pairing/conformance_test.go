package pairing_test

import (
	"strconv"
	"testing"
	"time"

	"panside/internal/device"
	"panside/server/conformance"
)

func TestTheStoreInMemoryIsLikeTheRealOne(t *testing.T) {
	conformance.TestDevices(t, setTable().store)
	conformance.TestOriginStore(t, setOrigins(t).store)
}

func TestPairingIsAsItsCallersExpect(t *testing.T) {
	tb := setTable()
	conformance.TestPairing(t, tb, tb.Offer(device.Phone, time.Hour), func() {
		for i := 0; !tb.Closed() && i < 1000; i++ {
			_, _, _ = tb.Join(t.Context(), "wrong "+strconv.Itoa(i), "x", true)
		}
	})
}

func TestOriginsAreAsTheirCallersExpect(t *testing.T) {
	const old = "https://192.168.1.3:8311"
	conformance.TestOrigins(t, setOrigins(t, old), old)
}
