package bridge

import (
	"encoding/json"
	"math"
	"slices"
	"strconv"
	"strings"

	"panside/internal/coin"
	"panside/internal/fault"
	"panside/internal/look"
	"panside/internal/mass"
	"panside/internal/verdict"
)

// judgeIn is what "judge" takes. The weight comes either as read or typed
// (value, with unit, resolution and repeatability in that unit) or as an
// estimate (mean_g, u_g, resolution_g). Numbers may be written as JSON numbers
// or as strings; their digits count either way.
type judgeIn struct {
	Country       text  `json:"country"`      // default "US"
	Denomination  text  `json:"denomination"` // "cent"
	Year          text  `json:"year"`
	Mint          text  `json:"mint"`
	Value         text  `json:"value"`
	Unit          text  `json:"unit"`          // default "g"
	Resolution    text  `json:"resolution"`    // default: the last digit of value
	Repeatability text  `json:"repeatability"` // default: what may be assumed of an unproven scale
	Mean          text  `json:"mean_g"`
	U             text  `json:"u_g"`
	ResolutionG   text  `json:"resolution_g"`
	Confidence    text  `json:"confidence"` // for the tolerance answer; default 0.975
	Evidence      clues `json:"evidence"`
}

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

// judgeOut adds what to inspect to the verdict. A live estimate is judged many
// times a second and gets none: the screen asks "look" when the coin rests.
type judgeOut struct {
	verdict.Verdict
	Look []string `json:"look"`
}

// inspect is how many look-fors come along; method "look" has them all.
const inspect = 5

// callJudge answers "judge". Errors: fault.BadInput, fault.BadNumber,
// fault.UnknownUnit, fault.RefusedUnit, fault.NoSuchIssue, each with its field.
func callJudge(in []byte) (any, error) {
	q, live, err := readQuestion(in)
	if err != nil {
		return nil, err
	}
	v, err := verdict.Judge(coin.Default(), q)
	if err != nil {
		return nil, err
	}
	out := judgeOut{Verdict: v, Look: []string{}}
	if live {
		return out, nil
	}
	for _, l := range look.Sheet(look.Query{Country: q.Country, Denomination: q.Denomination, Year: q.Year, Mint: q.Mint, Hint: look.Hint(v.Hint)}) {
		if len(out.Look) == inspect {
			break
		}
		out.Look = append(out.Look, l.Name+" ("+l.With+"): "+l.Where)
	}
	return out, nil
}

func bad(field string, code fault.Code, sentence string) error {
	return verdict.NewInputError(field, code, sentence)
}

// readQuestion turns the JSON into a question, refusing what it doesn't know.
// live tells that the weight came as an estimate.
func readQuestion(in []byte) (q verdict.Question, live bool, err error) {
	if err := knownFields(in, "", questionFields); err != nil {
		return q, false, err
	}
	var j judgeIn
	if err := json.Unmarshal(in, &j); err != nil {
		return q, false, bad("", fault.BadInput, "The question is not a plain JSON object. Nothing was judged; check quotes and commas.")
	}
	q.Country = string(j.Country)
	if q.Country == "" {
		q.Country = "US"
	}
	q.Denomination = string(j.Denomination)
	if q.Denomination == "" {
		return q, false, bad("denomination", fault.BadInput, "A denomination is missing. Nothing was judged; name it, like cent.")
	}
	for _, step := range []func(*judgeIn, *verdict.Question) error{readDate, readWeight, readClues, readSizes} {
		if err := step(&j, &q); err != nil {
			return q, false, err
		}
	}
	return q, j.Value == "", nil
}

var (
	questionFields = []string{"country", "denomination", "year", "mint", "value", "unit", "resolution", "repeatability", "mean_g", "u_g", "resolution_g", "confidence", "evidence"}
	evidenceFields = []string{"magnetic", "edge", "stripe", "colour", "color", "diameter_mm", "thickness_mm", "density", "date", "mint", "design"}
)

// knownFields refuses a misspelt field instead of silently judging without it.
func knownFields(in []byte, prefix string, known []string) error {
	var m map[string]json.RawMessage
	if err := json.Unmarshal(in, &m); err != nil {
		field := strings.TrimSuffix(prefix, ".")
		return bad(field, fault.BadInput, "The question is not a plain JSON object. Nothing was judged; check quotes and commas.")
	}
	names := make([]string, 0, len(m))
	for name := range m {
		names = append(names, name)
	}
	slices.Sort(names)
	for _, name := range names {
		if !slices.Contains(known, name) {
			return bad(prefix+name, fault.BadInput, "There is no field “"+quoteable(prefix+name)+"”. Nothing was judged; the fields are "+strings.Join(known, ", ")+".")
		}
	}
	if raw, ok := m["evidence"]; ok && prefix == "" && string(raw) != "null" {
		return knownFields(raw, "evidence.", evidenceFields)
	}
	return nil
}

