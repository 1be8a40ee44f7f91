package bridge

import (
	"panside/internal/coin"
	"panside/internal/fault"
	"panside/internal/json"
	"panside/internal/plain"
	"panside/internal/verdict"
)

// clues are the optional fields of evidence.
type clues struct {
	Magnetic  text            `json:"magnetic"` // true, false, "no", "weak", "strong", "yes"
	Edge      text            `json:"edge"`     // "plain", "reeded", "lettered", "other"; also "stripe", "no stripe"
	Stripe    text            `json:"stripe"`   // a line of another colour on the edge: true, false
	Colour    text            `json:"colour"`   // "red", "yellow", "white", "grey", "two-hue" and everyday words
	Color     text            `json:"color"`
	Diameter  text            `json:"diameter_mm"`
	Thickness text            `json:"thickness_mm"`
	Density   text            `json:"density"` // g/cm³
	Date      text            `json:"date"`    // "sure", "unsure", or the year
	Mint      text            `json:"mint"`    // "sure", "unsure", or the mark
	Design    text            `json:"design"`  // is it the tapped denomination's: true, false
	Ring      json.RawMessage `json:"ring"`    // how it rang, see ringIn
}

// text is a plain value of a question; notPlain marks a list or object in its place.
type text = plain.Text

const notPlain = plain.Not

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

// readRung reads how the coin rang.
func readRung(j *judgeIn, q *verdict.Question) (err error) {
	q.Evidence.Ring, err = readRing("evidence.ring", j.Evidence.Ring)
	return err
}

func number(field string, t text, into *float64) error { return plain.Number(field, t, into) }

func word(t text) string { return plain.Word(t) }

func unknownWord(field string, t text, known string) error {
	return bad(field, fault.BadInput, "“"+quoteable(string(t))+"” isn’t understood there. Nothing was judged; write one of: "+known+".")
}

// inField names the field of a fault from below.
func inField(field string, err error) error {
	return &fault.Field{Name: field, Fault: fault.Of(err)}
}

func quoteable(s string) string { return plain.Quotable(s) }
