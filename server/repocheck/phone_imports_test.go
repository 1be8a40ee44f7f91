package repocheck

import (
	"cmp"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path"
	"regexp"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
)

// A room is a folder of pwa/src: one noun, with its tests beside it.
type room struct {
	name string
	may  []string // rooms that it may import
	why  string   // what it is there for, said when it imports another
}

// rooms lists the folders of pwa/src, each after all that it may import, so
// that imports between rooms can only point up this list. A folder missing here
// fails the test, so that a new one is placed on purpose; one listed and gone
// fails too. Files directly in pwa/src stand above all rooms.
var rooms = []room{
	{"core", nil, "it is what the core takes and answers, whoever asks"},
	{"live", []string{"core"}, "it is the live stream and the age of its messages, whatever they are shown on"},
	{"text", nil, "words are picked by whoever says them, so that another language is only another file"},
	{"drawings", nil, "it holds pictures"},
	{"device", nil, "it is this browser's storage, voice and wake lock, whatever they are used for"},
	{"laptop", []string{"core", "device", "live", "text"}, "it is who and where the server is, not what is asked of it"},
	{"senses", []string{"core", "device"}, "it hears a coin and sees a display, whatever that is shown on or used for"},
	{"records", []string{"core", "device", "laptop"}, "it stores and sends finds and hunts, wherever their values come from"},
	{"weigh", []string{"core", "device", "live", "text"}, "it judges a coin without a notebook or a laptop's address"},
	{"hands", []string{"core", "device", "live", "text", "weigh"}, "a sitting hands-free counts what is judged, and keeps nothing in the journal itself"},
	{"scale", []string{"core", "device", "laptop", "live", "weigh"}, "it is the scale and its check, not the coins on it"},
	{"app", []string{"core", "device", "hands", "laptop", "live", "records", "scale", "senses", "text", "weigh"}, "it wires the rooms together and draws nothing"},
	{"view", []string{"app", "device", "text"}, "it is what every screen shares, so it knows none of them"},
	{"screens", []string{"app", "core", "device", "drawings", "hands", "laptop", "live", "records", "scale", "senses", "text", "view", "weigh"}, "screens show what the rooms below hold"},
}

// phonePackages says which rooms may import a package from the registry; one
// missing here fails the test. An empty list means all rooms, "" is the files
// above them, and a test may import what tests alone need.
var phonePackages = map[string]struct {
	rooms []string
	why   string
}{
	"@preact/signals": {nil, "signals are how rooms tell what changed"},
	"preact":          {[]string{"", "view", "screens"}, "what isn't drawn can be tested without a page"},
	"dexie":           {[]string{"records"}, "one room knows the database"},
	"image-size":      {[]string{"records"}, "photos are looked at where they are stored"},
	"piexifjs":        {[]string{"records"}, "photos are looked at where they are stored"},
}

// testPackages may be imported by tests, and by what stands in for the real
// thing in them.
var testPackages = []string{"vitest", "fake-indexeddb", "fast-check"}

// standIn finds the files that only tests import.
var standIn = regexp.MustCompile(`(\.test|[-/]fake|[-/]fixture|[-/]conformance)\.tsx?$`)

var (
	sourceFile  = regexp.MustCompile(`\.tsx?$`)
	phoneImport = regexp.MustCompile(`(?:\bfrom|\bimport)\s*\(?\s*"([^"\n]+)"|\bnew URL\("([^"\n]+)", import\.meta`)
)

// phoneFile is a source file with what it imports: files of pwa/src by their
// path in it, packages by their names.
type phoneFile struct {
	room     string
	test     bool
	files    []string
	packages []string
	lost     []string // relative imports that lead to no file
}

func readPhone(src fs.FS) (map[string]phoneFile, error) {
	files := map[string]phoneFile{}
	err := fs.WalkDir(src, ".", func(name string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() || !sourceFile.MatchString(name) {
			return err
		}
		text, err := fs.ReadFile(src, name)
		if err != nil {
			return err
		}
		f := phoneFile{test: standIn.MatchString(name)}
		f.room, _, _ = strings.Cut(name, "/")
		if f.room == name {
			f.room = ""
		}
		for _, m := range phoneImport.FindAllStringSubmatch(string(text), -1) {
			spec := cmp.Or(m[1], m[2])
			if !strings.HasPrefix(spec, ".") {
				f.packages = append(f.packages, packageOf(spec))
			} else if to := resolve(src, name, spec); to == "" {
				f.lost = append(f.lost, spec)
			} else {
				f.files = append(f.files, to)
			}
		}
		files[name] = f
		return nil
	})
	return files, err
}

