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
	Denomination string `arg:"" optional:"" help:"Such as cent, nickel, dime, quarter, half, dollar."`
	Year         int    `arg:"" optional:"" help:"The coin’s year."`
	Mint         string `arg:"" optional:"" help:"Its mint mark; none for a coin without one, ? when not known."`
	Country      string `default:"US" help:"The coin’s country."`
	Hint         string `enum:",light,heavy,regular" default:"" help:"What the weight says: light, heavy or regular."`
	JSON         bool   `name:"json" help:"Read one JSON object a line, write one sheet a line. A verdict’s inspect is such an object."`
}

// Run prints the sheet, or answers every line.
func (c LookCmd) Run(std *stdio) error {
	if c.JSON {
		if c.Denomination != "" {
			return usageError("with --json the coins come from standard input, not from the command line")
		}
		return answerLines(std, "look")
	}
	if c.Denomination == "" {
		return usageError("say which coin, such as: look cent 1955; or use --json")
	}
	if c.Mint == "none" {
		c.Mint = "-" // a lone dash is awkward to type on a command line
	}
	in, err := json.Marshal(map[string]any{
		"country": c.Country, "denomination": c.Denomination, "year": c.Year, "mint": c.Mint, "hint": c.Hint,
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
