package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// TestEveryCommandHelps: each has a help with an example, and the program's says what
// the exit codes mean.
func TestEveryCommandHelps(t *testing.T) {
	t.Parallel()
	for _, name := range []string{"serve", "judge", "listen", "look", "coins", "density", "roll", "check-scale", "backup", "restore", "completion"} {
		code, out, _ := call(t, name, "--help")
		again, same, _ := call(t, "help", name)
		if code != 0 || again != 0 || same != out || !strings.Contains(out, "Example: ") && !strings.Contains(out, "panside "+name) {
			t.Errorf("%s: codes %d and %d\n%s", name, code, again, out)
		}
		if !strings.Contains(out, "Example:") {
			t.Errorf("%s has no example:\n%s", name, out)
		}
	}
	if code, out, _ := call(t, "help"); code != 0 || !strings.Contains(out, "Exit codes: 0 good; 1") || !strings.Contains(out, "judge") {
		t.Errorf("help: %d\n%s", code, out)
	}
	for _, flag := range []string{"(default 5)", "(default 3m)"} {
		if _, out, _ := call(t, "check-scale", "--help"); !strings.Contains(out, flag) {
			t.Errorf("the help lacks %q:\n%s", flag, out)
		}
	}
}

func TestTheVersionIsAskedInMoreWays(t *testing.T) {
	t.Parallel()
	for _, args := range []string{"version", "--version", "-V"} {
		if code, out, _ := call(t, args); code != 0 || !strings.HasPrefix(out, "panside ") || strings.Count(out, "\n") != 1 {
			t.Errorf("%s: %d %q", args, code, out)
		}
	}
}

// TestMisuseIsSaidInWords: the exit code is 2, and the sentence is ours.
func TestMisuseIsSaidInWords(t *testing.T) {
	t.Parallel()
	for args, want := range map[string]string{
		"judgee":                 "there is no command “judgee”; did you mean “judge”?",
		"help judgee":            "did you mean “judge”?",
		"zebra":                  "there is no command “zebra”\n",
		"serve --baud abc":       "takes a whole number, not “abc”",
		"listen --count abc":     "takes a whole number, not “abc”",
		"listen --for 2":         "takes a time such as 2s or 3m, not “2”",
		"look cent 55":           "four digits",
		"look":                   "say which coin",
		"roll dime 1998":         "say which coins and what they weigh",
		"roll dime 1998 -5":      "a weight must be above zero",
		"look cent 1955 --bogus": "--bogus",
		"completion tcl":         "bash",
	} {
		code, out, said := call(t, strings.Fields(args)...)
		if code != exitUsage || out != "" || !strings.Contains(said, want) || strings.Contains(said, "64 bit") {
			t.Errorf("%s: %d, %q; want %q", args, code, said, want)
		}
	}
}

// TestEveryCommandTakesACoinAlike: with and without quotes, in the trade's words, of
// any country; what the book hasn't got is named, and the exit code is 1.
func TestEveryCommandTakesACoinAlike(t *testing.T) {
	t.Parallel()
	for _, args := range [][]string{
		{"look", "cent", "1955"}, {"look", "cent 1955"}, {"look", "1955 penny"}, {"look", "penny", "1955-D"}, {"look", "CA", "cent", "1990"}, {"look", "cent", "1990", "--country", "ca"},
		{"roll", "dime", "1998", "114.1"}, {"roll", "dime 1998", "114.1"}, {"roll", "us-dime-clad", "114.1"}, {"roll", "penny", "1975", "155.5"}, {"roll", "CA", "cent", "1990", "125"},
		{"roll", "dime", "1998", "113.9", "--other", "dime 1960", "--count", "50"},
		{"coins", "penny", "1943"}, {"coins", "steelie"}, {"coins", "war", "nickel"}, {"coins", "--denomination", "penny"}, {"coins", "--country", "uk", "--denomination", "penny"}, {"coins", "--year", "1916", "--mint", "D"},
		{"density", "12.50", "11.29", "21", "--denomination", "halves"},
	} {
		if code, out, said := call(t, args...); code != exitGood || out == "" || said != "" {
			t.Errorf("%q: %d, %q, %q", args, code, out, said)
		}
	}
	for want, args := range map[string][]string{
		"no country “ZZ”":            {"coins", "--country", "ZZ"},
		"mint mark “ZZZ”":            {"coins", "--mint", "ZZZ"},
		"No coin matches":            {"coins", "xyzzy"},
		"no denomination “florn”":    {"look", "florn", "1920"},
		"no denomination “foo”":      {"density", "12.50", "11.29", "21", "--denomination", "foo"},
		"no country “YY”":            {"look", "cent", "1955", "--country", "YY"},
		"us-cent-zinc (":             {"roll", "cent", "1982", "155"},
		"isn’t a number":             {"roll", "dime", "1998", "abc"},
		"“12,50” isn’t a number":     {"density", "12,50", "11.29", "21"},
		"The folder “/nowhere/here”": {"backup", "/nowhere/here/x.zip", "--data", someRecords(t)},
	} {
		if code, out, said := call(t, args...); code != exitBad || out != "" || !strings.Contains(said, want) || strings.Contains(said, "--help") {
			t.Errorf("%q: %d, %.80q, %q; want %q", args, code, out, said, want)
		}
	}
}

