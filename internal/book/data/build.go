package data

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"

	"panside/internal/book"
)

// The sources' names without language and ending.
const (
	metalsSource  = "metals"
	originsSource = "sources"
	abroadSource  = "strangers"
	coinsSource   = "coins"     // of a country, in its folder
	asksSource    = "questions" // of a country that has some: they are judged with
	wantsSource   = "wants"     // beside it, where the trade has names for what hunters keep
	looksFolder   = "looks"
	sayFolder     = "say" // templates of sentences, a file a subject and language
	keySource     = "looks/key"
	designsSource = "designs" // of a country, in its folder: where things stand on its coins
	looksSources  = "looks/sources"
)

// generalLooks are joined into one file, as kinds, facts and cautions: every sheet
// needs all of them.
var generalLooks = []string{"looks/kinds", "looks/any", "looks/cautions"}

// Build makes the files that are sent and loaded: for each language, facts and
// texts put together, each under a name with the hash of its content, and the
// manifest that names them. Texts that a language lacks are English; Missing
// names those. What is wrong with a source is an error that names file, line and
// entry; whether the facts are right, Check says.
func Build(from fs.FS) (map[string][]byte, error) {
	files, err := build(from)
	if err != nil {
		return nil, located(from, err)
	}
	return files, nil
}

func build(from fs.FS) (map[string][]byte, error) {
	languages, err := languagesOf(from)
	if err != nil {
		return nil, err
	}
	out := map[string][]byte{}
	m := book.Manifest{Format: book.Format, Languages: map[string]book.Edition{}}
	for _, language := range languages {
		b := builder{from: from, language: language, out: out, strays: map[string][]string{}}
		m.Languages[language] = b.edition()
		if err := errors.Join(b.problems...); err != nil {
			return nil, err
		}
	}
	raw, err := json.Marshal(m)
	if err != nil {
		return nil, err
	}
	out[book.ManifestName] = raw
	return out, nil
}

// languagesOf are those with a text file at least, in order. English must be
// among them.
func languagesOf(from fs.FS) ([]string, error) {
	var found []string
	err := fs.WalkDir(from, ".", func(name string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		if _, language, ok := textFile(name); ok && !slices.Contains(found, language) {
			found = append(found, language)
		}
		return nil
	})
	if err == nil && !slices.Contains(found, book.DefaultLanguage) {
		err = errors.New("no texts in " + book.DefaultLanguage)
	}
	slices.Sort(found)
	return found, err
}

// textFile splits "us/cent.es.json" into source and language; false for a file of facts.
func textFile(name string) (source, language string, ok bool) {
	source, ok = strings.CutSuffix(name, ".json")
	if !ok {
		return "", "", false
	}
	source, language, ok = strings.Cut(source, ".")
	return source, language, ok
}

type builder struct {
	from     fs.FS
	language string
	out      map[string][]byte
	strays   map[string][]string // by country
	sources  map[string]string   // titles by id
	problems []error
}

func (b *builder) bad(err error) { b.problems = append(b.problems, err) }

// edition builds all files of the builder's language.
func (b *builder) edition() book.Edition {
	b.sources = b.titles()
	looks := b.joined(generalLooks...)
	for n, list := range []string{"kinds", "facts", "cautions"} {
		b.sourced(generalLooks[n]+".json", looks, list)
	}
	abroad := b.joined(abroadSource)
	metals := b.joined(metalsSource, originsSource)
	shortenMetals(metals)
	shortenStrangers(abroad)
	e := book.Edition{
		Metals:    b.file("metals", metals),
		Strangers: b.file("strangers", abroad),
		Looks:     b.file("looks", looks),
		Key:       b.file("key", b.joined(keySource)),
		Unread:    slices.Contains(unread, b.language),
	}
	if b.language != book.DefaultLanguage {
		e.Say = b.file("say", b.templates())
	}
	folders, err := fs.ReadDir(b.from, ".")
	if err != nil {
		b.bad(err)
	}
	for _, folder := range folders {
		if folder.IsDir() && folder.Name() != looksFolder && folder.Name() != sayFolder {
			e.Countries = append(e.Countries, b.country(folder.Name()))
		}
	}
	b.judging(e, countryIDs(abroad))
	slices.SortStableFunc(e.Countries, func(x, y book.Country) int { return x.Order - y.Order })
	return e
}

