package dialect

import (
	"strings"

	"panside/internal/mass"
	"panside/internal/say"
)

// Status-prefixed lines with commas.
//
//	ST,GS,+   3.11  g
//	│  │  │      │  └ unit
//	│  │  │      └ value, padded with blanks or zeros
//	│  │  └ sign: + - or blank
//	│  └ GS gross, NT net; TR tare memory: not the load. Left out by many scales
//	└ ST stable, US in motion, OL out of range, QT count of pieces
//
//	OL,+9999999E+19     over; with a minus sign under. The digits mean nothing
//
// Sent continuously or on demand, CR LF at the end. The width of the value
// field differs between makes (6 to 9 columns) and is fixed on one scale; some
// put a comma before the unit.
//
// Knowledge: the shape is in the operating manuals of laboratory balances and
// weighing indicators of several makes, which agree on the two-letter words;
// common practice, there is no standard.
var statusComma = Dialect{
	Name:      "status-comma",
	Summary:   say.New("format-status-comma"),
	Settings:  []Settings{{9600, "8N1"}, {2400, "7E1"}, {4800, "8N1"}, {9600, "7E1"}},
	Poll:      []byte("Q\r\n"),
	KeepAwake: true,
	Parse:     parseStatusComma,
	Format:    formatStatusComma,
	bits:      12,
}

func parseStatusComma(frame []byte) Result {
	s := string(frame)
	if len(s) < 3 || s[2] != ',' {
		return Result{Outcome: NotMine}
	}
	word, rest := s[:2], s[3:]
	var status mass.Status
	switch word {
	case "ST", "QT":
		status = mass.StatusStable
	case "US":
		status = mass.StatusMoving
	case "OL":
		status = mass.StatusOver
	default:
		return Result{Outcome: NotMine}
	}
	label := saysNothing
	if len(rest) >= 3 && rest[2] == ',' {
		switch rest[:2] {
		case "GS":
			label = saysGross
		case "NT":
			label = saysNet
		case "TR":
			label = saysTare
		default:
			return Result{Outcome: NotMine}
		}
		rest = rest[3:]
	}
	switch {
	case strings.Contains(rest, "ST,") || strings.Contains(rest, "US,") || strings.Contains(rest, "OL,"):
		return Result{Outcome: BadLength} // two lines run together
	case status == mass.StatusOver:
		return outOfRangeStatusComma(rest)
	case mixedPair(rest):
		return refusedPair()
	}
	field, tail := splitTail(rest)
	unit := strings.Trim(strings.TrimPrefix(tail, ","), " ")
	if strings.Trim(tail, " ,.") == "" {
		return Result{Outcome: Cut}
	}
	n, ok := parseNumber(field)
	switch {
	case !ok:
		return Result{Outcome: Impossible}
	case label == saysTare:
		r := withoutWeight(notTheLoad(say.New("scale-sent-tare")))
		r.label = label
		return r
	}
	r := weighed(status, n, unit)
	r.label = label
	return r
}

// outOfRangeStatusComma reads what follows OL: a sign, filler, maybe a unit.
func outOfRangeStatusComma(rest string) Result {
	filler := strings.TrimRight(rest, " ")
	filler = strings.TrimRight(filler, "abcdefghijklmnopqrstuvwxyz")
	filler = strings.TrimRight(filler, " ,")
	if filler == "" {
		return Result{Outcome: Cut}
	}
	switch strings.Trim(filler, " ") {
	case "H":
		return overload()
	case "L":
		return underload()
	}
	if strings.Trim(filler, "0123456789.E+-^_* ") != "" {
		return Result{Outcome: Impossible}
	}
	if filler[0] == '-' {
		return underload()
	}
	return overload()
}

func formatStatusComma(q mass.Quantity, status mass.Status) []byte {
	word := "US"
	switch status {
	case mass.StatusStable, mass.StatusZero:
		word = "ST"
	case mass.StatusMoving:
	case mass.StatusOver:
		return []byte("OL,GS,+9999999E+19\r\n")
	case mass.StatusUnder:
		return []byte("OL,GS,-9999999E+19\r\n")
	default:
		return nil
	}
	sign, digits := signed(q.Value)
	value, unit := right(digits, 7), right(unitWord(q.Unit), 3)
	if value == "" || unit == "" {
		return nil
	}
	return []byte(word + ",GS," + sign + value + unit + "\r\n")
}
