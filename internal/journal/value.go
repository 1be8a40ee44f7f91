package journal

import (
	"strings"
	"unicode/utf8"

	"panside/internal/json"
	"panside/internal/mass"
	"panside/internal/say"
)

// Coin is which coin a find is, as far as the searcher can say.
type Coin struct {
	Country      string `json:"country"`
	Denomination string `json:"denomination"`
	Year         int    `json:"year,omitempty"` // 0: not known
	Mint         string `json:"mint,omitempty"` // "" not known, "-" no mark
	Issue        string `json:"issue,omitempty"`
}

func (c Coin) check() say.Line {
	switch {
	case len(c.Country) != 2 || strings.Trim(c.Country, "ABCDEFGHIJKLMNOPQRSTUVWXYZ") != "":
		return say.New("field-country")
	case !isName(c.Denomination, 1, 40):
		return say.New("field-denomination")
	case c.Year != 0 && (c.Year < 1000 || c.Year > 2999):
		return say.New("field-year")
	case len(c.Mint) > 4 || len(c.Issue) > 80:
		return say.New("field-mint")
	}
	return say.Line{}
}

// Weight is a find's weight as the scale showed it, what it was taken to mean,
// and the scale at that moment.
type Weight struct {
	Value       string       `json:"value"` // the scale's own digits, which count
	Unit        mass.Unit    `json:"unit"`
	MeanG       float64      `json:"mean_g,omitempty"`
	UG          float64      `json:"u_g,omitempty"`
	ResolutionG float64      `json:"resolution_g,omitempty"`
	Status      mass.Status  `json:"status,omitempty"`
	At          int64        `json:"at,omitempty"` // ms since 1970
	Scale       *ScaleUsed   `json:"scale,omitempty"`
	Calibration *Calibration `json:"calibration,omitempty"`
}

// ScaleUsed is the scale as the live stream named it.
type ScaleUsed struct {
	Name    string `json:"name"`
	Kind    string `json:"kind"`
	Dialect string `json:"dialect,omitempty"`
	Assumed bool   `json:"assumed"`
}

// Calibration is what was known of the scale's own errors: standard deviations
// in grams, see mass.Scale.
type Calibration struct {
	At             int64   `json:"at,omitempty"` // when it was measured, ms since 1970
	RepeatabilityG float64 `json:"repeatability_g"`
	CalibrationG   float64 `json:"calibration_g"`
	DriftG         float64 `json:"drift_g,omitempty"`
	Assumed        bool    `json:"assumed"`
	Record         Record  `json:"record,omitempty"` // the check with weights, if it is kept
}

func (w Weight) check() say.Line {
	d, err := mass.ParseDecimal(w.Value)
	if err == nil {
		_, err = mass.Quantity{Value: d, Unit: w.Unit}.Grams()
	}
	if err != nil {
		return say.New("field-weight")
	}
	if w.UG < 0 || w.ResolutionG < 0 || w.At < 0 {
		return say.New("field-weight-negative")
	}
	return say.Line{}
}

// Trace is the readings a weight came from: three lists of one length.
type Trace struct {
	Unit   mass.Unit     `json:"unit"`
	From   int64         `json:"from"`   // time of the first, ms since 1970
	After  []int64       `json:"after"`  // ms since From
	Shown  []string      `json:"shown"`  // the scale's own digits, "" for none
	Status []mass.Status `json:"status"` // of each line
}

func (t Trace) check() say.Line {
	if len(t.After) != len(t.Shown) || len(t.After) != len(t.Status) || len(t.After) > 2000 {
		return say.New("field-trace")
	}
	return say.Line{}
}

// Verdict is what was claimed of the weight, word for word, so that a later
// version can't claim to have said something else. Further parts of the
// judge's answer may stand beside these.
type Verdict struct {
	Call     string `json:"call"`
	Headline string `json:"headline"`
}

func (v Verdict) check() say.Line {
	if !isName(v.Call, 1, 40) || v.Headline == "" || len(v.Headline) > 400 {
		return say.New("field-verdict")
	}
	return say.Line{}
}

// Gist is what a list says of a verdict, which itself is too long to be at hand
// for thousands of finds.
type Gist struct {
	Call  string `json:"call"`            // the judge's call
	Metal string `json:"metal,omitempty"` // as the judge names it: “bronze”
	// Seen is what was answered to the judge's questions, in words: “small date”.
	Seen []string `json:"seen,omitempty"`
}

