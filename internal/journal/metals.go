package journal

import (
	"strings"
	"unicode/utf8"

	"panside/internal/digest"
	"panside/internal/json"
	"panside/internal/say"
	"panside/internal/stable"
)

// Counts are coins judged hands-free since the last time, fewer than 0 for those
// taken back.
type Counts struct {
	Calls  map[string]int64 // by what their verdicts called for
	Metals []MetalCount     // the same coins by their metal
}

// MetalCount is how many coins judged hands-free were of one metal, by the name that
// they were counted under, and how many of them went on the pile of what is wanted.
type MetalCount struct {
	Name    string `json:"name"` // “90% silver”
	Coins   int64  `json:"coins"`
	Keepers int64  `json:"keepers"`
}

func (m MetalCount) check() say.Line {
	if m.Name == "" || !utf8.ValidString(m.Name) || !isLine(m.Name, 80) {
		return say.New("field-metal-name")
	}
	if bounded(m.Coins) != m.Coins || bounded(m.Keepers) != m.Keepers {
		return say.New("field-too-many-coins")
	}
	return say.Line{}
}

// metalField is where a writer counts coins of that name. Names that differ in signs
// only don't share it.
func metalField(name string, w Writer) string {
	slug := []byte(strings.ToLower(name))
	slug = slug[:min(len(slug), 20)]
	for i, c := range slug {
		if !(c >= 'a' && c <= 'z' || c >= '0' && c <= '9') {
			slug[i] = '-'
		}
	}
	sum := digest.Sum256([]byte(name))
	return huntMetal + string(slug) + "-" + digest.Hex(sum[:4]) + "/" + string(w)
}

// countMetals adds coins by their metal. What is wrong with more was refused before.
func (n *Notebook) countMetals(now int64, hunt Record, more []MetalCount) (written []Entry, err error) {
	for _, m := range more {
		if m.Coins == 0 && m.Keepers == 0 {
			continue
		}
		field := metalField(m.Name, n.author.writer)
		if held := n.state.Field(hunt, field); len(held) > 0 {
			if had, wrong := readAs[MetalCount](held[0].Value); wrong.None() {
				m.Coins += had.Coins
				m.Keepers += had.Keepers
			}
		}
		m.Coins, m.Keepers = bounded(m.Coins), bounded(m.Keepers)
		value, err := json.Marshal(m)
		if err != nil {
			return written, err
		}
		e, err := n.author.Write(n.state, now, KindHunt, hunt, field, value)
		if err != nil {
			return written, err
		}
		written = append(written, e)
	}
	return written, nil
}

func bounded(n int64) int64 { return max(-maxCoins, min(n, maxCoins)) }

// join adds counts by name, the most first.
func join(metals, more []MetalCount) []MetalCount {
	for _, m := range more {
		n := 0
		for n < len(metals) && metals[n].Name != m.Name {
			n++
		}
		if n == len(metals) {
			metals = append(metals, MetalCount{Name: m.Name})
		}
		metals[n].Coins += m.Coins
		metals[n].Keepers += m.Keepers
	}
	stable.Sort(metals, func(a, b MetalCount) int { return int(b.Coins - a.Coins) })
	return metals
}

// onTheTable is what of metals was counted, none below 0: more may have been taken back.
func onTheTable(metals []MetalCount) []MetalCount {
	of := []MetalCount{}
	for _, m := range metals {
		m.Coins, m.Keepers = max(m.Coins, 0), max(m.Keepers, 0)
		if m.Coins+m.Keepers > 0 {
			of = append(of, m)
		}
	}
	return of
}

// isCount reports whether a field is a running number: written by one writer alone, at
// no person's hand.
func isCount(field string) bool {
	family := familyOf(field)
	return family == huntCount || family == huntMetal
}
