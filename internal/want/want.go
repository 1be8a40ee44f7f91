// Package want reads the list of what a hunter keeps: wants of the coin book by
// any of their names, and dates and mint marks in the ways people write them.
//
//	silver    40 %    wheat ears    silver quarters    Canadian silver
//	1955    1909-S    1909-1958    before 1959    from 1999    S    no mark
//	cent 1909-S    nickels 1950-D    US cents 1909-1915 S    cent S    three-cent
//
// In one entry several may stand with commas between them; a denomination before the
// first date then holds for the dates after it: “cent 1909-S, 1914-D”.
package want

import (
	"slices"
	"strconv"
	"strings"

	"panside/internal/coin"
	"panside/internal/say"
)

// Start is what a country's hunter keeps who hasn't chosen yet.
func Start(b *coin.Book, country string) []coin.Want {
	var kept []coin.Want
	for _, w := range b.Wants(country) {
		if w.Start {
			kept = append(kept, w)
		}
	}
	return kept
}

// Denominations finds a country's denomination by what people call it.
type Denominations func(country, word string) (coin.Denomination, bool)

// Parse gives what of a list concerns a country's coins. Other countries' wants and
// denominations are known and concern nothing. unknown is the first entry, or part
// of one, that the book has nothing for; empty for none.
func Parse(b *coin.Book, country string, entries []string, called Denominations) (kept []coin.Want, unknown string) {
	r := reader{b: b, country: country, called: called}
	for _, entry := range entries {
		r.before = ""
		for _, part := range strings.Split(strings.ReplaceAll(entry, ";", ","), ",") {
			if part = strings.TrimSpace(part); part == "" {
				continue
			}
			if !r.each(part, r.names) && !r.each(r.before+part, r.date) && !r.each(part, r.date) {
				return nil, part
			}
		}
	}
	return r.kept, ""
}

// reader gathers what is kept.
type reader struct {
	b       *coin.Book
	country string
	called  Denominations
	kept    []coin.Want
	before  string // what the dates after the first one of an entry are of
}

// parts are an entry as one about a country's coins.
type parts struct {
	country      string
	named        bool // the entry names it
	denomination coin.Denomination
	of           string // the words for country and denomination, where they stand in front
	whole, rest  string // the key of the entry, and what is left of it without those words
}

// each reads an entry as one about each country it may be about, and reports whether
// it was understood for any.
func (r *reader) each(entry string, read func(*parts) bool) (known bool) {
	words := strings.Fields(strings.ReplaceAll(strings.ToLower(entry), "–", "-"))
	key := coin.WantKey(entry)
	for _, c := range r.b.Countries() {
		p := parts{country: c.ID, whole: key}
		if r.split(&p, words) && read(&p) {
			known = true
		}
	}
	return known
}

// split finds country and denomination in the words of an entry; false if it names
// another country.
func (r *reader) split(p *parts, words []string) bool {
	for _, c := range r.b.Countries() {
		first := words[0]
		switch first {
		case "usa":
			first = "us"
		case "uk":
			first = "gb"
		}
		if first != strings.ToLower(c.ID) {
			continue
		}
		if c.ID != p.country {
			return false
		}
		p.named, p.of, words = true, first+" ", words[1:]
		break
	}
	// The longest name wins: a half dime is no half.
	for n := len(words); n > 0; n-- {
		front, back := strings.Join(words[:n], " "), words[len(words)-n:]
		var ok bool
		if p.denomination, ok = r.called(p.country, strings.TrimSuffix(front, ":")); ok {
			p.of, words = p.of+front+" ", words[n:]
			break
		}
		if p.denomination, ok = r.called(p.country, strings.Join(back, " ")); ok {
			words = words[:len(words)-n]
			break
		}
	}
	p.rest = strings.Join(words, " ")
	return true
}

// keep adds a want once, if it is the country's that is asked about.
func (r *reader) keep(w *coin.Want) {
	if w.Country != r.country {
		return
	}
	for i := range r.kept {
		if r.kept[i].ID == w.ID {
			return
		}
	}
	r.kept = append(r.kept, *w)
}

// names reads a want's name, perhaps of one country or denomination: “silver”,
// “silver dimes”, “US silver”.
func (r *reader) names(p *parts) bool {
	return r.want(p, p.whole, "") || (p.of != "" || p.denomination.ID != "") && r.want(p, coin.WantKey(p.rest), p.denomination.ID)
}

// want keeps the country's wants of that name, cut to a denomination if there is one.
func (r *reader) want(p *parts, key, of string) (known bool) {
	for _, w := range r.b.Wants(p.country) {
		if key == "" || !w.Called(key) {
			continue
		}
		if of != "" {
			w.ID = of + " " + w.ID
			w.Name = r.write(say.New("want-of", say.Text("want", w.Name), say.Noun("coin", p.denomination.Forms())))
			all := w.Takes
			w.Takes = nil
			for _, t := range all {
				if len(t.Denominations) == 0 || slices.Contains(t.Denominations, of) {
					t.Denominations = []string{of}
					w.Takes = append(w.Takes, t)
				}
			}
		}
		if len(w.Takes) > 0 {
			known = true
			r.keep(&w)
		}
	}
	return known
}

