package coin

import (
	"slices"
	"strconv"
	"strings"
)

// Search finds the issues that every word of the text fits, in the catalogue's
// order; an empty text fits all. A number of four digits is a year; any other
// word fits if a word of the issue's country, denomination, name, planchet or
// metals begins with it, if it is the issue's or its planchet's id, or what people
// call its denomination. Where nothing fits, the text is the name of a want. Case
// doesn't matter.
func (b *Book) Search(text string) []Issue {
	asked := words(text)
	described := b.described()
	var found []Issue
	for n, i := range b.issues {
		if b.fits(i, described[n], asked) {
			found = append(found, i)
		}
	}
	if len(found) == 0 {
		return b.traded(asked)
	}
	return found
}

// traded finds the issues of a want by any of its names, “steelie” or “war nickel”,
// with years beside it.
func (b *Book) traded(asked []string) (found []Issue) {
	var years []int
	name := ""
	for _, w := range asked {
		if year, err := strconv.Atoi(w); err == nil && len(w) == 4 {
			years = append(years, year)
		} else {
			name += " " + w
		}
	}
	key := WantKey(name)
	for _, i := range b.issues {
		alloy := b.alloys[b.planchets[i.Planchet].Alloy]
		wanted := slices.ContainsFunc(b.wants[i.Country], func(w Want) bool {
			return key != "" && w.Called(key) && slices.ContainsFunc(w.Takes, func(t Take) bool { return t.Piece(&i, &alloy) && t.among(&i) })
		})
		if wanted && !slices.ContainsFunc(years, func(y int) bool { return !i.Struck(y) }) {
			found = append(found, i)
		}
	}
	return found
}

// SearchForeignStrikes finds foreign strikes likewise, by name, metal, the words
// “struck for others” and the country whose mint struck them.
func (b *Book) SearchForeignStrikes(text string) []ForeignStrike {
	asked := words(text)
	var found []ForeignStrike
	for _, g := range b.foreignStrikes {
		p := b.planchets[g.Planchet]
		c, _ := b.country(g.Country)
		own := words("struck for others " + c.ID + " " + c.Name + " " + g.Name + " " + p.Name + " " + b.alloys[p.Alloy].Name)
		if b.fits(Issue{Spans: g.Spans, Planchet: g.Planchet}, own, asked) {
			found = append(found, g)
		}
	}
	return found
}

// SearchStrangers finds coins of the countries that no judgement is made for likewise.
func (b *Book) SearchStrangers(text string) []Issue {
	asked := words(text)
	var found []Issue
	for _, i := range b.strangers {
		k, _ := b.Abroad(i.Country)
		p := b.planchets[i.Planchet]
		own := words(strings.Join([]string{k.ID, k.Name, i.Name, b.alloys[p.Alloy].Name, b.alloys[p.Layers[0].Alloy].Name}, " "))
		alone := i
		alone.Planchet = "" // who asks for a planchet of another file wants that file’s coins
		if b.fits(alone, own, asked) {
			found = append(found, i)
		}
	}
	return found
}

func (b *Book) fits(i Issue, own, asked []string) bool {
	for _, w := range asked {
		if year, err := strconv.Atoi(w); err == nil && len(w) == 4 {
			if !i.Struck(year) {
				return false
			}
			continue
		}
		if begins(own, w) || w == i.ID || w == i.Planchet {
			continue
		}
		if d, ok := b.Called(i.Country, w); !ok || d.ID != i.Denomination {
			return false
		}
	}
	return true
}

func begins(own []string, w string) bool {
	for _, o := range own {
		if strings.HasPrefix(o, w) {
			return true
		}
	}
	return false
}

// describeAll gathers the words of every issue, in the catalogue's order.
func (b *Book) describeAll() [][]string {
	var all [][]string
	for _, i := range b.issues {
		all = append(all, b.describe(i))
	}
	return all
}

// describe gathers the words that an issue can be found by.
func (b *Book) describe(i Issue) []string {
	c, _ := b.country(i.Country)
	d, _ := b.Denomination(i.Country, i.Denomination)
	p := b.planchets[i.Planchet]
	all := []string{c.ID, c.Name, d.ID, d.Name, d.Plural, d.Short, i.Name, p.Name, b.alloys[p.Alloy].Name}
	for _, y := range p.Layers {
		all = append(all, b.alloys[y.Alloy].Name)
	}
	if !i.Circulating {
		all = append(all, "collector")
	}
	own := words(strings.Join(all, " "))
	for _, w := range own {
		if parts := strings.Split(w, "-"); len(parts) > 1 {
			own = append(own, parts...)
		}
	}
	return own
}

// folded is s in lower case and without accents: many type neither.
func folded(s string) string {
	return strings.Map(func(r rune) rune {
		const with, without = "áéíóúüñ", "aeiouun"
		if at := strings.IndexRune(with, r); r > 0x7f && at >= 0 {
			return rune(without[at/2]) // each takes two bytes
		}
		return r
	}, strings.ToLower(s))
}

// words are the folded words of s. The hyphen stays in, so that ids and
// “two-cent” are one word each.
func words(s string) []string {
	return strings.FieldsFunc(folded(s), func(r rune) bool {
		return strings.ContainsRune(" \u00a0,;:()%\t\n", r)
	})
}
