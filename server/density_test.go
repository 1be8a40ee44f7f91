package main

import (
	"encoding/json"
	"strings"
	"testing"
)

// A half dollar of 90 % silver: 12.50 g in air, 12.50 · (1 − 0.99800/10.323) =
// 11.29 g hung in water of 21 °C.
func TestDensityForAPerson(t *testing.T) {
	t.Parallel()
	code, out, errOut := call(t, "density", "12.500", "11.292", "21", "--denomination", "half")
	if code != 0 || errOut != "" || !strings.Contains(out, "\n   90% silver") || strings.Contains(out, "clad") {
		t.Errorf("code %d\n%s%s", code, out, errOut)
	}
	// The same coin lowered into a cup: the water carries 1.208 g.
	code, cup, _ := call(t, "density", "12.500", "1.208", "21", "--how", "cup", "--denomination", "half")
	if line, _, _ := strings.Cut(out, ","); code != 0 || !strings.HasPrefix(cup, line) {
		t.Errorf("hung gives %s, the cup %.60s", line, cup)
	}
	for _, tc := range []struct {
		args []string
		code int
		says string
	}{
		{[]string{"12.500", "12.600", "21"}, 1, "heavier in water"},
		{[]string{"12.500", "11.292", "95"}, 1, "water’s temperature"},
		{[]string{"12.500"}, 2, "temperature"},
		{[]string{"12.500", "--json"}, 2, "standard input"},
		{[]string{"12.500", "11.292", "21", "--how", "guess"}, 2, "--how"},
	} {
		code, out, errOut := call(t, append([]string{"density"}, tc.args...)...)
		if code != tc.code || out != "" || !strings.Contains(errOut, tc.says) {
			t.Errorf("%v: code %d, %q, %q", tc.args, code, out, errOut)
		}
	}
}

func TestDensityLines(t *testing.T) {
	t.Parallel()
	code, out, errOut := feed(t, `{"method":"hung","dry_g":"12.500","wet_g":"11.292","water_c":"21"}
{"method":"hung","dry_g":"12.500","wet_g":"12.6","water_c":"21"}

{"method":"hung","dry_g":"","wet_g":"12.6","water_c":"21"}
nonsense
{"method":"cup","dry_g":12.500,"wet_g":1.208,"water_c":21}`, "density", "--json")
	lines := strings.Split(strings.TrimSpace(out), "\n")
	if code != 1 || errOut != "" || len(lines) != 5 {
		t.Fatalf("code %d, %d lines\n%s%s", code, len(lines), out, errOut)
	}
	for i, want := range []string{`"density":10.3`, `{"line":2,`, `{"line":4,`, `{"line":5,`, `"density":10.3`} {
		if !json.Valid([]byte(lines[i])) || !strings.Contains(lines[i], want) {
			t.Errorf("answer %d: %.160s, want %s", i+1, lines[i], want)
		}
	}
	if !strings.Contains(lines[1], `"field":"wet_g"`) || !strings.Contains(lines[2], `"field":"dry_g"`) {
		t.Errorf("the wrong values aren't named:\n%s\n%s", lines[1], lines[2])
	}
}
