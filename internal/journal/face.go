package journal

import (
	"strconv"
	"strings"

	"panside/internal/mass"
	"panside/internal/say"
	"panside/internal/stable"
)

// Face is an amount of face value in the coins' own currency: what was paid at
// the bank and given back to it. It is never a price.
type Face struct {
	Amount   string `json:"amount"`   // a plain decimal such as "25.00"
	Currency string `json:"currency"` // three letters of ISO 4217
}

// facePlaces is how finely face values are added: a ten-thousandth of the unit,
// so that a half cent (0.005) and any newer coin fit.
const facePlaces = 4

func (f Face) check() say.Line {
	if _, _, ok := f.units(); !ok {
		return say.New("field-face")
	}
	if len(f.Currency) != 3 || strings.Trim(f.Currency, "ABCDEFGHIJKLMNOPQRSTUVWXYZ") != "" {
		return say.New("field-currency")
	}
	return say.Line{}
}

// units is the amount in 1/10000 and the number of digits after its point.
func (f Face) units() (n int64, places int, ok bool) {
	d, err := mass.ParseDecimal(f.Amount)
	if err != nil || d.Sign() < 0 || d.Places() > facePlaces || d.Cmp(mass.NewDecimal(1e9, 0)) >= 0 {
		return 0, 0, false
	}
	whole, frac, _ := strings.Cut(strings.TrimPrefix(f.Amount, "+"), ".")
	n, err = strconv.ParseInt(whole+frac+strings.Repeat("0", facePlaces-len(frac)), 10, 64)
	return n, len(frac), err == nil
}

// purse adds face values, each currency by itself.
type purse map[string]amount

type amount struct {
	units  int64
	places int
}

func (p purse) add(f *Face, sign int64) {
	if f == nil {
		return
	}
	if n, places, ok := f.units(); ok {
		t := p[f.Currency]
		p[f.Currency] = amount{t.units + sign*n, max(t.places, places)}
	}
}

func (p purse) join(o purse) {
	for c, t := range o {
		had := p[c]
		p[c] = amount{had.units + t.units, max(had.places, t.places)}
	}
}

// list is the sums in order of their currencies.
func (p purse) list() []Face {
	all := make([]Face, 0, len(p))
	for c, t := range p {
		all = append(all, Face{t.String(), c})
	}
	stable.Sort(all, func(a, b Face) int { return strings.Compare(a.Currency, b.Currency) })
	return all
}

func (t amount) String() string {
	digits := strconv.FormatInt(max(t.units, -t.units), 10)
	if short := facePlaces + 1 - len(digits); short > 0 {
		digits = strings.Repeat("0", short) + digits
	}
	s := digits[:len(digits)-facePlaces]
	if t.places > 0 {
		s += "." + digits[len(digits)-facePlaces:][:t.places]
	}
	if t.units < 0 {
		s = "-" + s
	}
	return s
}
