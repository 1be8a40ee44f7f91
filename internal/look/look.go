// Package look knows what to inspect on a coin: the look-fors of an issue, in
// the order a person at the table should take them, and the identification key
// for “I see something”.
//
// Everything a person reads is data: internal/book/data/README.md says where it
// stands and how a fact is written, internal/book loads it, and Check holds it
// to its rules. A fact has the fields of Fact; each that it leaves out is taken
// from its kind, so that it says just what is special about it.
//
// Kinds are told apart by what made them, facts in words of our own: no
// catalogue's numbers, no prices, no names.
package look

import (
	"slices"
	"strings"

	"panside/internal/coin"
	"panside/internal/say"
)

// Hint is what the verdict says of the weight, as far as a sheet needs it.
type Hint string

// The hints. NoHint is for a coin not weighed yet or a scale that can't tell.
const (
	NoHint  Hint = ""
	Light   Hint = "light"
	Heavy   Hint = "heavy"
	Regular Hint = "regular"
)

// Scope says how closely a look-for is tied to the coin asked about.
type Scope string

// The scopes, closest first.
const (
	OfDate Scope = "date"
	OfType Scope = "type"
	OfAny  Scope = "any"
)

// Query asks for the sheet of a coin, as far as it is known.
type Query struct {
	Country      string // "US"
	Denomination string // "cent", as in the coin catalogue
	Year         int    // 0 when not known
	Mint         string // "D"; "-" for no mark; "" or "?" when not known
	Hint         Hint
}

// LookFor is one thing to inspect, ready to be read.
type LookFor struct {
	// ID is the fact's, or of what any coin may show its kind's. It stays, so that
	// records can point at it; country and denomination go with it.
	ID      string `json:"id"`
	Kind    string `json:"kind"`
	Name    string `json:"name"`
	Scope   Scope  `json:"scope"`
	Side    string `json:"side"`
	Where   string `json:"where"`
	With    string `json:"with"`
	See     string `json:"see"`
	Mimics  string `json:"mimics"`
	Decides string `json:"decides"`
	Weight  string `json:"weight"`
	Rarity  string `json:"rarity"`
	Sure    string `json:"sure"`
	// Light is how to hold the lamp. LookAlike marks what looks like a find and is
	// none, told so that it isn't taken for one.
	Light     string `json:"light"`
	LookAlike bool   `json:"look_alike"`
	// Drawings are the names of those that show it: its kind's, or what to look for
	// first and then what is taken for it.
	Drawings []string `json:"drawings"`
	// ExplainsWeight: it would bear out an explanation of the verdict; without one,
	// it would explain the query's hint.
	ExplainsWeight bool `json:"explains_weight"`
	// First: one of the few to begin with.
	First bool `json:"first"`
	// English names the fields above whose text is English because the book's language
	// has none; left out if there are none.
	English []string `json:"english,omitempty"`
}

// Kind is one of the fixed kinds with its general words.
type Kind struct {
	ID   string `json:"id"`
	Name string `json:"name"`
	// LookAlike is what wear, damage or people do to coins, and what often happens
	// at the mint without making a coin scarce, such as strike doubling.
	LookAlike bool `json:"look_alike"`
	// Any puts the kind on every coin's sheet; the others are only on the
	// sheets whose facts name them.
	Any bool `json:"any"`
	// Explains lists the weighings that point to this kind.
	Explains []Hint `json:"explains"`
	// RuledOut lists the weighings after which it can't be.
	RuledOut []Hint `json:"ruled_out"`
	// Explanations of a verdict that the kind would bear out.
	Explanations []string `json:"explanations,omitempty"`
	words
}

