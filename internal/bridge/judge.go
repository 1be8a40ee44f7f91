package bridge

import (
	"slices"
	"strconv"
	"strings"

	"panside/internal/book"
	"panside/internal/coin"
	"panside/internal/fault"
	"panside/internal/json"
	"panside/internal/look"
	"panside/internal/mass"
	"panside/internal/say"
	"panside/internal/stable"
	"panside/internal/verdict"
)

// judgeIn is what "judge" takes. The weight comes either as read or typed
// (value, with unit, resolution and repeatability in that unit) or as an
// estimate (mean_g, u_g, resolution_g; half and u_whole_g of a coin that may be half put
// down). Numbers may be written as JSON numbers
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
	Half          text  `json:"half"`
	WholeU        text  `json:"u_whole_g"`
	Confidence    text  `json:"confidence"` // for the tolerance answer; default 0.975
	Evidence      clues `json:"evidence"`
	Brief         bool  `json:"brief"` // leaves out what to inspect
	// Keep is what the hunter wants, a list of words; left out for the start's list.
	Keep   json.RawMessage `json:"keep"`
	Source text            `json:"source"` // where the coins are from: "jar" (default), "bank-roll", "inherited"
}

// judgeOut adds what to inspect first to the verdict; method "look" has the whole
// sheet. A live estimate is judged many
// times a second and gets none, as a brief question does: the screen asks "look"
// when the coin rests, and the first verdict needn't wait for that book.
type judgeOut struct {
	verdict.Verdict
	Look []string `json:"look"`
}

// callJudge answers "judge". Errors: fault.BadInput, fault.BadNumber,
// fault.UnknownUnit, fault.RefusedUnit, fault.NoSuchIssue, each with its field.
func callJudge(s *book.Shelf, in []byte) (any, error) {
	out, q, brief, err := judge(s, in)
	if err != nil {
		return nil, err
	}
	if brief {
		return out, nil
	}
	looks, err := s.LooksOf(q.Country, q.Denomination)
	if err != nil {
		return nil, err
	}
	i := &out.Inspect
	l := lookIn{
		coinIn: coinIn{i.Country, i.Denomination, i.Year, i.Mint, look.Hint(i.Hint)},
		Judged: true, Alloys: i.Alloys, Years: i.Years,
	}
	for _, e := range i.Explanations {
		l.Explanations = append(l.Explanations, look.Explanation{Kind: string(e.Kind), Name: e.Name, Planchet: e.Planchet})
	}
	for _, row := range looks.After(l.query(), l.left()) {
		if row.First {
			out.Look = append(out.Look, row.Name+" ("+row.With+"): "+row.Where)
		}
	}
	return out, nil
}

// judge answers a question, without what to inspect. brief reports whether nothing
// to inspect is wanted.
func judge(s *book.Shelf, in []byte) (out judgeOut, q verdict.Question, brief bool, err error) {
	if q, brief, err = readQuestion(s, in); err != nil {
		return out, q, brief, err
	}
	coins, err := s.Judging(q.Country)
	if err != nil {
		return out, q, brief, err
	}
	out.Look = []string{}
	out.Verdict, err = verdict.Judge(coins, q)
	return out, q, brief, err
}

func bad(field string, code fault.Code, why say.Line) error {
	return fault.InField(field, code, why)
}

// readQuestion turns the JSON into a question, refusing what it doesn't know.
// brief is true if nothing to inspect is wanted.
func readQuestion(s *book.Shelf, in []byte) (q verdict.Question, brief bool, err error) {
	if err := knownFields(in, "", questionFields); err != nil {
		return q, false, err
	}
	var given struct {
		Evidence json.RawMessage `json:"evidence"`
	}
	// What isn't an object would be read as a question without evidence, or named by no field.
	if err := json.Unmarshal(in, &given); err != nil || len(given.Evidence) > 0 && string(given.Evidence) != "null" && given.Evidence[0] != '{' {
		return q, false, bad("evidence", fault.BadInput, say.New("judge-evidence-not-an-object"))
	}
	var j judgeIn
	if err := json.Unmarshal(in, &j); err != nil {
		return q, false, bad("", fault.BadInput, say.New("judge-not-an-object"))
	}
	q.Country = coin.CountryID(string(j.Country))
	q.Denomination = strings.ToLower(string(j.Denomination))
	coins, err := s.Judging(q.Country)
	if err != nil {
		return q, false, err
	}
	q.Denomination = coins.DenominationID(q.Country, q.Denomination)
	if q.Answers, err = readAnswers(given.Evidence, coins.Questions(q.Country)); err != nil {
		return q, false, err
	}
	if q.Denomination == "" {
		return q, false, bad("denomination", fault.BadInput, say.New("judge-no-denomination"))
	}
	for _, step := range []func(*judgeIn, *verdict.Question) error{readDate, readWeight, readClues, readSizes, readRung, readOrigin} {
		if err := step(&j, &q); err != nil {
			return q, false, err
		}
	}
	if q.Keep, err = readKeep(s, coins, q.Country, j.Keep); err != nil {
		return q, false, err
	}
	return q, j.Brief || j.Value == "", nil
}