func (g Gist) check() say.Line {
	if !isName(g.Call, 1, 40) || !isLine(g.Metal, 60) || len(g.Seen) > 4 {
		return say.New("field-gist")
	}
	for _, s := range g.Seen {
		if s == "" || !isLine(s, 40) {
			return say.New("field-gist")
		}
	}
	return say.Line{}
}

// Evidence is what was found out beside the weight, by the judge's names for
// it: answers to its tests and questions.
type Evidence map[string]string

// longestAnswer is enough for the text of the judge's objects: how it rang, what a ruler found.
const longestAnswer = 240

func (e Evidence) check() say.Line {
	for field, answer := range e {
		if len(e) > 24 || field == "" || !isLine(field, 60) || answer == "" || !isLine(answer, longestAnswer) {
			return say.New("field-evidence")
		}
	}
	return say.Line{}
}

// Photo is one picture of a find. The picture itself is kept by its hash.
type Photo struct {
	SHA256 string  `json:"sha256"`
	Type   string  `json:"type"` // image/jpeg, image/png or image/webp
	Bytes  int64   `json:"bytes"`
	Width  int     `json:"width,omitempty"`
	Height int     `json:"height,omitempty"`
	Side   string  `json:"side,omitempty"`  // obverse, reverse, edge, detail
	Where  string  `json:"where,omitempty"` // the place on the coin
	X      float64 `json:"x,omitempty"`     // of that place, 0 to 1 from the left
	Y      float64 `json:"y,omitempty"`     // and from the top
	Taken  int64   `json:"taken,omitempty"` // ms since 1970
	From   string  `json:"from,omitempty"`  // the original's hash, if it was kept
	// Lamp is where the lamp stood, for one of several photos of a still coin that were taken as one:
	// degrees counterclockwise from the right, above 0 to 360; 0 for any other photo.
	Lamp float64 `json:"lamp,omitempty"`
}

// MaxPhoto is the most bytes of one photo.
const MaxPhoto = 25 << 20

var photoTypes = []string{"image/jpeg", "image/png", "image/webp"}

func (p Photo) check() say.Line {
	switch {
	case !isHash(p.SHA256) || p.From != "" && !isHash(p.From):
		return say.New("field-photo-name")
	case !oneOf(p.Type, photoTypes...):
		return say.New("field-photo-type")
	case p.Bytes <= 0 || p.Bytes > MaxPhoto:
		return say.New("field-photo-size")
	case p.Side != "" && !oneOf(p.Side, "obverse", "reverse", "edge", "detail"):
		return say.New("field-photo-side")
	case p.X < 0 || p.X > 1 || p.Y < 0 || p.Y > 1 || p.Width < 0 || p.Height < 0 || len(p.Where) > 200 || !(p.Lamp >= 0 && p.Lamp <= 360):
		return say.New("field-photo-place")
	}
	return say.Line{}
}

// Place is where a find lies.
type Place struct {
	In    string `json:"in,omitempty"`    // flip, tube, album, box, envelope, other
	Label string `json:"label,omitempty"` // the number or word on it
	Where string `json:"where,omitempty"` // where that one is
}

func (p Place) check() say.Line {
	if p.In != "" && !oneOf(p.In, "flip", "tube", "album", "box", "envelope", "other") {
		return say.New("field-lies")
	}
	if !isLine(p.Label, 40) || !isLine(p.Where, 200) {
		return say.New("field-label")
	}
	return say.Line{}
}

// Roll is how far one roll of a hunt was searched.
type Roll struct {
	Coins int  `json:"coins"`
	Done  bool `json:"done,omitempty"`
}

func (r Roll) check() say.Line {
	if r.Coins < 0 || r.Coins > maxCoins {
		return say.New("field-roll")
	}
	return say.Line{}
}

// maxCoins bounds counts, so that sums can't overflow.
const maxCoins = 100_000_000

func oneOf(s string, words ...string) bool {
	for _, w := range words {
		if s == w {
			return true
		}
	}
	return false
}

// isLine reports whether s is one line of at most so many characters.
func isLine(s string, most int) bool {
	return utf8.RuneCountInString(s) <= most && !strings.ContainsAny(s, "\n\r\t\x00")
}

// shape is a value with rules of its own.
type shape interface{ check() say.Line }

// readAs decodes a value and says what is wrong with it, nothing if it is good.
func readAs[T shape](v json.RawMessage) (T, say.Line) {
	var t T
	if err := json.Unmarshal(v, &t); err != nil {
		return t, say.New("field-shape")
	}
	return t, t.check()
}
