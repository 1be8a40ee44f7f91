//go:build race

package settle_test

// raceEnabled reports whether the race detector slows everything down.
const raceEnabled = true
