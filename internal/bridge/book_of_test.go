package bridge_test

import (
	"panside/internal/book/data"
	"panside/internal/bridge"
)

func init() { bridge.Use(data.ShelfIn) }
