package httpapi

import (
	"testing"

	"panside/server/conformance"
)

func TestTheStandInsAreLikeTheRealOnes(t *testing.T) {
	p := &fakePairing{names: map[string]string{}}
	conformance.TestPairing(t, p, "good", func() { p.closed = true })
	conformance.TestOrigins(t, &fakeOrigins{}, oldOrigin)
}
