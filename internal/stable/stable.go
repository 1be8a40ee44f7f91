// Package stable sorts, with one copy of the code for all types. The library's
// slices.SortStableFunc is compiled anew for each type, which were 17 copies and
// a fiftieth of the phone's download.
package stable

import "sort"

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

// sorting is a list as package sort takes it, of one type whatever its entries are.
type sorting struct {
	length int
	less   func(i, j int) bool
	swap   func(i, j int)
}

func (s *sorting) Len() int           { return s.length }
func (s *sorting) Less(i, j int) bool { return s.less(i, j) }
func (s *sorting) Swap(i, j int)      { s.swap(i, j) }
