package journal

import (
	"strings"
	"unicode/utf8"

	"panside/internal/digest"
	"panside/internal/json"
	"panside/internal/stable"
)

// Counts are coins judged hands-free since the last time, fewer than 0 for those
// taken back.
type Counts struct {
	Calls map[string]int64 // by what their verdicts called for
	// Metals are the same coins by the name of what they were counted as, such as “90 %
	// silver”, and Keepers those of them that went on the pile of what is wanted.
	Metals, Keepers map[string]int64
}

// MetalCount is what one writer counted of one metal.
type MetalCount struct {
	Name    string `json:"name"`
	Coins   int64  `json:"coins"`
	Keepers int64  `json:"keepers"`
}

func (m MetalCount) check() string {
	if m.Name == "" || !utf8.ValidString(m.Name) || !isLine(m.Name, 80) {
		return "A metal's name is one short line."
	}
	if bounded(m.Coins) != m.Coins || bounded(m.Keepers) != m.Keepers {
		return "These are too many coins for one count."
	}
	return ""
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
func (n *Notebook) countMetals(now int64, hunt Record, more Counts) (written []Entry, err error) {
	for _, name := range stable.Keys(more.Metals) {
		m := MetalCount{name, more.Metals[name], more.Keepers[name]}
		if m.Coins == 0 && m.Keepers == 0 {
			continue
		}
		field := metalField(name, n.author.writer)
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

// addTo adds counts to sums.
func addTo(sums, more map[string]int64) {
	for name, n := range more {
		sums[name] += n
	}
}

// noneBelow0 makes of sums what was counted: more may have been taken back.
func noneBelow0(sums map[string]int64) (total int64) {
	for name, n := range sums {
		sums[name] = max(n, 0)
		total += max(n, 0)
	}
	return total
}

// isCount reports whether a field is a running number: written by one writer alone, at
// no person's hand.
func isCount(field string) bool {
	family := familyOf(field)
	return family == huntCount || family == huntMetal
}
