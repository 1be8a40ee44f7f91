//go:build race

package main

// raceEnabled reports whether the race detector needs several times the memory.
const raceEnabled = true
