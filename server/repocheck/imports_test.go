package repocheck

import (
	"encoding/json"
	"errors"
	"io"
	"os"
	"os/exec"
	"slices"
	"strings"
	"testing"
)

// pkg is what `go list -json` says of a package, as far as needed here.
type pkg struct {
	ImportPath string
	Name       string
	Doc        string
	Imports    []string
	// By the package's own tests, within it and beside it.
	TestImports, XTestImports []string
	Standard                  bool
	Module                    *struct{ Main bool }
}

func (p pkg) ours() bool { return p.Module != nil && p.Module.Main }

func list(t *testing.T, env []string, args ...string) []pkg {
	t.Helper()
	cmd := exec.Command("go", append([]string{"list", "-json=ImportPath,Name,Doc,Imports,TestImports,XTestImports,Standard,Module"}, args...)...)
	cmd.Dir = "../.."
	cmd.Env = append(os.Environ(), env...)
	out, err := cmd.Output()
	if err != nil {
		var exit *exec.ExitError
		if errors.As(err, &exit) {
			t.Fatalf("go list: %s", exit.Stderr)
		}
		t.Fatal(err)
	}
	var all []pkg
	for dec := json.NewDecoder(strings.NewReader(string(out))); ; {
		var p pkg
		if err := dec.Decode(&p); errors.Is(err, io.EOF) {
			return all
		} else if err != nil {
			t.Fatal(err)
		}
		all = append(all, p)
	}
}

const (
	core    = "panside/internal/"
	server  = "panside/server/"
	why     = "the core runs on the phone and judges the same everywhere"
	adapter = "an adapter touches one piece of the outside world; assemblies and package main put them together"
)

// The server has four levels. What is below the adapters, each adapter, each
// assembly, and package main on top may import only what is further down.

// belowAdapters are the packages of the server that adapters may import; they
// import no other package of the server.
var belowAdapters = map[string]string{
	"durable": "the one way to put a file on the disk, which every adapter that keeps files needs",
	"limit":   "how often somebody may do something, which joining bounds and the HTTP side too",
	"route":   "a route, who may use it, and an answer, which every part of the API shares",
	"spoken":  "which language a reader wants, which every part of the API asks before it says something",
}

// assemblies may import adapters, since each puts several of them together to
// one thing that package main and its commands use; they don't import each
// other. All other packages are adapters.
var assemblies = map[string]string{
	"backup": "keeping the records takes the records themselves, photos, archives and the folder's lock",
	"scale":  "a scale is found at one of several ports, read, set by hand, checked and shown: six adapters to one thing",
}

// base packages may be imported by every other package of the core.
var base = []string{"say", "fault", "mass", "plain", "stats", "json", "digest", "stable", "moment"}

// coreMayImport lists, for each package of the core, what it may use of the
// core beside the base packages. A package missing here fails the test, so
// that a new one is placed on purpose; one listed and gone fails too.
var coreMayImport = map[string][]string{
	"say":               {},
	"fault":             {},
	"mass":              {},
	"plain":             {},
	"stats":             {},
	"json":              {},
	"digest":            {},
	"stable":            {},
	"moment":            {},
	"book":              {"coin", "look"},
	"book/data":         {"book", "coin", "look"},
	"book/booktest":     {"book/data"}, // for tests
	"bulk":              {},
	"coin":              {},
	"density":           {},
	"device":            {},
	"dialect":           {},
	"dialect/capture":   {},
	"hidreport":         {},
	"journal":           {},
	"settle":            {},
	"senses":            {"align", "focus", "hints", "mat", "measure", "picture", "rectify", "relief", "rim", "ring", "screen", "segments", "sides"},
	"segments":          {}, // reads a display; what lies on the pan is not its business
	"segments/rendered": {"segments"},
	"picture":           {},
	"rim":               {"cholesky", "picture"},
	"rectify":           {"picture", "rim"},
	"measure":           {"rectify"},
	"sides":             {"measure", "rectify"},
	"screen":            {"fourier", "picture"},
	"simcoin":           {},
	"simring":           {},
	"simscale":          {"dialect"},
	"shown":             {}, // a claim is a word to it: it knows neither coins nor scales
	"otherscale":        {},
	"otherring":         {"coin"},
	"otherdisplay":      {},
	"othercoin":         {},
	"calibration":       {},
	"look":              {"coin"},
	"plate":             {"coin"},
	"camerascale":       {},
	"radioscale":        {},
	"ring":              {}, // hears; what it means is the verdict's
	"verdict":           {"coin", "plate"},
	"want":              {"coin"},
	"sync":              {"journal"},
	"sync/synctest":     {"journal", "sync"}, // for tests
	"bridge":            {"book", "bulk", "calibration", "coin", "density", "dialect", "journal", "look", "radioscale", "shown", "sync", "verdict", "want"},
	"fourier":           {},
	"cholesky":          {},
	"align":             {"cholesky", "fourier", "picture"},
	"relief":            {"align", "cholesky", "fourier", "picture"},
	"focus":             {"align", "picture"},
	"hints":             {"align", "cholesky", "fourier", "picture", "relief"},
	"mat":               {"picture", "rectify", "rim"},
}

// forbiddenInCore are standard packages that would give the core a way out, or
// make the phone's download much bigger than they are worth.
var forbiddenInCore = map[string]string{
	"os":            "I/O belongs to server/",
	"net":           "I/O belongs to server/",
	"net/http":      "I/O belongs to server/",
	"os/exec":       "I/O belongs to server/",
	"syscall":       "I/O belongs to server/",
	"log":           "the core returns what happened; the server logs it",
	"log/slog":      "the core returns what happened; the server logs it",
	"text/template": "adds a quarter to the phone's download",
	"html/template": "adds a quarter to the phone's download",
	"math/big":      "exact decimals in mass are enough, and smaller",
	"regexp":        "formats are parsed byte by byte, so that every byte is explained",
}

