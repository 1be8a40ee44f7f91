package main

import (
	"bufio"
	"encoding/json"
	"fmt"

	"panside/internal/look"
)

// LookCmd prints what to inspect on a coin: one sheet for a person, or with
// --json one for each line of standard input.
type LookCmd struct {
	Coin    []string `arg:"" optional:"" help:"Such as cent 1955, or dime 1964-D."`
	Country string   `default:"US" help:"The coin’s country, such as US, CA, GB, EU."`
	Hint    string   `enum:",light,heavy,regular" default:"" help:"What the weight says: light, heavy or regular."`
	JSON    bool     `name:"json" help:"Read one JSON object a line, write one sheet a line. A verdict’s inspect is such an object."`
}

// Help is shown under the command's flags.
func (LookCmd) Help() string {
	return coinSyntax + `

Example: panside look cent 1955

A coin that the book doesn’t have is named on standard error; the exit code is then 1.`
}

// Run prints the sheet, or answers every line.
func (c LookCmd) Run(std *stdio) error {
	if c.JSON {
		if len(c.Coin) > 0 {
			return usageError("with --json the coins come from standard input, not from the command line")
		}
		return answerLines(std, "look")
	}
	if len(c.Coin) == 0 {
		return usageError("say which coin, such as: look cent 1955; or use --json")
	}
	typed, err := readCoin(c.Coin, c.Country)
	if err != nil {
		return err
	}
	in, err := json.Marshal(map[string]any{
		"country": typed.Country, "denomination": typed.Denomination, "year": typed.Year, "mint": typed.Mint, "hint": c.Hint,
	})
	if err != nil {
		return err
	}
	a, err := ask("look", in)
	if err != nil {
		return err
	}
	if a.Error != nil {
		if _, err := fmt.Fprintln(std.Err, "panside: "+a.Error.Sentence); err != nil {
			return err
		}
		return exitCode(exitBad)
	}
	var sheet struct {
		Look     []look.LookFor
		Cautions []look.Caution
	}
	if err := json.Unmarshal(a.OK, &sheet); err != nil {
		return err
	}
	w := bufio.NewWriter(std.Out)
	for i, l := range sheet.Look {
		if !l.First && i > 0 && sheet.Look[i-1].First {
			fmt.Fprintln(w, "After these:")
		}
		fmt.Fprintf(w, "%d. %s [%s]\n   %s: %s. With: %s; %s.\n", i+1, l.Name, l.Rarity, l.Side, l.Where, l.With, l.Light)
		fmt.Fprintf(w, "   See: %s\n   Mimics: %s\n   Decides: %s\n   Weight: %s\n   Source: %s\n", l.See, l.Mimics, l.Decides, l.Weight, l.Sure)
	}
	for _, c := range sheet.Cautions {
		fmt.Fprintln(w, "Caution: "+c.Text)
	}
	return w.Flush()
}
