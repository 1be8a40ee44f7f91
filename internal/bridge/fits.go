package bridge

import (
	"strconv"

	"panside/internal/book"
	"panside/internal/coin"
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
	out := fitsOut{Sentence: sentenceOfFits(&f), Coins: []candidateOut{}, More: f.More, Tried: f.Tried, Caution: f.Caution}
	shape := shaper{coins, map[string]bool{}}
	for _, c := range f.Coins {
		out.Coins = append(out.Coins, candidateOut{shape.coin(c.Issue), c.Country, c.LikelihoodRatio, c.Chance})
	}
	out.Sources = shape.listed()
	return out, nil
}

// sentenceOfFits says what was found.
func sentenceOfFits(f *verdict.Fits) string {
	n := len(f.Coins) + f.More
	switch n {
	case 0:
		return "No coin in the book fits. Check weight and size; it may be a token, a medal, a damaged or a false coin, or one of a country that the book lacks."
	case 1:
		return "One coin in the book fits: " + calledFit(f.Coins[0].Country, f.Coins[0].Issue) + ". Its lettering must say so."
	}
	return strconv.Itoa(n) + " coins in the book fit, the likeliest first: " + calledFit(f.Coins[0].Country, f.Coins[0].Issue) + ". The lettering decides."
}

func calledFit(country string, i coin.Issue) string { return country + ", " + i.Name }