// someRecords is a data folder as far as a backup looks before it begins.
func someRecords(t *testing.T) string {
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "panside.db"), nil, 0o600); err != nil {
		t.Fatal(err)
	}
	return dir
}

// TestGramsStandFirst: grains look like grams where they stand alone.
func TestGramsStandFirst(t *testing.T) {
	t.Parallel()
	_, out, _ := call(t, "coins", "--denomination", "cent", "--year", "1909")
	if !strings.Contains(out, "weight     3.110 g (48 grains by law)") || strings.Contains(out, "weight     48 gr") {
		t.Errorf("%s", out)
	}
}

// TestMintNarrowsDown: with a mark fewer coins are left than without.
func TestMintNarrowsDown(t *testing.T) {
	t.Parallel()
	_, all, _ := call(t, "coins", "--year", "1943")
	_, some, _ := call(t, "coins", "--year", "1943", "--mint", "S")
	if code, none, _ := call(t, "coins", "--year", "1943", "--mint", "CC"); code != exitBad || none != "" {
		t.Errorf("of 1943 from CC: %d %.80q", code, none)
	}
	if len(some) == 0 || len(some) >= len(all) {
		t.Errorf("of 1943 %d bytes, of S %d", len(all), len(some))
	}
}

// TestBashCompletes runs the script as bash does.
func TestBashCompletes(t *testing.T) {
	t.Parallel()
	if _, err := exec.LookPath("bash"); err != nil {
		t.Skip("this machine has no bash")
	}
	code, script, _ := call(t, "completion", "bash")
	if code != exitGood {
		t.Fatal(code)
	}
	for typed, want := range map[string]string{
		"panside ju": "judge", "panside judge --c": "--csv", "panside completion f": "fish", "panside help ro": "roll", "panside --v": "--version",
	} {
		words := strings.Fields(typed)
		line := script + "\nCOMP_WORDS=(" + typed + "); COMP_CWORD=" + string(rune('0'+len(words)-1)) + "; _panside; echo \"${COMPREPLY[@]}\""
		out, err := exec.Command("bash", "--norc", "-c", line).CombinedOutput()
		if got := strings.TrimSpace(string(out)); err != nil || got != want {
			t.Errorf("%q completes to %q, %v; want %q", typed, got, err, want)
		}
	}
	for _, shell := range []string{"zsh", "fish"} {
		if code, script, _ := call(t, "completion", shell); code != exitGood || !strings.Contains(script, "judge") || !strings.Contains(script, "csv") {
			t.Errorf("%s: %d\n%s", shell, code, script)
		}
	}
}

// TestNoColor: the code is drawn without colors where the environment asks for it.
func TestNoColor(t *testing.T) {
	for _, value := range []string{"", "1"} {
		t.Setenv("NO_COLOR", value)
		if drawn := (&terminal{colours: colored(true)}).qr("https://localhost"); strings.Contains(drawn, "\x1b[") != (value == "") {
			t.Errorf("NO_COLOR=%q: %q", value, drawn[:20])
		}
	}
}

// TestAWrongHeaderIsBadInput: the spreadsheet is at fault, not the command line.
func TestAWrongHeaderIsBadInput(t *testing.T) {
	t.Parallel()
	var out, said strings.Builder
	code := run(t.Context(), []string{"judge", "--csv"}, &stdio{strings.NewReader("coin;grams\r\ncent;3.11\r\n"), &out, &said})
	if code != exitBad || strings.Contains(said.String(), "--help") || !strings.Contains(said.String(), "separated by commas") {
		t.Errorf("%d %q", code, said.String())
	}
}
