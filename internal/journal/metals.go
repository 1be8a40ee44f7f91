package journal

import (
	"cmp"
	"strings"
	"unicode/utf8"

	"panside/internal/digest"
	"panside/internal/fault"
	"panside/internal/json"
	"panside/internal/stable"
)

// MetalCount is how many coins judged hands-free were of one metal, by the name that
// they were counted under, and how many of them went on the pile of keepers.
type MetalCount struct {
	Name    string `json:"name"` // “90 % silver”
	Coins   int64  `json:"coins"`
	Keepers int64  `json:"keepers,omitempty"`
}

func (m MetalCount) check() string {
	switch {
	case m.Name == "" || !utf8.ValidString(m.Name) || !isLine(m.Name, 80):
		return "A metal's name is one short line."
	case max(m.Coins, m.Keepers) > maxCoins || min(m.Coins, m.Keepers) < -maxCoins:
		return "These are too many coins for one count."
	}
	return ""
}

// metalField is where a writer counts coins of that name: a field of its own, which
// two names don't share though they differ in signs only.
func metalField(name string, w Writer) string {
	const most = 20
	slug := []byte(strings.ToLower(name))
	for i, c := range slug {
		if !(c >= 'a' && c <= 'z' || c >= '0' && c <= '9') {
			slug[i] = '-'
		}
	}
	sum := digest.Sum256([]byte(name))
	return huntMetal + string(slug[:min(len(slug), most)]) + "-" + digest.Hex(sum[:4]) + "/" + string(w)
}

// countMetals adds coins by their metal. What is wrong with more was refused before.
func (n *Notebook) countMetals(now int64, hunt Record, more []MetalCount) (written []Entry, err error) {
	for _, m := range more {
		if m.Coins == 0 && m.Keepers == 0 {
			continue
		}
		field := metalField(m.Name, n.author.writer)
		if held := n.state.Field(hunt, field); len(held) > 0 {
			if had, wrong := readAs[MetalCount](held[0].Value); wrong == "" {
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

// checkMetals refuses what can't be counted.
func checkMetals(more []MetalCount) error {
	for _, m := range more {
		if wrong := m.check(); wrong != "" {
			return fault.InField("metals", fault.BadInput, wrong+" Nothing was saved; reload the page.")
		}
	}
	return nil
}

// metals adds up counts by name.
type metals map[string]MetalCount

func (m metals) add(more ...MetalCount) {
	for _, c := range more {
		had := m[c.Name]
		m[c.Name] = MetalCount{c.Name, had.Coins + c.Coins, had.Keepers + c.Keepers}
	}
}

// list is what was counted, the most first; none below 0.
func (m metals) list() []MetalCount {
	all := []MetalCount{}
	for _, name := range stable.Keys(m) {
		c := m[name]
		if c.Coins, c.Keepers = max(c.Coins, 0), max(c.Keepers, 0); c.Coins+c.Keepers > 0 {
			all = append(all, c)
		}
	}
	stable.Sort(all, func(a, b MetalCount) int { return cmp.Compare(b.Coins, a.Coins) })
	return all
}

// isCount reports whether a field is a running number: written by one writer alone, at
// no person's hand.
func isCount(field string) bool {
	family := familyOf(field)
	return family == huntCount || family == huntMetal
}
