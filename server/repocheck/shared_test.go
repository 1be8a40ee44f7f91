package repocheck

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"panside/internal/book/data"
	"panside/internal/bridge"
	"panside/internal/calibration"
	"panside/internal/journal"
	"panside/internal/radioscale"
	"panside/server/scalefeed"
)

// TestNumbersOnBothSides: what stands in Go and in TypeScript is the same number.
func TestNumbersOnBothSides(t *testing.T) {
	for name, want := range map[string]any{
		"staleAfterMs":       int64(scalefeed.StaleAfter / time.Millisecond),
		"maxPhotoBytes":      journal.MaxPhoto,
		"weightScaleService": radioscale.Service,
		"weightMeasurement":  radioscale.Measurement,
		"weightScaleFeature": radioscale.Feature,

		"maxPixels": goNumber(t, "../photostore", "maxPixels"),
	} {
		t.Run(name, func(t *testing.T) {
			if got := tsNumber(t, name); got != fmt.Sprint(want) {
				t.Errorf("the phone app has %s, Go %v", got, want)
			}
		})
	}
}

// TestWordsOnBothSides: each list of words that the phone app knows is Go's.
func TestWordsOnBothSides(t *testing.T) {
	var sides []string
	for _, s := range calibration.Sides {
		sides = append(sides, string(s))
	}
	for name, want := range map[string][]string{
		"calls":           constantsOf(t, "../../internal/verdict", "Call"),
		"toleranceStates": constantsOf(t, "../../internal/verdict", "State"),
		"supports":        constantsOf(t, "../../internal/verdict", "Support"),
		"phases":          constantsOf(t, "../../internal/mass", "Phase"),
		"classes":         constantsOf(t, "../../internal/calibration", "Class"),
		"stages":          constantsOf(t, "../../internal/calibration", "Stage"),
		"asks":            constantsOf(t, "../../internal/calibration", "Do"),
		"edges":           sides,
		"saids":           valuesNamed(t, "../../internal/calibration", "Said"),
		"methods":         constantsOf(t, "../../internal/density", "Method"),
		"foundWords":      constantsOf(t, "../scalefeed", "Outcome"),
		"lookRefusals":    constantsOf(t, "../../internal/segments", "Why"),
		"evidenceTests":   valuesNamed(t, "../../internal/verdict", "test"),
		"turnWays":        constantsOf(t, "../../internal/sides", "Over"),
		"turnHands":       constantsOf(t, "../../internal/sides", "Hand"),
		"turnCalls":       constantsOf(t, "../../internal/sides", "Call"),
		"lineAlongs":      constantsOf(t, "../../internal/sides", "Along"),
		"photoSides":      wordsWanted(t, "p.Side"),
		"lyingIn":         wordsWanted(t, "p.In"),
		"certainties":     wordsWanted(t, "findCertainty"),
		"fates":           wordsWanted(t, "findFate"),
		"huntSources":     wordsWanted(t, "huntSource"),
	} {
		t.Run(name, func(t *testing.T) { sameWords(t, tsList(t, name), want) })
	}
}

// TestTheCoreTakesEachAnswer: what can be tapped as the result of a test is what
// the core understands.
func TestTheCoreTakesEachAnswer(t *testing.T) {
	answers := inPhoneApp(t, `(?s)\bconst answersOf = {(.*?)} as const;`)
	lists := regexp.MustCompile(`(\w+): (\[.*?\])`).FindAllStringSubmatch(strings.Join(answers, ""), -1)
	if len(lists) < 5 {
		t.Fatalf("only %q are found", lists)
	}
	bridge.Use(data.ShelfIn)
	judged := func(field, word string) string {
		return string(bridge.Call("judge", fmt.Appendf(nil, `{"denomination":"cent","value":"3.11","evidence":{%q:%s}}`, field, word)))
	}
	for _, l := range lists {
		for _, word := range wordsIn(l[2]) {
			if a := judged(l[1], strconv.Quote(word)); !strings.HasPrefix(a, `{"ok"`) {
				t.Errorf("%s %s: %.200s", l[1], word, a)
			}
		}
		if a := judged(l[1], `"nothing"`); !strings.HasPrefix(a, `{"error"`) {
			t.Errorf("%s takes anything: %.200s", l[1], a)
		}
	}
}

// TestMethodsOnBothSides: the phone app asks the core for what it answers.
func TestMethodsOnBothSides(t *testing.T) {
	asked := bridge.Methods()
	t.Run("Method", func(t *testing.T) {
		onServer := func(m string) bool { return m == "scale-pattern" } // built for the server alone
		sameWords(t, tsUnion(t, "Method"), slices.DeleteFunc(asked, onServer))
	})
	t.Run("JournalMethod", func(t *testing.T) {
		sameWords(t, tsList(t, "journalMethods"), keysOf(t, "../../internal/bridge", "methods"))
	})
}

