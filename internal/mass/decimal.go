package mass

import (
	"cmp"
	"math/bits"
	"strings"

	"panside/internal/fault"
	"panside/internal/say"
)

// Decimal is an exact decimal number that remembers how many digits stand
// after its point: "3.110" and "3.11" are equal in value (Cmp gives 0) but
// print differently, because on a scale's display the digits say how finely it
// weighs. The zero value is 0.
type Decimal struct {
	coef   int64 // value = coef / 10^places
	places uint8
}

const (
	maxPlaces = 15
	maxDigits = 18 // any coefficient of 18 digits fits an int64
)

// NewDecimal returns coef / 10^places. It panics for more than 15 places:
// callers write those as constants.
func NewDecimal(coef int64, places uint8) Decimal {
	if places > maxPlaces {
		panic("mass: more than 15 decimal places")
	}
	return Decimal{coef, places}
}

// ParseDecimal reads an optional sign, digits, and optionally a point and more
// digits; nothing else (no exponent, no group marks, no blanks), so that a
// garbled line can't slip through as a number. A bare leading or trailing
// point is refused too. Errors are fault.BadNumber.
func ParseDecimal(s string) (Decimal, error) {
	body := s
	negative := false
	if body != "" && (body[0] == '+' || body[0] == '-') {
		negative = body[0] == '-'
		body = body[1:]
	}
	whole, frac, hasPoint := strings.Cut(body, ".")
	if whole == "" || (hasPoint && frac == "") {
		return Decimal{}, badNumber(s)
	}
	if len(frac) > maxPlaces {
		return Decimal{}, tooLong(s)
	}
	var coef int64
	digits := 0
	for _, part := range [2]string{whole, frac} {
		for i := 0; i < len(part); i++ {
			c := part[i]
			if c < '0' || c > '9' {
				return Decimal{}, badNumber(s)
			}
			if coef != 0 || c != '0' {
				digits++
			}
			if digits > maxDigits {
				return Decimal{}, tooLong(s)
			}
			coef = coef*10 + int64(c-'0')
		}
	}
	if negative {
		coef = -coef
	}
	return Decimal{coef, uint8(len(frac))}, nil
}

// MustDecimal is ParseDecimal for constants; it panics on a bad one.
func MustDecimal(s string) Decimal {
	d, err := ParseDecimal(s)
	if err != nil {
		panic(err)
	}
	return d
}

// quoteable cuts what a person typed so that it can stand in a sentence.
func quoteable(s string) string {
	const limit = 24
	s = strings.ToValidUTF8(s, "?")
	if r := []rune(s); len(r) > limit {
		s = string(r[:limit]) + "…"
	}
	return s
}

func badNumber(s string) error {
	return fault.New(fault.BadNumber, say.New("number-unreadable", say.Text("given", quoteable(s))))
}

func tooLong(s string) error {
	return fault.New(fault.BadNumber, say.New("number-too-long", say.Text("given", quoteable(s))))
}

// Places is the number of digits after the point.
func (d Decimal) Places() int { return int(d.places) }

// Sign is -1, 0 or +1.
func (d Decimal) Sign() int {
	switch {
	case d.coef < 0:
		return -1
	case d.coef > 0:
		return 1
	}
	return 0
}

// Neg returns -d.
func (d Decimal) Neg() Decimal { return Decimal{-d.coef, d.places} }

// Step is one unit of the last digit: 0.01 for 3.11. On a scale that shows
// every digit it uses, this is the resolution d.
func (d Decimal) Step() Decimal { return Decimal{1, d.places} }

// Float64 is the nearest float64, for statistics only.
func (d Decimal) Float64() float64 {
	// Both operands are exact below 2^53, so one division rounds once.
	return float64(d.coef) / float64(pow10(d.places))
}

// String prints d with exactly Places digits after the point.
func (d Decimal) String() string {
	neg := d.coef < 0
	u := uint64(d.coef)
	if neg {
		u = -u
	}
	var buf [24]byte
	i := len(buf)
	for n := 0; u > 0 || n <= int(d.places); n++ {
		if n == int(d.places) && n > 0 {
			i--
			buf[i] = '.'
		}
		i--
		buf[i] = byte('0' + u%10)
		u /= 10
	}
	if neg {
		i--
		buf[i] = '-'
	}
	return string(buf[i:])
}

// Mul returns the exact product d·e, with the trailing zeros that e's digits
// brought in removed down to d's own number of places. Errors with
// fault.BadNumber when the product has more digits than can be held exactly.
func (d Decimal) Mul(e Decimal) (Decimal, error) {
	hi, lo := bits.Mul64(abs(d.coef), abs(e.coef))
	if hi != 0 || lo > 1<<63-1 {
		return Decimal{}, tooLong(d.String() + " × " + e.String())
	}
	coef, places := int64(lo), int(d.places)+int(e.places)
	for places > int(d.places) && coef%10 == 0 {
		coef /= 10
		places--
	}
	if places > maxPlaces {
		return Decimal{}, tooLong(d.String() + " × " + e.String())
	}
	if (d.coef < 0) != (e.coef < 0) {
		coef = -coef
	}
	return Decimal{coef, uint8(places)}, nil
}

// Cmp compares values: -1 for d < e, 0 for equal, +1 for d > e.
func (d Decimal) Cmp(e Decimal) int {
	if d.Sign() != e.Sign() {
		return cmp.Compare(d.Sign(), e.Sign())
	}
	dh, dl := bits.Mul64(abs(d.coef), uint64(pow10(e.places)))
	eh, el := bits.Mul64(abs(e.coef), uint64(pow10(d.places)))
	c := 0
	switch {
	case dh > eh || dh == eh && dl > el:
		c = 1
	case dh < eh || dh == eh && dl < el:
		c = -1
	}
	if d.Sign() < 0 {
		c = -c
	}
	return c
}

func abs(i int64) uint64 {
	if i < 0 {
		return -uint64(i)
	}
	return uint64(i)
}

func pow10(n uint8) int64 {
	p := int64(1)
	for range n {
		p *= 10
	}
	return p
}