// date reads years and mark, or a denomination alone.
func (r *reader) date(p *parts) bool {
	var t coin.Take
	years, mint, ok := readDate(p.rest)
	switch {
	case p.rest == "" && p.denomination.ID != "":
	case !ok, mint != "" && !r.struck(p, mint):
		return false
	}
	label := ""
	if years.First != 0 {
		t.Years = []coin.Span{years}
		label = strconv.Itoa(years.First)
		switch {
		case years.First == earliest:
			label = "before " + strconv.Itoa(years.Last+1)
		case years.Last == latest:
			label = "from " + label
		case years.Last != years.First:
			label += "-" + strconv.Itoa(years.Last)
		}
	}
	if mint != "" {
		t.Mints = []string{mint}
		switch {
		case mint == coin.NoMark:
			label += " no mark"
		case len(label) == 4:
			label += "-" + mint
		default:
			label += " " + mint
		}
	}
	label = strings.TrimSpace(label)
	w := coin.Want{Country: p.country, ID: label, Name: r.write(dated(years, mint, &p.denomination))}
	if d := &p.denomination; d.ID != "" {
		t.Denominations = []string{d.ID}
		w.ID = strings.TrimSpace(d.ID + " " + label)
	}
	if p.named {
		w.ID = p.country + " " + w.ID // is read as the same again
	}
	w.Takes = []coin.Take{t}
	r.keep(&w)
	if p.of != "" {
		r.before = p.of
	}
	return true
}

func (r *reader) write(l say.Line) string { return r.b.Tongue().Write(l) }

// dated is what years and mark of a denomination, or of any, are called.
func dated(years coin.Span, mint string, d *coin.Denomination) say.Line {
	first, last := strconv.Itoa(years.First), strconv.Itoa(years.Last)
	when := say.Line{}
	switch {
	case years.First == 0:
	case years.First == earliest:
		when = say.New("want-before", say.Text("year", strconv.Itoa(years.Last+1)))
	case years.Last == latest:
		when = say.New("want-from", say.Text("year", first))
	case years.Last != years.First:
		when = say.New("want-years", say.Text("first", first), say.Text("last", last))
	case mint != "" && mint != coin.NoMark:
		when, mint = say.New("want-date", say.Text("year", first), say.Text("mark", mint)), ""
	default:
		when = say.New("want-year", say.Text("year", first))
	}
	switch {
	case mint == "":
	case mint == coin.NoMark && when.None():
		when = say.New("want-no-mark")
	case mint == coin.NoMark:
		when = say.New("want-years-no-mark", say.Of("years", when))
	case !when.None():
		when = say.New("want-years-mark", say.Of("years", when), say.Text("mark", mint))
	case d.ID == "":
		when = say.New("want-mint", say.Text("mark", mint))
	default:
		when = say.New("want-mark", say.Text("mark", mint))
	}
	switch {
	case d.ID == "":
		return when
	case when.None():
		return say.New("want-coins", say.Noun("coin", d.Forms()))
	}
	return say.New("want-coins-of", say.Of("what", when), say.Noun("coin", d.Forms()))
}

// struck reports whether the book knows the mark on a country's coins. Where it
// doesn't know the marks of a denomination, none is refused: a Canadian's “cent H”
// must not stop a judgement of another country's coin.
func (r *reader) struck(p *parts, mint string) bool {
	issues := r.b.All()
	for n := range issues {
		i := &issues[n]
		if i.Country != p.country || p.denomination.ID != "" && i.Denomination != p.denomination.ID {
			continue
		}
		for _, s := range i.Spans {
			if slices.Contains(s.Mints, mint) || s.Mints == nil && (p.named || p.denomination.ID != "") {
				return true
			}
		}
	}
	return false
}

const (
	earliest = 1700
	latest   = 2199
)

// readDate reads years and mark without their denomination: “1909-s”, “1909-1958”,
// “before 1959”, “from 1999”, “s mint”, “1922 no mark”. A First of 0 is any year.
func readDate(s string) (years coin.Span, mint string, ok bool) {
	for _, word := range [...]string{" ", "mint", "mark"} {
		s = strings.ReplaceAll(s, word, "")
	}
	s, before := strings.CutPrefix(s, "before")
	s, pre := strings.CutPrefix(s, "pre")
	s, from := strings.CutPrefix(s, "from")
	bounded := before || pre || from
	if bounded {
		s = strings.TrimPrefix(s, "-")
	}
	if y := yearOf(s); y != 0 {
		years.First, years.Last, s = y, y, s[4:]
		if rest, is := strings.CutPrefix(s, "-"); is {
			s = rest
			if y := yearOf(rest); y != 0 {
				years.Last, s = y, rest[4:]
				s = strings.TrimPrefix(s, "-")
			} else if rest == "" {
				from = true
			}
		}
		switch {
		case before, pre:
			years.First, years.Last = earliest, years.First-1
		case from:
			years.Last = latest
		}
	} else if bounded {
		return years, "", false
	}
	switch {
	case s == "no" || s == "plain" || s == "unmarked":
		mint = coin.NoMark
	case len(s) > 2 || strings.Trim(s, "abcdefghijklmnopqrstuvwxyz") != "":
		return years, "", false
	default:
		mint = strings.ToUpper(s)
	}
	return years, mint, years.First <= years.Last && (years.First != 0 || mint != "")
}

// yearOf is the year of four digits that a text begins with, 0 for none.
func yearOf(s string) int {
	if len(s) < 4 || len(s) > 4 && s[4] >= '0' && s[4] <= '9' {
		return 0
	}
	year, err := strconv.Atoi(s[:4])
	if err != nil || year < earliest || year > latest {
		return 0
	}
	return year
}
