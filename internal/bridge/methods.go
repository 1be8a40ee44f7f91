//go:build !js

package bridge

import (
	"maps"
	"slices"
)

// Methods lists what Call answers, in order, for those who describe it.
func Methods() []string { return slices.Sorted(maps.Keys(methods)) }
