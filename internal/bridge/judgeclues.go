package bridge

import (
	"math"
	"strconv"
	"strings"

	"panside/internal/coin"
	"panside/internal/fault"
	"panside/internal/json"
	"panside/internal/verdict"
)

// clues are the optional fields of evidence.
type clues struct {
	Magnetic  text `json:"magnetic"` // true, false, "no", "weak", "strong", "yes"
	Edge      text `json:"edge"`     // "plain", "reeded", "lettered", "other"; also "stripe", "no stripe"
	Stripe    text `json:"stripe"`   // a line of another colour on the edge: true, false
	Colour    text `json:"colour"`   // "red", "yellow", "white", "grey", "two-hue" and everyday words
	Color     text `json:"color"`
	Diameter  text `json:"diameter_mm"`
	Thickness text `json:"thickness_mm"`
	Density   text `json:"density"` // g/cm³
	Date      text `json:"date"`    // "sure", "unsure", or the year
	Mint      text `json:"mint"`    // "sure", "unsure", or the mark
	Design    text `json:"design"`  // is it the tapped denomination's: true, false
}

// text is a JSON string, number or truth value as the characters it was
// written with, so that 3.110 keeps its zero. null is empty.
type text string

// UnmarshalJSON takes any of these; anything else is refused by check.
func (t *text) UnmarshalJSON(raw []byte) error {
	switch {
	case string(raw) == "null":
		*t = ""
	case raw[0] == '"':
		var s string
		if err := json.Unmarshal(raw, &s); err != nil {
			return err
		}
		*t = text(strings.TrimSpace(s))
	case raw[0] == '{' || raw[0] == '[':
		*t = notPlain
	default:
		*t = text(raw)
	}
	return nil
}

// notPlain marks a list or object where a word or number belongs.
const notPlain = "\x00"

// readClues reads the words of the evidence.
func readClues(j *judgeIn, q *verdict.Question) error {
	e := &q.Evidence
	c := &j.Evidence
	if c.Colour == "" {
		c.Colour = c.Color
	}
	if w := word(c.Edge); w != "" {
		switch w {
		case "plain", "smooth":
			e.Edge = coin.EdgePlain
		case "reeded", "milled":
			e.Edge = coin.EdgeReeded
		case "lettered":
			e.Edge = coin.EdgeLettered
		case "other", "decorated", "ornamented":
			e.Edge = coin.EdgeOther
		case "stripe", "copper-stripe", "clad":
			e.Stripe = verdict.Yes
		case "no-stripe", "one-colour", "one-color", "solid":
			e.Stripe = verdict.No
		default:
			return unknownWord("evidence.edge", c.Edge, "plain, reeded, lettered, other, stripe, no stripe")
		}
	}
	for _, f := range []struct {
		name string
		text text
		into *verdict.YesNo
	}{{"evidence.stripe", c.Stripe, &e.Stripe}, {"evidence.design", c.Design, &e.Design}} {
		switch word(f.text) {
		case "":
		case "yes", "true":
			*f.into = verdict.Yes
		case "no", "false":
			*f.into = verdict.No
		default:
			return unknownWord(f.name, f.text, "true, false")
		}
	}
	switch word(c.Magnetic) {
	case "":
	case "no", "false", "none":
		e.Magnetic = verdict.NotAttracted
	case "yes", "true":
		e.Magnetic = verdict.Attracted
	case "weak":
		e.Magnetic = verdict.Weak
	case "strong":
		e.Magnetic = verdict.Strong
	default:
		return unknownWord("evidence.magnetic", c.Magnetic, "true, false, weak, strong")
	}
	switch word(c.Colour) {
	case "":
	case "red", "copper", "brown", "bronze":
		e.Colour = coin.Red
	case "yellow", "gold", "golden", "brass":
		e.Colour = coin.Yellow
	case "white", "silver", "silvery":
		e.Colour = coin.White
	case "grey", "gray", "steel":
		e.Colour = coin.Grey
	case "two-hue", "two-colours", "two-colors", "bimetal":
		e.Colour = coin.TwoHue
	default:
		return unknownWord("evidence.colour", c.Colour, "red, yellow, white, grey, two-hue")
	}
	return nil
}

// readSizes reads the measured evidence. Zero is refused: it would pass for
// not measured.
func readSizes(j *judgeIn, q *verdict.Question) error {
	for _, f := range []struct {
		name string
		text text
		into *float64
	}{
		{"evidence.diameter_mm", j.Evidence.Diameter, &q.Evidence.Diameter},
		{"evidence.thickness_mm", j.Evidence.Thickness, &q.Evidence.Thickness},
		{"evidence.density", j.Evidence.Density, &q.Evidence.Density},
	} {
		if err := number(f.name, f.text, f.into); err != nil {
			return err
		}
		if f.text != "" && !(*f.into > 0) {
			return bad(f.name, fault.BadInput, "The number must be more than zero. Nothing was judged; leave it out if it wasn’t measured.")
		}
	}
	return nil
}

// number reads a plain or exponent number; empty leaves into alone.
func number(field string, t text, into *float64) error {
	if t == "" {
		return nil
	}
	x, err := strconv.ParseFloat(string(t), 64)
	if err != nil || math.IsNaN(x) || math.IsInf(x, 0) {
		return bad(field, fault.BadNumber, "“"+quoteable(string(t))+"” is not a number. Nothing was judged; write it like 19.05.")
	}
	*into = x
	return nil
}

// word brings what a person wrote to one form: lower case, hyphens for blanks.
func word(t text) string {
	return strings.ReplaceAll(strings.ReplaceAll(strings.ToLower(string(t)), " ", "-"), "_", "-")
}

func unknownWord(field string, t text, known string) error {
	return bad(field, fault.BadInput, "“"+quoteable(string(t))+"” isn’t understood there. Nothing was judged; write one of: "+known+".")
}

// inField names the field of a fault from below.
func inField(field string, err error) error {
	f := fault.Of(err)
	return verdict.NewInputError(field, f.Code, f.Sentence)
}

// quoteable cuts what a person typed so that it can stand in a sentence.
func quoteable(s string) string {
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
