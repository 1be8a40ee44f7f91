// Command up builds what is missing and runs it: the app with its server, or
// all tests. It is what README's two commands call.
//
//	go run ./server/up [serve flags]   build what changed, then serve
//	go run ./server/up test            every check and test of the project
//	go run ./server/up VERB            see verbs below
//
// A small program instead of a task runner because a fresh machine has only
// Go, a C compiler and Node, and fetching a task runner takes minutes. The
// Taskfile offers the same verbs to those who have one.
package main

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

// verb is one thing this program does, with its line of help.
type verb struct {
	name, help string
	run        func(p project, args []string) error
}

func verbs() []verb {
	return []verb{
		{"serve", "build what changed, then run the server (also with no verb; flags go to the server)", serve},
		{"build", "build the phone app, the core and the server", func(p project, _ []string) error { return p.buildAll() }},
		{"test", "format, vet, linters, type check, all unit, WebAssembly and browser tests", testAll},
		{"bench", "the benchmarks, as ratios against a baseline of the same run", bench},
		{"long", "the long proofs: big simulations and soaks, tens of minutes", long},
		{"format", "format Go and TypeScript sources", format},
		{"help", "this text", help},
	}
}

func main() {
	if err := run(os.Args[1:]); err != nil {
		var exit *exec.ExitError
		if !errors.As(err, &exit) {
			fmt.Fprintln(os.Stderr, "up:", err)
			os.Exit(1)
		}
		fmt.Fprintf(os.Stderr, "up: that step failed (%v)\n", err)
		os.Exit(max(1, exit.ExitCode()))
	}
}

func run(args []string) error {
	p, err := findProject()
	if err != nil {
		return err
	}
	name := "serve"
	if len(args) > 0 && !strings.HasPrefix(args[0], "-") {
		name, args = args[0], args[1:]
	}
	for _, v := range verbs() {
		if v.name == name {
			return v.run(p, args)
		}
	}
	_ = help(p, nil)
	return fmt.Errorf("there is no verb %q", name)
}

func help(project, []string) error {
	fmt.Println("usage: go run ./server/up [verb] [flags]")
	for _, v := range verbs() {
		fmt.Printf("  %-8s %s\n", v.name, v.help)
	}
	return nil
}

// project is the root of the checkout.
type project struct{ root string }

func findProject() (project, error) {
	dir, err := os.Getwd()
	if err != nil {
		return project{}, err
	}
	for {
		mod, err := os.ReadFile(filepath.Join(dir, "go.mod"))
		if err == nil && strings.HasPrefix(string(mod), "module panside\n") {
			return project{dir}, nil
		}
		parent := filepath.Dir(dir)
		if parent == dir {
			return project{}, errors.New("run this inside the project's folder")
		}
		dir = parent
	}
}

func (p project) path(parts ...string) string {
	return filepath.Join(append([]string{p.root}, parts...)...)
}

// step is one command, shown before it runs.
type step struct {
	title string
	dir   string // below the root
	env   []string
	argv  []string
	quiet bool // show its output only if it fails
}

func (p project) do(s step) error {
	fmt.Fprintf(os.Stderr, "── %s\n", s.title)
	cmd := exec.Command(s.argv[0], s.argv[1:]...)
	cmd.Dir = p.path(s.dir)
	cmd.Env = append(os.Environ(), s.env...)
	if s.quiet {
		out, err := cmd.CombinedOutput()
		if err != nil {
			os.Stderr.Write(out)
			return fmt.Errorf("%s: %w", s.title, err)
		}
		return nil
	}
	cmd.Stdout, cmd.Stderr = os.Stdout, os.Stderr
	if err := cmd.Run(); err != nil {
		return fmt.Errorf("%s: %w", s.title, err)
	}
	return nil
}

func (p project) doAll(steps []step) error {
	for _, s := range steps {
		if err := p.do(s); err != nil {
			return err
		}
	}
	return nil
}

func serve(p project, args []string) error {
	if err := p.buildAll(); err != nil {
		return err
	}
	// Somebody who tries the program has no scale yet; whoever has one and
	// finds it silent must not be shown a virtual one instead, so the server
	// itself doesn't do this unasked.
	return replaceProcess(p.serverBinary(), append([]string{"serve", "--practice"}, args...))
}
