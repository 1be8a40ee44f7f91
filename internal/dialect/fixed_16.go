package dialect

import (
	"strings"

	"panside/internal/mass"
	"panside/internal/say"
)

// Fixed lines of 16 characters, CR LF counted.
//
//   - 3.11 g
//     │ │      │ └┴┴ columns 12 to 14: unit, set left; blank while in motion
//     │ │      └ columns 3 to 10: value, set right, leading zeros blank
//     │ └ column 2: blank
//     └ column 1: sign: + - or blank
//
//   - 3.1[1] g     brackets mark digits finer than the verified interval;
//     they fill columns up to 11
//     H           over (or High), under is L (or Low)
//     C           adjusting itself;  -- no weight at the moment
//     Err  054       a fault of the scale's own, with its number
//
// A line in motion carries no unit, so by itself it is a number and no weight:
// its value is given out only if the person has named the unit.
//
// Knowledge: operating manuals of laboratory and precision balances of several
// makers, which print this table of columns; common practice.
var fixed16 = Dialect{
	Name:      "fixed-16",
	Summary:   say.New("format-fixed-16"),
	Settings:  []Settings{{1200, "7O1"}, {9600, "8N1"}, {9600, "7O1"}, {2400, "7E1"}},
	Poll:      []byte("\x1bP\r\n"),
	KeepAwake: true,
	Parse:     parseFixed16,
	Format:    formatFixed16,
	bits:      12,
}

const fixed16Columns = 14

func parseFixed16(frame []byte) Result {
	s := string(frame)
	if len(s) == fixed16Columns {
		return fixedColumns(s)
	}
	// Anything else that looks like the value columns is a broken line.
	if len(s) > 4 && strings.Contains("+-", s[:1]) && s[1] == ' ' && strings.Trim(s[2:], "0123456789.[] ") == "" {
		if len(s) < fixed16Columns {
			return Result{Outcome: Cut}
		}
		return Result{Outcome: BadLength}
	}
	if len(s) == 2*fixed16Columns && fixedColumns(s[:fixed16Columns]).Outcome == Read && fixedColumns(s[fixed16Columns:]).Outcome == Read {
		return Result{Outcome: BadLength} // two lines run together
	}
	return Result{Outcome: NotMine}
}

// fixedColumns reads the 14 columns that fixed-16 and fixed-22 share.
func fixedColumns(s string) Result {
	if r, found := fixedSpecial(strings.Trim(s, " ")); found {
		return r
	}
	sign, field, unit := s[:1], s[1:11], s[11:]
	if !strings.Contains("+- ", sign) || field[0] != ' ' {
		return Result{Outcome: NotMine}
	}
	digits, fine, bracketed := strings.Cut(field, "[")
	if bracketed {
		var closed bool
		if fine, closed = strings.CutSuffix(fine, "]"); !closed || fine == "" || !isDigits(fine) {
			return Result{Outcome: NotMine}
		}
	} else if digits = field[:9]; field[9] != ' ' {
		return Result{Outcome: NotMine}
	}
	whole := strings.TrimLeft(digits, " ") + fine
	if whole == "" || strings.Trim(whole, "0123456789.,") != "" {
		return Result{Outcome: NotMine}
	}
	n, ok := parseNumber(strings.Trim(sign, " ") + whole)
	if !ok {
		return Result{Outcome: Impossible}
	}
	n.padded = true
	value := n.value
	var r Result
	switch letters := strings.TrimRight(unit, " "); {
	case letters == "":
		r = Result{Outcome: Read, Status: mass.StatusMoving, Quantity: mass.Quantity{Value: value}, HasValue: true, Resolution: value.Step(), comma: n.comma, unitless: true, blankUnit: true}
	case letters[0] == ' ':
		return Result{Outcome: NotMine}
	default:
		r = weighed(mass.StatusStable, n, letters)
		r.blankSign = !bracketed // only scales that know rest set digits off
	}
	r.padded = true
	if bracketed && r.HasValue {
		if len(fine) > value.Places() {
			return Result{Outcome: Impossible} // brackets around the point's left side
		}
		r.Resolution = mass.NewDecimal(1, uint8(value.Places()-len(fine)))
	}
	return r
}

// fixedSpecial reads the words that stand in the columns instead of a value.
func fixedSpecial(word string) (r Result, found bool) {
	switch word {
	case "H", "High":
		return overload(), true
	case "L", "Low":
		return underload(), true
	case "C", "Cal.", "--", "- -":
		return withoutWeight(busy), true
	}
	for _, lead := range [...]string{"Err", "E"} {
		if n := strings.TrimLeft(strings.TrimPrefix(word, lead), " "); len(n) < len(word)-len(lead)+1 && strings.HasPrefix(word, lead) && isDigits(n) && len(n) <= 4 {
			return withoutWeight(scaleFault(say.New("scale-says-number", say.Text("number", n)))), true
		}
	}
	return Result{}, false
}

func formatFixed16(q mass.Quantity, status mass.Status) []byte {
	line := formatFixedColumns(q, status)
	if line == "" {
		return nil
	}
	return []byte(line + "\r\n")
}

func formatFixedColumns(q mass.Quantity, status mass.Status) string {
	unit := ""
	switch status {
	case mass.StatusStable, mass.StatusZero:
		unit = unitWord(q.Unit)
	case mass.StatusMoving:
	case mass.StatusOver:
		return left("      H", fixed16Columns)
	case mass.StatusUnder:
		return left("      L", fixed16Columns)
	default:
		return ""
	}
	sign, digits := signed(q.Value)
	value, columns := right(digits, 8), left(unit, 3)
	if value == "" || columns == "" {
		return ""
	}
	return sign + " " + value + " " + columns
}
