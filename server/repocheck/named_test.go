package repocheck

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// notes is a text that names parts of the repository.
type notes struct{ file, text string }

// repository is what such a text may name.
type repository struct {
	paths  map[string]bool // files and folders, from the top
	tests  map[string]bool // names of tests, benchmarks and fuzz targets
	tested map[string][]string
	source string // of all Go files
	flags  map[string]bool
	words  map[string]bool // commands of the server
	verbs  map[string]bool // of server/up
}

// TestWhatTheNotesNameIsThere: paths, files, tests, benchmarks, commands, flags and
// environment variables that a README, DEVELOPERS.md or a comment names.
func TestWhatTheNotesNameIsThere(t *testing.T) {
	r, all := readRepository(t)
	if len(r.tests) < 500 || len(r.words) < 10 || len(r.verbs) < 5 || len(r.flags) < 20 {
		t.Fatalf("%d tests, %d commands, %d verbs, %d flags are found", len(r.tests), len(r.words), len(r.verbs), len(r.flags))
	}
	for _, n := range all {
		for _, missing := range r.missing(n) {
			t.Errorf("%s names %s, which isn't there", n.file, missing)
		}
	}
}

// TestANameThatIsGoneIsSeen tries the check itself.
func TestANameThatIsGoneIsSeen(t *testing.T) {
	r, _ := readRepository(t)
	for text, gone := range map[string]int{
		"`server/up`, `internal/fault/codes.go` and codes.go": 0,
		"`internal/gone`":                         1,
		"see `gone_at_all.go`":                    1,
		"TestWhatTheNotesNameIsThere":             0,
		"TestGone holds it":                       1,
		"`VerdictBeforeStable`, `server/figures`": 0,
		"`VerdictBeforeStable`, `server/up`":      1,
		"`Readings`, `server/figures`":            0,
		"go run ./server/up bench":                0,
		"go run ./server/up dance":                1,
		"go run ./server judge":                   0,
		"go run ./server dance":                   1,
		"`--copies DIR`":                          0,
		"`--dance`":                               1,
		"`PANSIDE_LONG=1 go test -run Calibration -v ./internal/verdict`": 0,
		"`go test -run NoSuchTest -v ./internal/verdict`":                 1,
		"PANSIDE_DANCE": 1,
	} {
		if got := r.missing(notes{"README.md", text}); len(got) != gone {
			t.Errorf("%s: %q are missing, want %d", text, got, gone)
		}
	}
}

var (
	pathNamed   = regexp.MustCompile(`(?:^|[\s(\x60"])((?:internal|server|pwa|testdata)/[\w./-]*\w)`)
	fileNamed   = regexp.MustCompile(`(?:^|[\s(\x60"])([\w/-]+\.(?:go|ts|tsx|sh|golden|md))\b`)
	testNamed   = regexp.MustCompile(`\b(?:Test|Benchmark|Fuzz)[A-Z]\w*`)
	pairNamed   = regexp.MustCompile("`(\\w+)`, `((?:internal|server|pwa)[\\w/]*)`")
	runNamed    = regexp.MustCompile(`go test -run (\w+)[^\n\x60]*? \./(\S+[\w/])`)
	verbNamed   = regexp.MustCompile(`go run \./server/up ([a-z]+)`)
	upNamed     = regexp.MustCompile("`up ([a-z]+)")
	wordNamed   = regexp.MustCompile(`go run \./server ([a-z][a-z-]*)`)
	flagNamed   = regexp.MustCompile("[\\s`(](--[a-z][a-z-]+)")
	placeholder = regexp.MustCompile(`\bNAME(?:\.\w+)?$`) // NAME.golden stands for any
	aboutNamed  = regexp.MustCompile(`\bPANSIDE_[A-Z]+`)
)

var tsComment = regexp.MustCompile(`(?m)/\*[\s\S]*?\*/|(?:^|\s)//.*$`)

