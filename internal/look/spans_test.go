package look_test

import (
	"testing"

	. "panside/internal/look" // the data imports it, so the tests stand outside
)

func TestSpans(t *testing.T) {
	for _, bad := range []string{"19", "1955,", "1955-1954", "1955-1955", "1955-1960,1960", "1960,1955", "abc", "1982--", "-1982", "1955 "} {
		if _, err := ParseSpans(bad); err == nil {
			t.Errorf("%q was read", bad)
		}
	}
	s, err := ParseSpans("1909-1915,1917,1982-")
	if err != nil {
		t.Fatal(err)
	}
	for year, want := range map[int]bool{1908: false, 1909: true, 1915: true, 1916: false, 1917: true, 1981: false, 1982: true, 2030: true} {
		got := false
		for _, x := range s {
			got = got || x.Has(year)
		}
		if got != want {
			t.Errorf("%d: %v", year, got)
		}
	}
}
