package joinapi

import (
	"testing"

	"panside/server/openapitest"
)

// What the routes answer is held by the tests of package httpapi, which lets
// devices through to them.

func TestEveryRouteIsDescribed(t *testing.T) {
	if problem := openapitest.Read(Description).Served(New(Options{}).Routes()); problem != "" {
		t.Error(problem)
	}
}

// TestLimitsAreAsDescribed holds the figures to the code's. Those of pairing and
// of the printed codes are held beside their code.
func TestLimitsAreAsDescribed(t *testing.T) {
	wrong := wrongRate
	if problem := openapitest.Read(Description).Limited(map[string]float64{
		"wrong_codes_at_once_an_address": wrongBurst, "seconds_to_another_wrong_code": 1 / wrong,
		"phone_code_seconds": phoneSecretLife.Seconds(),
	}); problem != "" {
		t.Error(problem)
	}
}
