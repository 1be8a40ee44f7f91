package dialect

import (
	"strconv"
	"strings"

	"panside/internal/mass"
)

// Shapes of fixed columns that the general reader knows beside its words.

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

// statusBits reads three status characters, six digits of weight and six of
// tare, as indicators send them between STX and CR, perhaps with a check
// character behind. Bit 5 of each character is set.
//
//	first    bits 0 to 2: places behind the point, plus 2; bits 3 and 4: the
//	         display counts by 1, 2 or 5
//	second   bit 0 net, 1 negative, 2 out of range, 3 in motion, 4 kg (else lb)
//	third    bits 0 to 2: 0 kg or lb, 1 g, 2 tons, 3 oz, 4 troy oz, 5 dwt;
//	         bit 4: ten times finer than the display, which is not read
//
// Knowledge: manuals of weighing indicators of several makes for the point, the
// step and the flags; the units from memory.
func statusBits(line string) (r Result, found bool) {
	if len(line) != 15 || !isDigits(strings.TrimLeft(line[3:9], " ")) || !isDigits(strings.TrimLeft(line[9:], " ")) {
		return Result{}, false
	}
	a, b, c := line[0], line[1], line[2]
	places, step := int(a&7)-2, a>>3&3
	if a&0x60 != 0x20 || b&0x60 != 0x20 || c&0x20 == 0 || c >= 0x80 || c&0x10 != 0 || places < 0 || step == 0 {
		return Result{}, false
	}
	switch {
	case b&4 != 0 && b&2 != 0:
		return underload(), true
	case b&4 != 0:
		return overload(), true
	}
	units := [...]string{"lb", "g", "t", "oz", "ozt", "dwt"}
	unit := int(c & 7)
	if unit >= len(units) {
		return withoutWeight(ownUnit), true
	}
	word := units[unit]
	if unit == 0 && b&0x10 != 0 {
		word = "kg"
	}
	digits, err := strconv.ParseInt(strings.TrimLeft(line[3:9], " "), 10, 64)
	if err != nil {
		return Result{}, false
	}
	if b&2 != 0 {
		digits = -digits
	}
	status := mass.StatusStable
	if b&8 != 0 {
		status = mass.StatusMoving
	}
	r = weighed(status, number{value: mass.NewDecimal(digits, uint8(places)), padded: true}, word)
	if r.HasValue {
		r.Resolution = mass.NewDecimal([...]int64{0, 1, 2, 5}[step], uint8(places))
	}
	r.bits = bitsWords
	return r, true
}
