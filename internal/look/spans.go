package look

import (
	"errors"
	"strconv"
	"strings"
)

// span is an inclusive run of years.
type span struct{ first, last int }

// open is the last year of a span written without an end.
const open = 9999

// parseSpans reads "1955", "1909-1915,1917" or "1982-". Years must rise and
// may not overlap, so that a slip of the finger in the data is noticed.
func parseSpans(s string) ([]span, error) {
	if s == "" {
		return nil, nil
	}
	var out []span
	for part := range strings.SplitSeq(s, ",") {
		a, b, ranged := strings.Cut(part, "-")
		first, err := parseYear(a)
		if err != nil {
			return nil, err
		}
		last := first
		if ranged && b == "" {
			last = open
		} else if ranged {
			if last, err = parseYear(b); err != nil {
				return nil, err
			}
			if last <= first {
				return nil, errors.New("years of “" + s + "” run backwards")
			}
		}
		if len(out) > 0 && first <= out[len(out)-1].last {
			return nil, errors.New("years of “" + s + "” overlap or aren’t in order")
		}
		out = append(out, span{first, last})
	}
	return out, nil
}

// YearRuns gives the first and last years of a fact's or design's years as they are
// written; a run without an end is open to year 9999.
func YearRuns(s string) ([][2]int, error) {
	spans, err := parseSpans(s)
	return runs(spans), err
}

func runs(spans []span) [][2]int {
	out := make([][2]int, len(spans))
	for i, s := range spans {
		out[i] = [2]int{s.first, s.last}
	}
	return out
}

func parseYear(s string) (int, error) {
	y, err := strconv.Atoi(s)
	if err != nil || y < 1793 || y > 2100 {
		return 0, errors.New("“" + s + "” is not a year of a coin in the book")
	}
	return y, nil
}

func (s span) has(year int) bool { return s.first <= year && year <= s.last }