// country builds the files of a folder: its coins, and the look-fors of each
// denomination that has some.
func (b *builder) country(folder string) book.Country {
	sources := []string{path.Join(folder, coinsSource)}
	for _, beside := range []string{asksSource, wantsSource} {
		if source := path.Join(folder, beside); exists(b.from, source+".json") {
			sources = append(sources, source)
		}
	}
	before := len(b.problems)
	coins := b.joined(sources...)
	if len(b.problems) > before {
		return book.Country{} // what else is wrong follows from it
	}
	shorten(coins)
	c := book.Country{Denominations: map[string]string{}, Coins: b.file(folder, coins)}
	c.ID, _ = coins["id"].(string)
	b.strays[c.ID] = ids(coins["strays_from"])
	if n, ok := coins["order"].(json.Number); ok {
		order, err := n.Int64()
		if err != nil {
			b.bad(fmt.Errorf("%s: order: %w", folder, err))
		}
		c.Order = int(order)
	}
	if strings.ToLower(c.ID) != folder {
		b.bad(fmt.Errorf("%s/: holds the country %q, so it should be named %s/", folder, c.ID, strings.ToLower(c.ID)))
	}
	designs := b.designsOf(folder)
	names, err := fs.Glob(b.from, folder+"/*.json")
	if err != nil {
		b.bad(err)
	}
	for _, name := range names {
		source := strings.TrimSuffix(name, ".json")
		of := path.Base(source)
		if _, _, text := textFile(name); text || slices.Contains([]string{coinsSource, asksSource, wantsSource, designsSource}, of) {
			continue
		}
		before := len(b.problems)
		facts := b.joined(source)
		if len(b.problems) > before {
			continue
		}
		if facts["denomination"] != of || facts["country"] != c.ID {
			b.bad(fmt.Errorf("%s: holds %v of %v, so it should be named %v/%v.json", name, facts["denomination"], facts["country"], facts["country"], facts["denomination"]))
		}
		b.eachOnce(name, facts)
		b.sourced(name, facts, factLists...)
		b.placed(name, facts, designs)
		c.Denominations[of] = b.file(folder+"/"+of, facts)
	}
	return c
}

// judging works out what each country's judgements take; abroad are the countries
// of the strangers.
func (b *builder) judging(e book.Edition, abroad []string) {
	for n := range e.Countries {
		c := &e.Countries[n]
		c.Judging = []string{e.Metals, c.Coins}
		if e.Say != "" {
			c.Judging = append(c.Judging, e.Say)
		}
		for _, k := range e.Countries {
			if slices.Contains(b.strays[c.ID], k.ID) {
				c.Judging = append(c.Judging, k.Coins)
			}
		}
		if slices.ContainsFunc(abroad, func(id string) bool { return slices.Contains(b.strays[c.ID], id) }) {
			c.Judging = append(c.Judging, e.Strangers)
		}
	}
}

// joined reads sources with their texts and puts their top levels into one object.
func (b *builder) joined(sources ...string) object {
	all := object{}
	for _, source := range sources {
		o, err := merged(b.from, source, b.language)
		if err != nil {
			b.bad(err)
		}
		for k, v := range o {
			all[k] = v
		}
	}
	return all
}

// file adds a built file and returns its name.
func (b *builder) file(name string, content object) string {
	raw, err := json.Marshal(content)
	if err != nil {
		b.bad(err)
	}
	name = book.FileName(b.language+"/"+name, raw)
	b.out[name] = raw
	return name
}

func exists(from fs.FS, name string) bool {
	_, err := fs.Stat(from, name)
	return err == nil
}

// countryIDs are the ids of the countries that strangers are of.
func countryIDs(abroad object) []string {
	var of []string
	entries, _ := abroad["countries"].([]any)
	for _, e := range entries {
		of = append(of, entryID(e))
	}
	return of
}

func ids(list any) []string {
	var out []string
	entries, _ := list.([]any)
	for _, e := range entries {
		s, _ := e.(string)
		out = append(out, s)
	}
	return out
}
