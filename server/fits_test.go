package main

import (
	"encoding/json"
	"strings"
	"testing"
)

// Twenty centavos of Mexico, 1943 to 1974: bronze, 10 g and 28.5 mm, from memory as in the book.
func TestFitsForAPerson(t *testing.T) {
	t.Parallel()
	code, out, errOut := call(t, "fits", "10.01", "--diameter", "28.5", "--color", "red", "--magnet", "no")
	if code != 0 || errOut != "" || !strings.Contains(strings.Split(out, "\n")[1], "Mexico: 20 centavos, 1943 to 1974; 10 g, 28.5 mm, bronze") {
		t.Errorf("code %d\n%s%s", code, out, errOut)
	}
	if code, out, _ := call(t, "fits", "7.98", "--diameter", "22", "--colour", "gold"); code != 0 || !strings.Contains(out, "fake") {
		t.Errorf("code %d, gold without its caution:\n%s", code, out)
	}
	if code, out, _ := call(t, "fits", "90"); code != 0 || !strings.HasPrefix(out, "No coin in the book fits.") {
		t.Errorf("code %d, %s", code, out)
	}
	for _, tc := range []struct {
		args []string
		code int
		says string
	}{
		{[]string{"ten"}, 1, "number"},
		{[]string{"10", "--magnet", "perhaps"}, 1, "perhaps"},
		{[]string{"10", "--diameter", "1000"}, 1, "diameter"},
		{nil, 2, "what it weighs"},
		{[]string{"10", "--country", "MX"}, 2, "--country"},
	} {
		code, out, errOut := call(t, append([]string{"fits"}, tc.args...)...)
		if code != tc.code || out != "" || !strings.Contains(errOut, tc.says) {
			t.Errorf("%v: code %d, %q, %q", tc.args, code, out, errOut)
		}
	}
}

func TestFitsAsJSON(t *testing.T) {
	t.Parallel()
	var a struct {
		Coins []struct{ ID string }
		Tried int
	}
	code, out, _ := call(t, "fits", "1.00", "--diameter", "20", "--json")
	if err := json.Unmarshal([]byte(out), &a); err != nil || code != 0 || len(a.Coins) == 0 || a.Coins[0].ID != "jp-1-yen-1955" || a.Tried < 600 {
		t.Errorf("code %d, %v, %+v", code, err, a)
	}
}
