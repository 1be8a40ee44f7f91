package verdict_test

import (
	"encoding/json"
	"flag"
	"fmt"
	"maps"
	"os"
	"slices"
	"strings"
	"sync"
	"testing"
	"unicode/utf8"

	"panside/internal/book/data"
	"panside/internal/coin"
	"panside/internal/verdict"
	"panside/internal/want"
)

// testdata/words.golden has the words of the verdicts that other tests hold to
// their claims, so that a new wording is one change in one file; words.es.golden has the
// same verdicts in Spanish:
//
//	go test ./internal/verdict -run 'Words|Searcher|Years|Two|Asked|Answered|Keeper' -update
//
// writes both anew; read the difference before it is kept.
const (
	wordsFile   = "testdata/words.golden"
	spanishFile = "testdata/words.es.golden"
)

var update = flag.Bool("update", false, "write "+wordsFile+" and its Spanish twin anew")

// read gives the words that a golden file has, by question.
func read(name string) map[string]string {
	raw, err := os.ReadFile(name)
	if err != nil {
		return nil
	}
	words := map[string]string{}
	for part := range strings.SplitSeq(strings.TrimSpace(string(raw)), "\n\n") {
		question, said, _ := strings.Cut(part, "\n")
		words[question] = said
	}
	return words
}

var (
	golden        = sync.OnceValue(func() map[string]string { return read(wordsFile) })
	goldenSpanish = sync.OnceValue(func() map[string]string { return read(spanishFile) })
)

// said are the words of this run.
var said, saidInSpanish = map[string]string{}, map[string]string{}

// spanish is the catalogue in Spanish as the Americas write it.
var spanish = sync.OnceValue(func() *coin.Book {
	s, err := data.Open(data.Files(), "es-MX")
	if err != nil {
		panic(err)
	}
	coins, err := s.Coins()
	if err != nil {
		panic(err)
	}
	return coins
})

// holdWords holds a verdict's words to the golden ones, and to those in Spanish.
func holdWords(t *testing.T, q verdict.Question, v verdict.Verdict) {
	t.Helper()
	question := fmt.Sprintf("%s/%s %d%s %g g by %g g", q.Country, q.Denomination, q.Year, q.Mint, float64(q.Mean), float64(q.Resolution))
	if e, err := json.Marshal(q.Evidence); err == nil && q.Evidence != (verdict.Evidence{}) {
		question += " " + string(e)
	}
	for _, a := range q.Answers {
		question += " " + a.Question + "=" + a.Choice
	}
	for i, k := range q.Keep {
		question += [...]string{" keep ", ", "}[min(i, 1)] + k.ID
	}
	hold(t, question, wordsOf(v), wordsFile, said, golden)

	var ids []string
	for _, k := range q.Keep {
		ids = append(ids, k.ID)
	}
	q.Keep, _ = want.Parse(spanish(), q.Country, ids, spanish().Called)
	es, err := verdict.Judge(spanish(), q)
	if err != nil {
		t.Fatal(err)
	}
	if es.Call != v.Call || es.Claim != v.Claim || len(es.Explanations) != len(v.Explanations) {
		t.Errorf("%s: in Spanish it is another verdict, %+v", question, es.Claim)
	}
	hold(t, question, wordsOf(es)+restOf(es), spanishFile, saidInSpanish, goldenSpanish)
}

func wordsOf(v verdict.Verdict) string {
	words := "  headline: " + v.Headline + "\n  spoken:   " + v.Spoken
	if v.Question != nil {
		words += "\n  question: " + v.Question.Sentence
	}
	if v.NextTest != nil {
		words += "\n  test:     " + v.NextTest.Sentence
	}
	return words
}

// restOf are the words that the English file leaves to other tests.
func restOf(v verdict.Verdict) string {
	words := "\n  limit:    " + strings.TrimSpace(v.Tolerance.Sentence+" "+v.Tolerance.Settle)
	if x := v.NextTest; x != nil {
		for _, c := range x.Choices {
			words += "\n  answer:   " + c.Name
		}
		if x.Caution != "" {
			words += "\n  caution:  " + x.Caution
		}
	}
	for _, e := range v.Explanations {
		words += "\n  may be:   " + e.Name + ". " + e.Confirm
	}
	return words
}

func hold(t *testing.T, question, words, file string, said map[string]string, golden func() map[string]string) {
	t.Helper()
	said[question] = words
	if *update {
		var b strings.Builder
		for _, question := range slices.Sorted(maps.Keys(said)) {
			b.WriteString(question + "\n" + said[question] + "\n\n")
		}
		if err := os.WriteFile(file, []byte(b.String()), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if want := golden()[question]; words != want {
		t.Errorf("%s\n%s\nwant\n%s", question, words, want)
	}
}

// TestHeadlinesAreShort: a phone shows some 70 characters in two lines; few headlines
// may take a third, and none a fourth.
func TestHeadlinesAreShort(t *testing.T) {
	const room, most = 70, 100
	long := 0
	for question, words := range golden() {
		_, headline, _ := strings.Cut(words, "headline: ")
		headline, _, _ = strings.Cut(headline, "\n")
		switch n := utf8.RuneCountInString(headline); {
		case n > most:
			t.Errorf("%s: %d characters: %s", question, n, headline)
		case n > room:
			long++
		}
	}
	t.Logf("%d of %d headlines have more than %d characters", long, len(golden()), room)
	if len(golden()) == 0 || 7*long > len(golden()) {
		t.Errorf("%d of %d headlines have more than %d characters", long, len(golden()), room)
	}
}
