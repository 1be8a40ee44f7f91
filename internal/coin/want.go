package coin

import (
	"slices"
	"strconv"
	"strings"
)

// Want is something that hunters keep although it is regular: silver, wheat
// ears. The book lists what the trade has a name for.
type Want struct {
	Country string
	ID      string // one of several countries may share it: silver is silver
	Name    string // “wheat ears”, as it stands in a sentence
	Note    string
	Start   bool // kept by who hasn't chosen yet
	Takes   []Take

	keys []string // of its names, see WantKey
}

// Take says which coins a want is about: those that all its conditions hold for. A
// condition left out holds for every coin.
type Take struct {
	Denominations, Issues, Planchets, Alloys, Families []string
	// AtLeast are the least shares of elements in the whole coin, 0 to 1.
	AtLeast []Fraction
	// Collector: only pieces not made for use.
	Collector bool
	// Years, of which each coin must have one, and Mints, as marks are written.
	Years []Span
	Mints []string
}

// Piece reports whether an issue's coins fulfil all conditions but those of year
// and mint mark.
func (t *Take) Piece(b *Book, i *Issue) bool {
	p := b.Planchet(i.Planchet)
	a := b.Alloy(p.Alloy)
	for _, f := range t.AtLeast {
		if a.Share(f.Element) < f.Share {
			return false
		}
	}
	return among(t.Denominations, i.Denomination) && among(t.Issues, i.ID) && among(t.Planchets, p.ID) &&
		among(t.Alloys, a.ID) && among(t.Families, a.Family) && (!t.Collector || !i.Circulating)
}

// InYear reports whether the condition of the year holds.
func (t *Take) InYear(year int) bool {
	return len(t.Years) == 0 || slices.ContainsFunc(t.Years, func(s Span) bool { return s.Holds(year) })
}

func among(list []string, s string) bool { return len(list) == 0 || slices.Contains(list, s) }

// ByMetal reports whether a coin's metal and denomination alone decide.
func (w *Want) ByMetal() bool {
	return !slices.ContainsFunc(w.Takes, func(t Take) bool {
		return len(t.Issues)+len(t.Planchets)+len(t.Years)+len(t.Mints) > 0 || t.Collector
	})
}

// Called reports whether key is that of the want's id or of one of its names.
func (w *Want) Called(key string) bool { return slices.Contains(w.keys, key) }

// Wants are all of a country, of every one for "".
func (b *Book) Wants(country string) []Want {
	if country == "" {
		return b.wants
	}
	n := 0
	for n < len(b.wants) && b.wants[n].Country != country {
		n++
	}
	m := n
	for m < len(b.wants) && b.wants[m].Country == country {
		m++
	}
	return b.wants[n:m:m] // a country's stand together
}

// WantKey brings the ways people write a want to one form: lower case, words in
// the singular, no hyphens, no blank before a percent sign.
func WantKey(s string) string {
	s = strings.ToLower(s)
	for _, r := range [...][2]string{{"percent", "%"}, {"per cent", "%"}, {" %", "%"}, {"%", "% "}, {"-", " "}, {"‑", " "}, {"–", " "}, {"_", " "}, {"’", ""}, {"'", ""}} {
		s = strings.ReplaceAll(s, r[0], r[1])
	}
	words := strings.Fields(s)
	words = slices.DeleteFunc(words, func(w string) bool { return w == "coin" || w == "coins" || w == "the" })
	for i, w := range words {
		words[i] = singular(w)
	}
	return strings.Join(words, " ")
}

// singular takes the s from a plural, as far as a key needs it: “half” is what
// “halves” becomes.
func singular(w string) string {
	switch {
	case strings.HasSuffix(w, "ies") && len(w) > 4:
		return w[:len(w)-3] + "y"
	case strings.HasSuffix(w, "lves"):
		return w[:len(w)-3] + "f"
	case strings.HasSuffix(w, "s") && !strings.HasSuffix(w, "ss") && len(w) > 3:
		return w[:len(w)-1]
	}
	return w
}

