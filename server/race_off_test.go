//go:build !race

package main

// raceEnabled tells that the race detector needs several times the memory.
const raceEnabled = false
