package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"strings"
	"testing"
)

func coins(t *testing.T, c CoinsCmd) (out, said string, err error) {
	t.Helper()
	var o, e bytes.Buffer
	err = c.Run(&stdio{In: strings.NewReader(""), Out: &o, Err: &e})
	return o.String(), e.String(), err
}

func TestCoinsPrintsFiguresWithTheirSources(t *testing.T) {
	out, _, err := coins(t, CoinsCmd{Country: "US", Denomination: "cent", Year: 1982})
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"3.11 g", "2.5 g", "0.13 g a piece", "31 U.S.C. 5112", "density"} {
		if !strings.Contains(out, want) {
			t.Errorf("cents of 1982 lack %q:\n%s", want, out)
		}
	}
}

func TestCoinsSaysThatABatchRemedyIsNoLimitOfAPiece(t *testing.T) {
	out, _, err := coins(t, CoinsCmd{Country: "CA", Denomination: "dime"})
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(out, "of a batch, not of a piece") {
		t.Errorf("Canadian ten cents:\n%s", out)
	}
}

func TestCoinsSearch(t *testing.T) {
	out, _, err := coins(t, CoinsCmd{Text: []string{"steel", "1943"}, JSON: true})
	if err != nil {
		t.Fatal(err)
	}
	var page bookPage
	if err := json.Unmarshal([]byte(out), &page); err != nil || len(page.Coins) == 0 {
		t.Fatalf("searching steel of 1943: %d coins, %v", len(page.Coins), err)
	}
	if out, said, err := coins(t, CoinsCmd{Text: []string{"unobtainium"}}); err == nil || out != "" || !strings.Contains(said, "No coin matches") {
		t.Errorf("nothing found: %q, %q, %v", out, said, err)
	}
}

func TestCoinsFindsStrangers(t *testing.T) {
	out, _, err := coins(t, CoinsCmd{Text: []string{"mexico", "peso"}, Year: 1990})
	if err != nil || !strings.HasPrefix(out, "Mexico: 10 pesos\n") || !strings.Contains(out, "3.84 g (from memory, not seen") {
		t.Errorf("%v\n%s", err, out)
	}
}

func TestCoinsRefusesAYearThatNeverWas(t *testing.T) {
	out, said, err := coins(t, CoinsCmd{Country: "US", Denomination: "cent", Year: 1815})
	var code exitCode
	if !errors.As(err, &code) || int(code) != exitBad || out != "" || !strings.Contains(said, "1815") {
		t.Errorf("cent of 1815: %q, %q, %v", out, said, err)
	}
}
