//go:build !race

package ring_test

// raceEnabled reports whether the race detector slows everything down.
const raceEnabled = false
