package livehub

import (
	"encoding/json"
	"math"
	"time"

	"panside/internal/fault"
	"panside/internal/mass"
	"panside/internal/say"
)

// State is what the scale's side says at one moment.
type State struct {
	Estimate mass.Estimate
	Reading  mass.Reading // the line behind it; shown as the scale showed it
	Scale    Scale
	Problem  *fault.Error // why there is no weight; nil if all is well
	// Unconfirmed: a camera read it, and nobody has confirmed it yet. It is shown, and is no
	// weight to judge or count by.
	Unconfirmed bool
	Ask         *Ask // what the person must say before there is one; nil if nothing
	// At is when Reading arrived; the age counts from here. Zero, without a
	// reading, counts from when it is published.
	At time.Time
}

// Ask is a question that only the person can answer by looking at the display.
type Ask struct {
	Of     string      `json:"of"`     // unit: of lines that carry none; gr: gram or grain
	Digits string      `json:"digits"` // as the scale sent them; no weight
	Units  []mass.Unit `json:"units"`  // answers worth a button, the likeliest first
}

// Scale is where the weights come from.
type Scale struct {
	Name    string
	Kind    string    // serial, tcp, virtual, replay, hid, radio, camera
	Format  string    // empty until it is known
	Assumed bool      // part of the uncertainty was not measured on this scale
	Checked time.Time // when it was checked with weights; zero if never
}

// version is the wire's. A phone that was loaded before an update still knows
// the old one.
const version = 1

// weight is the live message, as in testdata/wire. Null means: not known.
type weight struct {
	Type        string      `json:"type"`
	V           int         `json:"v"`
	Seq         uint64      `json:"seq"`
	Phase       mass.Phase  `json:"phase"`
	Placement   uint64      `json:"placement"`
	MeanG       *float64    `json:"mean_g"`
	UG          *float64    `json:"u_g"`
	ResolutionG *float64    `json:"resolution_g"`
	Shown       *string     `json:"shown"`
	Unit        *mass.Unit  `json:"unit"`
	Status      mass.Status `json:"status"`
	AgeMS       int64       `json:"age_ms"`
	Scale       wireScale   `json:"scale"`
	Problem     *problem    `json:"problem"`
	// Half and UWholeG are left out while nothing speaks for a coin half put down. UG makes
	// allowance for it, for phones loaded before an update too.
	Half    *float64 `json:"half,omitempty"`
	UWholeG *float64 `json:"u_whole_g,omitempty"`
	// Unconfirmed is left out of what needs no confirming. With it there is no mean, so that a
	// phone loaded before an update judges nothing by it.
	Unconfirmed bool `json:"unconfirmed,omitempty"`
	// Ask is left out when nothing is asked: phones loaded before an update don't
	// look for it.
	Ask *Ask `json:"ask,omitempty"`
}

type wireScale struct {
	Name    string  `json:"name"`
	Kind    string  `json:"kind"`
	Format  *string `json:"format"`
	Assumed bool    `json:"assumed"`
	// Checked is left out when the scale was never checked: phones loaded before
	// an update don't look for it.
	Checked string `json:"checked,omitempty"` // RFC 3339
}

type problem struct {
	Code     fault.Code `json:"code"`
	Sentence string     `json:"sentence"`
}

// bye is the last message before the server closes a socket.
type bye struct {
	Type string `json:"type"`
	problem
}

// notice reports whether the journal has new entries, which the phone pulls, or that
// there is news of photos, which it asks about.
type notice struct {
	Type   string `json:"type"`
	V      int    `json:"v"`
	Cursor string `json:"cursor"` // empty while there are no entries
	// Photos is left out until there is news: phones loaded before an update
	// don't look for it.
	Photos uint64 `json:"photos,omitempty"`
}

func encodeNotice(cursor string, photos uint64) []byte {
	return must(json.Marshal(notice{"notice", version, cursor, photos}))
}

// records says how the laptop's records are: a sentence about what they lack of
// what was acknowledged, and one about copies, each empty if all is well.
type records struct {
	Type     string `json:"type"`
	V        int    `json:"v"`
	Sentence string `json:"sentence"`
	Copies   string `json:"copies"`
}

func encodeRecords(t *say.Tongue, lacking, copies say.Line) []byte {
	return must(json.Marshal(records{"records", version, t.Write(lacking), t.Write(copies)}))
}

// encode writes the message. A problem and a number exclude each other, here
// once more and whatever the state says: a phone can't show what isn't sent.
func encode(t *say.Tongue, s State, seq uint64, now time.Time) []byte {
	m := weight{
		Type:      "weight",
		V:         version,
		Seq:       seq,
		Phase:     s.Estimate.Phase,
		Placement: s.Estimate.Placement,
		Status:    s.Reading.Status,
		AgeMS:     max(0, now.Sub(s.At).Milliseconds()),
		Scale:     wireScale{Name: s.Scale.Name, Kind: s.Scale.Kind, Assumed: s.Scale.Assumed},
	}
	if m.Phase == "" {
		m.Phase = mass.PhaseNone
	}
	if m.Status == "" {
		m.Status = mass.StatusUnknown
	}
	if s.Scale.Format != "" {
		m.Scale.Format = &s.Scale.Format
	}
	if !s.Scale.Checked.IsZero() {
		m.Scale.Checked = s.Scale.Checked.UTC().Format(time.RFC3339)
	}
	if s.Problem != nil {
		m.Problem, m.Ask = &problem{s.Problem.Code, s.Problem.In(t)}, s.Ask
		if m.Phase != mass.PhaseOver && m.Phase != mass.PhaseUnder {
			m.Phase, m.Status = mass.PhaseNone, mass.StatusError
		}
	} else {
		if s.Estimate.Resolution > 0 {
			m.ResolutionG = number(s.Estimate.Resolution)
		}
		m.Unconfirmed = s.Unconfirmed
		if s.Estimate.HasLoad() && !s.Unconfirmed {
			m.MeanG, m.UG = number(s.Estimate.Mean), number(s.Estimate.U)
			if s.Estimate.Half > 0 {
				m.Half, m.UWholeG = number(s.Estimate.Half), number(s.Estimate.WholeU)
			}
		}
		if s.Reading.HasValue {
			shown := s.Reading.Quantity.Value.String()
			m.Shown, m.Unit = &shown, &s.Reading.Quantity.Unit
		}
	}
	return must(json.Marshal(m))
}

// number rounds to a microgram, far below what any scale for coins resolves, or a
// chance to one in a million, so that the message stays short. Null for what is no measured number: a
// resolution of zero means not known, and NaN has no JSON.
func number[T ~float64](x T) *float64 {
	f := math.Round(float64(x)*1e6) / 1e6
	if math.IsNaN(f) || math.IsInf(f, 0) {
		return nil
	}
	return &f
}

func encodeBye(t *say.Tongue, f *fault.Error) []byte {
	return must(json.Marshal(bye{"bye", problem{f.Code, f.In(t)}}))
}

// must is for values that can always be encoded: no NaN, no cycle, no channel.
func must(b []byte, err error) []byte {
	if err != nil {
		panic(err)
	}
	return b
}
