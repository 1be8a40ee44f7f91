// Package plain reads the numbers and words of a question as people and programs
// write them in JSON: 3.110, "3.110" and "hot" alike, each refused by the name of
// its field.
package plain

import (
	"math"
	"strconv"
	"strings"

	"panside/internal/fault"
	"panside/internal/json"
	"panside/internal/say"
)

// Text is a JSON string, number or truth value as the characters it was written
// with, so that 3.110 keeps its zero. null is empty.
type Text string

// Not marks a list or object where a word or number belongs.
const Not Text = "\x00"

// UnmarshalJSON takes anything; what is no plain value becomes Not.
func (t *Text) UnmarshalJSON(raw []byte) error {
	switch {
	case string(raw) == "null":
		*t = ""
	case raw[0] == '"':
		var s string
		if err := json.Unmarshal(raw, &s); err != nil {
			return err
		}
		*t = Text(strings.TrimSpace(s))
	case raw[0] == '{' || raw[0] == '[':
		*t = Not
	default:
		*t = Text(raw)
	}
	return nil
}

// Number reads t into a number and leaves it alone if t is empty. Errors:
// *fault.Field with fault.BadNumber for what isn't a finite number.
func Number(field string, t Text, into *float64) error {
	if t == "" {
		return nil
	}
	x, err := strconv.ParseFloat(string(t), 64)
	if err != nil || math.IsNaN(x) || math.IsInf(x, 0) {
		return fault.InField(field, fault.BadNumber, say.New("judge-number", say.Text("given", Quotable(string(t)))))
	}
	*into = x
	return nil
}

// Word brings what a person wrote to one form: lower case, hyphens for blanks.
func Word(t Text) string {
	return strings.ReplaceAll(strings.ReplaceAll(strings.ToLower(string(t)), " ", "-"), "_", "-")
}

// Quotable cuts what a person typed so that it can stand in a sentence: 24 runes
// at most, none of them a control character.
func Quotable(s string) string {
	const limit = 24
	s = strings.Map(func(r rune) rune {
		if r < ' ' {
			return '?'
		}
		return r
	}, strings.ToValidUTF8(s, "?"))
	if r := []rune(s); len(r) > limit {
		s = string(r[:limit]) + "…"
	}
	return s
}