type (
	wantJSON struct {
		ID      string     `json:"id"`
		Name    string     `json:"name"`
		Aliases []string   `json:"aliases"`
		Note    string     `json:"note"`
		Start   bool       `json:"start"`
		Takes   []takeJSON `json:"takes"`
	}
	takeJSON struct {
		Denominations []string            `json:"denominations"`
		Issues        []string            `json:"issues"`
		Planchets     []string            `json:"planchets"`
		Alloys        []string            `json:"alloys"`
		Families      []string            `json:"families"`
		AtLeast       map[Element]float64 `json:"at_least"`
		Collector     bool                `json:"collector"`
		Years         string              `json:"years"`
		Mints         []string            `json:"mints"`
	}
)

// wants adds a country's.
func (l *loader) wants(b *Book, c *countryJSON) {
	for _, j := range c.Wants {
		w := Want{Country: c.ID, ID: j.ID, Name: j.Name, Note: j.Note, Start: j.Start}
		for _, name := range append([]string{j.ID, j.Name}, j.Aliases...) {
			w.keys = append(w.keys, WantKey(name))
		}
		for _, t := range j.Takes {
			take := Take{t.Denominations, t.Issues, t.Planchets, t.Alloys, t.Families, nil, t.Collector, l.spans(wantsFile(c.ID, j.ID), t.Years, c.Through), t.Mints}
			for e, share := range t.AtLeast {
				take.AtLeast = append(take.AtLeast, Fraction{e, share})
			}
			w.Takes = append(w.Takes, take)
		}
		b.wants = append(b.wants, w)
	}
}

// wantsFile is where an entry stands, for the one who writes the data.
func wantsFile(country, id string) string { return strings.ToLower(country) + "/wants " + id }

// wants holds them to their rules: each has names of its own, every condition names
// something of its country, and there are coins for it.
func (c *checker) wants() {
	ids := map[string]bool{}
	for n := range c.b.wants {
		w := &c.b.wants[n]
		where := wantsFile(w.Country, w.ID)
		c.want(where, w.ID != "" && !ids[w.Country+w.ID], "id is empty or there twice")
		ids[w.Country+w.ID] = true
		c.want(where, w.Name != "", "has no name")
		c.want(where, len(w.Takes) > 0, "takes nothing")
		for _, key := range w.keys {
			c.want(where, key != "", "has an empty name")
			_, err := strconv.Atoi(key)
			c.want(where, err != nil, "“", key, "” would be taken for a year")
		}
		for i := range w.Takes {
			c.take(where, w, &w.Takes[i])
		}
		for _, o := range c.b.wants[:n] {
			c.want(where, o.ID != w.ID || o.Start == w.Start, "is kept from the start in one country and not in another")
			c.want(where, o.Country != w.Country || !o.Called(w.keys[0]) && !o.Called(w.keys[1]) && !w.Called(o.keys[0]) && !w.Called(o.keys[1]), "shares its id or name with ", o.ID)
		}
	}
}

func (c *checker) take(where string, w *Want, t *Take) {
	known := func(what string, list []string, is func(id string) bool) {
		for _, id := range list {
			c.want(where, is(id), "names the unknown ", what, " “", id, "”")
		}
	}
	known("denomination", t.Denominations, func(id string) bool { _, ok := c.b.Denomination(w.Country, id); return ok })
	known("issue", t.Issues, func(id string) bool {
		return slices.ContainsFunc(c.b.issues, func(i Issue) bool { return i.ID == id && i.Country == w.Country })
	})
	known("planchet", t.Planchets, func(id string) bool { _, ok := c.b.planchets[id]; return ok })
	known("alloy", t.Alloys, func(id string) bool { _, ok := c.b.alloys[id]; return ok })
	known("family", t.Families, func(id string) bool {
		for _, a := range c.b.alloys {
			if a.Family == id {
				return true
			}
		}
		return false
	})
	known("mint mark", t.Mints, func(m string) bool { return m == NoMark || capitals(m) })
	for _, f := range t.AtLeast {
		_, ok := elementDensity[f.Element]
		c.want(where, ok && f.Share > 0 && f.Share <= 1, "asks for an unknown element or a share outside 0 to 1, ", string(f.Element))
	}
	if len(t.Years) > 0 {
		c.years(where, t.Years)
	}
	c.want(where, slices.ContainsFunc(c.b.issues, func(i Issue) bool {
		return i.Country == w.Country && t.Piece(c.b, &i) && slices.ContainsFunc(i.Spans, func(s Span) bool {
			for y := s.First; y <= s.Last; y++ {
				if t.InYear(y) {
					return true
				}
			}
			return false
		})
	}), "takes no coin of the book")
}
