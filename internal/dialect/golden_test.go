package dialect

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"panside/internal/dialect/capture"
	"panside/internal/mass"
)

var update = flag.Bool("update", false, "rebuild the golden twins of the captures")

const capturesDir = "../../testdata/captures"

// captures reads every capture by its name without extension.
func captures(t *testing.T) map[string]capture.Capture {
	t.Helper()
	paths, err := filepath.Glob(filepath.Join(capturesDir, "*.log"))
	if err != nil || len(paths) == 0 {
		t.Fatalf("no captures: %v", err)
	}
	out := map[string]capture.Capture{}
	for _, path := range paths {
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		c, err := capture.Parse(text)
		if err != nil {
			t.Fatalf("%s: %v", path, err)
		}
		if !bytes.Equal(c.Bytes(), withoutRemarks(text)) {
			t.Errorf("%s is not in the form that capture writes", path)
		}
		out[strings.TrimSuffix(filepath.Base(path), ".log")] = c
	}
	return out
}

func withoutRemarks(text []byte) []byte {
	var out []byte
	for line := range bytes.Lines(text) {
		if line[0] != '#' {
			out = append(out, line...)
		}
	}
	return out
}

// replay decodes a capture, each chunk in pieces of at most n bytes.
func replay(c capture.Capture, n int) []mass.Reading {
	var opts Options
	if u, err := mass.ParseUnit(c.Header.Unit); err == nil {
		opts.Unit = u
	}
	d := NewDecoder(opts)
	at := start
	var out []mass.Reading
	for _, chunk := range c.Chunks {
		at = at.Add(chunk.After)
		for rest := chunk.Bytes; len(rest) > 0; {
			k := min(n, len(rest))
			out = append(out, d.Feed(rest[:k], at)...)
			rest = rest[k:]
		}
	}
	return out
}

// TestGoldenTwins holds the readings of every capture to the twin beside it, in
// the form that the listen command prints. -update rebuilds the twins; read the
// difference before keeping it.
func TestGoldenTwins(t *testing.T) {
	twins := map[string]bool{}
	for name, c := range captures(t) {
		path := filepath.Join(capturesDir, name+".golden.jsonl")
		twins[path] = true
		var got []byte
		for _, r := range replay(c, maxFrame*1000) {
			got = append(got, ListenLine(r)...)
		}
		if *update {
			if err := os.WriteFile(path, got, 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(got, want) {
			t.Errorf("%s differs from its twin; go test ./internal/dialect -run Golden -update, then look at the difference\n%s", name, firstDifference(got, want))
		}
		var single []byte
		for _, r := range replay(c, 1) {
			single = append(single, ListenLine(r)...)
		}
		if !bytes.Equal(single, got) {
			t.Errorf("%s: byte by byte the readings differ", name)
		}
	}
	all, err := filepath.Glob(filepath.Join(capturesDir, "*.golden.jsonl"))
	if err != nil {
		t.Fatal(err)
	}
	for _, path := range all {
		if !twins[path] {
			t.Errorf("%s has no capture", path)
		}
	}
}

func firstDifference(got, want []byte) string {
	g, w := strings.Split(string(got), "\n"), strings.Split(string(want), "\n")
	for i := range max(len(g), len(w)) {
		a, b := "nothing", "nothing"
		if i < len(g) {
			a = g[i]
		}
		if i < len(w) {
			b = w[i]
		}
		if a != b {
			return " got " + a + "\nwant " + b
		}
	}
	return ""
}

// TestCapturesShowWhatTheyAreFor checks the captures by rules that don't depend
// on their twins.
func TestCapturesShowWhatTheyAreFor(t *testing.T) {
	all := captures(t)
	shapes := map[string]bool{}
	for name, c := range all {
		shapes[c.Header.Shape] = true
		got := replay(c, 1)
		n := len(values(got))
		switch name {
		case "garbage", "unknown-format", "tael", "lb-oz", "bare-asked", "gr-asked", "nameless-ticket":
			if n > 0 {
				t.Errorf("%s: numbers came out of it: %v", name, values(got))
			}
			if len(got) == 0 {
				t.Errorf("%s: not a word about it", name)
			}
		default:
			if n == 0 {
				t.Errorf("%s: no value", name)
			}
		}
		for _, r := range got {
			if r.HasValue && r.Dialect != c.Header.Shape && name != "scale-exchanged" && !(open(r.Dialect) && open(c.Header.Shape)) {
				t.Errorf("%s: %q read as %s", name, r.Raw, r.Dialect)
			}
			if r.HasValue && (r.Quantity.Value.Cmp(mass.MustDecimal("100")) > 0 || r.Quantity.Value.Cmp(mass.MustDecimal("-100")) < 0) {
				t.Errorf("%s: %v was never on the pan", name, r.Quantity)
			}
		}
	}
	for _, d := range All() {
		if _, ok := all[d.Name]; !ok || !shapes[d.Name] {
			t.Errorf("there is no clean capture of %s", d.Name)
		}
	}
}

// open reports whether a format has no columns: the general reader and the plain
// one share the lines of a scale.
func open(name string) bool {
	d, _ := ByName(name)
	return d.loose
}

func TestListenLine(t *testing.T) {
	value := mass.Reading{
		Raw:      []byte("\x02\xfe\"g"),
		Quantity: mass.Quantity{Value: mass.MustDecimal("48.0"), Unit: mass.Grain}, HasValue: true,
		Resolution: mass.MustDecimal("0.1"), Status: mass.StatusStable, Dialect: "framed-xor",
	}
	want := `{"raw":"\u0002þ\"g","value":"48.0","unit":"gr","grams":3.11034768,"resolution":0.1,"status":"stable","dialect":"framed-xor","problem":null}` + "\n"
	if got := string(ListenLine(value)); got != want {
		t.Errorf("got  %swant %s", got, want)
	}
	got := string(ListenLine(mass.Reading{Status: mass.StatusOver, Problem: tooMuch}))
	want = `{"raw":"","value":null,"unit":null,"grams":null,"resolution":null,"status":"over","dialect":null,"problem":{"code":"overload","sentence":"` + tooMuch.English() + "\"}}\n"
	if got != want {
		t.Errorf("got  %swant %s", got, want)
	}
	value.Resolution = mass.Decimal{}
	if got := string(ListenLine(value)); !strings.Contains(got, `"resolution":null`) {
		t.Errorf("an unknown resolution: %s", got)
	}
}
