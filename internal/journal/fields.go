package journal

import (
	"strconv"
	"strings"
	"unicode/utf8"

	"panside/internal/fault"
	"panside/internal/json"
	"panside/internal/say"
)

// The kinds of records this version knows. Others are kept and passed on.
const (
	KindHunt    = "hunt"
	KindFind    = "find"
	KindSetting = "setting"
)

// The names of the fields this version knows are on the wire: never change one.
// A name that ends with / begins a family of fields.
const (
	fieldDeleted = "deleted"
	fieldNote    = "note"

	huntSource       = "source"  // jar, rolls, box, inherited, shop
	huntPlace        = "place"   // the branch's nickname, the jar's name
	huntCountry      = "country" // two letters
	huntDenomination = "denomination"
	huntRolls        = "rolls"    // how many there are
	huntCoins        = "coins"    // how many there are
	huntSearched     = "searched" // how many were searched, as a person counted
	huntPaid         = "paid"     // face value, see Face
	huntReturned     = "returned" // face value
	huntBegun        = "begun"    // ms since 1970
	huntEnded        = "ended"    // ms since 1970
	huntPause        = "pause/"   // MILLIS of its beginning: ms of its end, 0 while it lasts
	huntRoll         = "roll/"    // NUMBER: Roll
	huntCount        = "count/"   // CALL/WRITER: coins judged hands-free, by that writer alone
	huntMetal        = "metal/"   // NAME/WRITER: MetalCount, by that writer alone; see metalField

	findHunt      = "hunt"
	findFound     = "found" // ms since 1970
	findCoin      = "coin"
	findWeight    = "weight"
	findTrace     = "trace"
	findVerdict   = "verdict"
	findGist      = "gist"     // of the verdict, short enough for lists
	findEvidence  = "evidence" // what was found out beside the weight
	findKind      = "kind"     // of the look-for list
	findCertainty = "certainty"
	findPhoto     = "photo/"     // SHA-256: Photo
	findRim       = "rim/"       // SHA-256 of the photo: Rim
	findMeasure   = "measure/"   // a name of its own: Measure
	findReference = "reference/" // SIDE: SHA-256 of the photo that others of the type are held against
	findLies      = "lies"
	findFate      = "fate"
)

// rule says what is wrong with a value, nothing if it is good.
type rule func(v json.RawMessage) say.Line

var rules = map[string]map[string]rule{
	KindHunt: {
		fieldDeleted:     wantTruth,
		fieldNote:        wantText,
		huntSource:       wantWord(say.New("field-source"), "jar", "rolls", "box", "inherited", "shop"),
		huntPlace:        wantLine(80),
		huntCountry:      wantLine(2),
		huntDenomination: wantName,
		huntRolls:        wantCount(0, 10_000),
		huntCoins:        wantCount(0, maxCoins),
		huntSearched:     wantCount(0, maxCoins),
		huntPaid:         wantShape[Face],
		huntReturned:     wantShape[Face],
		huntBegun:        wantCount(0, maxMillis),
		huntEnded:        wantCount(0, maxMillis),
		huntPause:        wantCount(0, maxMillis),
		huntRoll:         wantShape[Roll],
		huntCount:        wantCount(-maxCoins, maxCoins),
		huntMetal:        wantShape[MetalCount],
	},
	KindFind: {
		fieldDeleted:  wantTruth,
		fieldNote:     wantText,
		findHunt:      wantRecord,
		findFound:     wantCount(0, maxMillis),
		findCoin:      wantShape[Coin],
		findWeight:    wantShape[Weight],
		findTrace:     wantShape[Trace],
		findVerdict:   wantShape[Verdict],
		findGist:      wantShape[Gist],
		findEvidence:  wantShape[Evidence],
		findKind:      wantName,
		findCertainty: wantWord(say.New("field-certainty"), "certain", "likely", "guess"),
		findPhoto:     wantShape[Photo],
		findRim:       wantShape[Rim],
		findMeasure:   wantShape[Measure],
		findReference: wantHash,
		findLies:      wantShape[Place],
		findFate:      wantWord(say.New("field-fate"), "keep", "second-opinion", "trade", "spend", "bank"),
	},
	KindSetting: {fieldDeleted: wantTruth},
	KindPhone: {
		fieldDeleted: wantTruth,
		phoneName:    wantLine(mostName),
		phoneWriter:  wantTruth,
	},
}

// ruleFor finds a known field's rule, nil for one this version doesn't know.
func ruleFor(kind, field string) rule {
	return rules[kind][familyOf(field)]
}

// familyOf is the part of a field's name up to its first /, or all of it.
func familyOf(field string) string {
	if at := strings.IndexByte(field, '/'); at >= 0 {
		return field[:at+1]
	}
	return field
}

