package data_test

import (
	"io/fs"
	"regexp"
	"slices"
	"strings"
	"testing"

	"panside/internal/book/data"
	"panside/internal/coin"
	"panside/internal/look"
	"panside/internal/say"
	"panside/internal/want"
)

// TestSpanishIsWhole: all of the book but the look-fors of denominations is there in
// Spanish, name by name. What it has and English hasn't, the build refuses.
func TestSpanishIsWhole(t *testing.T) {
	missing, err := data.Missing(data.Sources(), "es")
	if err != nil {
		t.Fatal(err)
	}
	lookFors := 0
	for _, text := range missing {
		if _, list, _ := strings.Cut(text, " "); strings.HasPrefix(list, "types ") || strings.HasPrefix(list, "dates ") {
			lookFors++
			continue
		}
		t.Errorf("Spanish lacks %s", text)
	}
	t.Logf("%d texts of look-fors are English", lookFors)
}

// spanishCoins is the book's coins in Spanish.
func spanishCoins(t *testing.T) *coin.Book {
	t.Helper()
	s, err := data.Open(data.Files(), "es")
	if err != nil {
		t.Fatal(err)
	}
	coins, err := s.Coins()
	if err != nil {
		t.Fatal(err)
	}
	return coins
}

// TestSpanishNounsHaveTheirGender: sentences take the article from it.
func TestSpanishNounsHaveTheirGender(t *testing.T) {
	coins := spanishCoins(t)
	phrase := func(f say.Forms) string {
		return coins.Tongue().Write(say.New("a-coin", say.Noun("coin", f)))
	}
	for _, k := range coins.Countries() {
		for _, d := range coins.Denominations(k.ID) {
			if d.Gender == "" {
				t.Errorf("%s %s has no gender", k.ID, d.ID)
			}
			for _, i := range coins.Issues(k.ID, d.ID) {
				if p := coins.Planchet(i.Planchet); p.Gender == "" {
					t.Errorf("planchet %s has no gender", p.ID)
				}
			}
		}
	}
	for id, want := range map[string]string{"eagle": "un águila", "half-eagle": "una media águila", "nickel": "una moneda de cinco centavos", "quarter": "un cuarto de dólar"} {
		d, _ := coins.Denomination("US", id)
		if got := phrase(d.Forms()); got != want {
			t.Errorf("%s, want %s", got, want)
		}
	}
}

// TestSpanishIsFoundAsItIsTyped: with accents or without, as coin, search or want.
func TestSpanishIsFoundAsItIsTyped(t *testing.T) {
	coins := spanishCoins(t)
	for typed, id := range map[string]string{"dólar": "dollar", "Dolares": "dollar", "cuarto de dolar": "quarter", "aguilas": "eagle", "centavos": "cent", "cent": "cent"} {
		if d, ok := coins.Called("US", typed); !ok || d.ID != id {
			t.Errorf("%s is %q", typed, d.ID)
		}
	}
	for typed, issue := range map[string]string{"aguila voladora": "us-cent-eagle", "Águila Voladora": "us-cent-eagle", "espigas acero": "", "latón cartuchos": "us-cent-wheat-brass", "bufalo": "us-nickel-buffalo", "plata 40 %": "us-half-400"} {
		if got := coins.Search(typed); (issue == "") != (len(got) == 0) || issue != "" && !slices.ContainsFunc(got, func(i coin.Issue) bool { return i.ID == issue }) {
			t.Errorf("%s finds %d, not %s", typed, len(got), issue)
		}
	}
	list := []string{"Plata", "centavos de bronce", "espigas", "bufalo", "plata al 40 %", "dimes Mercurio", "dolares de la paz", "plata de guerra", "dimes de plata"}
	wants, unknown := want.Parse(coins, "US", list, coins.Called)
	if len(wants) != len(list) || unknown != "" {
		t.Errorf("%d wants of %d, unknown: %v", len(wants), len(list), unknown)
	}
}

