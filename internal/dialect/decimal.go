package dialect

import (
	"strings"

	"panside/internal/mass"
)

// figure is a number as a scale writes it, read.
type figure struct {
	value mass.Decimal
	// step is the smallest step that is to be relied on: without the digits set
	// off.
	step mass.Decimal
	mark commaMark
}

// commaMark is what a number says of the comma.
type commaMark uint8

const (
	noComma commaMark = iota
	// commaOpen: "1,234" can be a little more than one or more than a thousand.
	commaOpen
	// commaDecimal: the comma can only be the decimal mark.
	commaDecimal
)

// readFigure reads digits with a decimal point or comma, perhaps with group
// marks of the other kind, and perhaps with the last digits set off.
func readFigure(s string) (f figure, ok bool) {
	fine := 0
	if i := strings.IndexAny(s, "[/"); i >= 0 {
		set := strings.TrimSuffix(s[i+1:], "]")
		fine = len(set)
		s = s[:i] + set
	}
	if s[0] == '.' {
		s = "0" + s
	}
	whole, f2, ok := decimalMark(strings.TrimSuffix(s, "."))
	if !ok {
		return figure{}, false
	}
	value, err := mass.ParseDecimal(whole)
	if err != nil || fine > value.Places() {
		return figure{}, false
	}
	f = figure{value: value, step: mass.NewDecimal(1, uint8(value.Places()-fine)), mark: f2}
	return f, true
}

// decimalMark turns the decimal mark into a point and takes out group marks.
func decimalMark(s string) (plain string, mark commaMark, ok bool) {
	comma, point := strings.IndexByte(s, ','), strings.IndexByte(s, '.')
	switch {
	case comma < 0:
		return s, noComma, strings.Count(s, ".") <= 1
	case point < 0 && strings.Count(s, ",") > 1:
		return "", noComma, false
	case point < 0:
		mark = commaDecimal
		if len(s)-comma == 4 && comma <= 3 && s[0] != '0' {
			mark = commaOpen
		}
		return strings.Replace(s, ",", ".", 1), mark, true
	case comma < point:
		plain, ok = ungrouped(s, ',', '.')
		return plain, noComma, ok
	}
	plain, ok = ungrouped(s, '.', ',')
	return plain, commaDecimal, ok
}

// ungrouped takes out group marks; every group but the first has three digits.
func ungrouped(s string, group, point byte) (plain string, ok bool) {
	whole, frac, _ := strings.Cut(s, string(point))
	if strings.IndexByte(frac, point) >= 0 || strings.IndexByte(frac, group) >= 0 {
		return "", false
	}
	for i, part := range strings.Split(whole, string(group)) {
		if i == 0 && (part == "" || len(part) > 3) || i > 0 && len(part) != 3 {
			return "", false
		}
	}
	return strings.ReplaceAll(whole, string(group), "") + "." + frac, true
}
