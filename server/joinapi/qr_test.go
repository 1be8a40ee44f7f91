package joinapi

import (
	"fmt"
	"strings"
	"testing"

	"github.com/skip2/go-qrcode"
)

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
