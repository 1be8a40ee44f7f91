package coin

import (
	"slices"
	"strconv"
	"strings"
)

// Want is something that hunters keep although it is regular: silver, wheat
// ears. The book lists what the trade has a name for.
type Want struct {
	Country string `json:"-"`
	ID      string `json:"id"`   // one of several countries may share it: silver is silver
	Name    string `json:"name"` // “wheat ears”, as it stands in a sentence
	// Aliases are what else people call it; in the form of WantKey once loaded, with id
	// and name in front.
	Aliases []string `json:"aliases"`
	Note    string   `json:"note"`  // which coins they are
	Start   bool     `json:"start"` // kept by who hasn't chosen yet
	Takes   []Take   `json:"takes"`
}

// Take says which coins a want is about: those that all its conditions hold for. A
// condition left out holds for every coin.
type Take struct {
	Denominations []string `json:"denominations"`
	Issues        []string `json:"issues"`
	Planchets     []string `json:"planchets"`
	Alloys        []string `json:"alloys"`
	Families      []string `json:"families"`
	// AtLeast are the least shares of elements in the whole coin, 0 to 1.
	AtLeast map[Element]float64 `json:"at_least"`
	// Collector: only pieces not made for use.
	Collector bool `json:"collector"`
	// Years, of which each coin must have one, First and Last of each run, and Mints, as
	// marks are written.
	Years []Span   `json:"-"`
	Runs  string   `json:"years"` // the years as the data has them
	Mints []string `json:"mints"`
}

// Piece reports whether an issue's coins, of that alloy, fulfil all conditions but
// those of year and mint mark.
func (t *Take) Piece(i *Issue, a *Alloy) bool {
	if !among(t.Denominations, i.Denomination) || !among(t.Issues, i.ID) || !among(t.Planchets, i.Planchet) {
		return false
	}
	for e, least := range t.AtLeast {
		if a.Share(e) < least {
			return false
		}
	}
	return among(t.Alloys, a.ID) && among(t.Families, a.Family) && !(t.Collector && i.Circulating)
}

// among reports whether the condition takes a year of the issue.
func (t *Take) among(i *Issue) bool {
	for _, s := range i.Spans {
		for y := s.First; y <= s.Last; y++ {
			if t.InYear(y) {
				return true
			}
		}
	}
	return false
}

// InYear reports whether the condition of the year holds.
func (t *Take) InYear(year int) bool {
	for i := range t.Years {
		if t.Years[i].Holds(year) {
			return true
		}
	}
	return len(t.Years) == 0
}

func among(list []string, s string) bool { return len(list) == 0 || slices.Contains(list, s) }

// ByMetal reports whether a coin's metal and denomination alone decide.
func (w *Want) ByMetal() bool {
	for i := range w.Takes {
		if t := &w.Takes[i]; len(t.Issues)+len(t.Planchets)+len(t.Years)+len(t.Mints) > 0 || t.Collector {
			return false
		}
	}
	return true
}

// Called reports whether key is that of the want's id or of one of its names.
func (w *Want) Called(key string) bool { return slices.Contains(w.Aliases, key) }

// Wants are all of a country.
func (b *Book) Wants(country string) []Want { return b.wants[country] }

// WantKey brings the ways people write a want to one form: lower case without accents,
// words in the singular, blanks for hyphens, none before a percent sign, and no article.
func WantKey(s string) string {
	words := strings.FieldsFunc(folded(s), func(r rune) bool { return strings.ContainsRune(" \u00a0-–‑_", r) })
	out := ""
	for _, w := range words {
		number, percent := strings.CutSuffix(w, "%")
		switch {
		case percent:
			if number == "" {
				out += w // as of “40 percent”
				continue
			}
		case w == "percent":
			out += "%"
			continue
		case strings.HasSuffix(w, "ie") && len(w) > 4:
			w = w[:len(w)-2] + "y" // of “steelies”
		case strings.HasSuffix(w, "ies"):
			w = w[:len(w)-3] + "y"
		case strings.HasSuffix(w, "lves"):
			w = w[:len(w)-3] + "f"
		case strings.HasSuffix(w, "s") && len(w) > 3:
			w = w[:len(w)-1] // as of “brass”, which is the same everywhere
		}
		switch w {
		case "coin", "the", "moneda", "de", "la", "el", "las", "los":
		default:
			out += " " + w
		}
	}
	return strings.TrimPrefix(out, " ")
}

// wants adds a country's.
func (l *loader) wants(b *Book, c *countryJSON) {
	for i := range c.Wants {
		w := &c.Wants[i]
		w.Country = c.ID
		w.Aliases = append([]string{w.ID, w.Name}, w.Aliases...)
		for n, name := range w.Aliases {
			w.Aliases[n] = WantKey(name)
		}
		for n := range w.Takes {
			w.Takes[n].Years = l.spans(w.ID, w.Takes[n].Runs, c.Through)
		}
	}
	b.wants[c.ID] = c.Wants
}

// wantsFile is where an entry stands, for the one who writes the data.
func wantsFile(country, id string) string { return strings.ToLower(country) + "/wants " + id }

// wants holds them to their rules: each has names of its own, every condition names
// something of its country, and there are coins for it.
func (c *checker) wants() {
	var all []*Want
	for _, k := range c.b.countries {
		for n := range c.b.wants[k.ID] {
			all = append(all, &c.b.wants[k.ID][n])
		}
	}
	ids := map[string]bool{}
	for n, w := range all {
		where := wantsFile(w.Country, w.ID)
		c.want(where, w.ID != "" && !ids[w.Country+w.ID], "id is empty or there twice")
		ids[w.Country+w.ID] = true
		c.want(where, w.Name != "", "has no name")
		c.want(where, len(w.Takes) > 0, "takes nothing")
		for i, key := range w.Aliases {
			c.want(where, key != "", "has an empty name")
			_, err := strconv.Atoi(key)
			c.want(where, err != nil, "“", key, "” would be taken for a year")
			c.want(where, i < 2 || !slices.Contains(w.Aliases[:i], key), "has “", key, "” twice")
		}
		for i := range w.Takes {
			c.take(where, w, &w.Takes[i])
		}
		for _, o := range all[:n] {
			c.want(where, o.ID != w.ID || o.Start == w.Start, "is kept from the start in one country and not in another")
			c.want(where, o.Country != w.Country || !o.Called(w.Aliases[0]) && !o.Called(w.Aliases[1]) && !w.Called(o.Aliases[0]) && !w.Called(o.Aliases[1]), "shares its id or name with ", o.ID)
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
	for e, least := range t.AtLeast {
		_, ok := elementDensity[e]
		c.want(where, ok && least > 0 && least <= 1, "asks for an unknown element or a share outside 0 to 1, ", string(e))
	}
	if len(t.Years) > 0 {
		c.years(where, t.Years)
	}
	c.want(where, slices.ContainsFunc(c.b.issues, func(i Issue) bool {
		a := c.b.Alloy(c.b.Planchet(i.Planchet).Alloy)
		return i.Country == w.Country && t.Piece(&i, &a) && t.among(&i)
	}), "takes no coin of the book")
}