// packageOf is the package that a path in it belongs to.
func packageOf(spec string) string {
	parts := strings.SplitN(spec, "/", 3)
	if strings.HasPrefix(spec, "@") && len(parts) > 1 {
		return parts[0] + "/" + parts[1]
	}
	return parts[0]
}

// resolve finds the file that an import leads to, as the bundler does.
func resolve(src fs.FS, from, spec string) string {
	to := path.Join(path.Dir(from), spec)
	for _, end := range []string{"", ".ts", ".tsx", ".d.ts", "/index.ts"} {
		if info, err := fs.Stat(src, to+end); err == nil && !info.IsDir() {
			return to + end
		}
	}
	return ""
}

// phoneFaults says what in a phone app's sources breaks the rules above.
func phoneFaults(files map[string]phoneFile) []string {
	var faults []string
	fault := func(format string, args ...any) { faults = append(faults, fmt.Sprintf(format, args...)) }
	byName := map[string]room{"": {may: roomNames()}}
	for _, r := range rooms {
		byName[r.name] = r
	}
	for _, name := range slices.Sorted(maps.Keys(files)) {
		f := files[name]
		r, placed := byName[f.room]
		if !placed {
			fault("%s: place %s in rooms: which rooms may it import, and why?", name, f.room)
			continue
		}
		for _, spec := range f.lost {
			fault("%s imports %s, which isn't there", name, spec)
		}
		for _, to := range f.files {
			other, _, inRoom := strings.Cut(to, "/")
			switch {
			case !inRoom && f.room != "":
				fault("%s imports %s, which stands above all rooms", name, to)
			case inRoom && other != f.room && !slices.Contains(r.may, other):
				fault("%s imports %s, but %s may import only %v: %s", name, to, cmp.Or(f.room, "src"), r.may, r.why)
			case standIn.MatchString(to) && !f.test:
				fault("%s imports %s, which is there for tests", name, to)
			}
		}
		for _, p := range f.packages {
			rule, known := phonePackages[p]
			switch {
			case f.test && (strings.HasPrefix(p, "node:") || slices.Contains(testPackages, p)):
			case !known:
				fault("%s imports %s: place it in phonePackages, with the reason", name, p)
			case !f.test && len(rule.rooms) > 0 && !slices.Contains(rule.rooms, f.room):
				fault("%s imports %s, which only %q may: %s", name, p, rule.rooms, rule.why)
			}
		}
	}
	for _, c := range circles(files) {
		fault("these import one another in a circle: %s", strings.Join(c, " -> "))
	}
	return faults
}

func roomNames() []string {
	var names []string
	for _, r := range rooms {
		names = append(names, r.name)
	}
	return names
}

// circles finds imports that lead back to where they began, one for each file
// that closes a circle. Types count too: a circle of types is as hard to take
// apart as any other.
func circles(files map[string]phoneFile) [][]string {
	const (
		unseen = iota
		open
		done
	)
	var found [][]string
	state := map[string]int{}
	var way []string
	var visit func(name string)
	visit = func(name string) {
		state[name] = open
		way = append(way, name)
		for _, to := range files[name].files {
			switch state[to] {
			case unseen:
				visit(to)
			case open:
				found = append(found, append(slices.Clone(way[slices.Index(way, to):]), to))
			}
		}
		way = way[:len(way)-1]
		state[name] = done
	}
	for _, name := range slices.Sorted(maps.Keys(files)) {
		if state[name] == unseen {
			visit(name)
		}
	}
	return found
}

func TestPhoneImports(t *testing.T) {
	src := os.DirFS("../../pwa/src")
	files, err := readPhone(src)
	if err != nil {
		t.Fatal(err)
	}
	if len(files) < 100 {
		t.Fatalf("only %d source files of the phone app were found", len(files))
	}
	for _, fault := range phoneFaults(files) {
		t.Error(fault)
	}
	for i, r := range rooms {
		if info, err := fs.Stat(src, r.name); err != nil || !info.IsDir() {
			t.Errorf("rooms lists pwa/src/%s, which no longer exists", r.name)
		}
		for _, other := range r.may {
			if !slices.ContainsFunc(rooms[:i], func(above room) bool { return above.name == other }) {
				t.Errorf("rooms lets %s import %s, which doesn't stand before it: imports between rooms point one way", r.name, other)
			}
		}
	}
}

