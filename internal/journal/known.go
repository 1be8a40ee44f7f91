//go:build !js

package journal

import (
	"panside/internal/stable"
)

// Kinds lists the kinds of records this version knows, in order, for those who
// describe them.
func Kinds() []string { return stable.Keys(rules) }

// Fields lists the fields of a kind that this version knows, in order; one that
// ends with / begins a family.
func Fields(kind string) []string { return stable.Keys(rules[kind]) }
