package verdict

import (
	"math"
	"strconv"

	"panside/internal/coin"
	"panside/internal/json"
	"panside/internal/say"
)

// Call is the verdict in one word.
type Call string

// The calls.
const (
	Ordinary   Call = "ordinary"    // a regular coin, its alloy told
	Either     Call = "either"      // regular, and weight can't say of which alloy
	Look       Call = "look"        // something here deserves a closer look
	CannotTell Call = "cannot-tell" // this scale is too coarse, or hasn't settled enough
)

// Hint is what the weight is beside that of a regular coin.
type Hint string

// The hints; none when the scale can't tell, or two coins lie there.
const (
	Light   Hint = "light"
	Heavy   Hint = "heavy"
	Regular Hint = "regular"
)

// Verdict is the answer, in the shape that is sent to the screens.
type Verdict struct {
	Call     Call   `json:"call"`
	Claim    Claim  `json:"claim"`    // what it comes down to, to compare by
	Headline string `json:"headline"` // one short sentence for the glass
	// First is the headline's first sentence, read at a glance; Rest what follows it.
	First  string `json:"headline_first"`
	Rest   string `json:"headline_rest"`
	Spoken string `json:"spoken"` // for the ear
	// Said is what these two say, in no language yet.
	Said Said `json:"said"`
	// Alloys the coin can be of, likeliest first. What is missing to 1 is for
	// altered, false and unknown pieces and for what is too unlikely to list.
	Alloys []Alloy `json:"alloys"`
	// Decisive: the first alloy is more than DecisiveOdds times likelier than
	// all else together, and weight or evidence made it so.
	Decisive     bool          `json:"decisive"`
	DecisiveOdds float64       `json:"decisive_odds"`
	Tolerance    Tolerance     `json:"tolerance"`
	Explanations []Explanation `json:"explanations"`
	NextTest     *Test         `json:"next_test"`
	// OtherTests that would tell something too, best first.
	OtherTests []Test  `json:"other_tests,omitempty"`
	Hint       Hint    `json:"hint"`
	CountAs    CountAs `json:"tally"`
	// Metal is the one it names, whatever the call; nil for none or several.
	Metal *Metal `json:"metal"`

	// Question is the one thing left to see between ordinary and rare, nil for
	// none; Answered are those that the question has answers to.
	Question *Asked     `json:"question"`
	Answered []Answered `json:"answered"`
	Inspect  Inspect    `json:"inspect"`
	Keeping
}

// Alloy is one possible metal.
type Alloy struct {
	Name        string    `json:"name"`
	Fractions   Fractions `json:"fractions"`
	Probability Figure    `json:"probability"`
	// Years in which the denomination was regularly struck of it; empty for a
	// metal it never had.
	Years []string `json:"years"`
}

// Fractions are mass fractions by element, written as a JSON object, largest
// first.
type Fractions []coin.Fraction

// MarshalJSON writes {"Cu":0.95,"Sn":0.04}.
func (f Fractions) MarshalJSON() ([]byte, error) {
	out := []byte{'{'}
	for i, x := range f {
		if i > 0 {
			out = append(out, ',')
		}
		name, err := json.Marshal(string(x.Element))
		if err != nil {
			return nil, err
		}
		share, err := json.Marshal(x.Share)
		if err != nil {
			return nil, err
		}
		out = append(append(append(out, name...), ':'), share...)
	}
	return append(out, '}'), nil
}

// State is where a mass lies beside the limits.
type State string

// The states.
const (
	Within       State = "within"
	Below        State = "below"
	Above        State = "above"
	Inconclusive State = "inconclusive"
	Unpublished  State = "unpublished"
)

// Tolerance is the answer of JCGM 106:2012 for the limits of one issue.
type Tolerance struct {
	State   State  `json:"state"`
	Issue   string `json:"issue"` // whose limits: the likeliest issue
	Nominal Figure `json:"nominal_g"`
	Limit   Figure `json:"limit_g"` // plus or minus
	// Conformity is the probability that the mass lies within the limits,
	// knowing nothing but the weighing.
	Conformity Figure `json:"conformity"`
	U          Figure `json:"u_g"`
	// WornOK: the coin is lighter than a new one may be, and wear explains it.
	WornOK bool `json:"worn_ok"`
	// Scope of the published figure: the limit of a piece, or of a batch, which
	// says nothing of one piece.
	Scope coin.Scope `json:"scope"`
	// Assumed: other alloys remain open, and the likeliest one's limits were
	// taken.
	Assumed       bool    `json:"assumed"`
	Sentence      string  `json:"sentence"`
	Settle        string  `json:"settle,omitempty"` // what would settle an inconclusive answer
	NominalSource *Source `json:"nominal_source"`
	LimitSource   *Source `json:"limit_source"`
}

// Source says where a figure comes from and how sure it is.
type Source struct {
	Title string     `json:"title"`
	Grade coin.Grade `json:"grade"`
}

// Figure is a number as far as it is worth showing: JSON gets six significant
// digits, and null for Absent.
type Figure float64

// Absent is the figure that isn't there.
var Absent = Figure(math.NaN())

// MarshalJSON writes six significant digits or null.
func (f Figure) MarshalJSON() ([]byte, error) {
	x := float64(f)
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return []byte("null"), nil
	}
	if math.Abs(x) < 1e-12 {
		return []byte("0"), nil // no digit of a probability so small is known
	}
	return strconv.AppendFloat(nil, x, 'g', 6, 64), nil
}

// Explanation is one thing that may explain the weight.
type Explanation struct {
	Kind Kind   `json:"kind"`
	Name string `json:"name"`
	// Expected mass in grams, null where the kind has no mass of its own.
	Expected Figure `json:"expected_g"`
	// LikelihoodRatio against ordinary wear and damage, at most a million
	// million: beyond that the model isn't worth the digits.
	LikelihoodRatio Figure `json:"likelihood_ratio"`
	// Support is that ratio in a word.
	Support Support `json:"support"`
	// Steers: likely enough for the inspection list to begin with what would show
	// it.
	Steers bool `json:"speaks"`
	// Expert: likely enough against everything everyday to be worth an
	// expert's time.
	Expert  bool   `json:"expert"`
	Confirm string `json:"confirm"`
}

// Test is one thing to try next.
type Test struct {
	Test        string  `json:"test"`
	Sentence    string  `json:"sentence"` // how to do it, and what its results would say
	Do          string  `json:"do"`       // the first of these alone
	Tells       string  `json:"tells"`    // and the second; empty where nothing is sure
	Caution     string  `json:"caution,omitempty"`
	Information float64 `json:"gain_bits"` // expected information
	// Evidence is the field of the evidence that the answer goes into, Choices the
	// answers to a test that isn't a number.
	Evidence string    `json:"evidence"`
	Choices  []Outcome `json:"choices,omitempty"`

	brief say.Line // the same for a headline
}

// Outcome is one answer to a test: what goes into the evidence, and what stands
// on the button.
type Outcome struct {
	Value string `json:"value"`
	Name  string `json:"name"`
}
