package repocheck

import (
	"encoding/json"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"panside/internal/book"
	"panside/internal/book/data"
	"panside/internal/say"
)

// saidLine is a call of say.New as it stands in the source.
type saidLine struct {
	at   string
	code string
	args map[string]string // name to how it is made: "Text", "Noun", …
}

// lines reads every call of say.New in the code that isn't a test's. What can't be read
// there, a code or an argument that isn't written out, is an error.
func saidLines(t *testing.T) []saidLine {
	t.Helper()
	var all []saidLine
	for _, dir := range []string{"internal", "server", "pwa/wasm"} {
		err := filepath.WalkDir(filepath.Join("..", "..", dir), func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
				return err
			}
			files := token.NewFileSet()
			f, err := parser.ParseFile(files, path, nil, parser.SkipObjectResolution)
			if err != nil {
				return err
			}
			ast.Inspect(f, func(n ast.Node) bool {
				call, ok := n.(*ast.CallExpr)
				if !ok || maker(call) != "New" {
					return true
				}
				at := files.Position(call.Pos()).String()
				code, ok := literal(call.Args[0])
				if !ok {
					t.Errorf("%s: write the code of a line out", at)
					return true
				}
				l := saidLine{at, code, map[string]string{}}
				for _, a := range call.Args[1:] {
					arg, ok := a.(*ast.CallExpr)
					if !ok || maker(arg) == "" {
						t.Errorf("%s: write the arguments of %s out", at, code)
						return true
					}
					name, ok := literal(arg.Args[0])
					if !ok || l.args[name] != "" {
						t.Errorf("%s: an argument of %s has no name, or that of another", at, code)
					}
					l.args[name] = maker(arg)
				}
				all = append(all, l)
				return true
			})
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	return all
}

// maker is what of internal/say a call calls.
func maker(call *ast.CallExpr) string {
	of, ok := call.Fun.(*ast.SelectorExpr)
	if !ok {
		return ""
	}
	if pkg, ok := of.X.(*ast.Ident); !ok || pkg.Name != "say" {
		return ""
	}
	return of.Sel.Name
}

func literal(e ast.Expr) (string, bool) {
	lit, ok := e.(*ast.BasicLit)
	if !ok {
		return "", false
	}
	s, err := strconv.Unquote(lit.Value)
	return s, err == nil
}

// fitting are the ways to make an argument that a template may use in a form.
var fitting = map[string][]string{
	"":       {"Text", "Decimal", "Figure", "Count", "Noun", "List", "Of"},
	"plural": {"Decimal", "Figure", "Count"},
	"select": {"Text", "Noun", "Of"},
	"noun":   {"Noun"},
	"text":   {"Text", "List", "Of"},
}

// TestEveryLineHasItsTemplate: in every language each code has a template, each template
// a code, and uses the very arguments that the code gives, in a form that they have.
func TestEveryLineHasItsTemplate(t *testing.T) {
	lines := saidLines(t)
	for language, tongue := range tongues(t) {
		used := map[string]bool{}
		for _, l := range lines {
			used[l.code] = true
			if !tongue.Has(l.code) {
				t.Errorf("%s: %s has no template in %s", l.at, l.code, language)
				continue
			}
			template, err := say.Parse(tongue.Template(l.code))
			if err != nil {
				t.Errorf("%s of %s: %v", l.code, language, err)
				continue
			}
			uses := template.Uses()
			for _, u := range uses {
				switch made, ok := l.args[u.Arg]; {
				case !ok:
					t.Errorf("%s: %s of %s uses {%s}, which isn’t given", l.at, l.code, language, u.Arg)
				case !slices.Contains(fitting[u.Form], made):
					t.Errorf("%s: %s of %s uses {%s, %s}, which is made by say.%s", l.at, l.code, language, u.Arg, u.Form, made)
				}
			}
			for name := range l.args {
				if !slices.ContainsFunc(uses, func(u say.Use) bool { return u.Arg == name }) {
					t.Errorf("%s: %s of %s doesn’t use {%s}", l.at, l.code, language, name)
				}
			}
		}
		for _, code := range tongue.Codes() {
			if !used[code] {
				t.Errorf("no code says the template %s of %s", code, language)
			}
		}
	}
}

// tongues are those of all languages, as they are built.
func tongues(t *testing.T) map[string]*say.Tongue {
	t.Helper()
	files := data.Files()
	var m book.Manifest
	if err := json.Unmarshal(files[book.ManifestName], &m); err != nil {
		t.Fatal(err)
	}
	all := map[string]*say.Tongue{book.DefaultLanguage: say.English}
	for language, e := range m.Languages {
		if e.Say == "" {
			continue
		}
		tongue, err := say.Open(language, files[e.Say])
		if err != nil {
			t.Fatal(err)
		}
		all[language] = tongue
	}
	if len(all) < 2 {
		t.Error("there is no language beside English")
	}
	return all
}
