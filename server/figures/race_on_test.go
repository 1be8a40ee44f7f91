//go:build race

package figures

// raceEnabled reports whether the race detector slows everything down.
const raceEnabled = true
