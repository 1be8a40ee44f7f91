package httpapi

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/skip2/go-qrcode"
)

// TestFasthttpIsPinned: fiber 2.52 asks for fasthttp 1.51, whose adaptor can't
// hijack, so that the live stream's upgrade fails; with versions long after
// 1.58 fiber's own tests fail. Whoever moves one of the two runs fiber's tests
// and TestHandshake, then changes the pair here.
func TestFasthttpIsPinned(t *testing.T) {
	raw, err := os.ReadFile("../../go.mod")
	if err != nil {
		t.Fatal(err)
	}
	for module, want := range map[string]string{
		"github.com/gofiber/fiber/v2": "v2.52.15",
		"github.com/valyala/fasthttp": "v1.58.0",
	} {
		got := ""
		for line := range strings.Lines(string(raw)) {
			if f := strings.Fields(strings.TrimPrefix(line, "require ")); len(f) >= 2 && f[0] == module {
				got = f[1]
			}
		}
		if got != want {
			t.Errorf("%s is %q, want %s", module, got, want)
		}
	}
}

// TestQRDrawsTheCode paints the SVG's runs back into modules and compares them
// with the library's.
func TestQRDrawsTheCode(t *testing.T) {
	const text = "https://192.168.178.20:8311/#join=AAAAAAAAAAAAAAAAAAAAAA&key=BBBBBBBBBBBBBBBBBBBBBBBBBBBBBBBBBBBBBBBBBBB"
	svg, err := qrSVG(text)
	if err != nil {
		t.Fatal(err)
	}
	code, err := qrcode.New(text, qrcode.Medium)
	if err != nil {
		t.Fatal(err)
	}
	want := code.Bitmap()
	got := make([][]bool, len(want))
	for i := range got {
		got[i] = make([]bool, len(want))
	}
	_, path, _ := strings.Cut(svg, `fill="#000" d="`)
	path, _, _ = strings.Cut(path, `"`)
	for run := range strings.SplitSeq(strings.TrimSuffix(path, "z"), "z") {
		x, y, w := parseRun(t, run)
		for i := range w {
			got[y][x+i] = true
		}
	}
	for y := range want {
		for x := range want[y] {
			if got[y][x] != want[y][x] {
				t.Fatalf("module %d,%d is wrong", x, y)
			}
		}
	}
	if _, err := qrSVG(strings.Repeat("x", 5000)); err == nil {
		t.Error("a text too long for any code gave one")
	}
}

// parseRun reads "Mx yhwv1Hx".
func parseRun(t *testing.T, run string) (x, y, w int) {
	t.Helper()
	var back int
	if n, err := fmt.Sscanf(run, "M%d %dh%dv1H%d", &x, &y, &w, &back); n != 4 || err != nil || back != x {
		t.Fatalf("run %q: %v", run, err)
	}
	return x, y, w
}