// missing lists what is named and isn't there.
func (r *repository) missing(n notes) (gone []string) {
	check := func(named *regexp.Regexp, there func(m []string) bool) {
		for _, m := range named.FindAllStringSubmatch(n.text, -1) {
			if !there(m) {
				gone = append(gone, strings.TrimSpace(m[0]))
			}
		}
	}
	near := path.Dir(filepath.ToSlash(n.file))
	check(pathNamed, func(m []string) bool { return r.has(m[1], near) })
	check(fileNamed, func(m []string) bool { return r.has(m[1], near) })
	check(testNamed, func(m []string) bool { return r.tests[m[0]] })
	check(verbNamed, func(m []string) bool { return r.verbs[m[1]] })
	check(wordNamed, func(m []string) bool { return r.words[m[1]] })
	check(aboutNamed, func(m []string) bool { return strings.Contains(r.source, `"`+m[0]) })
	if path.Ext(n.file) != ".md" {
		return gone
	}
	check(upNamed, func(m []string) bool { return r.verbs[m[1]] })
	check(flagNamed, func(m []string) bool { return r.flags[m[1]] })
	check(pairNamed, func(m []string) bool {
		return slices.ContainsFunc(r.tested[m[2]], func(name string) bool {
			return strings.TrimPrefix(strings.TrimPrefix(name, "Benchmark"), "Test") == strings.TrimPrefix(m[1], "Test")
		})
	})
	check(runNamed, func(m []string) bool {
		is := regexp.MustCompile(m[1])
		return slices.ContainsFunc(r.tested[m[2]], is.MatchString)
	})
	return gone
}

// has reports whether a path is there: from the top, from the file that names it, or
// as the end of any other.
func (r *repository) has(name, near string) bool {
	if placeholder.MatchString(name) {
		return true
	}
	if r.paths[name] || r.paths[path.Join(near, name)] {
		return true
	}
	for p := range r.paths {
		if strings.HasSuffix(p, "/"+name) {
			return true
		}
	}
	return false
}

const top = "../.."

// readRepository reads all of it, and the texts that are to be checked.
func readRepository(t *testing.T) (*repository, []notes) {
	t.Helper()
	r := &repository{paths: map[string]bool{}, tests: map[string]bool{}, tested: map[string][]string{}, flags: map[string]bool{}, words: map[string]bool{}, verbs: map[string]bool{}}
	var all []notes
	var source strings.Builder
	err := filepath.WalkDir(top, func(name string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(top, name)
		if err != nil {
			return err
		}
		rel = filepath.ToSlash(rel)
		if base := d.Name(); d.IsDir() && (base == "node_modules" || strings.HasPrefix(base, ".") && name != top) {
			return filepath.SkipDir
		}
		r.paths[rel] = true
		switch path.Ext(rel) {
		case ".md":
			raw, err := os.ReadFile(name)
			all = append(all, notes{rel, string(raw)})
			return err
		case ".ts", ".tsx":
			raw, err := os.ReadFile(name)
			for _, c := range tsComment.FindAllString(string(raw), -1) {
				all = append(all, notes{rel, c})
			}
			return err
		case ".go":
			raw, err := os.ReadFile(name)
			if err != nil {
				return err
			}
			f, err := parser.ParseFile(token.NewFileSet(), name, raw, parser.ParseComments|parser.SkipObjectResolution)
			if err != nil {
				return err
			}
			r.read(rel, f)
			if rel != "server/repocheck/named_test.go" { // which names what isn't there
				source.Write(raw)
				for _, c := range f.Comments {
					all = append(all, notes{rel, c.Text()})
				}
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	r.source = source.String()
	return r, all
}

// read takes in what a Go file declares: tests, the commands of the server with
// their flags, and the verbs of server/up.
func (r *repository) read(rel string, f *ast.File) {
	dir := path.Dir(rel)
	for n := range ast.Preorder(f) {
		switch n := n.(type) {
		case *ast.FuncDecl:
			if testNamed.MatchString(n.Name.Name) && (strings.HasSuffix(rel, "_test.go") || dir == "server/conformance") {
				r.tests[n.Name.Name] = true
				r.tested[dir] = append(r.tested[dir], n.Name.Name)
			}
		case *ast.Field:
			if dir != "server" && dir != "server/config" || n.Tag == nil {
				continue
			}
			tag := reflect.StructTag(strings.Trim(n.Tag.Value, "`"))
			_, isCommand := tag.Lookup("cmd")
			for _, id := range n.Names {
				name := kebab(id.Name)
				if own := tag.Get("name"); own != "" {
					name = own
				}
				if isCommand {
					r.words[name] = true
				} else {
					r.flags["--"+name] = true
				}
			}
		case *ast.CompositeLit:
			if dir == "server/up" && len(n.Elts) == 3 {
				for _, verb := range literals(n.Elts[0]) {
					r.verbs[verb] = true
				}
			}
		}
	}
}

var capital = regexp.MustCompile(`([a-z0-9])([A-Z])`)

// kebab writes a field's name as the command line does.
func kebab(name string) string {
	return strings.ToLower(capital.ReplaceAllString(name, "$1-$2"))
}
