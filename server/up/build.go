package main

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"

	"github.com/andybalholm/brotli"
	"github.com/klauspost/compress/gzip"

	"panside/internal/book/data"
)

func (p project) serverBinary() string {
	name := "panside"
	if runtime.GOOS == "windows" {
		name += ".exe"
	}
	return p.path(".build", name)
}

// buildAll builds the phone app, the core and the server, skipping what has
// not changed since the last time.
func (p project) buildAll() error {
	for _, tool := range []struct{ name, why string }{
		{"node", "builds the phone app"}, {"npm", "fetches what the phone app is built from"}, {cCompiler(), "compiles SQLite"},
	} {
		if _, err := exec.LookPath(tool.name); err != nil {
			return fmt.Errorf("%s is not installed; it %s. See README, “What it needs”", tool.name, tool.why)
		}
	}
	if err := p.buildPhoneApp(); err != nil {
		return err
	}
	return p.do(step{title: "server", env: []string{"CGO_ENABLED=1"}, argv: []string{"go", "build", "-o", p.serverBinary(), "./server"}})
}

func cCompiler() string {
	out, err := exec.Command("go", "env", "CC").Output()
	if fields := strings.Fields(string(out)); err == nil && len(fields) > 0 {
		return fields[0]
	}
	return "cc"
}

func (p project) npmCI() error {
	return p.whenChanged("npm", []string{"pwa/package.json", "pwa/package-lock.json"}, "pwa/node_modules/.package-lock.json", func() error {
		return p.do(step{title: "packages of the phone app", dir: "pwa", quiet: true, argv: []string{"npm", "ci", "--no-audit", "--no-fund"}})
	})
}

// buildPhoneApp fills pwa/dist: the core as WebAssembly with the glue of this
// Go release, the coin book's files, Vite's output around it, and a compressed twin of every text
// file. The core comes first, so that Vite sees all that the app consists of.
func (p project) buildPhoneApp() error {
	if err := p.npmCI(); err != nil {
		return err
	}
	return p.whenChanged("app", appInputs, "pwa/dist/index.html", func() error {
		return p.doEach(
			p.buildCore,
			p.buildBook,
			func() error {
				return p.do(step{title: "phone app", dir: "pwa", quiet: true, argv: []string{"npm", "run", "build"}})
			},
			p.compressDist,
		)
	})
}

// appInputs are what the phone app is made of; a test holds the list to what
// there is. Tests among them don't count, see isInput.
var appInputs = []string{
	"internal", "pwa/src", "pwa/public", "pwa/wasm",
	"pwa/index.html", "pwa/package.json", "pwa/package-lock.json",
	"pwa/vite.config.ts", "pwa/installable.ts", "pwa/tsconfig.json",
	"server/up/build.go", "go.mod", "go.sum",
}

// isInput reports whether a file below the inputs has a part in what is built:
// no test has, nor what only tests read, nor what the build itself puts there.
func isInput(file string) bool {
	for _, product := range []string{builtCore, builtSenses, builtBook} {
		if strings.HasPrefix(file, product+"/") {
			return false
		}
	}
	if strings.Contains(file, "/testdata/") {
		return false
	}
	for _, ending := range []string{"_test.go", ".test.ts", ".test.tsx", "/fixture.ts", "-fake.ts"} {
		if strings.HasSuffix(file, ending) {
			return false
		}
	}
	return true
}

// builtBook is where the files of the coin book are put for Vite to copy; git
// ignores it.
const builtBook = "pwa/public/book"

// buildBook writes the coin book's files, whole and checked, in place of those of
// before.
func (p project) buildBook() error {
	fmt.Fprintln(os.Stderr, "── coin book")
	sources := os.DirFS(p.path("internal", "book", "data"))
	files, err := data.Build(sources)
	if err == nil {
		err = data.Check(sources, files)
	}
	if err != nil {
		return fmt.Errorf("the coin book’s data: %w", err)
	}
	if err := os.RemoveAll(p.path(builtBook)); err != nil {
		return err
	}
	for name, content := range files {
		to := p.path(builtBook, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(to), 0o755); err != nil {
			return err
		}
		if err := os.WriteFile(to, content, 0o644); err != nil {
			return err
		}
	}
	return nil
}

func (p project) doEach(steps ...func() error) error {
	for _, s := range steps {
		if err := s(); err != nil {
			return err
		}
	}
	return nil
}

// builtCore is where the core is put for Vite to copy; git ignores it.
const builtCore = "pwa/public/core"

func (p project) buildCore() error {
	return p.doEach(
		func() error {
			return p.buildWasm("core as WebAssembly", filepath.Join(builtCore, "core.wasm"), "./pwa/wasm", "phone")
		},
		func() error {
			return p.buildWasm("senses as WebAssembly", filepath.Join(builtSenses, "senses.wasm"), "./pwa/wasm/senses", "phone,wordless")
		},
		p.copyGlue,
	)
}

// builtSenses is where the module of the senses is put for Vite to copy; git ignores it.
const builtSenses = "pwa/public/senses"

