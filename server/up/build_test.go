package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// notOfTheApp are the files of pwa/ that have no part in what is built there,
// and why.
var notOfTheApp = map[string]string{
	"pwa/biome.json":           "style",
	"pwa/vitest.config.ts":     "tests",
	"pwa/embed.go":             "hands the built app to the server, which go build looks after",
	"pwa/dist/placeholder.txt": "keeps the folder in git",
}

// TestEveryFileOfThePhoneAppIsAnInput: a file that is added beside the others is
// an input of the build, or somebody has said why not.
func TestEveryFileOfThePhoneAppIsAnInput(t *testing.T) {
	cmd := exec.Command("git", "ls-files", "--cached", "--others", "--exclude-standard", "pwa", "internal/book")
	cmd.Dir = "../.."
	out, err := cmd.Output()
	if err != nil {
		t.Skipf("this is no git checkout, so there is no list of the project's files: %v", err)
	}
	inputs := 0
	for _, file := range strings.Fields(string(out)) {
		in := slices.ContainsFunc(appInputs, func(i string) bool { return file == i || strings.HasPrefix(file, i+"/") })
		if reason := notOfTheApp[file]; in == (reason != "") {
			t.Errorf("%s: put it into appInputs, or say in notOfTheApp why the app needn't be built again when it changes", file)
		}
		if in && isInput(file) {
			inputs++
		}
	}
	if inputs < 100 {
		t.Errorf("only %d inputs found", inputs)
	}
	for _, i := range appInputs {
		if _, err := os.Stat(filepath.Join("../..", i)); err != nil {
			t.Errorf("an input that isn't there: %v", err)
		}
	}
}

// TestABuildFollowsAChangedInputAndNoTest changes one file after another and
// counts the builds.
func TestABuildFollowsAChangedInputAndNoTest(t *testing.T) {
	p := project{t.TempDir()}
	write := func(file, content string) {
		t.Helper()
		to := p.path(filepath.FromSlash(file))
		if err := os.MkdirAll(filepath.Dir(to), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(to, []byte(content), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	builds := 0
	build := func() {
		t.Helper()
		err := p.whenChanged("app", appInputs, "pwa/dist/index.html", func() error {
			builds++
			write("pwa/dist/index.html", "")
			write(builtCore+"/core.wasm", strings.Repeat("x", builds)) // as a build does
			write(builtBook+"/manifest.json", strings.Repeat("x", builds))
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	build()
	build()
	if builds != 1 {
		t.Fatalf("built %d times without a change", builds)
	}
	for _, c := range []struct {
		file  string
		input bool
	}{
		{"pwa/src/core/client.ts", true},
		{"pwa/src/core/client.test.ts", false},
		{"pwa/src/screens/weigh/hands.test.tsx", false},
		{"pwa/src/live/fixture.ts", false},
		{"pwa/src/records/journal-fake.ts", false},
		{"pwa/installable.ts", true},
		{"pwa/vite.config.ts", true},
		{"pwa/vitest.config.ts", false},
		{"pwa/public/share-target.js", true},
		{"pwa/package-lock.json", true},
		{"internal/verdict/judge.go", true},
		{"internal/verdict/judge_test.go", false},
		{"internal/journal/testdata/a.json", false},
		{"internal/book/data/us/cent.json", true},
		{"internal/book/data/us/cent.es.json", true},
		{"pwa/wasm/main.go", true},
		{"go.mod", true},
		{"server/main.go", false},
		{"server/up/build.go", true}, // flags of the core, compression
	} {
		before := builds
		write(c.file, "changed")
		build()
		if built := builds > before; built != c.input {
			t.Errorf("%s changed: built %v, want %v", c.file, built, c.input)
		}
	}
	if err := os.Remove(p.path("pwa/dist/index.html")); err != nil {
		t.Fatal(err)
	}
	before := builds
	build()
	if builds == before {
		t.Error("a lost app isn't built again")
	}
}
