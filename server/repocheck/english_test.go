package repocheck

import (
	"encoding/json"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// british are spellings that an American reader stumbles over, and words that the
// trade has better ones for.
var british = regexp.MustCompile(`(?i)\b(colours?|coloured|grey(ish)?|neighbours?|honour\w*|favour\w*|lustre|centred?|off-centre|aluminium|jewellery|jeweller|moulds?|(milli)?metres?|recogni[s]\w*|maize|ribbed|draughts?|catalogues?|encyclopaedia|calliper)\b`)

// unprinted is what a printer sets otherwise: a blank before a percent sign, and a
// straight apostrophe in a word.
var unprinted = regexp.MustCompile(`\d %|^ %|\pL'\pL`)

// riddles are turns of phrase that were read as riddles, and pieces of a sentence
// that a machine once put in the wrong place.
var riddles = regexp.MustCompile(`(?i)\b(is no (backup|program)|how far (a|the|this) scale errs|goes on by itself|(melted|kept|worn|relief|only|use) struck|five-cent piece, shield|wrong key|a sure coin|line speed|is no (number|class|check weight|address|format))\b`)

// wireNames are names and values of the wire that keep their spelling, with which
// clients were written.
var wireNames = []string{
	"colour", "one-colour", "two-colours", "evidence.colour", "grey", "red, yellow, white, grey, two-hue",
	"off-centre", "recognising",
}

// stumbles gives what in a text isn't as the project writes, empty if nothing is.
func stumbles(text string) string {
	if slices.Contains(wireNames, text) {
		return ""
	}
	for _, r := range []*regexp.Regexp{british, unprinted, riddles} {
		if found := r.FindString(text); found != "" {
			return found
		}
	}
	return ""
}

// TestStumblesAreFound: the rules find what they are for, and leave names alone.
func TestStumblesAreFound(t *testing.T) {
	for text, want := range map[string]string{
		"Look at the colour.": "colour", "duller grey": "grey", "40 % silver": "0 %", " % of the weight": " %", "it isn't": "n't",
		"About 3 million, mostly worn struck.": "worn struck", "Find out how far a scale errs.": "how far a scale errs",
		"colour": "", "grey": "", "Look at the color.": "", "40% silver": "", "it isn’t": "", "3.11 g": "",
	} {
		if got := stumbles(text); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}

// TestCodeIsOneEnglish holds the sentences of the Go code to one English, American
// and as a printer sets it. What only developers read is left out: the build's tool
// and the helpers of tests.
func TestCodeIsOneEnglish(t *testing.T) {
	read := 0
	for _, dir := range []string{"internal", "server"} {
		err := filepath.WalkDir(filepath.Join("..", "..", dir), func(path string, d fs.DirEntry, err error) error {
			if err != nil {
				return err
			}
			if d.IsDir() && slices.Contains([]string{"up", "conformance", "openapitest", "synctest", "testdata"}, d.Name()) {
				return filepath.SkipDir
			}
			if !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
				return nil
			}
			files := token.NewFileSet()
			f, err := parser.ParseFile(files, path, nil, parser.SkipObjectResolution)
			if err != nil {
				return err
			}
			tags := map[*ast.BasicLit]bool{}
			ast.Inspect(f, func(n ast.Node) bool {
				switch n := n.(type) {
				case *ast.Field:
					tags[n.Tag] = n.Tag != nil && !strings.Contains(n.Tag.Value, "help:") // names of the wire
				case *ast.BasicLit:
					if text, err := strconv.Unquote(n.Value); err == nil && n.Kind == token.STRING && !tags[n] {
						read++
						for line := range strings.Lines(text) {
							if found := stumbles(strings.TrimSuffix(line, "\n")); found != "" && !namesFields(line) {
								t.Errorf("%s: %q in %q", files.Position(n.Pos()), found, line)
							}
						}
					}
				}
				return true
			})
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	if read < 3000 {
		t.Errorf("only %d texts were read", read)
	}
}

// namesFields reports whether a line of a command's help lists the names of fields, or
// how else a flag may be spelled.
func namesFields(line string) bool {
	return strings.Contains(line, "evidence {") || strings.Contains(line, `aliases:"colour"`)
}

// TestDescriptionsAreOneEnglish does so for the descriptions of the wire.
func TestDescriptionsAreOneEnglish(t *testing.T) {
	for _, name := range []string{"httpapi/core.json", "httpapi/openapi.json", "joinapi/openapi.json", "scaleapi/openapi.json", "syncapi/openapi.json"} {
		raw, err := os.ReadFile(filepath.Join("..", name))
		if err != nil {
			t.Fatal(err)
		}
		var document any
		if err := json.Unmarshal(raw, &document); err != nil {
			t.Fatal(err)
		}
		read := 0
		described(document, func(text string) {
			read++
			if found := stumbles(text); found != "" && !strings.HasPrefix(text, `"red", "yellow"`) {
				t.Errorf("%s: %q in %q", name, found, text)
			}
		})
		if read == 0 {
			t.Errorf("%s describes nothing", name)
		}
	}
}

// described calls visit with every description, summary and title of a document.
func described(x any, visit func(string)) {
	switch x := x.(type) {
	case map[string]any:
		for name, value := range x {
			if text, ok := value.(string); ok && slices.Contains([]string{"description", "summary", "title"}, name) {
				visit(text)
			}
			described(value, visit)
		}
	case []any:
		for _, e := range x {
			described(e, visit)
		}
	}
}

// TestPagesAreOneEnglish does so for the pages that the server makes itself.
func TestPagesAreOneEnglish(t *testing.T) {
	pages, err := filepath.Glob(filepath.Join("..", "httpapi", "pages", "*.html"))
	if err != nil || len(pages) == 0 {
		t.Fatal(pages, err)
	}
	for _, name := range pages {
		raw, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		for i, line := range strings.Split(string(raw), "\n") {
			if found := stumbles(line); found != "" {
				t.Errorf("%s:%d: %q", filepath.Base(name), i+1, found)
			}
		}
	}
}
