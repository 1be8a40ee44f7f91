package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"strings"
	"testing"
)

func runLook(t *testing.T, c LookCmd, in string) (string, string, error) {
	t.Helper()
	var out, errs bytes.Buffer
	err := c.Run(&stdio{strings.NewReader(in), &out, &errs})
	return out.String(), errs.String(), err
}

func TestLookAnswersLineByLine(t *testing.T) {
	out, _, err := runLook(t, LookCmd{JSON: true}, `{"country":"US","denomination":"cent","year":1955,"mint":"-"}
{"denomination":"cent","year":55}
not json
{"denomination":"quarter","year":2004,"mint":"D"}`)
	var code exitCode
	if !errors.As(err, &code) || code != exitBad {
		t.Errorf("err = %v", err)
	}
	lines := strings.Split(strings.TrimSpace(out), "\n")
	if len(lines) != 4 {
		t.Fatalf("%d lines: %s", len(lines), out)
	}
	for i, line := range lines {
		var a struct {
			Look  []struct{ Kind, Scope string }
			Line  int
			Error string
		}
		if err := json.Unmarshal([]byte(line), &a); err != nil {
			t.Fatal(err)
		}
		wrong := i == 1 || i == 2
		if wrong && (a.Line != i+1 || a.Error == "" || a.Look != nil) {
			t.Errorf("line %d: %s", i+1, line)
		}
		if !wrong && (len(a.Look) == 0 || a.Look[0].Scope != "date") {
			t.Errorf("line %d: %.200s", i+1, line)
		}
	}
}

func TestLookPrintsASheet(t *testing.T) {
	out, _, err := runLook(t, LookCmd{Coin: []string{"dime", "1982", "none"}}, "")
	if err != nil || !strings.HasPrefix(out, "1. No P [scarce]") || !strings.Contains(out, "Caution: ") || strings.Count(out, "After these:\n") != 1 {
		t.Errorf("%v\n%.400s", err, out)
	}
	_, errs, err := runLook(t, LookCmd{Coin: []string{"quarter 1975"}}, "")
	var code exitCode
	if !errors.As(err, &code) || !strings.Contains(errs, "1975") {
		t.Errorf("%v %q", err, errs)
	}
	var usage usageError
	if _, _, err = runLook(t, LookCmd{}, ""); !errors.As(err, &usage) {
		t.Error(err)
	}
}