// readDate reads year and mint, given beside the weight or as evidence.
func readDate(j *judgeIn, q *verdict.Question) error {
	year, mint := j.Year, j.Mint
	switch d := strings.ToLower(string(j.Evidence.Date)); d {
	case "", string(verdict.Sure), string(verdict.Unsure):
		q.Evidence.Date = verdict.Sureness(d)
	default:
		if year != "" && year != "0" && year != text(d) {
			return bad("evidence.date", fault.BadInput, "The date is given twice and differs. Nothing was judged; give one year.")
		}
		year = text(d)
	}
	switch m := strings.ToLower(string(j.Evidence.Mint)); m {
	case "", string(verdict.Sure), string(verdict.Unsure):
		q.Evidence.Mint = verdict.Sureness(m)
	default:
		if mint != "" && mint != "?" && !strings.EqualFold(string(mint), m) {
			return bad("evidence.mint", fault.BadInput, "The mint mark is given twice and differs. Nothing was judged; give one mark.")
		}
		mint = text(m)
	}
	if year != "" {
		n, err := strconv.Atoi(string(year))
		if err != nil || n < 0 || n > 9999 {
			return bad("year", fault.BadInput, "“"+quoteable(string(year))+"” is not a year. Nothing was judged; write it like 1982, or leave it out.")
		}
		q.Year = n
	}
	if mint == notPlain {
		return bad("mint", fault.BadInput, "The mint mark must be a letter or two. Nothing was judged; write it like D, - for none, or leave it out.")
	}
	q.Mint = strings.ToUpper(string(mint))
	return nil
}

// readWeight reads the weight in either form.
func readWeight(j *judgeIn, q *verdict.Question) error {
	typed := j.Value != ""
	live := j.Mean != "" || j.U != ""
	switch {
	case typed && live:
		return bad("mean_g", fault.BadInput, "The weight is given twice, as value and as mean_g. Nothing was judged; give one of them.")
	case live:
		return readEstimate(j, q)
	case !typed:
		return bad("value", fault.BadInput, "A weight is missing. Nothing was judged; give value, like 3.11.")
	}
	unit := mass.Gram
	if j.Unit != "" {
		u, err := mass.ParseUnit(string(j.Unit))
		if err != nil {
			return inField("unit", err)
		}
		unit = u
	}
	quantity := func(field string, t text) (mass.Decimal, mass.Grams, error) {
		d, err := mass.ParseDecimal(string(t))
		if err != nil {
			return d, 0, inField(field, err)
		}
		g, err := mass.Quantity{Value: d, Unit: unit}.Grams()
		if err != nil {
			return d, 0, inField(field, err)
		}
		return d, mass.Grams(g.Float64()), nil
	}
	value, load, err := quantity("value", j.Value)
	if err != nil {
		return err
	}
	step := text(value.Step().String())
	if j.Resolution != "" {
		step = j.Resolution
	}
	_, d, err := quantity("resolution", step)
	if err != nil {
		return err
	}
	if !(d > 0) {
		return bad("resolution", fault.BadInput, "The scale's step must be more than zero. Nothing was judged; leave it out to take the last digit of the weight.")
	}
	scale := mass.UnprovenScale(d, load)
	if j.Repeatability != "" {
		_, r, err := quantity("repeatability", j.Repeatability)
		if err != nil {
			return err
		}
		if r < 0 {
			return bad("repeatability", fault.BadInput, "The repeatability can't be negative. Nothing was judged; leave it out if it wasn't measured.")
		}
		scale.Repeatability = r
	}
	q.Mean, q.U, q.Resolution, q.Repeatability = load, scale.U(), d, scale.Repeatability
	return number("confidence", j.Confidence, &q.Confidence)
}

// readEstimate reads a live estimate.
func readEstimate(j *judgeIn, q *verdict.Question) error {
	var mean, u, d float64
	for _, f := range []struct {
		name string
		text text
		into *float64
	}{{"mean_g", j.Mean, &mean}, {"u_g", j.U, &u}, {"resolution_g", j.ResolutionG, &d}, {"confidence", j.Confidence, &q.Confidence}} {
		if err := number(f.name, f.text, f.into); err != nil {
			return err
		}
	}
	if !(mean > 0) {
		return bad("mean_g", fault.BadInput, "The weight must be more than nothing. Nothing was judged; put the coin on.")
	}
	if j.U == "" {
		if !(d > 0) {
			return bad("u_g", fault.BadInput, "A weight in mean_g needs its uncertainty u_g, or the scale's step resolution_g. Nothing was judged.")
		}
		u = float64(mass.UnprovenScale(mass.Grams(d), mass.Grams(mean)).U())
	}
	q.Mean, q.U, q.Resolution = mass.Grams(mean), mass.Grams(u), mass.Grams(d)
	return nil
}

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
			return bad(f.name, fault.BadInput, "The number must be more than zero. Nothing was judged; leave it out if it wasn't measured.")
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
