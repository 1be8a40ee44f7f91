//go:build !js

package bridge

import (
	"maps"
	"slices"
)

// Methods lists what Call answers, in order, for those who describe it.
func Methods() []string {
	return slices.Sorted(func(yield func(string) bool) {
		maps.Keys(methods)(yield)
		maps.Keys(bookMethods)(yield)
	})
}
