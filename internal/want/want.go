// Package want reads the list of what a hunter keeps: wants of the coin book by
// any of their names, and dates and mint marks in the ways people write them.
//
//	silver    40 %    wheat ears    silver quarters    Canadian silver
//	1955    1909-S    1909-1958    pre-1959    S    no mark
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
		before := "" // what the dates after the first one are of
		for part := range strings.FieldsFuncSeq(entry, func(c rune) bool { return c == ',' || c == ';' || c == '\n' }) {
			if part = strings.TrimSpace(part); part == "" {
				continue
			}
			if r.names(part) {
				continue
			}
			of, ok := r.date(before + part)
			if !ok && before != "" {
				of, ok = r.date(part)
			}
			if !ok {
				return nil, part
			}
			before = of
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
}

// keep adds a want once, if it is the country's.
func (r *reader) keep(w coin.Want) {
	if w.Country == r.country && !slices.ContainsFunc(r.kept, func(k coin.Want) bool { return k.ID == w.ID }) {
		r.kept = append(r.kept, w)
	}
}

// names reads a want's name, perhaps of one country or denomination: “silver”,
// “silver dimes”, “US silver”.
func (r *reader) names(part string) (known bool) {
	for _, c := range r.b.Countries() {
		if r.want(c.ID, part, coin.Denomination{}) {
			known = true
			continue
		}
		p, ok := r.split(c.ID, part)
		if ok && (p.named || p.denomination.ID != "") && p.rest != "" && r.want(c.ID, p.rest, p.denomination) {
			known = true
		}
	}
	return known
}

// want keeps a country's wants of that name, cut to a denomination if there is one.
func (r *reader) want(country, name string, of coin.Denomination) (known bool) {
	key := coin.WantKey(name)
	for _, w := range r.b.Wants(country) {
		if !w.Called(key) {
			continue
		}
		if of.ID != "" {
			w.ID = of.ID + " " + w.ID
			w.Name += ", " + of.Plural
			w.Takes = cut(w.Takes, of.ID)
		}
		if len(w.Takes) > 0 {
			known = true
			r.keep(w)
		}
	}
	return known
}

// cut leaves of each condition what is of the denomination.
func cut(takes []coin.Take, denomination string) (of []coin.Take) {
	for _, t := range takes {
		if len(t.Denominations) == 0 || slices.Contains(t.Denominations, denomination) {
			t.Denominations = []string{denomination}
			of = append(of, t)
		}
	}
	return of
}

// parts are an entry without the words that name country and denomination.
type parts struct {
	named        bool // the country is
	denomination coin.Denomination
	of           string // those words, where they stand in front
	rest         string
}

// split takes an entry as one about a country's coins; false if it names another.
func (r *reader) split(country, entry string) (p parts, ok bool) {
	words := strings.Fields(dashes.Replace(strings.ToLower(entry)))
	if len(words) == 0 {
		return p, false
	}
	for _, c := range r.b.Countries() {
		if id := strings.ToLower(c.ID); words[0] == id || words[0] == everyday[id] {
			if c.ID != country {
				return p, false
			}
			p.named, p.of, words = true, words[0]+" ", words[1:]
			break
		}
	}
	// The longest name wins: a half dime is no half.
	for n := len(words); n > 0 && p.denomination.ID == ""; n-- {
		front, back := strings.Join(words[:n], " "), strings.Join(words[len(words)-n:], " ")
		if d, ok := r.called(country, strings.TrimSuffix(front, ":")); ok {
			p.denomination, p.of, words = d, p.of+front+" ", words[n:]
		} else if d, ok := r.called(country, back); ok {
			p.denomination, words = d, words[:len(words)-n]
		}
	}
	p.rest = strings.Join(words, " ")
	return p, true
}

// everyday is what people call some countries beside their ids.
var everyday = map[string]string{"us": "usa", "gb": "uk"}

var dashes = strings.NewReplacer("–", "-", "—", "-", "‑", "-", "pre-", "before ", "pre ", "before ")