// checkValue refuses a value this version knows to be wrong. It is for what is
// written here; what other devices wrote is kept whatever it is.
func checkValue(kind, field string, v json.RawMessage) error {
	r := ruleFor(kind, field)
	if r == nil || string(v) == "null" {
		return nil
	}
	if wrong := r(v); !wrong.None() {
		return &fault.Field{Name: field, Fault: fault.WithEnding(fault.BadInput, wrong, say.New("ending-correct-it"))}
	}
	return nil
}

// good reports whether this version can read a value. null counts as no value.
func good(kind, field string, v json.RawMessage) bool {
	r := ruleFor(kind, field)
	return r != nil && v != nil && string(v) != "null" && r(v).None()
}

// carry copies into a new object the parts of the old one that this version
// doesn't know, so that editing on an older phone loses nothing of a newer one.
func carry(kind, field string, old, new json.RawMessage) json.RawMessage {
	var was, is map[string]json.RawMessage
	if json.Unmarshal(old, &was) != nil || json.Unmarshal(new, &is) != nil || is == nil {
		return new
	}
	known := parts[kind][familyOf(field)]
	if known == nil {
		return new
	}
	changed := false
	for part, v := range was {
		if _, there := is[part]; !there && !known[part] {
			is[part] = v
			changed = true
		}
	}
	if !changed {
		return new
	}
	merged, err := json.Marshal(is)
	if err != nil {
		return new
	}
	return merged
}

// parts are those of each object that this version knows. What isn't listed is
// no object, or is written once and never edited.
var parts = map[string]map[string]map[string]bool{
	KindHunt: {
		huntPaid:     names("amount", "currency"),
		huntReturned: names("amount", "currency"),
		huntRoll:     names("coins", "done"),
	},
	KindFind: {
		findCoin:    names("country", "denomination", "year", "mint", "issue"),
		findLies:    names("in", "label", "where"),
		findRim:     names("x", "y", "a", "b", "turn", "mm", "by", "u"),
		findMeasure: names("photo", "other", "is", "points", "value", "u", "unit", "of", "at"),
		findPhoto:   names("sha256", "type", "bytes", "width", "height", "side", "where", "x", "y", "taken", "from", "lamp"),
	},
}

func names(list ...string) map[string]bool {
	m := map[string]bool{}
	for _, n := range list {
		m[n] = true
	}
	return m
}

func wantTruth(v json.RawMessage) say.Line {
	if s := string(v); s != "true" && s != "false" {
		return say.New("field-truth")
	}
	return say.Line{}
}

func wantText(v json.RawMessage) say.Line {
	if s, ok := asText(v); !ok || utf8.RuneCountInString(s) > 8000 {
		return say.New("field-note")
	}
	return say.Line{}
}

func wantLine(most int) rule {
	return func(v json.RawMessage) say.Line {
		if s, ok := asText(v); !ok || !isLine(s, most) {
			return say.New("field-line", say.Count("most", most))
		}
		return say.Line{}
	}
}

func wantName(v json.RawMessage) say.Line {
	if s, ok := asText(v); !ok || !isName(s, 1, 60) {
		return say.New("field-choice")
	}
	return say.Line{}
}

func wantRecord(v json.RawMessage) say.Line {
	if s, ok := asText(v); !ok || !isUUID(s) {
		return say.New("field-record")
	}
	return say.Line{}
}

func wantHash(v json.RawMessage) say.Line {
	if s, ok := asText(v); !ok || !isHash(s) {
		return say.New("field-photo-name")
	}
	return say.Line{}
}

func wantWord(wrong say.Line, words ...string) rule {
	return func(v json.RawMessage) say.Line {
		if s, ok := asText(v); !ok || !oneOf(s, words...) {
			return wrong
		}
		return say.Line{}
	}
}

func wantCount(low, high int64) rule {
	return func(v json.RawMessage) say.Line {
		if n, ok := asCount(v); !ok || n < low || n > high {
			return say.New("field-count", say.Figure("low", strconv.FormatInt(low, 10)), say.Figure("high", strconv.FormatInt(high, 10)))
		}
		return say.Line{}
	}
}

func wantShape[T shape](v json.RawMessage) say.Line {
	_, wrong := readAs[T](v)
	return wrong
}

// asText reads a JSON string. The common one without escapes is its own text.
func asText(v json.RawMessage) (string, bool) {
	if len(v) < 2 || v[0] != '"' {
		return "", false
	}
	if plain := string(v[1 : len(v)-1]); !strings.Contains(plain, `\`) {
		return plain, true
	}
	var s string
	return s, json.Unmarshal(v, &s) == nil
}

func asCount(v json.RawMessage) (int64, bool) {
	n, err := strconv.ParseInt(string(v), 10, 64)
	return n, err == nil
}
