package dialect

import (
	"strings"

	"panside/internal/fault"
	"panside/internal/mass"
)

// number is a weight field: a number set in columns.
type number struct {
	value mass.Decimal
	// padded is set if blanks or zeros fill the field in front, so that its
	// width is fixed on that scale.
	padded bool
	comma  commaMark
}

// parseNumber reads a field of optional blanks, an optional sign, optional
// blanks, and a decimal with a point or comma that ends the field. The sign may
// stand in its own column or before the first digit.
func parseNumber(s string) (n number, ok bool) {
	body := strings.TrimLeft(s, " ")
	sign := ""
	if body != "" && (body[0] == '+' || body[0] == '-') {
		sign = body[:1]
		body = strings.TrimLeft(body[1:], " ")
	}
	if body == "" || body[0] < '0' || body[0] > '9' {
		return number{}, false
	}
	plain, mark, ok := decimalMark(body)
	if !ok {
		return number{}, false
	}
	value, err := mass.ParseDecimal(sign + plain)
	if err != nil {
		return number{}, false
	}
	zeros := len(body) > 1 && body[0] == '0' && isDigit(body[1])
	return number{value, zeros || len(sign)+len(body) < len(s), mark}, true
}

// isLetters reports whether s is one or more ASCII letters.
func isLetters(s string) bool {
	for i := 0; i < len(s); i++ {
		if c := s[i] | 0x20; c < 'a' || c > 'z' {
			return false
		}
	}
	return s != ""
}

// isDigits reports whether s is one or more decimal digits.
func isDigits(s string) bool {
	for i := 0; i < len(s); i++ {
		if s[i] < '0' || s[i] > '9' {
			return false
		}
	}
	return s != ""
}

// splitTail cuts s after its last digit: the number's field and what
// follows it.
func splitTail(s string) (field, tail string) {
	i := len(s)
	for i > 0 && (s[i-1] < '0' || s[i-1] > '9') {
		i--
	}
	return s[:i], s[i:]
}

// weighed is the result of a whole line with a value. A refused unit is
// understood but gives no value; an unknown one is impossible.
func weighed(status mass.Status, n number, unit string) Result {
	value := n.value
	// mass is kind to people's typing; a line has to be plain.
	if strings.Trim(unit, unitBytes+". ") != "" {
		return Result{Outcome: Impossible}
	}
	u, err := mass.ParseUnit(unit)
	if f := fault.Of(err); f != nil {
		if f.Code == fault.RefusedUnit {
			return withoutWeight(f)
		}
		if !isLetters(strings.Trim(unit, " ")) {
			return Result{Outcome: Impossible}
		}
		return Result{Outcome: Impossible, Problem: f}
	}
	return Result{
		Outcome: Read, Status: status,
		Quantity: mass.Quantity{Value: value, Unit: u}, HasValue: true,
		Resolution: value.Step(),
		padded:     n.padded,
		comma:      n.comma,
		gr:         strings.EqualFold(strings.Trim(unit, " ."), "gr"),
	}
}

// unitWord is how Format writes a unit: "gr" would be asked about.
func unitWord(u mass.Unit) string {
	if u == mass.Grain {
		return "GN"
	}
	return string(u)
}

// withoutWeight is the result of a whole line that holds no weight of the load.
func withoutWeight(why *fault.Error) Result {
	return Result{Outcome: Read, Status: mass.StatusError, Problem: why}
}

func overload() Result  { return Result{Outcome: Read, Status: mass.StatusOver, Problem: tooMuch} }
func underload() Result { return Result{Outcome: Read, Status: mass.StatusUnder, Problem: tooLittle} }

// mixedPair reports whether text is a weight of two units, as in "0:03.2" or
// "1 lb 3.2 oz"; such pairs are refused by name.
func mixedPair(text string) bool {
	text = strings.ToLower(text)
	if i := strings.IndexByte(text, ':'); i > 0 {
		return strings.Contains(text, "lb") || strings.Contains(text, "oz")
	}
	i := strings.Index(text, "lb")
	return i > 0 && strings.Contains(text[i:], "oz")
}

// refusedPair is the result for a mixed pair.
func refusedPair() Result {
	_, err := mass.ParseUnit("lb:oz")
	return withoutWeight(fault.Of(err))
}

// right sets s against the right edge of a field; "" if it doesn't fit.
func right(s string, width int) string {
	if len(s) > width {
		return ""
	}
	return strings.Repeat(" ", width-len(s)) + s
}

// left sets s against the left edge of a field; "" if it doesn't fit.
func left(s string, width int) string {
	if len(s) > width {
		return ""
	}
	return s + strings.Repeat(" ", width-len(s))
}

// signed splits a value into its sign column and its digits.
func signed(d mass.Decimal) (sign, digits string) {
	s := d.String()
	if rest, negative := strings.CutPrefix(s, "-"); negative {
		return "-", rest
	}
	return "+", s
}
