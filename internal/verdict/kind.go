package verdict

import "slices"

// Kind is the kind of an explanation.
type Kind string

// The kinds. The list is fixed: phones and records know these words.
const (
	Wear               Kind = "wear"
	Damage             Kind = "damage"
	WrongPlanchet      Kind = "wrong-planchet"
	TransitionalAlloy  Kind = "transitional-alloy"
	WrongStock         Kind = "wrong-stock"
	MissingLayer       Kind = "missing-layer"
	ForeignCoin        Kind = "foreign-coin"
	DoubleDenomination Kind = "double-denomination"
	Counterfeit        Kind = "counterfeit"
	Altered            Kind = "altered"
	Unknown            Kind = "unknown"
	// TwoCoins: not one coin but two of the denomination, put on together.
	TwoCoins Kind = "two-coins"
	// SplitPlanchet: half a planchet, split along its plane before it was struck or
	// after.
	SplitPlanchet Kind = "split-planchet"

	// OtherCoin is a coin of another denomination under the wrong key. It is
	// weighed with the rest and told in words, not as an explanation of a find, so
	// Kinds hasn't got it; a Claim may name it.
	OtherCoin Kind = "other-coin"
)

// Kinds lists them all.
func Kinds() []Kind {
	return []Kind{
		Wear, Damage, WrongPlanchet, TransitionalAlloy, WrongStock, MissingLayer,
		ForeignCoin, DoubleDenomination, Counterfeit, Altered, Unknown,
		TwoCoins, SplitPlanchet,
	}
}

// kindOrder numbers the kinds, for counting.
var kindOrder = append(Kinds(), OtherCoin)

const kindCount = 14

func (k Kind) index() int { return slices.Index(kindOrder, k) }

// Rare reports whether the kind is a mint's own error, the find a searcher hopes
// for.
func (k Kind) Rare() bool {
	switch k {
	case WrongPlanchet, TransitionalAlloy, WrongStock, MissingLayer, DoubleDenomination, SplitPlanchet:
		return true
	}
	return false
}

// prior of a mint's own error, per coin of any origin; the others' are in odds.
func (k Kind) prior() float64 {
	switch k {
	case WrongPlanchet:
		return priorWrongPlanchet
	case TransitionalAlloy:
		return priorTransitional
	case WrongStock:
		return priorWrongStock
	case MissingLayer:
		return priorMissingLayer
	case DoubleDenomination:
		return priorDoubleStruckOn
	case SplitPlanchet:
		return priorSplit
	}
	return 0
}
