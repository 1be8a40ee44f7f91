package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
)

// goDirs are where Go sources live; gofmt walks node_modules if let.
var goDirs = []string{"internal", "server", "pwa/embed.go", "pwa/wasm"}

// sums are packages of sums over sound and pictures. They start no goroutine, in
// which the race detector could find something, and would take it, or
// WebAssembly, ten minutes.
var sums = []string{
	"./internal/align", "./internal/focus", "./internal/hints", "./internal/mat", "./internal/othercoin",
	"./internal/otherdisplay", "./internal/otherring", "./internal/relief", "./internal/rim", "./internal/ring", "./internal/segments",
}

func testAll(p project, args []string) error {
	withBrowser := true
	for _, a := range args {
		switch a {
		case "--no-browser":
			withBrowser = false
		default:
			return fmt.Errorf("test knows --no-browser only, not %q", a)
		}
	}
	// Nothing that this command builds or finds may be missing in a test.
	whole := "PANSIDE_WHOLE=1"
	env := []string{"CGO_ENABLED=1", whole}
	if withBrowser {
		chromium, err := findOrInstallChromium()
		if err != nil {
			return err
		}
		env = append(env, "PANSIDE_CHROMIUM="+chromium)
	}
	if err := checkFormat(p); err != nil {
		return err
	}
	if err := p.buildAll(); err != nil {
		return err
	}
	env = append(env, "PANSIDE_SERVER="+p.serverBinary())
	root, err := goRoot()
	if err != nil {
		return err
	}
	wasm := []string{"GOOS=js", "GOARCH=wasm", "CGO_ENABLED=0"}
	leftOut := sums
	if !withBrowser {
		fmt.Fprintln(os.Stderr, "── leaving out the browser tests, as asked")
		leftOut = append(slices.Clip(sums), "./server/e2e")
	}
	packages, err := p.packagesBut("./...", leftOut)
	if err != nil {
		return err
	}
	core, err := p.packagesBut("./internal/...", sums)
	if err != nil {
		return err
	}
	return p.doAll([]step{
		{title: "go vet", argv: []string{"go", "vet", "./..."}},
		{title: "go vet for WebAssembly", env: wasm, argv: []string{"go", "vet", "./internal/...", "./pwa/wasm"}},
		{title: "staticcheck", argv: []string{"go", "tool", "staticcheck", "./..."}},
		{title: "types and style of the phone app", dir: "pwa", argv: []string{"npm", "run", "--silent", "check"}},
		{title: "unit tests of the phone app", dir: "pwa", env: []string{whole}, argv: []string{"npm", "run", "--silent", "test"}},
		{title: "core's tests as WebAssembly", env: wasm, argv: append([]string{"go", "test", "-exec", filepath.Join(root, "lib", "wasm", "go_js_wasm_exec")}, core...)},
		{title: "what is heard and seen", argv: append([]string{"go", "test"}, sums...)},
		{title: "tests that measure memory, which the race detector multiplies", argv: []string{"go", "test", "-run", "^TestAHostileArchive$", "./server"}},
		{title: "the second worlds of sound and light, in which the race detector finds nothing", argv: []string{"go", "test", "-run", "^TestOther(Ring|Display|Coin.*)$", "./server/figures"}},
		{title: "Go tests with the race detector, and the browser", env: env, argv: append([]string{"go", "test", "-race", "-timeout", "60m"}, packages...)},
	})
}

// packagesBut lists the packages of a pattern, but for some.
func (p project) packagesBut(pattern string, but []string) ([]string, error) {
	list := func(patterns ...string) ([]string, error) {
		cmd := exec.Command("go", append([]string{"list"}, patterns...)...)
		cmd.Dir = p.root
		out, err := cmd.Output()
		return strings.Fields(string(out)), err
	}
	all, err := list(pattern)
	if err != nil {
		return nil, err
	}
	leftOut, err := list(but...)
	if err != nil {
		return nil, err
	}
	return slices.DeleteFunc(all, func(pkg string) bool { return slices.Contains(leftOut, pkg) }), nil
}

func checkFormat(p project) error {
	fmt.Fprintln(os.Stderr, "── gofmt")
	cmd := exec.Command("gofmt", append([]string{"-l"}, goDirs...)...)
	cmd.Dir = p.root
	out, err := cmd.CombinedOutput()
	if err != nil {
		return fmt.Errorf("gofmt: %w: %s", err, out)
	}
	if len(out) > 0 {
		return fmt.Errorf("not formatted, run the format verb:\n%s", out)
	}
	return nil
}

func format(p project, _ []string) error {
	return p.doEach(
		func() error {
			return p.do(step{title: "gofmt", argv: append([]string{"gofmt", "-w"}, goDirs...)})
		},
		p.npmCI,
		func() error {
			return p.do(step{title: "Biome", dir: "pwa", argv: []string{"npm", "run", "--silent", "format"}})
		},
	)
}

// long runs the tests that play more with PANSIDE_LONG. Settling is judged in two
// worlds: TestWideWorldLong, on which the tracker was tuned, and
// TestOtherWorldLong, on which it was not.
func long(p project, _ []string) error {
	return p.do(step{title: "long proofs", env: []string{"PANSIDE_LONG=1"}, argv: []string{"go", "test", "-count", "1", "-v", "-timeout", "90m", "-run", "Long|Calibration|Coverage|Nights", "./internal/...", "./server", "./server/figures", "./server/syncsim"}})
}
