package data_test

import (
	"fmt"
	"io/fs"
	"maps"
	"path"
	"regexp"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"panside/internal/book"
	"panside/internal/book/data"
	"panside/internal/look"
)

// TestTheBookIsRight holds all of the embedded book to its rules, so that neither
// home has to check it at its start.
func TestTheBookIsRight(t *testing.T) {
	if err := data.Check(data.Files()); err != nil {
		t.Fatal(err)
	}
	if got := len(data.Looks().Kinds()); got != len(look.FixedKinds) {
		t.Errorf("%d kinds, want %d", got, len(look.FixedKinds))
	}
}

// TestTheManifestNamesEveryFileByItsHash: nothing is built that nobody can ask
// for, and the same sources make the same names.
func TestTheManifestNamesEveryFileByItsHash(t *testing.T) {
	files := data.Files()
	again, err := data.Build(data.Sources())
	if err != nil || !maps.EqualFunc(files, again, slices.Equal) {
		t.Errorf("built twice, it differs: %v", err)
	}
	named := map[string]bool{book.ManifestName: true}
	m, err := book.ReadManifest(files[book.ManifestName])
	if err != nil {
		t.Fatal(err)
	}
	for language := range m.Languages {
		s := book.NewShelf()
		if err := s.Open(files[book.ManifestName], language); err != nil {
			t.Fatal(err)
		}
		for _, n := range s.All() {
			named[n] = true
			if files[n] == nil || n != book.FileName(n[:strings.LastIndex(n, "-")], files[n]) {
				t.Errorf("%s isn't built, or has another hash", n)
			}
		}
	}
	for n := range files {
		if !named[n] {
			t.Errorf("the manifest doesn't name %s", n)
		}
	}
}

