package coin

import (
	"strconv"
	"strings"

	"panside/internal/json"
	"panside/internal/mass"
)

// Strangers are the coins of countries that no judgement is made for: they stray in, and a
// coin in the hand may be one. Their file is terse, since every phone loads it before its
// first judgement: see internal/book/data/README.md.

type strangersJSON struct {
	Through   int              `json:"through"`
	From      [2]string        `json:"from"`   // source and grade of all that a line says
	Metals    []string         `json:"metals"` // those of the lines, which name them by their place here
	Countries []strangerOfJSON `json:"countries"`
}

type strangerOfJSON struct {
	ID    string   `json:"id"`
	Name  string   `json:"name"`
	Like  string   `json:"like"` // an earlier country that has the same coins
	Coins []string `json:"coins"`
}

// Strangers lists the coins of all countries that aren't judged, in the order of the data.
// They have no denomination.
func (b *Book) Strangers() []Issue { return b.strangers }

// Abroad is a country of the strangers, or false.
func (b *Book) Abroad(id string) (Country, bool) {
	for _, c := range b.abroad {
		if c.ID == id {
			return c, true
		}
	}
	return Country{}, false
}

// named is a country that is judged or strangers are of, or false.
func (b *Book) named(id string) (Country, bool) {
	if c, ok := b.country(id); ok {
		return c, true
	}
	return b.Abroad(id)
}

// strangersOf reads the file of the strangers.
func (l *loader) strangersOf(b *Book, file []byte) error {
	var all strangersJSON
	if err := json.Strict(file, &all); err != nil {
		return err
	}
	lines := map[string][]string{}
	for _, c := range all.Countries {
		if _, twice := b.named(c.ID); twice || c.ID == "" {
			l.bad("strangers", "the country “"+c.ID+"” is there twice or has no id")
		}
		b.abroad = append(b.abroad, Country{ID: c.ID, Name: c.Name})
		if c.Like != "" {
			if lines[c.Like] == nil || c.Coins != nil {
				l.bad("strangers "+c.ID, "is like “"+c.Like+"”, which must come before it, and can have no coins of its own")
			}
			c.Coins = lines[c.Like]
		}
		lines[c.ID] = c.Coins
		for _, line := range c.Coins {
			l.stranger(b, &all, Country{ID: c.ID, Name: c.Name}, line)
		}
	}
	return nil
}

// stranger reads a line:
//
//	what it says; years; metal; grams; millimeters; edge
//	what it says; years; =planchet
//
// The edge may be left out, or cut to its first letter. A metal is an alloy, or two: “copper over steel” is plated,
// “cupronickel on nickel” has faces, “nickel-brass round cupronickel” ring and core. The
// whole of the first two is the alloy INNER-OUTER, of ring and core “ring-and-core”.
func (l *loader) stranger(b *Book, all *strangersJSON, c Country, line string) {
	f := strings.Split(line, ";")
	where := "strangers " + c.ID + " “" + line + "”"
	if len(f) > 2 {
		if n, err := strconv.Atoi(f[2]); err == nil && n >= 0 && n < len(all.Metals) {
			f[2] = all.Metals[n]
		}
	}
	if len(f) != 3 && len(f) != 5 && len(f) != 6 || (len(f) == 3) != strings.HasPrefix(f[2], "=") {
		l.bad(where, "is not a line of 3, 5 or 6 parts: what the coin says; years; metal; grams; millimeters; edge")
		return
	}
	i := Issue{
		Country: c.ID, Name: f[0], Spans: l.spans(where, f[1], all.Through), Circulating: true,
		Source: all.From[0], Grade: Grade(all.From[1]),
	}
	if len(i.Spans) == 0 {
		l.bad(where, "has no years")
		return
	}
	first, _, _ := strings.Cut(f[1], " ")
	i.ID = idOf(c.ID, f[0], first[:min(4, len(first))])
	if planchet, shared := strings.CutPrefix(f[2], "="); shared {
		i.Planchet = planchet
	} else {
		i.Planchet = i.ID
		addOnce(l, "strangers", i.ID, b.planchets, l.strangersPlanchet(b, where, all.From, i.ID, f[0]+" ("+c.Name+")", f[2:]))
	}
	b.strangers = append(b.strangers, i)
}

// idOf is made of what doesn't change: “MX”, “20 centavos” and “1943” give mx-20-centavos-1943.
func idOf(parts ...string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(strings.Join(parts, " ")), func(r rune) bool {
		return strings.ContainsRune(" /().", r)
	}), "-")
}

func (l *loader) strangersPlanchet(b *Book, where string, from [2]string, id, name string, f []string) Planchet {
	figure := func(number, unit string) *figureJSON {
		return &figureJSON{number + " " + unit, from[0], from[1]}
	}
	p := Planchet{
		ID: id, Name: name, Short: name, LayersSource: from[0], LayersGrade: Grade(from[1]),
		Mass: l.weight(where+" mass", figure(f[1], string(mass.Gram))), Diameter: l.length(where+" diameter", figure(f[2], "mm")),
	}
	if len(f) == 4 {
		p.Edge, p.EdgeSource, p.EdgeGrade = Edge(f[3]), from[0], Grade(from[1])
		for _, e := range []Edge{EdgePlain, EdgeReeded, EdgeLettered, EdgeOther} {
			if f[3] == string(e[:1]) {
				p.Edge = e
			}
		}
	}
	p.Alloy, p.Layers = metalOf(f[0])
	p.Colour, p.Stripe, p.Magnetic = seen(b, p.Layers)
	return p
}

// metalOf is the whole and the layers, from the outside in, of a metal of a line.
func metalOf(metal string) (whole string, layers []Layer) {
	for _, made := range []struct {
		by           string
		outer, inner Part
	}{{" over ", Plating, Core}, {" on ", Face, Core}, {" round ", Ring, Core}} {
		if out, in, ok := strings.Cut(metal, made.by); ok {
			if whole = in + "-" + out; made.outer == Ring {
				whole = "ring-and-core"
			}
			return whole, []Layer{{Part: made.outer, Alloy: out}, {Part: made.inner, Alloy: in}}
		}
	}
	return metal, []Layer{{Part: Whole, Alloy: metal, Share: 1}}
}

// stranger holds one to the rules that hold for an issue. Of the years nothing is asked but
// that they are in order.
func (c *checker) stranger(i Issue) {
	where := "stranger " + i.ID
	c.want(where, !c.used[where], "is there twice: two lines of a country say the same and begin in the same year")
	c.used[where] = true
	c.want(where, i.Name != "", "has no name")
	_, ok := c.b.planchets[i.Planchet]
	c.want(where, ok, "names the unknown planchet “", i.Planchet, "”")
	c.used["planchet "+i.Planchet] = true
	c.origin(where, i.Source, i.Grade)
	c.years(where, i.Spans)
}
