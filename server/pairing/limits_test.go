package pairing

import (
	"os"
	"testing"

	"panside/server/openapitest"
)

// TestLimitsAreAsDescribed holds the described figures of joining to the code's.
func TestLimitsAreAsDescribed(t *testing.T) {
	raw, err := os.ReadFile("../joinapi/openapi.json")
	if err != nil {
		t.Fatal(err)
	}
	if problem := openapitest.Read(raw).Limited(map[string]float64{
		"wrong_codes_that_close_joining": maxFailures, "codes_open_at_once": maxOpen,
	}); problem != "" {
		t.Error(problem)
	}
}
