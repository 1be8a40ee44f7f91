package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"panside/internal/fault"
)

// capturesFolder has recorded lines and, for each, the readings they must give.
const capturesFolder = "../testdata/captures"

func TestListenGivesTheReadingsOfEveryCapture(t *testing.T) {
	logs, err := filepath.Glob(filepath.Join(capturesFolder, "*.log"))
	if err != nil || len(logs) == 0 {
		t.Fatalf("no captures: %v", err)
	}
	for _, file := range logs {
		t.Run(filepath.Base(file), func(t *testing.T) {
			t.Parallel()
			want, err := os.ReadFile(strings.TrimSuffix(file, ".log") + ".golden.jsonl")
			if err != nil {
				t.Fatal(err)
			}
			code, out, errOut := call(t, "listen", "--scale", "replay:"+file, "--json", "--speed", "0")
			if out != string(want) {
				t.Errorf("through a pseudo-terminal it gives\n%s\nwant\n%s", out, want)
			}
			bad := 0
			for _, line := range bytes.Split(bytes.TrimSpace(want), []byte("\n")) {
				var r struct {
					Status  string
					Problem *struct{ Code fault.Code }
				}
				if err := json.Unmarshal(line, &r); err == nil && r.Status == "error" && r.Problem.Code != fault.Recognising {
					bad = 1
				}
			}
			if code != bad {
				t.Errorf("exit code %d, want %d; %s", code, bad, errOut)
			}
		})
	}
}

func TestListenStopsByCountAndTime(t *testing.T) {
	t.Parallel()
	file := filepath.Join(capturesFolder, "status-comma.log")
	code, out, _ := call(t, "listen", "--scale", "replay:"+file, "--speed", "0", "--count", "3")
	if strings.Count(out, "\n") != 3 || code != exitGood {
		t.Errorf("code %d, %q", code, out)
	}
	if !strings.Contains(out, " g  ") || !strings.Contains(out, "status-comma") {
		t.Errorf("the plain lines are %q", out)
	}
	// A loop has no end of its own.
	code, out, _ = call(t, "listen", "--scale", "replay:"+file, "--speed", "20", "--loop", "--for", "6s")
	if out == "" || code != exitGood {
		t.Errorf("code %d, %q", code, out)
	}
}

func TestListenTellsWhatIsWrongWithAPort(t *testing.T) {
	t.Parallel()
	missing := filepath.Join(t.TempDir(), "ttyUSB0")
	code, out, _ := call(t, "listen", "--scale", missing, "--json", "--count", "1")
	var r struct {
		Raw     string
		Value   *string
		Status  string
		Problem struct {
			Code     fault.Code
			Sentence string
		}
	}
	if err := json.Unmarshal([]byte(out), &r); err != nil {
		t.Fatalf("%q: %v", out, err)
	}
	if code != exitBad || r.Status != "error" || r.Value != nil || r.Problem.Code != fault.PortMissing || !strings.Contains(r.Problem.Sentence, missing) {
		t.Errorf("code %d, %s", code, out)
	}
}

func TestScaleChoicesThatCanNeverWork(t *testing.T) {
	script := filepath.Join(t.TempDir(), "script")
	if err := os.WriteFile(script, []byte("after 1s jump"), 0o600); err != nil {
		t.Fatal(err)
	}
	for args, want := range map[string]int{
		"--scale nonsense":                           exitUsage,
		"--scale replay:":                            exitUsage,
		"--scale tcp://host":                         exitUsage,
		"--scale /dev/x --baud 7":                    exitUsage,
		"--scale /dev/x --framing 9N1":               exitUsage,
		"--scale /dev/x --dialect nonsense":          exitUsage,
		"--scale /dev/x --unit tael":                 exitUsage,
		"--scale /dev/x --pattern <value":            exitUsage,
		"--pattern <value> --dialect print-line":     exitUsage,
		"--for -1s":                                  exitUsage,
		"--count -1":                                 exitUsage,
		"--speed -1":                                 exitUsage,
		"--speed NaN":                                exitUsage,
		"--scale replay:/nowhere/x.log":              exitBad,
		"--scale virtual:/nowhere/script":            exitBad,
		"--scale virtual:" + script:                  exitBad,
		"--scale replay:" + script + " --count 1":    exitBad,
		"--scale virtual:" + t.TempDir() + " --json": exitBad,
	} {
		code, out, errOut := call(t, append([]string{"listen"}, strings.Fields(args)...)...)
		if code != want || out != "" || errOut == "" {
			t.Errorf("%s: code %d, want %d\nout %s\nerr %s", args, code, want, out, errOut)
		}
	}
}

func TestPatternReadsAFormatNobodyKnows(t *testing.T) {
	t.Parallel()
	code, out, errOut := call(t, "listen", "--scale", "replay:"+filepath.Join(capturesFolder, "unknown-format.log"), "--speed", "0",
		"--pattern", "G/N <sign><value> <unit> <state ok=stable --=moving>")
	first, _, _ := strings.Cut(out, "\n")
	if code != exitGood || strings.Join(strings.Fields(first), " ") != "3.11 g stable pattern" {
		t.Errorf("code %d\n%s%s", code, out, errOut)
	}
}