// TestCodesOnBothSides: a fault that the phone app asks for by its code is one of Go's.
func TestCodesOnBothSides(t *testing.T) {
	golden, err := os.ReadFile("../../internal/fault/testdata/codes.golden")
	if err != nil {
		t.Fatal(err)
	}
	codes := strings.Fields(string(golden))
	codes = append(codes, "no-core-here", "nobody-answers") // the phone app's own
	asked := inPhoneApp(t, `\.code [!=]== "([a-z]+-[a-z-]+)"`)
	if len(asked) < 3 {
		t.Fatalf("only %q are found", asked)
	}
	for _, c := range asked {
		if !slices.Contains(codes, c) {
			t.Errorf("the phone app asks for the code %q, which nothing gives", c)
		}
	}
}

func sameWords(t *testing.T, ts, goes []string) {
	t.Helper()
	slices.Sort(ts)
	goes = slices.Sorted(slices.Values(goes))
	if len(goes) == 0 || !slices.Equal(ts, goes) {
		t.Errorf("the phone app has %q, Go %q", ts, goes)
	}
}

// parsed are the files of a package, without its tests.
func parsed(t *testing.T, dir string) []*ast.File {
	t.Helper()
	names, err := filepath.Glob(filepath.Join(dir, "*.go"))
	if err != nil || len(names) == 0 {
		t.Fatalf("no Go files in %s: %v", dir, err)
	}
	var files []*ast.File
	for _, name := range names {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		f, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.SkipObjectResolution)
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, f)
	}
	return files
}

// each calls a function with every node of a package's files.
func each[N ast.Node](t *testing.T, dir string, f func(N)) {
	t.Helper()
	for _, file := range parsed(t, dir) {
		for n := range ast.Preorder(file) {
			if n, ok := n.(N); ok {
				f(n)
			}
		}
	}
}

// goNumber is the value of a constant that a package keeps to itself.
func goNumber(t *testing.T, dir, name string) (number string) {
	t.Helper()
	each(t, dir, func(s *ast.ValueSpec) {
		for i, n := range s.Names {
			if lit, ok := valueOf(s, i).(*ast.BasicLit); ok && n.Name == name {
				number = value(t, name, lit.Value)
			}
		}
	})
	return number
}

func valueOf(s *ast.ValueSpec, i int) ast.Expr {
	if i < len(s.Values) {
		return s.Values[i]
	}
	return nil
}

// constantsOf are the strings of a type's constants, the empty one left out.
func constantsOf(t *testing.T, dir, typeName string) (words []string) {
	t.Helper()
	each(t, dir, func(s *ast.ValueSpec) {
		if id, ok := s.Type.(*ast.Ident); !ok || id.Name != typeName {
			return
		}
		for i := range s.Names {
			words = append(words, literals(valueOf(s, i))...)
		}
	})
	return words
}

// valuesNamed are the strings of constants whose names begin alike.
func valuesNamed(t *testing.T, dir, prefix string) (words []string) {
	t.Helper()
	each(t, dir, func(s *ast.ValueSpec) {
		for i, n := range s.Names {
			if strings.HasPrefix(n.Name, prefix) {
				words = append(words, literals(valueOf(s, i))...)
			}
		}
	})
	return words
}

// wordsWanted are those that the journal takes for a field, which is named by its
// key in the table of rules, or by what is asked to be one of them.
func wordsWanted(t *testing.T, field string) (words []string) {
	t.Helper()
	const dir = "../../internal/journal"
	each(t, dir, func(kv *ast.KeyValueExpr) {
		call, ok := kv.Value.(*ast.CallExpr)
		if key, isName := kv.Key.(*ast.Ident); ok && isName && key.Name == field && named(call.Fun) == "wantWord" {
			words = append(words, literals(call.Args[1:]...)...) // the first is the sentence for a person
		}
	})
	each(t, dir, func(call *ast.CallExpr) {
		if named(call.Fun) == "oneOf" && len(call.Args) > 1 && named(call.Args[0]) == field {
			words = append(words, literals(call.Args[1:]...)...)
		}
	})
	return words
}

// keysOf are the keys of the table that a function returns.
func keysOf(t *testing.T, dir, function string) (words []string) {
	t.Helper()
	each(t, dir, func(f *ast.FuncDecl) {
		if f.Name.Name != function {
			return
		}
		for n := range ast.Preorder(f.Body) {
			if kv, ok := n.(*ast.KeyValueExpr); ok {
				words = append(words, literals(kv.Key)...)
			}
		}
	})
	return words
}

// literals are the expressions that are strings, without their quotes.
func literals(all ...ast.Expr) (words []string) {
	for _, e := range all {
		if lit, ok := e.(*ast.BasicLit); ok && lit.Kind == token.STRING {
			if s, err := strconv.Unquote(lit.Value); err == nil && s != "" {
				words = append(words, s)
			}
		}
	}
	return words
}

// named writes a name or a selected name as in the source.
func named(e ast.Expr) string {
	switch e := e.(type) {
	case *ast.Ident:
		return e.Name
	case *ast.SelectorExpr:
		return named(e.X) + "." + e.Sel.Name
	}
	return ""
}
