package main

import (
	"encoding/json"
	"strings"
	"testing"
)

func TestRollForAPerson(t *testing.T) {
	t.Parallel()
	for _, tc := range []struct {
		args []string
		code int
		says string // on standard output, or on standard error
	}{
		{[]string{"dime 1998", "113.2"}, 0, "50  "},
		{[]string{"us-dime-clad", "113.9", "--other", "dime 1960", "--count", "50", "--wrapper", "0.7", "--wrapper-u", "0.15"}, 0, "would show up"},
		{[]string{"dime 1998", "113.2", "--other", "dime 1960", "--count", "50", "--expected", "0.001"}, 0, "At least one of the other kind: "},
		{[]string{"dime 1998", "113.2", "--other", "dime 1960", "--count", "0"}, 1, "number of coins"},
		{[]string{"dime 1998", "-3"}, 2, "above zero"},
		{[]string{"cent 1982", "113.2"}, 1, "us-cent-zinc"},
		{[]string{"dime", "113.2"}, 1, "like dime 1998"},
		{[]string{"dime 1998"}, 2, "what they weigh"},
		{[]string{"dime 1998", "113.2", "--count", "50"}, 2, "--other"},
		{[]string{"dime 1998", "--json"}, 2, "standard input"},
	} {
		code, out, errOut := call(t, append([]string{"roll"}, tc.args...)...)
		where := out
		if tc.code != 0 {
			where = errOut
		}
		if code != tc.code || !strings.Contains(where, tc.says) {
			t.Errorf("%v: code %d, %q, %q; want %d and %q", tc.args, code, out, errOut, tc.code, tc.says)
		}
	}
}

func TestRollLines(t *testing.T) {
	t.Parallel()
	code, out, errOut := feed(t, `{"issue":"us-dime-clad","total_g":"113.2"}
{"issue":"us-dime-clad","total_g":"0"}
{"issue":"groat 1840","total_g":"20"}
{"issue":"us-cent-zinc","other":"us-cent-memorial-bronze","count":50,"total_g":"139.5"}`, "roll", "--json")
	lines := strings.Split(strings.TrimSpace(out), "\n")
	if code != 1 || errOut != "" || len(lines) != 4 {
		t.Fatalf("code %d, %d lines\n%s%s", code, len(lines), out, errOut)
	}
	for i, want := range []string{`"of":"count"`, `"field":"total_g"`, `"field":"issue"`, `"of":"other"`} {
		if !json.Valid([]byte(lines[i])) || !strings.Contains(lines[i], want) {
			t.Errorf("answer %d: %.160s, want %s", i+1, lines[i], want)
		}
	}
}
