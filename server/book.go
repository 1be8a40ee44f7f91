package main

import (
	"panside/internal/book/data"
	"panside/internal/bridge"
)

// init gives the core the coin book that this program carries, so that every
// command answers from it. It is built when the first question needs it.
func init() { bridge.Use(data.ShelfIn) }
