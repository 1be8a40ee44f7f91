package repocheck

import (
	"fmt"
	"go/token"
	"go/types"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

const phoneApp = "../../pwa/src"

// declared is what the first bracket of a declaration's pattern stands for. A name
// must be declared once, so that files may move.
func declared(t *testing.T, name, pattern string) string {
	t.Helper()
	found := inPhoneApp(t, fmt.Sprintf(pattern, name))
	if len(found) != 1 {
		t.Fatalf("the phone app declares %s %d times, want once; if it comes from the core now, nothing need hold it", name, len(found))
	}
	return found[0]
}

// tsNumber is the value of a constant of the phone app.
func tsNumber(t *testing.T, name string) string {
	t.Helper()
	return value(t, name, declared(t, name, `\bconst %s = (0x[0-9a-f]+|[0-9_ <]+);`))
}

// inPhoneApp gives what the first bracket of a pattern stands for, at each place
// of the phone app's sources, tests left out.
func inPhoneApp(t *testing.T, pattern string) (found []string) {
	t.Helper()
	is := regexp.MustCompile(pattern)
	err := filepath.WalkDir(phoneApp, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasPrefix(filepath.Ext(path), ".ts") || strings.Contains(path, ".test.") {
			return err
		}
		raw, err := os.ReadFile(path)
		for _, m := range is.FindAllStringSubmatch(string(raw), -1) {
			found = append(found, m[1])
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return found
}

var quoted = regexp.MustCompile(`"([^"]*)"`)

// tsList are the strings of a constant list of the phone app.
func tsList(t *testing.T, name string) []string {
	t.Helper()
	return wordsIn(declared(t, name, `(?s)\bconst %s = (\[[^\]]*\]) as const;`))
}

// tsUnion are the strings of a union type of the phone app.
func tsUnion(t *testing.T, name string) []string {
	t.Helper()
	return wordsIn(declared(t, name, `(?s)\btype %s =([^;]*);`))
}

func wordsIn(text string) (words []string) {
	for _, m := range quoted.FindAllStringSubmatch(text, -1) {
		words = append(words, m[1])
	}
	return words
}

// value is what a constant expression comes to, which Go and TypeScript write alike.
func value(t *testing.T, name, expression string) string {
	t.Helper()
	v, err := types.Eval(token.NewFileSet(), nil, token.NoPos, strings.TrimSpace(expression))
	if err != nil || v.Value == nil {
		t.Fatalf("%s is %q, which is no plain number", name, expression)
	}
	return v.Value.ExactString()
}
