package sync_test

import (
	"testing"

	"panside/internal/sync/synctest"
)

// TestTheLaptopOfTheseTestsIsLikeTheRealOne; server/syncsim holds the real one
// to the same.
func TestTheLaptopOfTheseTestsIsLikeTheRealOne(t *testing.T) {
	synctest.Conform(t, picture(1, 100), synctest.NewLaptop().Serve)
}
