package data

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"

	"panside/internal/coin"
	"panside/internal/look"
)

// titles are the texts that facts may name as their source, by id, in the builder's
// language.
func (b *builder) titles() map[string]string {
	titles := map[string]string{}
	for _, source := range []string{originsSource, looksSources} {
		o, err := merged(b.from, source, b.language)
		if err != nil {
			b.bad(err)
			return nil
		}
		for _, s := range entries(o["sources"]) {
			id := text(s["id"])
			if _, twice := titles[id]; twice {
				b.bad(fmt.Errorf("%s: %q is there twice: in %s.json too", b.line(source+".json", s), id, originsSource))
			}
			titles[id] = text(s["title"])
		}
	}
	return titles
}

// sourced puts the titles of sources in place of their ids, so that a sheet needs no
// other file to show them. lists are those of the file that hold facts.
func (b *builder) sourced(name string, file object, lists ...string) {
	for _, list := range lists {
		for _, f := range entries(file[list]) {
			id := text(f["source"])
			if id == "" {
				continue
			}
			if b.sources != nil && b.sources[id] == "" {
				b.bad(fmt.Errorf("%s: %s names the unknown source %q", b.line(name, f), text(f["id"]), id))
			}
			f["source"] = b.sources[id]
		}
	}
}

// eachOnce finds an id that two facts of a file bear: finds point at them by it.
func (b *builder) eachOnce(name string, file object) {
	seen := map[string]bool{}
	for _, list := range factLists {
		for _, f := range entries(file[list]) {
			id := text(f["id"])
			switch {
			case id == "":
				b.bad(fmt.Errorf("%s: a fact of %s has no id", name, list))
			case seen[id]:
				b.bad(fmt.Errorf("%s: two entries are called %q", b.line(name, f), id))
			}
			seen[id] = true
		}
	}
}

// factLists are the lists of a denomination's file.
var factLists = []string{"types", "dates"}

// line names the file and, where it can be told, the last line that begins the
// entry: the one to mend where two have the same id.
func (b *builder) line(name string, entry object) string {
	raw, err := fs.ReadFile(b.from, name)
	if err != nil {
		return name
	}
	id := `"` + text(entry["id"]) + `"`
	at := max(bytes.LastIndex(raw, []byte(`"id":`+id)), bytes.LastIndex(raw, []byte(`"id": `+id)))
	if at < 0 {
		return name
	}
	return fmt.Sprintf("%s:%d", name, 1+bytes.Count(raw[:at], []byte("\n")))
}

func entries(list any) []object {
	var out []object
	l, _ := list.([]any)
	for _, e := range l {
		if o, ok := e.(object); ok {
			out = append(out, o)
		}
	}
	return out
}

func text(v any) string {
	s, _ := v.(string)
	return s
}

// ofKnownCoins holds the years and mints of facts to the catalogue: a fact of a coin
// that was never struck is a slip of the finger.
func ofKnownCoins(looks *look.Book, coins *coin.Book) error {
	var problems []error
	for _, f := range look.FactsOf(looks) {
		issues := coins.Issues(f.Country, f.Denomination)
		if len(issues) == 0 {
			problems = append(problems, fmt.Errorf("%s: the coin book has no such denomination", f.At))
			continue
		}
		first, last := issues[0].First(), issues[0].Last()
		for _, i := range issues {
			first, last = min(first, i.First()), max(last, i.Last())
		}
		for _, r := range f.Runs {
			if r[0] < first || r[0] > last || r[1] != openRun && r[1] > last {
				problems = append(problems, fmt.Errorf("%s: its years lie outside %d-%d", f.At, first, last))
			}
		}
		mints := f.Mints
		if len(mints) == 0 || slices.Contains(lackingMark, f.Kind) {
			mints = []string{""}
		}
		for _, m := range mints {
			years, found := 0, 0
			for _, r := range f.Runs {
				for y := r[0]; y <= min(r[1], last); y++ {
					years++
					if _, err := coins.Find(f.Country, f.Denomination, y, m); err == nil {
						found++
					}
				}
			}
			// One year: it must be right. A run of years may have gaps.
			if years > 0 && (found == 0 || years == 1 && found != 1) {
				problems = append(problems, fmt.Errorf("%s: the coin book has no such coin with the mark %q", f.At, m))
			}
		}
	}
	slices.SortFunc(problems, func(x, y error) int { return strings.Compare(x.Error(), y.Error()) })
	return errors.Join(problems...)
}

// openRun is the last year of a run without an end.
const openRun = 9999

// lackingMark are the kinds that may name a mark, or the lack of one, that no coin was
// meant to have: that is what they are about.
var lackingMark = []string{"missing-mint-mark", "counterfeit", "altered"}
