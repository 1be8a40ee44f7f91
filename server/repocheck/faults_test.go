package repocheck

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"panside/internal/say"
)

// TestNoFaultIsBare: what an error says comes by a code, so that every language has it.
// Where that code has its templates is held by TestEveryLineHasItsTemplate.
func TestNoFaultIsBare(t *testing.T) {
	for _, dir := range []string{"internal", "server", "pwa/wasm"} {
		err := filepath.WalkDir(filepath.Join("..", "..", dir), func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
				return err
			}
			switch filepath.Base(filepath.Dir(path)) {
			case "say", "fault":
				return nil
			}
			files := token.NewFileSet()
			f, err := parser.ParseFile(files, path, nil, parser.SkipObjectResolution)
			if err != nil {
				return err
			}
			for _, b := range bareFaults(f) {
				t.Errorf("%s: %s", files.Position(b.at), b.what)
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
}

// TestBareFaultsAreFound in each way that one could be made.
func TestBareFaultsAreFound(t *testing.T) {
	for source, want := range map[string]int{
		`fault.New(fault.BadInput, say.New("check-no-weight"))`:               0,
		`fault.New(fault.BadInput, why)`:                                      0,
		`fault.New(fault.BadInput, say.New("No weight is named."))`:           1,
		`fault.New(fault.BadInput, "No weight is named.")`:                    1,
		`fault.Wrap(fault.BadInput, "No "+what, err)`:                         1,
		`fault.InField("weights", fault.BadInput, "No weight is named.")`:     1,
		`fault.WithEnding(fault.BadInput, say.New("check-no-weight"), "No.")`: 1,
		`&fault.Error{Code: fault.BadInput}`:                                  1,
		`say.Line{&say.Coded{Code: "No weight is named."}}`:                   1,
		`say.Line{}`: 0,
		"[]byte(`{\"error\":{\"code\":\"internal\",\"sentence\":\"Oh.\"}}`)":         1,
		`fault.New(fault.BadInput, say.New("check-grams", say.Text("mass", "No.")))`: 0,
	} {
		f, err := parser.ParseFile(token.NewFileSet(), "", "package p\nvar x = "+source, parser.SkipObjectResolution)
		if err != nil {
			t.Fatal(err)
		}
		if found := bareFaults(f); len(found) != want {
			t.Errorf("%s: %d found, want %d", source, len(found), want)
		}
	}
}

type bareFault struct {
	at   token.Pos
	what string
}

var (
	codeForm     = regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`)
	sentenceMade = regexp.MustCompile(`"sentence" *: *"[^"]`)
)

// bareFaults are the places of a file that say something without a code.
func bareFaults(f *ast.File) (all []bareFault) {
	bad := func(n ast.Node, what string) { all = append(all, bareFault{n.Pos(), what}) }
	ast.Inspect(f, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.CallExpr:
			of, ok := n.Fun.(*ast.SelectorExpr)
			if !ok {
				return true
			}
			pkg, _ := of.X.(*ast.Ident)
			switch {
			case pkg == nil:
			case pkg.Name == "say" && of.Sel.Name == "New":
				if code, ok := literal(n.Args[0]); !ok || !codeForm.MatchString(code) {
					bad(n, "that is no code of a line")
				}
			case pkg.Name == "fault" && slices.Contains([]string{"New", "Wrap", "WithEnding", "InField"}, of.Sel.Name):
				lines := n.Args[1:]
				if of.Sel.Name == "InField" {
					lines = n.Args[2:]
				}
				for _, a := range lines {
					if isText(a) {
						bad(a, "what a fault says is a line: say.New and a code")
					}
				}
			}
		case *ast.CompositeLit:
			of, ok := n.Type.(*ast.SelectorExpr)
			if !ok {
				return true
			}
			pkg, _ := of.X.(*ast.Ident)
			switch {
			case pkg == nil || len(n.Elts) == 0:
			case pkg.Name == "fault" && of.Sel.Name == "Error":
				bad(n, "make a fault with New, Wrap, WithEnding or InField")
			case pkg.Name == "say" && of.Sel.Name == "Line":
				bad(n, "make a line with say.New")
			}
		case *ast.BasicLit:
			if s, err := strconv.Unquote(n.Value); n.Kind == token.STRING && err == nil && sentenceMade.MatchString(s) {
				bad(n, "a sentence is written into the answer")
			}
		}
		return true
	})
	return all
}

// isText reports whether an expression is a text, or one put together.
func isText(e ast.Expr) bool {
	switch e := e.(type) {
	case *ast.BasicLit:
		return e.Kind == token.STRING
	case *ast.BinaryExpr:
		return isText(e.X) || isText(e.Y)
	case *ast.ParenExpr:
		return isText(e.X)
	}
	return false
}

// TestCodesAreSaidOnce: two subjects that share a code would silently share a template.
func TestCodesAreSaidOnce(t *testing.T) {
	seen := map[string]string{}
	names, err := filepath.Glob("../../internal/say/en_*.go")
	if err != nil || len(names) < 6 {
		t.Fatal(names, err)
	}
	for _, name := range names {
		f, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.SkipObjectResolution)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(f, func(n ast.Node) bool {
			pair, ok := n.(*ast.KeyValueExpr)
			if !ok {
				return true
			}
			code, ok := literal(pair.Key)
			if ok && seen[code] != "" {
				t.Errorf("%s: %s has its template in %s", name, code, seen[code])
			}
			seen[code] = filepath.Base(name)
			return true
		})
	}
	for _, code := range say.English.Codes() {
		if seen[code] == "" {
			t.Errorf("%s isn’t written in a table", code)
		}
	}
}
