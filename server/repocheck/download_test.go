package repocheck

import (
	"errors"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"panside/internal/book"
	"panside/internal/book/data"
)

const built = "../../pwa/dist"

// sizeOf is that of a file of the built phone app. A test is left out where the app
// isn't built.
func sizeOf(t *testing.T, name string) int64 {
	t.Helper()
	info, err := os.Stat(filepath.Join(built, filepath.FromSlash(name)))
	if errors.Is(err, fs.ErrNotExist) {
		if _, err := os.Stat(filepath.Join(built, "index.html")); errors.Is(err, fs.ErrNotExist) {
			if os.Getenv("PANSIDE_WHOLE") != "" {
				t.Fatal("the phone app isn't built, though the test command builds it first")
			}
			t.Skip("the phone app isn't built, so there is no download to measure; the test command builds it first")
		}
	}
	if err != nil {
		t.Fatal(err)
	}
	return info.Size()
}

// TestTheBuiltBookIsTheServers: what phones load is what the server itself
// answers from, file by file.
func TestTheBuiltBookIsTheServers(t *testing.T) {
	sizeOf(t, "index.html")
	for name, want := range data.Files() {
		got, err := os.ReadFile(filepath.Join(built, "book", filepath.FromSlash(name)))
		if err != nil || string(got) != string(want) {
			t.Errorf("%s isn't as the server has it (%v): build the app again", name, err)
		}
	}
}

// TestDownloadStaysSmall holds what a phone on a slow network has to load before
// it judges by itself: the core, and the coin book's part.
func TestDownloadStaysSmall(t *testing.T) {
	size := sizeOf(t, "core/core.wasm.br")
	const most, mostWithBook = 1_035_000, 1_200_000
	start := size
	m, err := book.ReadManifest(data.Files()[book.ManifestName])
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range m.Languages[book.DefaultLanguage].Countries {
		if c.ID != "US" {
			continue
		}
		for _, name := range append(c.Judging, book.ManifestName) {
			start += sizeOf(t, "book/"+name+".br")
		}
	}
	t.Logf("core: %d bytes brotli; with what a first judgement takes of the coin book: %d", size, start)
	if size > most {
		t.Errorf("the core's download is %d bytes, more than %d: see what was drawn in with `GOOS=js GOARCH=wasm go list -tags=phone -deps ./pwa/wasm`", size, most)
	}
	if start > mostWithBook {
		t.Errorf("core and coin book are %d bytes, more than %d", start, mostWithBook)
	}
}

// TestSensesStaySmall holds what is loaded when somebody first rings a coin.
func TestSensesStaySmall(t *testing.T) {
	const most = 600_000
	size := sizeOf(t, "senses/senses.wasm.br")
	t.Logf("senses: %d bytes brotli", size)
	if size > most {
		t.Errorf("the senses' download is %d bytes, more than %d: see `GOOS=js GOARCH=wasm go list -tags=phone,wordless -deps ./pwa/wasm/senses`", size, most)
	}
}

var (
	linked = regexp.MustCompile(`\b(?:src|href)="/([^"]+)"`)
	// imported finds what a module can't begin without, not what it asks for later by import().
	imported = regexp.MustCompile(`\b(?:from|import)\s*["']([^"']+)["']`)
	drawn    = regexp.MustCompile(`\burl\(["']?([^"')]+)`)
)

// TestFirstScreenStaysSmall holds what has to come over the network before the
// first screen: the page, all it links to, and what these can't begin without.
func TestFirstScreenStaysSmall(t *testing.T) {
	const most = 350_000
	sizeOf(t, "index.html")
	total, files := int64(0), map[string]bool{}
	var load func(name string)
	load = func(name string) {
		if files[name] {
			return
		}
		files[name] = true
		raw, err := os.ReadFile(filepath.Join(built, filepath.FromSlash(name)))
		if err != nil {
			t.Fatalf("a file of the first screen: %v", err)
		}
		sent := name
		if _, err := os.Stat(filepath.Join(built, filepath.FromSlash(name+".gz"))); err == nil {
			sent += ".gz" // the larger of the two twins
		}
		total += sizeOf(t, sent)
		var needs *regexp.Regexp
		switch path.Ext(name) {
		case ".html":
			needs = linked
		case ".js":
			needs = imported
		case ".css":
			needs = drawn
		default:
			return
		}
		for _, m := range needs.FindAllStringSubmatch(string(raw), -1) {
			switch {
			case path.Ext(name) == ".html":
				load(m[1])
			case strings.HasPrefix(m[1], "/"):
				load(m[1][1:])
			case strings.HasPrefix(m[1], "."):
				load(path.Join(path.Dir(name), m[1]))
			}
		}
	}
	load("index.html")
	t.Logf("%d files before the core, %d bytes", len(files), total)
	if !files["manifest.webmanifest"] || len(files) < 5 {
		t.Errorf("the page's files aren't all found: %v", files)
	}
	if total > most {
		t.Errorf("the first screen needs %d bytes, more than %d: move what it can do without behind import()", total, most)
	}
}