// spoilt is a copy of the sources with one thing changed.
func spoilt(t *testing.T, file, old, new string) fstest.MapFS {
	t.Helper()
	m := fstest.MapFS{}
	err := fs.WalkDir(data.Sources(), ".", func(name string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		raw, err := fs.ReadFile(data.Sources(), name)
		m[name] = &fstest.MapFile{Data: raw}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	raw := string(m[file].Data)
	if !strings.Contains(raw, old) {
		t.Fatalf("%s no longer holds %s", file, old)
	}
	m[file] = &fstest.MapFile{Data: []byte(strings.ReplaceAll(raw, old, new))}
	return m
}

func TestWhatIsWrongIsNamed(t *testing.T) {
	for _, c := range []struct{ name, file, old, new, want string }{
		{"misspelt field", "us/cent.json", `"kind"`, `"kid"`, "unknown field"},
		{"unknown kind", "us/cent.json", `"kind":"overdate"`, `"kind":"over-date"`, "unknown kind"},
		{"years run backwards", "us/cent.json", `"years":"1865-1909"`, `"years":"1909-1865"`, "run backwards"},
		{"no such mint", "us/cent.json", `"mints":["S"]`, `"mints":["X"]`, "unknown mint X"},
		{"no such hour", "us/cent.json", `"at":"bust-tip"`, `"at":"bust-tip","clock":"13"`, "clock must be"},
		{"the mouth behind the head", "us/half.json", `"at":"mouth"`, `"at":"mouth","clock":"9"`, "die-clash-1955 says  9; on half-franklin-obverse the mouth stands on the obverse at 3"},
		{"the mouth on the other side", "us/half.json", `"at":"mouth"`, `"at":"mouth","side":"reverse"`, "us/half.json:"},
		{"a table that turns the head", "us/designs.json", `"faces":"right","places":{"date":"3-4"`, `"faces":"left","places":{"date":"3-4"`, "half-franklin-obverse: mouth at 3 lies behind a head that faces left"},
		{"an hour and no place", "us/half.json", `"at":"mouth"`, `"clock":"3"`, "gives an hour, and no place"},
		{"a place the design lacks", "us/half.json", `"at":"mouth"`, `"at":"wing"`, `none has the place "wing"`},
		{"the mint mark on the wrong side", "us/nickel.json", `"side":"reverse"`, `"side":"obverse"`, "stands on the reverse"},
		{"an unknown source", "us/cent.json", `"source":"us-1864"`, `"source":"us-1846"`, `transitional-alloy-1864 names the unknown source "us-1846"`},
		{"read, but not said where", "us/cent.json", `"sure":"P","source":"us-code"`, `"sure":"P"`, "it needs a source"},
		{"no such grade", "us/cent.json", `"sure":"from memory"`, `"sure":"quite"`, "sure is “quite”"},
		{"a year outside the issue", "us/half.json", `"years":"1955"`, `"years":"1975"`, "us/half.json dates die-clash-1955 (die-clash 1975): the coin book has no such coin"},
		{"one id in two lists", "us/cent.json", `"id":"repunched-date-1857-1909"`, `"id":"low-mintage-1872"`, `: two entries are called "low-mintage-1872"`},
		{"no such tool", "us/cent.json", `"with":"eye"`, `"with":"nose"`, "with is"},
		{"no such rarity", "us/cent.json", `"rarity":"rare"`, `"rarity":"dear"`, "rarity is"},
		{"a kind lost", "looks/kinds.json", `"id":"cud"`, `"id":"crud"`, "no such entry"},
		{"a kind without words", "looks/kinds.en.json", `"where":"at the rim"`, `"where":""`, "no where"},
		{"file under another name", "us/cent.json", `"denomination": "cent"`, `"denomination": "penny"`, "should be named"},
		{"caution for nothing", "looks/cautions.json", `"when":["magnet"]`, `"when":["magnets"]`, "no tool, kind or denomination"},
		{"key: no such start", "looks/key.json", `"start": "start"`, `"start": "begin"`, "isn’t there"},
		{"key: answer of two minds", "looks/key.json", `"to":"ghost"`, `"to":"ghost", "kind":"cud"`, "exactly one of"},
		{"key: no such weighing", "looks/key.json", `"when":["heavy"]`, `"when":["hefty"]`, "no weighing says"},
		{"key: answer to nowhere", "looks/key.json", `"to":"ghost"`, `"id":"ghost","to":"ghosts"`, "isn’t there"},
		{"key: question left over", "looks/key.json", `"to":"ghost"`, `"id":"ghost","kind":"die-clash"`, "ghost: is never reached"},
		{"key: round in a circle", "looks/key.json", `"to":"again"`, `"id":"again","to":"double"`, "leads back to itself"},
		{"key: kind left out", "looks/key.json", `"kind":"brockage"`, `"id":"brockage","kind":"damage"`, "brockage is never reached"},
		{"key: nothing to photograph", "looks/key.en.json", `"photograph":["both faces, whole","the spot`, `"photograph":[],"note":["`, "unknown field"},
		{"a country under another name", "ca/coins.json", `"id": "CA"`, `"id": "CB"`, "should be named cb/"},
		{"strays of no country", "us/coins.json", `"strays_from": ["CA"`, `"strays_from": ["CB","CA"`, "has strays from the unknown country “CB”"},
		{"a stranger on no planchet", "strangers.json", "=us-dime-clad", "=us-dime-clod", "stranger pa-1-10-balboa-1966: names the unknown planchet “us-dime-clod”"},
		{"a stranger of no metal", "strangers.json", "20 centavos;1943-1974;bronze;", "20 centavos;1943-1974;bonze;", "planchet mx-20-centavos-1943: names the unknown alloy “bonze”"},
		{"a stranger of no coin's size", "strangers.json", "bronze;10;28.5;plain", "bronze;10;285;plain", "“285 mm” is not of a coin’s size"},
		{"a stranger's country without a name", "strangers.en.json", `"MX": {"name":"Mexico"},`, ``, "strangers MX: the country has no name"},
		{"strangers of no country", "strangers.json", `{"id":"MX"`, `{"id":"MM"`, `words for "MX", but there is no such entry`},
		{"a text among the facts", "us/coins.json", `{"id":"cent","current"`, `{"id":"cent","name":"cent","current"`, `us/coins.json denominations cent: "name" is a text`},
		{"a fact among the texts", "us/coins.en.json", `"cent": {"name":"cent"`, `"cent": {"current":true,"name":"cent"`, "us/coins.en.json denominations cent current is no text"},
		{"words for nothing", "us/cent.en.json", `"doubled-die-1999":`, `"doubled-die-1998":`, `words for "doubled-die-1998", but there is no such entry`},
		{"two of one id", "us/cent.json", `"id":"repunched-date-1857-1909"`, `"id":"doubled-die-1999"`, `two entries are called "doubled-die-1999"`},
		{"a text left out", "us/coins.en.json", `"cent": {"name":"cent","plural":"cents",`, `"cent": {"name":"cent",`, "lacks id, name, plural or short name"},
		{"a want of nothing", "us/wants.json", `"issues":["us-dime-mercury"]`, `"issues":["us-dime-murcury"]`, "us/wants mercury: names the unknown issue “us-dime-murcury”"},
		{"a want of no metal", "gb/wants.json", `"families":["silver-925"]`, `"families":["silver-952"]`, "gb/wants sterling: names the unknown family “silver-952”"},
		{"a want that no coin fulfils", "us/wants.json", `"families":["silver-350"],"denominations":["nickel"]`, `"families":["silver-350"],"denominations":["dime"]`, "us/wants wartime: takes no coin of the book"},
		{"a want without words", "ca/wants.en.json", `"name":"tombac five cents",`, ``, "ca/wants tombac: has no name"},
		{"a want of a misspelt condition", "eu/wants.json", `"years"`, `"year"`, "unknown field"},
		{"a want of no years", "eu/wants.json", `"1999-2001"`, `"1899-1901"`, "eu/wants first-euros: takes no coin of the book"},
		{"two wants of one name", "us/wants.en.json", `"buffs"`, `"peace dollars"`, "shares its id or name with buffalo"},
		{"a want's name said twice", "us/wants.en.json", `"steelies"`, `"Steel-cent"`, "us/wants steel-cents: has “steel cent” twice"},
		{"a want called like a year", "us/wants.en.json", `"steelies"`, `"1943"`, "us/wants steel-cents: “1943” would be taken for a year"},
		{"of the start here and not there", "gb/wants.json", `{"id":"silver","start":true`, `{"id":"silver"`, "gb/wants silver: is kept from the start in one country"},
		{"a figure without its source", "sources.json", `{"id":"us-1864"},`, ``, "us-1864"},
	} {
		t.Run(c.name, func(t *testing.T) {
			files, err := data.Build(spoilt(t, c.file, c.old, c.new))
			if err == nil {
				err = data.Check(files)
			}
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got %v, want an error with %q", err, c.want)
			}
		})
	}
}

// lookFiles are the sources of the look-fors, facts and words.
func lookFiles() ([]string, error) {
	names, err := fs.Glob(data.Sources(), "*/*.json")
	return slices.DeleteFunc(names, func(n string) bool { return strings.HasPrefix(path.Base(n), "coins.") }), err
}

// Words in capitals are what is written on coins, or signs of chemistry and
// law; anything else would be a catalogue's code or a firm's name.
var capitals = []string{
	"AMERICA", "AM", "AW", "BE", "CA", "CC", "CENT", "CENTS", "CFR", "DEI", "DIME", "DOLLAR", "DOLLARS", "ES", "EU", "FG", "FIVE", "FS", "GB", "GOD", "GRATIA", "IN", "IND",
	"JS", "KN", "LIB", "LIBERTY", "MONTICELLO", "OF", "ONE", "PLURIBUS", "QUARTER", "RTY", "RUST", "STATES", "TRUST", "TRVST", "TWENTY", "UNITED",
	"UNUM", "US", "WE", "DE", "AB",
	"EF", "HALF", "NEW", "PENCE", "PENNY", "POUNDS", "REGINA", "SIXPENCE", "TWO",
}

func TestNoCodesPricesOrNames(t *testing.T) {
	caps := regexp.MustCompile(`\b[A-Z]{2,}\b`)
	banned := []*regexp.Regexp{
		regexp.MustCompile(`[$£€¥]`),
		regexp.MustCompile(`\b[A-Z]{1,5}-\d`),
		regexp.MustCompile(`(?i)\b(price[sd]?|premium|auction|worth \d|sells? for|dealer|slab|certified)\b`),
		regexp.MustCompile(`\b\d+ ?(USD|dollars|cents) (a|each|apiece)\b`),
		regexp.MustCompile(`(?i)https?:|www\.|\.com\b`),
	}
	names, err := lookFiles()
	if err != nil || len(names) < 10 {
		t.Fatal(names, err)
	}
	for _, n := range names {
		raw, err := fs.ReadFile(data.Sources(), n)
		if err != nil {
			t.Fatal(err)
		}
		for i, line := range strings.Split(string(raw), "\n") {
			for _, w := range caps.FindAllString(line, -1) {
				if !slices.Contains(capitals, w) {
					t.Errorf("%s:%d: %s", n, i+1, w)
				}
			}
			for _, r := range banned {
				if m := r.FindString(line); m != "" {
					t.Errorf("%s:%d: %q", n, i+1, m)
				}
			}
		}
	}
}

// The texts of the book are American English with the trade's words, and typed as a
// printer sets them.
func TestTextsAreOneEnglish(t *testing.T) {
	bad := []*regexp.Regexp{
		regexp.MustCompile(`(?i)\b(colour\w*|grey|neighbour\w*|honour\w*|favour\w*|lustre|centred?|off-centre|aluminium|jewellery|jeweller|vice|mould|metres?|recognis\w*|maize|ribbed|ribs)\b`),
		regexp.MustCompile(`\d %`),
		regexp.MustCompile(`\w'\w`),
		regexp.MustCompile(`(?i)\b(melted|kept|worn|relief|only|use) struck\b`),
		regexp.MustCompile(`(?i)\b(few made|a inverted|lying [SDO]\b|turned [SDO]\b|wheat-ears|a sure (one|coin))`),
	}
	var names []string
	for _, pattern := range []string{"*.json", "*/*.json"} {
		found, err := fs.Glob(data.Sources(), pattern)
		if err != nil {
			t.Fatal(err)
		}
		names = append(names, found...)
	}
	texts := regexp.MustCompile(`": ?"((?:[^"\\]|\\.)*)"|"((?:[^"\\]|\\.)*)"[,\]]`)
	for _, n := range names {
		if !strings.HasSuffix(n, ".en.json") {
			continue
		}
		raw, err := fs.ReadFile(data.Sources(), n)
		if err != nil {
			t.Fatal(err)
		}
		for i, line := range strings.Split(string(raw), "\n") {
			for _, m := range texts.FindAllStringSubmatch(line, -1) {
				for _, r := range bad {
					if found := r.FindString(m[1] + m[2]); found != "" {
						t.Errorf("%s:%d: %q in %q", n, i+1, found, m[1]+m[2])
					}
				}
			}
		}
	}
}

// TestWhatAPhoneLoads holds the book's share of a phone's first start: what a
// judgement in the United States takes.
func TestWhatAPhoneLoads(t *testing.T) {
	s := book.NewShelf()
	if err := s.Open(data.Files()[book.ManifestName], "en"); err != nil {
		t.Fatal(err)
	}
	_, err := s.Judging("US")
	lacking, ok := err.(*book.Lacking)
	if !ok {
		t.Fatal(err)
	}
	start, all := 0, 0
	for name, raw := range data.Files() {
		all += len(raw)
		if slices.Contains(lacking.Names, name) {
			start += len(raw)
		}
	}
	t.Logf("%d kB of %d kB before the first judgement", start/1000, all/1000)
	if start > 152_000 {
		t.Errorf("the first judgement waits for %d kB", start/1000)
	}
}

// TestASecondLanguage: a small made-up one, of which some words are there. Its
// words are shown, English stands in for the others, and each of those is named.
func TestASecondLanguage(t *testing.T) {
	m := spoilt(t, "us/cent.json", "cent", "cent")
	m["us/coins.xq.json"] = &fstest.MapFile{Data: []byte(`{"name":"Amerik","denominations":{"cent":{"name":"sent","plural":"sentin"}}}`)}
	m["us/cent.xq.json"] = &fstest.MapFile{Data: []byte(`{"types":{"doubled-die-1999":{"see":"twice there"}}}`)}
	files, err := data.Build(m)
	if err != nil {
		t.Fatal(err)
	}
	if err := data.Check(files); err != nil {
		t.Fatal(err)
	}
	theirs, err := data.Open(files, "xq")
	if err != nil {
		t.Fatal(err)
	}
	coins, err := theirs.Coins()
	if err != nil {
		t.Fatal(err)
	}
	cent, _ := coins.Denomination("US", "cent")
	dime, _ := coins.Denomination("US", "dime")
	if k, _ := coins.Country("US"); k.Name != "Amerik" || cent.Name != "sent" || cent.Plural != "sentin" || cent.Short != "1¢" || dime.Name != "dime" {
		t.Errorf("%q: %+v, %+v", k.Name, cent, dime)
	}
	looks, err := theirs.LooksOf("US", "cent")
	if err != nil {
		t.Fatal(err)
	}
	sheet := looks.Sheet(look.Query{Country: "US", Denomination: "cent", Year: 2001})
	if !slices.ContainsFunc(sheet, func(l look.LookFor) bool {
		return l.See == "twice there" && l.Name == "Doubled die" && l.Rarity == "uncommon"
	}) {
		t.Errorf("their words aren't on the sheet: %+v", sheet[0])
	}
	english, err := data.Open(files, "no such language")
	if err != nil {
		t.Fatal(err)
	}
	if !slices.Equal(english.All(), data.Shelf().All()) {
		t.Error("another language changed the English files")
	}

	missing, err := data.Missing(m, "xq")
	if err != nil {
		t.Fatal(err)
	}
	all, err := data.Missing(m, "none")
	if err != nil {
		t.Fatal(err)
	}
	if len(all)-len(missing) != 4 {
		t.Errorf("%d of %d are missing, want four fewer", len(missing), len(all))
	}
	for text, want := range map[string]bool{
		"us/coins name": false, "us/coins denominations cent short": true, "us/coins denominations cent name": false,
		"us/cent types doubled-die-1999 see": false, "us/cent types doubled-die-1999 where": true,
		"looks/key questions start answers light say": true, "sources sources us-1873 title": true,
	} {
		if got := slices.Contains(missing, text); got != want {
			t.Errorf("%s is missing: %v, want %v", text, got, want)
		}
	}
	if none, err := data.Missing(m, "en"); err != nil || len(none) > 0 {
		t.Errorf("in English: %v %v", none, err)
	}
}

// TestEveryLanguageSaysWhatItLacks logs where English stands in.
func TestEveryLanguageSaysWhatItLacks(t *testing.T) {
	m, err := book.ReadManifest(data.Files()[book.ManifestName])
	if err != nil {
		t.Fatal(err)
	}
	for language := range m.Languages {
		missing, err := data.Missing(data.Sources(), language)
		if err != nil {
			t.Fatal(err)
		}
		t.Log(fmt.Sprintf("%s: %d texts are missing", language, len(missing)), missing)
	}
}
