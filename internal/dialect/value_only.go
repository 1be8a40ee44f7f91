package dialect

import (
	"strings"

	"panside/internal/mass"
	"panside/internal/say"
)

// A value and nothing else, perhaps with its unit.
//
//	  3.11 g
//	  │    └ unit; left out by many scales
//	  └ value, with a minus sign if negative, of any width
//
//	OL    over;  -OL or UL under
//
// The line has no status: whether the load rests is judged from the readings
// over time. It has no fixed width either, so that the rest of a cut line looks
// like a whole one; the first line after opening the port is therefore left
// out, and several lines are needed to recognise the format. Without a unit in
// the line the person has to name it.
//
// Sent continuously or on a key; CR, LF or both at the end.
//
// Knowledge: common practice of simple scales and of home-made interfaces.
var valueOnly = Dialect{
	Name:     "value-only",
	Summary:  say.New("format-value-only"),
	Settings: []Settings{{9600, "8N1"}, {4800, "8N1"}, {2400, "8N1"}, {1200, "8N1"}, {115200, "8N1"}},
	Parse:    parseValueOnly,
	Format:   formatValueOnly,
	loose:    true,
	plain:    true,
	bits:     bitsUnit,
}

func parseValueOnly(frame []byte) Result {
	s := strings.TrimRight(string(frame), " ")
	field, tail := splitTail(s)
	unit := strings.TrimLeft(tail, " ")
	if field == "" {
		if r, found := outOfRange(s); found {
			r.bits = bitsBare
			return r
		}
		return Result{Outcome: NotMine}
	}
	if mixedPair(s) && strings.Trim(s, "0123456789.:+- lbozLBOZ") == "" {
		return refusedPair()
	}
	n, ok := parseNumber(field)
	if !ok || unit != "" && !isLetters(unit) {
		return Result{Outcome: NotMine}
	}
	var r Result
	if unit == "" {
		if n.value.Float64() >= mostBare || n.value.Float64() <= -mostBare {
			return Result{Outcome: NotMine}
		}
		r = Result{Outcome: Read, Status: mass.StatusUnknown, Quantity: mass.Quantity{Value: n.value}, HasValue: true, Resolution: n.value.Step(), unitless: true, padded: n.padded, comma: n.comma, bits: bitsBare}
	} else {
		r = weighed(mass.StatusUnknown, n, unit)
		r.loneG, r.gr = tail == "G", r.gr || tail == "GN"
	}
	r.noSign = r.HasValue
	return r
}

func formatValueOnly(q mass.Quantity, status mass.Status) []byte {
	switch status {
	case mass.StatusError:
		return nil
	case mass.StatusOver:
		return []byte("OL\r\n")
	case mass.StatusUnder:
		return []byte("-OL\r\n")
	}
	return []byte(q.Value.String() + " " + unitWord(q.Unit) + "\r\n")
}
