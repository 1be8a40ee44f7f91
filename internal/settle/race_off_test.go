//go:build !race

package settle_test

// raceEnabled tells that the race detector slows everything down.
const raceEnabled = false