// TestASheetTellsWhatIsEnglish: in Spanish, each text of a sheet that English stands in for
// is named, and none that is Spanish; in English none is.
func TestASheetTellsWhatIsEnglish(t *testing.T) {
	sources := spoilt(t, "looks/kinds.es.json", `"where":"en el listel","light":"cualquier luz",`, `"light":"cualquier luz",`)
	sources["ca/cent.es.json"] = sources["ca/cent.en.json"]
	files, err := data.Build(sources)
	if err != nil {
		t.Fatal(err)
	}
	q := look.Query{Country: "US", Denomination: "dime", Year: 1964, Mint: "D"}
	sheet := func(language string, q look.Query) []look.LookFor {
		s, err := data.Open(files, language)
		if err != nil {
			t.Fatal(err)
		}
		looks, err := s.LooksOf(q.Country, q.Denomination)
		if err != nil {
			t.Fatal(err)
		}
		return looks.Sheet(q)
	}
	english, spanish := sheet("en", q), sheet("es", q)
	if len(english) != len(spanish) {
		t.Fatalf("%d look-fors in English, %d in Spanish", len(english), len(spanish))
	}
	text := func(l look.LookFor) map[string]string {
		return map[string]string{"name": l.Name, "where": l.Where, "light": l.Light, "see": l.See, "mimics": l.Mimics, "decides": l.Decides, "weight": l.Weight}
	}
	told := 0
	for n, e := range english {
		if len(e.English) > 0 {
			t.Errorf("in English %s has English: %v", e.ID, e.English)
		}
		in := text(spanish[n])
		for field, words := range text(e) {
			named := slices.Contains(spanish[n].English, field)
			figures := strings.Trim(words, "0123456789., g") == "" // the same in both
			if named != (words == in[field]) && !figures {
				t.Errorf("%s %s: told as English %v, and it reads %q", e.ID, field, named, in[field])
			}
			if named {
				told++
			}
		}
	}
	if told == 0 {
		t.Error("nothing is told to be English")
	}
	// One text that is missing falls back alone, and only where it is shown.
	cud := slices.IndexFunc(spanish, func(l look.LookFor) bool { return l.ID == "cud" })
	if cud < 0 || !slices.Equal(spanish[cud].English, []string{"where"}) || spanish[cud].Where != "at the rim" || !strings.HasPrefix(spanish[cud].See, "Un bulto") {
		t.Errorf("the cud without its Spanish place: %+v", spanish[cud])
	}
	q.Country, q.Denomination = "CA", "cent"
	for _, l := range sheet("es", q) {
		if l.Scope != look.OfAny && len(l.English) > 0 {
			t.Errorf("%s has words in each language, and %v are told as English", l.ID, l.English)
		}
	}
}

// badSpanish is what slips in: a percent sign without its fixed blank, an opening sign that
// is missing, English quotes, usted, and words that the glossary has others for.
var badSpanish = []*regexp.Regexp{
	regexp.MustCompile(`\d ?%`),
	regexp.MustCompile(`\d,\d{1,2}\b`),
	regexp.MustCompile(`"[^"¿]*\?"`),
	regexp.MustCompile(`\w[’\']\w`),
	regexp.MustCompile(`(?i)\b(usted|ustedes|vosotros|su báscula|balanza|troquel\w*|matriz|luster|penique[s]? americano\w*|sello[s]?|ribete\w*|reborde\w*)\b`),
}

// TestSpanishIsTypedOneWay: as a printer sets it, and with the words of the glossary.
func TestSpanishIsTypedOneWay(t *testing.T) {
	names, err := fs.Glob(data.Sources(), "*/*.es.json")
	if err != nil {
		t.Fatal(err)
	}
	top, err := fs.Glob(data.Sources(), "*.es.json")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range append(names, top...) {
		if strings.HasPrefix(name, "say/") {
			continue // the sentences have tests of their own
		}
		raw, err := fs.ReadFile(data.Sources(), name)
		if err != nil {
			t.Fatal(err)
		}
		for n, line := range strings.Split(string(raw), "\n") {
			for _, r := range badSpanish {
				if found := r.FindString(line); found != "" {
					t.Errorf("%s:%d: %q", name, n+1, found)
				}
			}
		}
	}
}
