package journal

import (
	"panside/internal/json"
	"panside/internal/say"
	"panside/internal/stable"
)

// Find is a coin kept, with its evidence.
type Find struct {
	Common
	Hunt      Record   `json:"hunt,omitempty"`
	Found     int64    `json:"found,omitempty"` // ms since 1970
	Coin      *Coin    `json:"coin,omitempty"`
	Weight    *Weight  `json:"weight,omitempty"`
	Trace     *Trace   `json:"trace,omitempty"`
	Verdict   *Claimed `json:"verdict,omitempty"`
	Gist      *Gist    `json:"gist,omitempty"` // of the verdict, in lists too
	Evidence  Evidence `json:"evidence,omitempty"`
	Kind      string   `json:"kind,omitempty"`      // of the look-for list
	Certainty string   `json:"certainty,omitempty"` // certain, likely, guess
	Photos    []Photo  `json:"photos"`
	// Rims are those of its photos by their hashes, Measures what was measured on them by names of
	// their own, References the photos by side that others of the type are held against.
	Rims       map[string]Rim     `json:"rims,omitempty"`
	Measures   map[string]Measure `json:"measures,omitempty"`
	References map[string]string  `json:"references,omitempty"`
	Lies       *Place             `json:"lies,omitempty"`
	Fate       string             `json:"fate,omitempty"` // keep, second-opinion, trade, spend, bank
	// Caution is a sentence to show beside the find, empty if there is none; see Warn.
	Caution string `json:"caution,omitempty"`
}

// Claimed is a verdict with all that was written of it.
type Claimed struct {
	Verdict
	all json.RawMessage
}

// MarshalJSON gives it just as it was written.
func (c Claimed) MarshalJSON() ([]byte, error) { return c.all, nil }

// FindOf reads a find. From a notebook's own state, as for lists, it comes
// without what is long: trace, verdict, and of photos all but their hashes.
func FindOf(s *State, id Record) Find {
	sh := s.sheet(id)
	f := Find{
		Common:    sh.Common,
		Hunt:      Record(sh.text(findHunt)),
		Found:     sh.number(findFound),
		Coin:      part[Coin](sh, findCoin),
		Weight:    part[Weight](sh, findWeight),
		Trace:     part[Trace](sh, findTrace),
		Gist:      part[Gist](sh, findGist),
		Kind:      sh.text(findKind),
		Certainty: sh.text(findCertainty),
		Photos:    []Photo{},
		Lies:      part[Place](sh, findLies),
		Fate:      sh.text(findFate),
	}
	if v := part[Verdict](sh, findVerdict); v != nil {
		f.Verdict = &Claimed{*v, sh.fields[findVerdict]}
	}
	if e := part[Evidence](sh, findEvidence); e != nil {
		f.Evidence = *e
	}
	for _, name := range stable.Keys(sh.fields) {
		switch family := familyOf(name); family {
		case findPhoto:
			f.Photos = append(f.Photos, *part[Photo](sh, name))
		case findRim:
			put(&f.Rims, name[len(family):], *part[Rim](sh, name))
		case findMeasure:
			put(&f.Measures, name[len(family):], *part[Measure](sh, name))
		case findReference:
			put(&f.References, name[len(family):], sh.text(name))
		}
	}
	for _, name := range sh.afar {
		if familyOf(name) == findPhoto {
			f.Photos = append(f.Photos, Photo{SHA256: name[len(findPhoto):]})
		}
	}
	stable.Sort(f.Photos, func(a, b Photo) int { return int(min(max(a.Taken-b.Taken, -1), 1)) })
	return f
}

func put[V any](m *map[string]V, name string, v V) {
	if *m == nil {
		*m = map[string]V{}
	}
	(*m)[name] = v
}

// Warn sets the caution, in a language.
func (f *Find) Warn(t *say.Tongue) { f.Caution = t.Write(caution(f.Kind, f.Fate)) }

// counterfeit is the look-for list's word for a coin that no mint struck.
const counterfeit = "counterfeit"

// caution warns where the two choices together could break a law: passing on a
// coin believed to be false is an offence in most countries.
func caution(kind, fate string) say.Line {
	if kind == counterfeit && oneOf(fate, "trade", "spend", "bank") {
		return say.New("find-counterfeit")
	}
	return say.Line{}
}
