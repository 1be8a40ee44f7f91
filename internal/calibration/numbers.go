package calibration

import (
	"math"
	"strconv"
)

// written writes a number as a person would, without what binary fractions leave.
func written(x float64) string {
	if rounded := math.Round(x*1e9) / 1e9; !math.IsInf(rounded, 0) {
		x = rounded
	}
	return strconv.FormatFloat(x, 'f', -1, 64)
}

// pair writes the size of x and of u with as many places as u's first digit
// needs, one more if that is a 1 (JCGM 100:2008, 7.2.6: at most two digits).
func pair(x, u float64) (string, string) {
	places := 0
	if u = math.Abs(u); u > 0 {
		first := math.Floor(math.Log10(u))
		places = int(-first)
		if u < 1.95*math.Pow(10, first) {
			places++
		}
		places = min(max(places, 0), 9)
	}
	return strconv.FormatFloat(math.Abs(x), 'f', places, 64), strconv.FormatFloat(u, 'f', places, 64)
}
