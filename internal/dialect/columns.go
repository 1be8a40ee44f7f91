package dialect

import (
	"strings"

	"panside/internal/mass"
)

// Two shapes of fixed columns that the general reader knows beside its words.

// letterUnits are the units of a column of single letters.
var letterUnits = map[byte]string{'G': "g", 'D': "dwt", 'K': "ct", 'C': "ct", 'O': "oz", 'Y': "ozt", 'P': "lb"}

// letterColumns reads lines whose unit is one letter in a column of its own:
//
//   - 12.34  GS
//     │      │ │││
//     │      │ ││└ S stable, or blank
//     │      │ │└ G grams, D pennyweights, K or C carats, O ounces, Y troy
//     │      │ │  ounces, P pounds; T and X a unit of the owner's, refused
//     │      │ └ how the scale averages: blank, I, F or S
//     │      └ value, and a blank
//     └ sign
func letterColumns(line string) (r Result, found bool) {
	n := len(line)
	if n < 8 || line[0] != '+' && line[0] != '-' || line[n-4] != ' ' || !isDigit(line[n-5]) {
		return Result{}, false
	}
	mode, letter, flag := line[n-3], line[n-2], line[n-1]
	if strings.IndexByte(" IFS", mode) < 0 || flag != ' ' && flag != 'S' {
		return Result{}, false
	}
	value, ok := parseNumber(line[:n-4])
	if !ok {
		return Result{}, false
	}
	unit, ok := letterUnits[letter]
	if !ok {
		if letter != 'T' && letter != 'X' {
			return Result{}, false
		}
		r = withoutWeight(ownUnit)
		r.bits = bitsUnit
		return r, true
	}
	status := mass.StatusUnknown
	if flag == 'S' {
		status = mass.StatusStable
	}
	r = weighed(status, value, unit)
	r.noSign = flag == ' '
	r.bits = bitsWords
	return r, true
}

// meterDigits reads fourteen digits, as panel meters send them between STX and
// CR: 4, 1, two digits for the unit (57 is the gram), 0 or 1 for plus or minus,
// the places behind the point, eight digits.
func meterDigits(s string) (r Result, found bool) {
	if len(s) != 14 || !isDigits(s) || s[:4] != "4157" || s[4] > '1' || s[5] > '4' {
		return Result{}, false
	}
	at := len(s) - int(s[5]-'0')
	text := s[6:at]
	if at < len(s) {
		text += "." + s[at:]
	}
	value, err := mass.ParseDecimal(text)
	if err != nil {
		return Result{}, false
	}
	if s[4] == '1' {
		value = value.Neg()
	}
	r = weighed(mass.StatusUnknown, number{value: value}, "g")
	r.noSign = true
	return r, true
}
