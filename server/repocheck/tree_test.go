package repocheck

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// files are the paths git tracks or would track, relative to the root.
func files(t *testing.T) []string {
	t.Helper()
	cmd := exec.Command("git", "ls-files", "-z", "--cached", "--others", "--exclude-standard")
	cmd.Dir = "../.."
	out, err := cmd.Output()
	if err != nil {
		t.Skipf("this is no git checkout, so there is no list of the project's files: %v", err)
	}
	return strings.FieldsFunc(string(out), func(r rune) bool { return r == 0 })
}

func TestTopLevel(t *testing.T) {
	card := []string{"server", "pwa", "internal", "testdata", "README.md", "DEVELOPERS.md", "go.mod", "go.sum", "Taskfile.yml", "LICENSE"}
	for _, f := range files(t) {
		top, _, _ := strings.Cut(f, "/")
		if !strings.HasPrefix(top, ".") && !slices.Contains(card, top) {
			t.Errorf("%s: the top level is fixed, see DEVELOPERS.md", f)
		}
	}
}

// unwanted are marks of a developer's machine or of unfinished work.
var unwanted = map[string]*regexp.Regexp{
	"a path of somebody's machine": regexp.MustCompile(`/home/[a-z]+/|/Users/[A-Za-z]+/|(^|[^a-z.])/(work|root)/`),
	"a package registry's host":    regexp.MustCompile(`registry\.npmjs|proxy\.golang|deb\.debian`),
	"an unfinished mark":           regexp.MustCompile(`\b(TO` + `DO|FIX` + `ME|X` + `XX)\b`),
}

func TestNothingUnwantedInTheSources(t *testing.T) {
	for _, f := range files(t) {
		switch filepath.Ext(f) {
		case ".go", ".ts", ".tsx", ".css", ".html", ".md", ".json", ".csv", ".yml", ".sql", ".mod":
		default:
			continue
		}
		raw, err := os.ReadFile(filepath.Join("../..", f))
		if os.IsNotExist(err) {
			continue // deleted, not committed yet
		}
		if err != nil {
			t.Fatal(err)
		}
		if f == "server/repocheck/tree_test.go" {
			continue // names what it looks for
		}
		for what, pattern := range unwanted {
			if m := pattern.FindString(string(raw)); m != "" {
				t.Errorf("%s has %s: %q", f, what, m)
			}
		}
	}
}

func TestModuleFile(t *testing.T) {
	raw, err := os.ReadFile("../../go.mod")
	if err != nil {
		t.Fatal(err)
	}
	mod := string(raw)
	if regexp.MustCompile(`(?m)^\s*replace\b`).MatchString(mod) {
		t.Error("go.mod has a replace: others can't build what only this machine has")
	}
	if !regexp.MustCompile(`(?m)^\s*github\.com/valyala/fasthttp v1\.58\.0( |$)`).MatchString(mod) {
		t.Error("fasthttp must stay at v1.58.0: older ones can't hand a connection to the WebSocket library, newer ones break fiber v2")
	}
	for _, card := range []string{"gofiber/fiber/v2", "gorilla/websocket", "mattn/go-sqlite3", "skip2/go-qrcode"} {
		if !strings.Contains(mod, "github.com/"+card+" ") {
			t.Errorf("go.mod lacks %s of the design card", card)
		}
	}
}
