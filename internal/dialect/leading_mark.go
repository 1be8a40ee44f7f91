package dialect

import (
	"strings"

	"panside/internal/mass"
	"panside/internal/say"
)

// Fixed lines with a stability mark in front.
//
//	?       -3.11 g
//	│ │         │ └┴┴ columns 14 to 16: unit, set left
//	│ │         └ columns 4 to 12: value, set right
//	│ └ column 3: sign: blank or -
//	└ column 1: blank at rest, ? in motion, ^ over, v under
//
// The columns 2 and 13 are blank; CR LF at the end. Some scales set the minus
// sign before the first digit instead.
//
// Knowledge: operating manuals of laboratory balances that print this table of
// columns; common practice.
var leadingMark = Dialect{
	Name:      "leading-mark",
	Summary:   say.New("format-leading-mark"),
	Settings:  []Settings{{9600, "8N1"}, {4800, "8N1"}, {19200, "8N1"}},
	Poll:      []byte("SI\r\n"),
	KeepAwake: true,
	Parse:     parseLeadingMark,
	Format:    formatLeadingMark,
	bits:      12,
}

const leadingMarkColumns = 16

func parseLeadingMark(frame []byte) Result {
	s := string(frame)
	if len(s) < 4 || !strings.Contains(" ?^v", s[:1]) || s[1] != ' ' || !strings.Contains(" -", s[2:3]) {
		return Result{Outcome: NotMine}
	}
	if len(s) != leadingMarkColumns {
		switch {
		case s[0] == ' ' || strings.Trim(s[3:], "0123456789.- gmkctdwozlbr") != "":
			return Result{Outcome: NotMine}
		case len(s) < leadingMarkColumns:
			return Result{Outcome: Cut}
		}
		return Result{Outcome: BadLength}
	}
	mark, field, unit := s[0], s[2:12], s[13:]
	n, ok := parseNumber(field)
	if !ok || s[12] != ' ' || unit[0] == ' ' {
		return Result{Outcome: NotMine}
	}
	status := mass.StatusStable
	switch mark {
	case '^':
		return overload()
	case 'v':
		return underload()
	case '?':
		status = mass.StatusMoving
	}
	r := weighed(status, n, unit)
	r.padded = true
	r.blankSign = mark == ' '
	return r
}

func formatLeadingMark(q mass.Quantity, status mass.Status) []byte {
	mark := " "
	switch status {
	case mass.StatusStable, mass.StatusZero:
	case mass.StatusMoving:
		mark = "?"
	case mass.StatusOver:
		mark = "^"
	case mass.StatusUnder:
		mark = "v"
	default:
		return nil
	}
	sign, digits := signed(q.Value)
	if sign == "+" {
		sign = " "
	}
	value, unit := right(digits, 9), left(unitWord(q.Unit), 3)
	if value == "" || unit == "" {
		return nil
	}
	return []byte(mark + " " + sign + value + " " + unit + "\r\n")
}
