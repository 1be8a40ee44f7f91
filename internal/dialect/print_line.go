package dialect

import (
	"strings"

	"panside/internal/mass"
	"panside/internal/say"
)

// Print lines: sign, value and unit in fixed columns, as a printer gets them.
//
//	       3.11 g    ?
//	│         │ │    ├ ? in motion, blank at rest
//	│         │ │    └ after it, perhaps: NET, N, G
//	│         │ └ unit, set left, up to 5 columns
//	│         └ value, set right, in 9 to 12 columns together with its sign
//	└ a minus sign stands before the first digit, on some scales in column 1;
//	  plus is shown as + or not at all
//
//	      ^^^^^ g        over      (or OL)
//	      _____ g        under     (or UL, -OL)
//
// A line that ends before the mark's column, as many simple scales send, says
// nothing of rest and is none of these.
//
// Sent when the person presses the print key, at intervals, or all the time;
// CR LF at the end.
//
// Knowledge: operating manuals of laboratory and bench balances of several
// makes (value set right in 9 to 12 columns, one blank, unit set left, "?"
// while unstable); the out-of-range forms are common practice.
var printLine = Dialect{
	Name:      "print-line",
	Summary:   say.New("format-print-line"),
	Settings:  []Settings{{9600, "8N1"}, {2400, "7N2"}, {9600, "7E1"}, {4800, "8N1"}},
	Poll:      []byte("IP\r\n"),
	KeepAwake: true,
	Parse:     parsePrintLine,
	Format:    formatPrintLine,
	plain:     true,
	bits:      12,
}

const (
	printLineField = 11 // columns of the value as Format writes it
	printLineTail  = 6  // columns of the unit and the mark
)

func parsePrintLine(frame []byte) Result {
	columns := string(frame)
	for _, legend := range [...]string{" NET", " N", " G"} {
		if body, ok := strings.CutSuffix(strings.TrimRight(columns, " "), legend); ok {
			columns = body + " "
		}
	}
	s := strings.TrimRight(columns, " ")
	status := mass.StatusStable
	if body, moving := strings.CutSuffix(s, "?"); moving {
		status = mass.StatusMoving
		s = strings.TrimRight(body, " ")
	}
	i := strings.LastIndexByte(s, ' ')
	if i < 0 {
		return Result{Outcome: NotMine}
	}
	field, unit := s[:i], s[i+1:]
	if len(field) < 9 || len(field) > 12 || len(unit) > 5 {
		return Result{Outcome: NotMine}
	}
	if mixedPair(s) {
		return refusedPair()
	}
	n, ok := parseNumber(field)
	if !ok {
		if r, found := outOfRange(field); found {
			return r
		}
		return Result{Outcome: NotMine}
	}
	if status == mass.StatusStable && len(columns)-i-1 < printLineTail {
		return Result{Outcome: NotMine} // no column for the mark: a value and a unit
	}
	r := weighed(status, n, unit)
	if r.Outcome == Impossible && !isLetters(unit) {
		return Result{Outcome: NotMine}
	}
	r.blankSign = status == mass.StatusStable
	return r
}

func formatPrintLine(q mass.Quantity, status mass.Status) []byte {
	value, mark := q.Value.String(), " "
	switch status {
	case mass.StatusStable, mass.StatusZero:
	case mass.StatusMoving:
		mark = "?"
	case mass.StatusOver:
		value = "^^^^^"
	case mass.StatusUnder:
		value = "_____"
	default:
		return nil
	}
	value, unit := right(value, printLineField), left(unitWord(q.Unit), 5)
	if value == "" || unit == "" {
		return nil
	}
	return []byte(value + " " + unit + mark + "\r\n")
}
