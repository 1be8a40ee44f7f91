package main

import (
	"errors"
	"strings"
	"testing"
)

func TestACoinIsTypedInManyWays(t *testing.T) {
	t.Parallel()
	for typed, want := range map[string]typedCoin{
		"cent 1955":             {"US", "cent", 1955, ""},
		"1955 cent":             {"US", "cent", 1955, ""},
		"penny 1943-D":          {"US", "cent", 1943, "D"},
		"1909s penny":           {"US", "cent", 1909, "S"},
		"half dime 1853":        {"US", "half-dime", 1853, ""},
		"half dollar 1964 D":    {"US", "half", 1964, "D"},
		"dime 1998 none":        {"US", "dime", 1998, "-"},
		"dime 1998 no mark":     {"US", "dime", 1998, "-"},
		"cent 1955 ?":           {"US", "cent", 1955, "?"},
		"CA cent 1990":          {"CA", "cent", 1990, ""},
		"uk penny 1967":         {"GB", "penny", 1967, ""},
		"quarter":               {"US", "quarter", 0, ""},
		"florn 1920":            {"US", "florn", 1920, ""},
		"  Half   Dollar 1964 ": {"US", "half", 1964, ""},
	} {
		for _, args := range [][]string{{typed}, strings.Fields(typed)} {
			if got, err := readCoin(args, ""); err != nil || got != want {
				t.Errorf("%q: %+v, %v; want %+v", args, got, err, want)
			}
		}
	}
	if got, err := readCoin([]string{"penny", "1967"}, "GB"); err != nil || got.Denomination != "penny" {
		t.Errorf("with --country GB: %+v, %v", got, err)
	}
}

func TestATypedCoinIsRefusedInWords(t *testing.T) {
	t.Parallel()
	for typed, want := range map[string]string{
		"cent 19555":       "four digits",
		"cent 55":          "four digits",
		"cent 1955 1956":   "second one",
		"cent 1955 fuzzy":  "“fuzzy” isn’t part",
		"cent abc":         "“abc” isn’t part",
		"dime 1964 S mint": "isn’t part",
	} {
		var usage usageError
		if _, err := readCoin(strings.Fields(typed), ""); !errors.As(err, &usage) || !strings.Contains(string(usage), want) {
			t.Errorf("%q: %v, want %q", typed, err, want)
		}
	}
}