var (
	questionFields = []string{"country", "denomination", "year", "mint", "value", "unit", "resolution", "repeatability", "mean_g", "u_g", "resolution_g", "half", "u_whole_g", "confidence", "evidence", "brief", "keep", "source"}
	evidenceFields = []string{"magnetic", "edge", "stripe", "colour", "color", "diameter_mm", "thickness_mm", "density", "date", "mint", "design", "ring"}
)

// knownFields refuses a misspelt field instead of silently judging without it.
func knownFields(in []byte, prefix string, known []string) error {
	var m map[string]json.RawMessage
	if err := json.Unmarshal(in, &m); err != nil {
		field := strings.TrimSuffix(prefix, ".")
		return bad(field, fault.BadInput, say.New("judge-not-an-object"))
	}
	names := make([]string, 0, len(m))
	for name := range m {
		names = append(names, name)
	}
	stable.Words(names)
	for _, name := range names {
		if !slices.Contains(known, name) {
			return bad(prefix+name, fault.BadInput, say.New("judge-field", say.Text("given", quoteable(prefix+name)), say.Text("known", strings.Join(known, ", "))))
		}
	}
	return nil
}

// readOrigin reads where the coins are from.
func readOrigin(j *judgeIn, q *verdict.Question) error {
	q.Origin = verdict.Origin(strings.ReplaceAll(strings.ToLower(string(j.Source)), " ", "-"))
	if q.Origin != "" && !slices.Contains(verdict.Origins(), q.Origin) {
		return bad("source", fault.BadInput, say.New("judge-source", say.Text("given", quoteable(string(j.Source)))))
	}
	return nil
}

// readDate reads year and mint, given beside the weight or as evidence.
func readDate(j *judgeIn, q *verdict.Question) error {
	year, mint := j.Year, j.Mint
	switch d := strings.ToLower(string(j.Evidence.Date)); d {
	case "", string(verdict.ReadTwice), string(verdict.Guessed):
		q.Evidence.Date = verdict.Care(d)
	default:
		if year != "" && year != "0" && year != text(d) {
			return bad("evidence.date", fault.BadInput, say.New("judge-two-dates"))
		}
		year = text(d)
	}
	switch m := strings.ToLower(string(j.Evidence.Mint)); m {
	case "", string(verdict.ReadTwice), string(verdict.Guessed):
		q.Evidence.Mint = verdict.Care(m)
	default:
		if mint != "" && mint != "?" && !strings.EqualFold(string(mint), m) {
			return bad("evidence.mint", fault.BadInput, say.New("judge-two-mints"))
		}
		mint = text(m)
	}
	if year == "1776-1976" || year == "1776–1976" {
		year = "1976" // as those coins read
	}
	if year != "" {
		n, err := strconv.Atoi(string(year))
		if err != nil || n < 0 || n > 9999 {
			return bad("year", fault.BadInput, say.New("judge-year", say.Text("given", quoteable(string(year)))))
		}
		q.Year = n
	}
	if mint == notPlain {
		return bad("mint", fault.BadInput, say.New("judge-mint-unreadable"))
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
		return bad("mean_g", fault.BadInput, say.New("judge-two-weights"))
	case live:
		return readEstimate(j, q)
	case !typed:
		return bad("value", fault.BadInput, say.New("judge-no-weight"))
	}
	unit := mass.Gram
	if j.Unit != "" {
		u, err := mass.ParseUnit(string(j.Unit))
		if err != nil {
			return bad("unit", fault.Of(err).Code, say.New("judge-unit", say.Text("given", quoteable(string(j.Unit)))))
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
		return bad("resolution", fault.BadInput, say.New("judge-step-not-positive"))
	}
	scale := mass.UnprovenScale(d, load)
	if j.Repeatability != "" {
		_, r, err := quantity("repeatability", j.Repeatability)
		if err != nil {
			return err
		}
		if r < 0 {
			return bad("repeatability", fault.BadInput, say.New("judge-repeatability-negative"))
		}
		scale.Repeatability = r
	}
	q.Mean, q.U, q.Resolution, q.Repeatability = load, scale.U(), d, scale.Repeatability
	return number("confidence", j.Confidence, &q.Confidence)
}

// readEstimate reads a live estimate.
func readEstimate(j *judgeIn, q *verdict.Question) error {
	var mean, u, d, whole float64
	for _, f := range []struct {
		name string
		text text
		into *float64
	}{{"mean_g", j.Mean, &mean}, {"u_g", j.U, &u}, {"resolution_g", j.ResolutionG, &d}, {"half", j.Half, &q.Half}, {"u_whole_g", j.WholeU, &whole}, {"confidence", j.Confidence, &q.Confidence}} {
		if err := number(f.name, f.text, f.into); err != nil {
			return err
		}
	}
	if !(mean > 0) {
		return bad("mean_g", fault.BadInput, say.New("judge-no-load"))
	}
	if j.U == "" {
		if !(d > 0) {
			return bad("u_g", fault.BadInput, say.New("judge-uncertainty-missing"))
		}
		u = float64(mass.UnprovenScale(mass.Grams(d), mass.Grams(mean)).U())
	}
	q.Mean, q.U, q.WholeU, q.Resolution = mass.Grams(mean), mass.Grams(u), mass.Grams(whole), mass.Grams(d)
	return nil
}
