package bridge

import (
	"panside/internal/book"
	"panside/internal/fault"
	"panside/internal/json"
	"panside/internal/say"
	"panside/internal/verdict"
)

// fitsOut is what a coin of no known country can be, the likeliest first.
type fitsOut struct {
	Sentence string         `json:"sentence"`
	Coins    []candidateOut `json:"coins"`
	More     int            `json:"more"`  // how many fit beside these
	Tried    int            `json:"tried"` // of how many in the book
	Caution  string         `json:"caution,omitempty"`
	Sources  []sourceOut    `json:"sources"`
}

// candidateOut is an issue that fits. A coin of a country that no judgement is made for has no
// denomination.
type candidateOut struct {
	coinOut
	CountryName     string         `json:"country_name"`
	LikelihoodRatio verdict.Figure `json:"likelihood_ratio"`
	Chance          verdict.Figure `json:"chance"`
}

var (
	fitsFields        = []string{"value", "unit", "resolution", "repeatability", "mean_g", "u_g", "resolution_g", "year", "evidence"}
	fitsEvidenceField = []string{"magnetic", "edge", "stripe", "colour", "color", "diameter_mm", "thickness_mm", "density", "date"}
)

// callFits answers "fits": which coins of all countries have that weight and look so. The
// weight comes as in "judge". Errors: fault.BadInput, fault.BadNumber, fault.UnknownUnit,
// fault.RefusedUnit, each with its field.
func callFits(s *book.Shelf, in []byte) (any, error) {
	if err := knownFields(in, "", fitsFields); err != nil {
		return nil, err
	}
	var given struct {
		Evidence json.RawMessage `json:"evidence"`
	}
	var j judgeIn
	if err := json.Unmarshal(in, &given); err != nil {
		return nil, bad("", fault.BadInput, say.New("question-not-an-object-worked-out"))
	}
	if len(given.Evidence) > 0 && string(given.Evidence) != "null" {
		if err := knownFields(given.Evidence, "evidence.", fitsEvidenceField); err != nil {
			return nil, err
		}
	}
	if err := json.Unmarshal(in, &j); err != nil {
		return nil, bad("", fault.BadInput, say.New("question-not-an-object-worked-out"))
	}
	var q verdict.Question
	for _, step := range []func(*judgeIn, *verdict.Question) error{readDate, readWeight, readClues, readSizes} {
		if err := step(&j, &q); err != nil {
			return nil, err
		}
	}
	coins, err := s.Coins()
	if err != nil {
		return nil, err
	}
	f, err := verdict.Fitting(coins, q)
	if err != nil {
		return nil, err
	}
	out := fitsOut{Sentence: coins.Tongue().Write(sentenceOfFits(&f)), Coins: []candidateOut{}, More: f.More, Tried: f.Tried, Caution: f.Caution}
	shape := shaper{coins, map[string]bool{}}
	for _, c := range f.Coins {
		out.Coins = append(out.Coins, candidateOut{shape.coin(c.Issue), c.Country, c.LikelihoodRatio, c.Chance})
	}
	out.Sources = shape.listed()
	return out, nil
}

// sentenceOfFits says what was found.
func sentenceOfFits(f *verdict.Fits) say.Line {
	switch n := len(f.Coins) + f.More; n {
	case 0:
		return say.New("fits-no-coin")
	case 1:
		return say.New("fits-one", say.Text("country", f.Coins[0].Country), say.Text("coin", f.Coins[0].Issue.Name))
	default:
		return say.New("fits-several", say.Count("n", n), say.Text("country", f.Coins[0].Country), say.Text("coin", f.Coins[0].Issue.Name))
	}
}