// TestPhoneImportFaultsAreFound puts in one fault at a time.
func TestPhoneImportFaultsAreFound(t *testing.T) {
	sound := map[string]string{
		"main.tsx":                `import { render } from "preact"; import { Weigh } from "./screens/weigh"; new URL("./core/core.worker.ts", import.meta.url)`,
		"screens/weigh.tsx":       "import {\n  judge,\n} from \"../weigh/judge\";\nexport * from \"./parts\"; import './x.css'",
		"screens/parts.tsx":       `const later = import("../records/db");`,
		"weigh/judge.ts":          `import type { Verdict } from "../core/types"; import { signal } from "@preact/signals";`,
		"weigh/judge.test.ts":     `import { it } from "vitest"; import { readFileSync } from "node:fs"; import { judge } from "./judge";`,
		"records/db.ts":           `import Dexie from "dexie";`,
		"records/core-fake.ts":    `import Dexie from "dexie"; import { createHash } from "node:crypto";`,
		"records/db.test.ts":      `import "fake-indexeddb/auto"; import { core } from "./core-fake";`,
		"core/types.ts":           ``,
		"core/core.worker.ts":     `import type { Verdict } from "./types";`,
		"core/not-a-circle.ts":    `import { a } from "./types"; import { b } from "./core.worker";`,
		"text/index.ts":           `export const from = "nowhere";`,
		"device/local-storage.ts": ``,
	}
	check := func(change map[string]string) []string {
		tree := fstest.MapFS{}
		for name, text := range sound {
			tree[name] = &fstest.MapFile{Data: []byte(text)}
		}
		for name, text := range change {
			tree[name] = &fstest.MapFile{Data: []byte(text)}
		}
		files, err := readPhone(tree)
		if err != nil {
			t.Fatal(err)
		}
		return phoneFaults(files)
	}
	if faults := check(nil); len(faults) > 0 {
		t.Fatalf("sound sources are said to be at fault: %q", faults)
	}
	for name, c := range map[string]struct {
		change map[string]string
		want   string
	}{
		"a room imports one that stands on it": {map[string]string{"core/types.ts": `import { judge } from "../weigh/judge";`}, "core may import only"},
		"only a type of it":                    {map[string]string{"weigh/judge.ts": `import type { Row } from "../records/db";`}, "weigh may import only"},
		"a test does":                          {map[string]string{"weigh/judge.test.ts": `import { Weigh } from "../screens/weigh";`}, "weigh may import only"},
		"when it is needed":                    {map[string]string{"weigh/judge.ts": `const db = await import("../records/db");`}, "weigh may import only"},
		"two files import one another":         {map[string]string{"core/types.ts": `import { b } from "./core.worker";`}, "circle: core/core.worker.ts -> core/types.ts -> core/core.worker.ts"},
		"three do": {map[string]string{
			"weigh/a.ts": `import "./b"`, "weigh/b.ts": `import "./c"`, "weigh/c.ts": `export type { A } from "./a"`,
		}, "circle: weigh/a.ts -> weigh/b.ts -> weigh/c.ts -> weigh/a.ts"},
		"a file imports the entry":      {map[string]string{"screens/parts.tsx": `import "../main";`}, "above all rooms"},
		"a new room":                    {map[string]string{"coins/coin.ts": ``}, "place coins in rooms"},
		"a file that isn't there":       {map[string]string{"weigh/judge.ts": `import { x } from "./gone";`}, "isn't there"},
		"a room draws":                  {map[string]string{"weigh/judge.ts": `import { h } from "preact/hooks";`}, "imports preact, which only"},
		"a package without a reason":    {map[string]string{"weigh/judge.ts": `import _ from "lodash";`}, "place it in phonePackages"},
		"the app imports a test's tool": {map[string]string{"weigh/judge.ts": `import { vi } from "vitest";`}, "place it in phonePackages"},
		"the app imports a stand-in":    {map[string]string{"records/db.ts": `import { core } from "./core-fake";`}, "there for tests"},
	} {
		t.Run(name, func(t *testing.T) {
			faults := check(c.change)
			if len(faults) == 0 || !strings.Contains(faults[0], c.want) {
				t.Errorf("found %q, want a fault with %q", faults, c.want)
			}
		})
	}
}