// date reads dates and marks: of every country whose coins they can be of. of is what
// names country and denomination before them.
func (r *reader) date(part string) (of string, known bool) {
	for _, c := range r.b.Countries() {
		p, ok := r.split(c.ID, part)
		if !ok {
			continue
		}
		var years coin.Span
		mint := ""
		if p.rest != "" {
			if years, mint, ok = readDate(p.rest); !ok || mint != "" && !r.struck(c.ID, p, mint) {
				continue
			}
		} else if p.denomination.ID == "" {
			continue
		}
		known = true
		of = p.of
		r.keep(dated(c.ID, p, years, mint))
	}
	return of, known
}

// struck reports whether the book knows the mark on a country's coins. Where it
// doesn't know the marks of a denomination, none is refused: a Canadian's “cent H”
// must not stop a judgement of another country's coin.
func (r *reader) struck(country string, p parts, mint string) bool {
	for _, i := range r.b.All() {
		if i.Country != country || p.denomination.ID != "" && i.Denomination != p.denomination.ID {
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

// dated makes a want of years and mark. Its id is read as the same again.
func dated(country string, p parts, years coin.Span, mint string) coin.Want {
	var t coin.Take
	id, name := "", ""
	if years.First != 0 {
		t.Years = []coin.Span{years}
		id = strconv.Itoa(years.First)
		name = id
		if last := strconv.Itoa(years.Last); last != id {
			id += "-" + last
			name += "–" + last
			switch {
			case years.First == earliest:
				name = "to " + last
			case years.Last == latest:
				name = "from " + strconv.Itoa(years.First)
			}
		}
	}
	if mint != "" {
		t.Mints = []string{mint}
		word := mint
		if mint == coin.NoMark {
			word = "no mark"
		}
		switch {
		case id == "":
			id, name = word, word
			if mint != coin.NoMark {
				name += " mint"
			}
		case years.First == years.Last && mint != coin.NoMark:
			id, name = id+"-"+word, name+"-"+word
		default:
			id, name = id+" "+word, name+" "+word
		}
	}
	if d := p.denomination; d.ID != "" {
		t.Denominations = []string{d.ID}
		id = strings.TrimSpace(d.ID + " " + id)
		of := d.Plural
		if years.First != 0 && years.First == years.Last {
			of = d.Name
		}
		name = strings.TrimSpace(name + " " + of)
	}
	if p.named {
		id = country + " " + id
	}
	return coin.Want{Country: country, ID: id, Name: name, Takes: []coin.Take{t}}
}

// readDate reads years and mark without their denomination: “1909-s”, “1909-1958”,
// “before 1959”, “s mint”, “1922 no mark”. A First of 0 is any year.
func readDate(s string) (years coin.Span, mint string, ok bool) {
	words := slices.DeleteFunc(strings.Fields(s), func(w string) bool {
		return w == "mint" || w == "mark" || w == "of" || w == "from" || w == "dated"
	})
	s = strings.Join(words, "")
	s, until := strings.CutPrefix(s, "before")
	if y, rest, is := cutYear(s); is {
		years.First, years.Last, s = y, y, rest
		if rest, is := strings.CutPrefix(s, "-"); is {
			if y, rest, is := cutYear(rest); is {
				years.Last, s = y, rest
			} else if rest == "" {
				years.Last, s = latest, ""
			}
		}
		if until {
			years.First, years.Last = earliest, years.First-1
		}
		s = strings.TrimPrefix(s, "-")
	} else if until {
		return years, "", false
	}
	switch {
	case s == "":
		return years, "", years.First != 0 && years.First <= years.Last
	case s == "no" || s == "plain" || s == "unmarked":
		mint = coin.NoMark
	case len(s) <= 2 && strings.Trim(s, "abcdefghijklmnopqrstuvwxyz") == "":
		mint = strings.ToUpper(s)
	default:
		return years, "", false
	}
	return years, mint, years.First <= years.Last
}

// cutYear takes a year of four digits off the front.
func cutYear(s string) (year int, rest string, ok bool) {
	if len(s) < 4 || len(s) > 4 && s[4] >= '0' && s[4] <= '9' {
		return 0, s, false
	}
	year, err := strconv.Atoi(s[:4])
	if err != nil || year < earliest || year > latest {
		return 0, s, false
	}
	return year, s[4:], true
}
