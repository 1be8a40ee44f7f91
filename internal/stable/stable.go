// Package stable sorts, with one copy of the code for all types. The library's
// slices.SortStableFunc is compiled anew for each type, which were 17 copies and
// a fiftieth of the phone's download.
package stable

import (
	"sort"
	"strings"
)

// Sort sorts a list by compare, which is below 0 where a comes before b; equal
// entries stay in their order. It is slices.SortStableFunc with the same
// algorithm and the same cost: O(n·log n·log n).
func Sort[T any](list []T, compare func(a, b T) int) {
	sort.Stable(&sorting{
		len(list),
		func(i, j int) bool { return compare(list[i], list[j]) < 0 },
		func(i, j int) { list[i], list[j] = list[j], list[i] },
	})
}

// Insert puts an entry into a sorted list, behind those that it doesn't come before: a
// short list that is built so needs no sorting.
func Insert[T any](list []T, x T, before func(a, b T) bool) []T {
	at := len(list)
	for at > 0 && before(x, list[at-1]) {
		at--
	}
	list = append(list, x)
	copy(list[at+1:], list[at:])
	list[at] = x
	return list
}

// sorting is a list as package sort takes it, of one type whatever its entries are.
type sorting struct {
	length int
	less   func(i, j int) bool
	swap   func(i, j int)
}

func (s *sorting) Len() int           { return s.length }
func (s *sorting) Less(i, j int) bool { return s.less(i, j) }
func (s *sorting) Swap(i, j int)      { s.swap(i, j) }

// Quick sorts a list by compare; equal entries come in any order. It is
// slices.SortFunc with one copy of the code for all types: O(n·log n).
func Quick[T any](list []T, compare func(a, b T) int) {
	sort.Sort(&sorting{
		len(list),
		func(i, j int) bool { return compare(list[i], list[j]) < 0 },
		func(i, j int) { list[i], list[j] = list[j], list[i] },
	})
}

// Words sorts words by their bytes.
func Words[W ~string](list []W) {
	Quick(list, func(a, b W) int { return strings.Compare(string(a), string(b)) })
}

// Keys are the keys of a map, in order.
func Keys[W ~string, V any](m map[W]V) []W {
	keys := make([]W, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	Words(keys)
	return keys
}