// buildWasm builds a program for the phone to a file, with build tags.
func (p project) buildWasm(title, to, program, tags string) error {
	if err := os.MkdirAll(filepath.Dir(p.path(to)), 0o755); err != nil {
		return err
	}
	return p.do(step{
		title: title,
		// The collector of before is a hundredth smaller.
		env: []string{"GOOS=js", "GOARCH=wasm", "CGO_ENABLED=0", "GOEXPERIMENT=nogreenteagc"},
		// Inlining everywhere would make the download 4% larger to save a part of a
		// verdict's time, which is far below what is felt. In its arithmetic it saves a
		// tenth for two thousandths.
		// What differs from build to build doesn't compress.
		argv: []string{"go", "build", "-tags=" + tags, "-trimpath", "-buildvcs=false",
			"-gcflags=all=-l", "-gcflags=math=", "-gcflags=panside/internal/stats=", "-gcflags=panside/internal/segments=",
			"-ldflags=-s -w -buildid=", "-o", p.path(to), program},
	})
}

// copyGlue puts the glue of this Go release beside the core; all programs share it.
func (p project) copyGlue() error {
	root, err := goRoot()
	if err != nil {
		return err
	}
	glue, err := os.ReadFile(filepath.Join(root, "lib", "wasm", "wasm_exec.js"))
	if err != nil {
		return fmt.Errorf("the WebAssembly glue of this Go release: %w", err)
	}
	return os.WriteFile(filepath.Join(p.path(builtCore), "wasm_exec.js"), glue, 0o644)
}

func goRoot() (string, error) {
	out, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		return "", fmt.Errorf("asking go for its root: %w", err)
	}
	return strings.TrimSpace(string(out)), nil
}

// wholeWindow is brotli at its best, with the largest window that every browser
// reads (RFC 7932, 9.1): the core is larger than the usual one.
var wholeWindow = brotli.WriterOptions{Quality: brotli.BestCompression, LGWin: 24}

// compressDist writes a .br and a .gz beside every file that shrinks. Over
// plain HTTP browsers ask for gzip only, so both are needed.
func (p project) compressDist() error {
	fmt.Fprintln(os.Stderr, "── compressed copies")
	return filepath.WalkDir(p.path("pwa", "dist"), func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		switch filepath.Ext(path) {
		case ".html", ".js", ".css", ".svg", ".wasm", ".json", ".webmanifest":
		default:
			return nil
		}
		raw, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		// Level 11 takes ten times as long as 9 for a tenth fewer bytes; every
		// phone downloads them, and the build does it only when they changed.
		err = compressTo(path+".br", raw, func(w io.Writer) io.WriteCloser { return brotli.NewWriterOptions(w, wholeWindow) })
		if err != nil {
			return err
		}
		return compressTo(path+".gz", raw, func(w io.Writer) io.WriteCloser {
			z, _ := gzip.NewWriterLevel(w, gzip.BestCompression) // the level is a constant in range
			return z
		})
	})
}

func compressTo(path string, raw []byte, writer func(io.Writer) io.WriteCloser) error {
	var b strings.Builder
	z := writer(&b)
	if _, err := z.Write(raw); err != nil {
		return err
	}
	if err := z.Close(); err != nil {
		return err
	}
	return os.WriteFile(path, []byte(b.String()), 0o644)
}

// whenChanged runs build unless product exists and the inputs' hash is the one
// remembered from the last time build succeeded. Inputs are files or folders
// below the root; a missing one counts as empty.
func (p project) whenChanged(name string, inputs []string, product string, build func() error) error {
	sum, err := p.hash(inputs)
	if err != nil {
		return err
	}
	stamp := p.path(".build", name+".sum")
	if old, err := os.ReadFile(stamp); err == nil && string(old) == sum {
		if _, err := os.Stat(p.path(product)); err == nil {
			return nil
		}
	}
	if err := build(); err != nil {
		return err
	}
	if err := os.MkdirAll(filepath.Dir(stamp), 0o755); err != nil {
		return err
	}
	return os.WriteFile(stamp, []byte(sum), 0o644)
}

func (p project) hash(inputs []string) (string, error) {
	h := sha256.New()
	for _, in := range inputs {
		err := filepath.WalkDir(p.path(in), func(file string, d fs.DirEntry, err error) error {
			if err != nil {
				if os.IsNotExist(err) {
					return nil
				}
				return err
			}
			if d.IsDir() {
				return nil
			}
			rel, err := filepath.Rel(p.root, file)
			if err != nil {
				return err
			}
			if rel = filepath.ToSlash(rel); !isInput(rel) {
				return nil
			}
			raw, err := os.ReadFile(file)
			if err != nil {
				return err
			}
			fmt.Fprintf(h, "%s %d\n", rel, len(raw))
			h.Write(raw)
			return nil
		})
		if err != nil {
			return "", err
		}
	}
	return hex.EncodeToString(h.Sum(nil)), nil
}
