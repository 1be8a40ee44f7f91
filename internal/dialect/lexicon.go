package dialect

import "strings"

// The words that scales set beside a number. All of it is common practice, seen
// in manuals of many makes; a word with two meanings among them stands here
// with neither, or with the one that its place makes certain.

// meaning is what a word or mark says.
type meaning uint8

const (
	saysNothing meaning = iota // explained, and of no weight: "Weight"
	saysStable
	saysMoving
	saysZero
	saysOver
	saysNet
	saysGross
	saysTare
	saysTotal
	saysCounter // a number without a unit follows that counts lines
	// saysMaybe is a mark that some scales set at rest and others in motion.
	saysMaybe
)

// capitals are words that count only as they stand here, since in small letters
// or alone they could be something else.
var capitals = map[string]meaning{
	"S": saysStable, "SS": saysStable, "ST": saysStable,
	"U": saysMoving, "D": saysMoving, "M": saysMoving, "SD": saysMoving, "US": saysMoving, "MO": saysMoving,
	"Z": saysZero, "CZ": saysZero,
	"OL": saysOver,
	"G":  saysGross, "GS": saysGross, "GR": saysGross, "B": saysGross, "G/W": saysGross, "B/G": saysGross,
	"N": saysNet, "NT": saysNet, "N/W": saysNet,
	"T": saysTare, "TR": saysTare, "PT": saysTare, "T/W": saysTare,
	"SI": saysNothing, "SU": saysNothing, "SUI": saysNothing,
	"W": saysNothing,
}

// words count in any case.
var words = map[string]meaning{
	"stable": saysStable, "stab": saysStable, "stb": saysStable, "steady": saysStable,
	"unstable": saysMoving, "unstab": saysMoving, "unst": saysMoving, "motion": saysMoving, "moving": saysMoving, "dynamic": saysMoving,
	"over": saysOver, "overload": saysOver,
	"net": saysNet, "netto": saysNet, "nett": saysNet,
	"gross": saysGross, "brutto": saysGross,
	"tare": saysTare, "tara": saysTare,
	"total": saysTotal, "sum": saysTotal,
	"weight": saysNothing, "wt": saysNothing, "wgt": saysNothing, "mass": saysNothing, "value": saysNothing, "result": saysNothing, "weigh": saysNothing,
	"date": saysNothing, "time": saysNothing,
	// The same in other languages of the trade.
	"gewicht": saysNothing, "poids": saysNothing, "peso": saysNothing, "masse": saysNothing, "massa": saysNothing,
	"datum": saysNothing, "zeit": saysNothing, "uhrzeit": saysNothing, "heure": saysNothing, "fecha": saysNothing, "hora": saysNothing, "ora": saysNothing, "data": saysNothing,
	"neto": saysNet, "bruto": saysGross, "lordo": saysGross, "brut": saysGross,
	"stabil": saysStable, "instabil": saysMoving,
	"no": saysCounter, "nr": saysCounter, "id": saysCounter, "item": saysCounter, "seq": saysCounter,
}

// gluedWords stand in small letters right before the first digit.
var gluedWords = map[string]meaning{"wn": saysNet, "wg": saysGross, "n": saysCounter}

// marks may stand alone beside the number.
var marks = map[byte]meaning{'?': saysMoving, '*': saysMaybe, '~': saysMaybe, '!': saysMaybe}

// lookUp finds one word.
func lookUp(word string) (meaning, bool) {
	if m, ok := capitals[word]; ok {
		return m, true
	}
	m, ok := words[strings.ToLower(word)]
	return m, ok
}

// split cuts a run of letters into words: as one word if it is one, else into
// two capital words, of which there must be only one way: "STGS" is ST and GS.
// A stroke may stand between them.
func split(run string) ([]meaning, bool) {
	if m, ok := lookUp(run); ok {
		return []meaning{m}, true
	}
	if a, b, ok := strings.Cut(run, "/"); ok {
		ms, okA := split(a)
		more, okB := split(b)
		return append(ms, more...), okA && okB
	}
	var found []meaning
	for i := 1; i < len(run); i++ {
		a, okA := capitals[run[:i]]
		b, okB := capitals[run[i:]]
		if !okA || !okB {
			continue
		}
		if found != nil && (found[0] != a || found[1] != b) {
			return nil, false
		}
		found = []meaning{a, b}
	}
	return found, found != nil
}
