package otherscale

import (
	"fmt"
	"strings"
)

// Format is a shape of lines.
type Format string

// The formats, by the names of package dialect.
const (
	StatusComma  Format = "status-comma"
	TrailingFlag Format = "trailing-flag"
	LeadingMark  Format = "leading-mark"
	PrintLine    Format = "print-line"
	UnitAtRest   Format = "fixed-16"   // the unit stands for the stable sign
	ValueOnly    Format = "value-only" // no stable sign
)

// write gives the bytes of a display value of so many steps.
func write(f Format, steps, places int, over, stable bool) []byte {
	sign := "+"
	if steps < 0 {
		sign, steps = "-", -steps
	}
	unit := 1
	for range places {
		unit *= 10
	}
	digits := fmt.Sprintf("%d.%0*d", steps/unit, places, steps%unit)
	word := func(rest, moving string) string {
		if stable {
			return rest
		}
		return moving
	}
	switch f {
	case StatusComma:
		if over {
			return []byte("OL,GS,+9999999E+19\r\n")
		}
		return []byte(word("ST", "US") + ",GS," + sign + pad(digits, 7) + "  g\r\n")
	case TrailingFlag:
		if over {
			return []byte("       OL g   U\r\n")
		}
		return []byte(sign + pad(digits, 8) + " g   " + word("S", "U") + "\r\n")
	case LeadingMark:
		if over {
			return []byte("^ " + pad("0", 10) + " g  \r\n")
		}
		return []byte(word(" ", "?") + " " + strings.Replace(sign, "+", " ", 1) + pad(digits, 9) + " g  \r\n")
	case UnitAtRest:
		if over {
			return []byte("      H       \r\n")
		}
		return []byte(sign + " " + pad(digits, 8) + " " + word("g  ", "   ") + "\r\n")
	case PrintLine:
		if over {
			return []byte(pad("^^^^^", 11) + " g    ?\r\n")
		}
		return []byte(pad(strings.TrimPrefix(sign, "+")+digits, 11) + " g    " + word(" ", "?") + "\r\n")
	}
	if over {
		return []byte("OL\r\n")
	}
	return []byte(strings.TrimPrefix(sign, "+") + digits + " g\r\n")
}

func pad(s string, width int) string {
	return strings.Repeat(" ", max(0, width-len(s))) + s
}