func TestCoreImports(t *testing.T) {
	for name, env := range map[string][]string{
		"native":  nil,
		"js/wasm": {"GOOS=js", "GOARCH=wasm", "CGO_ENABLED=0"},
	} {
		t.Run(name, func(t *testing.T) {
			seen := map[string]bool{}
			for _, p := range list(t, env, "-deps", "./internal/...") {
				if !p.ours() {
					if !p.Standard {
						t.Errorf("the core depends on %s: %s, so it has no third-party imports", p.ImportPath, why)
					}
					continue
				}
				short := strings.TrimPrefix(p.ImportPath, core)
				seen[short] = true
				allowed, ok := coreMayImport[short]
				if !ok {
					t.Errorf("place internal/%s in coreMayImport: which packages of the core may it use?", short)
					continue
				}
				for _, imp := range p.Imports {
					if reason, bad := forbiddenInCore[imp]; bad {
						t.Errorf("internal/%s imports %s: %s", short, imp, reason)
					}
					other, isCore := strings.CutPrefix(imp, core)
					if isCore && !slices.Contains(allowed, other) && !slices.Contains(base, other) {
						t.Errorf("internal/%s imports internal/%s: imports point one way, see DEVELOPERS.md", short, other)
					}
					if strings.HasPrefix(imp, server) {
						t.Errorf("internal/%s imports %s: %s", short, imp, why)
					}
				}
			}
			for name := range coreMayImport {
				if !seen[name] {
					t.Errorf("coreMayImport lists internal/%s, which no longer exists", name)
				}
			}
		})
	}
}

// testsDriveTheGlass are the packages of the core whose tests may play what
// stands on the glass, with the reason.
var testsDriveTheGlass = map[string]string{
	"shown":  "its own",
	"settle": "a wrong name counts once a person could read it, and the rule for that must be the one that ships; the tracker itself knows nothing of it",
}

func TestWhoseTestsDriveTheGlass(t *testing.T) {
	for _, p := range list(t, nil, "./internal/...") {
		short := strings.TrimPrefix(p.ImportPath, core)
		if slices.Contains(slices.Concat(p.TestImports, p.XTestImports), core+"shown") && testsDriveTheGlass[short] == "" {
			t.Errorf("tests of internal/%s import internal/shown: say in testsDriveTheGlass why they need to know what is shown", short)
		}
	}
}

// heavyOnThePhone are packages that must not get into the phone's core by any
// way, and what to do instead.
var heavyOnThePhone = map[string]string{
	"embed":            "the core carries no data: hand it over as a file of the book, see internal/book",
	core + "book/data": "the core carries no data: hand it over as a file of the book, see internal/book",
	"encoding/json":    "it is 150 kB of the download with what it brings along: take internal/json",
	"fmt":              "it is 120 kB of the download with what it brings along: join strings, or use strconv",
	"os":               "it is 60 kB of the download: the core has no I/O",
	"time":             "it is 25 kB of the download with what it brings along: take internal/moment",
	"crypto/sha256":    "it is 37 kB of the download with what it brings along: take internal/digest",
	core + "dialect":   "it is a fortieth of the download: the scale hangs on the server",
}

// TestThePhonesCoreStaysLight: what a phone loads before it judges is code only,
// and none that drags half the library along.
func TestThePhonesCoreStaysLight(t *testing.T) {
	for _, p := range list(t, []string{"GOOS=js", "GOARCH=wasm", "CGO_ENABLED=0"}, "-tags=phone", "-deps", "./pwa/wasm") {
		if instead, heavy := heavyOnThePhone[p.ImportPath]; heavy {
			t.Errorf("the phone's core has %s in it: %s", p.ImportPath, instead)
		}
	}
}

// level is how far up a package of the server is.
func level(name string) int {
	if _, ok := belowAdapters[name]; ok {
		return 0
	}
	if _, ok := assemblies[name]; ok {
		return 2
	}
	return 1
}

func TestImportsOfTheServerPointDown(t *testing.T) {
	seen := map[string]bool{}
	for _, p := range list(t, nil, "./server/...") {
		name, below := strings.CutPrefix(p.ImportPath, server)
		if !below {
			continue // package main wires all
		}
		seen[name] = true
		for _, imp := range p.Imports {
			if other, ok := strings.CutPrefix(imp, server); ok && level(other) >= level(name) {
				t.Errorf("%s imports %s: %s", p.ImportPath, imp, adapter)
			}
		}
	}
	for _, placed := range []map[string]string{belowAdapters, assemblies} {
		for name := range placed {
			if !seen[name] {
				t.Errorf("server/%s is placed, and no longer exists", name)
			}
		}
	}
}

func TestEveryPackageSaysWhatItIsFor(t *testing.T) {
	all := list(t, nil, "./...")
	all = append(all, list(t, []string{"GOOS=js", "GOARCH=wasm", "CGO_ENABLED=0"}, "./pwa/wasm")...)
	for _, p := range all {
		if p.Doc == "" {
			t.Errorf("%s has no package comment", p.ImportPath)
		}
		if strings.Contains(p.ImportPath, "node_modules") {
			t.Errorf("%s is not ours: node_modules must stay out of ./...", p.ImportPath)
		}
	}
}