// words are what is told of a kind, and what a fact may tell differently.
type words struct {
	Side    string `json:"side"`
	Where   string `json:"where"`
	With    string `json:"with"`
	Light   string `json:"light"`
	See     string `json:"see"`
	Mimics  string `json:"mimics"`
	Decides string `json:"decides"`
	Weight  string `json:"weight"`
	Rarity  string `json:"rarity"`
	Sure    string `json:"sure"` // a grade of package coin
	// Source is the title of the text that a fact was read in, if it was; answers tell
	// it as a part of Sure.
	Source string `json:"source,omitempty"`
	// English names the texts that the book's language lacks; the build notes them.
	English []string `json:"english,omitempty"`
}

// Fact is one entry of a denomination's look-fors or of the general ones.
type Fact struct {
	ID    string   `json:"id"` // what its texts are found by, in every language
	Kind  string   `json:"kind"`
	Name  string   `json:"name"`
	Years string   `json:"years"`
	Mints []string `json:"mints"`
	Clock string   `json:"clock"`
	Only  []Hint   `json:"only"`
	// RuledOut and Explains replace the kind's own when given, even if empty.
	RuledOut *[]Hint `json:"ruled_out"`
	Explains *[]Hint `json:"explains"`
	Undated  bool    `json:"undated"`
	// Alloys are families: the fact is about coins of these only.
	Alloys []string `json:"alloys"`
	// Explanations replace the kind's own when given; Planchets are the ids of those
	// that the fact is about.
	Explanations []string `json:"explanations"`
	Planchets    []string `json:"planchets"`
	// Drawings show this very fact, where that of the kind doesn't.
	Drawings []string `json:"drawings"`
	words

	spans []span
}

// or fills what w leaves out from the kind's words.
func (w words) or(k words) words {
	return words{
		Side: first(w.Side, k.Side), Where: first(w.Where, k.Where), With: first(w.With, k.With),
		Light: first(w.Light, k.Light), See: first(w.See, k.See), Mimics: first(w.Mimics, k.Mimics),
		Decides: first(w.Decides, k.Decides), Weight: first(w.Weight, k.Weight),
		Rarity: first(w.Rarity, k.Rarity), Sure: first(w.Sure, k.Sure), Source: w.Source,
	}
}

// inEnglish are the fields of the fact's look-for that are English: those of its own texts,
// and of its kind's where it has none itself.
func (f *Fact) inEnglish(k *Kind) []string {
	own := map[string]string{
		"name": f.Name, "where": f.Where, "light": f.Light, "see": f.See, "mimics": f.Mimics, "decides": f.Decides, "weight": f.Weight,
	}
	of := slices.Clone(f.English)
	for _, field := range k.English {
		if own[field] == "" {
			of = append(of, field)
		}
	}
	return of
}

func first(a, b string) string {
	if a != "" {
		return a
	}
	return b
}

// place is the where of a sheet: the spot and, when known, the hour on the
// coin's face.
func (b *Book) place(where, clock string) string {
	from, to, run := strings.Cut(clock, "-")
	switch {
	case clock == "":
		return where
	case run:
		return b.write(say.New("place-hours", say.Text("where", where), say.Text("from", from), say.Text("to", to)))
	}
	return b.write(say.New("place-hour", say.Text("where", where), say.Text("hour", clock)))
}

// sureness is how sure a look-for is, in words: its grade, and before it the text
// that it was read in.
func (b *Book) sureness(sure, source string) string {
	if source == "" {
		return b.write(coin.Grade(sure).Words())
	}
	return b.write(say.New("sure-from", say.Text("source", source), say.Of("sure", coin.Grade(sure).Words())))
}

// knownSureness reports a grade that isn't one, or that doesn't fit the source: what
// was read somewhere names it, and nothing else does.
func knownSureness(grade, source string) string {
	sure := coin.Grade(grade)
	read := sure == coin.Primary || sure == coin.Reprint || sure == coin.Computed
	switch {
	case sure.Words().None() || sure == coin.Assumed:
		return "sure is “" + grade + "”"
	case read && source == "":
		return "says it was read, and not where: it needs a source"
	case sure == coin.Practice && source != "":
		return "names a source, so it isn’t common practice alone"
	}
	return ""
}
