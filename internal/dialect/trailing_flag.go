package dialect

import (
	"strings"

	"panside/internal/mass"
	"panside/internal/say"
)

// Lines with a stability letter at the end.
//
//   - 3.11 g   S
//     │       │ │   └ S stable, U in motion
//     │       │ └ unit, set left in 3 columns, or straight behind the value
//     │       └ value, padded with blanks or zeros, usually 8 columns
//     └ sign: + or -, blank or left out on some scales
//
//     OL g   U     over; -OL (or UL) under
//
// Sent continuously; CR LF, or CR alone, at the end.
//
// Knowledge: operating manuals of compact and counting scales; common
// practice.
var trailingFlag = Dialect{
	Name:     "trailing-flag",
	Summary:  say.New("format-trailing-flag"),
	Settings: []Settings{{9600, "8N1"}, {2400, "8N1"}, {4800, "8N1"}, {1200, "8N1"}},
	Parse:    parseTrailingFlag,
	Format:   formatTrailingFlag,
	bits:     12,
}

func parseTrailingFlag(frame []byte) Result {
	s := strings.TrimRight(string(frame), " ")
	if len(s) < 3 || !strings.Contains(" ,", s[len(s)-2:len(s)-1]) {
		return Result{Outcome: NotMine}
	}
	var status mass.Status
	switch s[len(s)-1] {
	case 'S':
		status = mass.StatusStable
	case 'U':
		status = mass.StatusMoving
	default:
		return Result{Outcome: NotMine}
	}
	body := strings.TrimRight(s[:len(s)-2], " ")
	if mixedPair(body) {
		return refusedPair()
	}
	field, tail := splitTail(body)
	if field == "" {
		if i := strings.LastIndexByte(body, ' '); i > 0 && isLetters(body[i+1:]) {
			if r, found := outOfRange(body[:i]); found {
				return r
			}
		}
		return Result{Outcome: NotMine}
	}
	unit := strings.TrimLeft(tail, " ")
	n, ok := parseNumber(field)
	if !ok || !isLetters(unit) {
		return Result{Outcome: NotMine}
	}
	return weighed(status, n, unit)
}

func formatTrailingFlag(q mass.Quantity, status mass.Status) []byte {
	sign, digits := signed(q.Value)
	flag := "U"
	switch status {
	case mass.StatusStable, mass.StatusZero:
		flag = "S"
	case mass.StatusMoving:
	case mass.StatusOver:
		sign, digits = " ", "OL"
	case mass.StatusUnder:
		sign, digits = " ", "-OL"
	default:
		return nil
	}
	value, unit := right(digits, 8), left(unitWord(q.Unit), 3)
	if value == "" || unit == "" {
		return nil
	}
	return []byte(sign + value + " " + unit + " " + flag + "\r\n")
}
