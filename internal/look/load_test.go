package look

import (
	"io/fs"
	"strings"
	"testing"
	"testing/fstest"
)

func TestEmbeddedDataLoads(t *testing.T) {
	if _, err := Load(embedded(t)); err != nil {
		t.Fatal(err)
	}
	if got := len(Default().Kinds()); got != len(FixedKinds) {
		t.Errorf("%d kinds, want %d", got, len(FixedKinds))
	}
}

// embedded is a copy of the data that a test may spoil.
func embedded(t *testing.T) fstest.MapFS {
	t.Helper()
	m := fstest.MapFS{}
	names, err := fs.Glob(data, "data/*.json")
	if err != nil {
		t.Fatal(err)
	}
	for _, n := range names {
		raw, err := fs.ReadFile(data, n)
		if err != nil {
			t.Fatal(err)
		}
		m[strings.TrimPrefix(n, "data/")] = &fstest.MapFile{Data: raw}
	}
	return m
}

func TestLoadSaysWhatIsWrong(t *testing.T) {
	for _, c := range []struct{ name, file, old, new, want string }{
		{"misspelt field", "us-cent.json", `"kind"`, `"kid"`, "unknown field"},
		{"unknown kind", "us-cent.json", `"kind":"overdate"`, `"kind":"over-date"`, "unknown kind"},
		{"years run backwards", "us-cent.json", `"years":"1865-1909"`, `"years":"1909-1865"`, "run backwards"},
		{"no such mint", "us-cent.json", `"mints":["S"]`, `"mints":["X"]`, "unknown mint X"},
		{"no such hour", "us-cent.json", `"clock":"4"`, `"clock":"13"`, "clock must be"},
		{"no such tool", "us-cent.json", `"with":"eye"`, `"with":"nose"`, "with is"},
		{"no such rarity", "us-cent.json", `"rarity":"rare"`, `"rarity":"dear"`, "rarity is"},
		{"a kind lost", "kinds.json", `"id": "cud"`, `"id": "crud"`, "not the fixed ones"},
		{"a kind without words", "kinds.json", `"where": "at the rim"`, `"where": ""`, "no where"},
		{"file under another name", "us-cent.json", `"denomination": "cent"`, `"denomination": "penny"`, "should be named"},
		{"caution for nothing", "cautions.json", `"when": ["magnet"]`, `"when": ["magnets"]`, "no tool, kind or denomination"},
		{"key: no such start", "key.json", `"start": "start"`, `"start": "begin"`, "isn’t there"},
		{"key: answer to nowhere", "key.json", `"to": "ghost"`, `"to": "ghosts"`, "isn’t there"},
		{"key: question left over", "key.json", `"to": "ghost"`, `"kind": "die-clash"`, "ghost: is never reached"},
		{"key: round in a circle", "key.json", `"to": "again"`, `"to": "double"`, "leads back to itself"},
		{"key: kind left out", "key.json", `"kind": "brockage"`, `"kind": "damage"`, "brockage is never reached"},
		{"key: answer of two minds", "key.json", `"to": "ghost"`, `"to": "ghost", "kind": "cud"`, "exactly one of"},
		{"key: no such weighing", "key.json", `"when": ["heavy"]`, `"when": ["hefty"]`, "no weighing says"},
		{"key: nothing to photograph", "key.json", `"photograph": ["both faces, whole", "the spot`, `"photograph": [], "drawing": "x"}, {"id": "z", "photograph": ["`, "what to photograph"},
	} {
		t.Run(c.name, func(t *testing.T) {
			m := embedded(t)
			raw := string(m[c.file].Data)
			if !strings.Contains(raw, c.old) {
				t.Fatalf("%s no longer holds %s", c.file, c.old)
			}
			m[c.file] = &fstest.MapFile{Data: []byte(strings.ReplaceAll(raw, c.old, c.new))}
			_, err := Load(m)
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got %v, want an error with %q", err, c.want)
			}
		})
	}
}

func TestSpans(t *testing.T) {
	for _, bad := range []string{"19", "1955,", "1955-1954", "1955-1955", "1955-1960,1960", "1960,1955", "abc", "1982--", "-1982", "1955 "} {
		if _, err := parseSpans(bad); err == nil {
			t.Errorf("%q was read", bad)
		}
	}
	s, err := parseSpans("1909-1915,1917,1982-")
	if err != nil {
		t.Fatal(err)
	}
	for year, want := range map[int]bool{1908: false, 1909: true, 1915: true, 1916: false, 1917: true, 1981: false, 1982: true, 2030: true} {
		got := false
		for _, x := range s {
			got = got || x.has(year)
		}
		if got != want {
			t.Errorf("%d: %v", year, got)
		}
	}
}
