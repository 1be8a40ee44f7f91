package main

import (
	"bufio"
	"encoding/json"
	"fmt"
	"strconv"
)

// FitsCmd says which coins of all countries have a weight and look so: for a person, or
// with --json as the core answers.
type FitsCmd struct {
	Weight    string `arg:"" optional:"" help:"What it weighs, in grams; digits count."`
	Diameter  string `help:"Its diameter in millimeters."`
	Thickness string `help:"Its thickness at the rim in millimeters."`
	Colour    string `name:"color" aliases:"colour" help:"red, yellow, white, gray or two-color, clean."`
	Magnet    string `help:"no, weak or yes: what a small magnet does."`
	Edge      string `help:"plain, reeded, lettered or other."`
	Density   string `help:"Its density in g/cm³."`
	Year      string `help:"The date on it."`
	JSON      bool   `name:"json" help:"All figures with their sources as JSON; without a weight, read one JSON object a line."`
}

// Help is shown under the command's flags.
func (FitsCmd) Help() string {
	return `For a coin that nobody has named: fits 10.01 --diameter 28.5 --color red --magnet no

The likeliest comes first. The lettering decides; a right weight doesn’t prove gold or
silver.

JSON fields: value (or mean_g with u_g); optional unit, resolution, repeatability,
resolution_g, year, and evidence {diameter_mm, thickness_mm, colour, magnetic, edge,
stripe, density}.

Nothing that fits is no error. A line that can’t be worked out is answered with its error,
which names the wrong value, and the rest go on; the exit code is then 1.`
}

// Run prints what fits, or answers every line.
func (c FitsCmd) Run(std *stdio) error {
	if c.Weight == "" {
		if c.JSON {
			return answerLines(std, "fits")
		}
		return usageError("say what it weighs, such as: fits 10.01 --diameter 28.5; or use --json")
	}
	evidence := map[string]string{}
	for name, value := range map[string]string{
		"diameter_mm": c.Diameter, "thickness_mm": c.Thickness, "colour": c.Colour, "magnetic": c.Magnet, "edge": c.Edge, "density": c.Density,
	} {
		if value != "" {
			evidence[name] = value
		}
	}
	question, err := json.Marshal(map[string]any{"value": c.Weight, "year": c.Year, "evidence": evidence})
	if err != nil {
		return err
	}
	a, err := ask("fits", question)
	switch {
	case err != nil:
		return err
	case a.Error != nil:
		if _, err := fmt.Fprintln(std.Err, "panside: "+a.Error.Sentence); err != nil {
			return err
		}
		return exitCode(exitBad)
	case c.JSON:
		_, err := fmt.Fprintf(std.Out, "%s\n", a.OK)
		return err
	}
	var page struct {
		Sentence string
		Coins    []struct {
			bookWorldCoin
			Chance float64
		}
		More    int
		Caution string
	}
	if err := json.Unmarshal(a.OK, &page); err != nil {
		return err
	}
	w := bufio.NewWriter(std.Out)
	fmt.Fprintln(w, page.Sentence)
	for _, f := range page.Coins {
		fmt.Fprintf(w, "%6s  %s: %s", chance(f.Chance), f.CountryName, f.Name)
		if n := len(f.Struck); n > 0 {
			fmt.Fprintf(w, ", %s", years(f.Struck[0].First, f.Struck[n-1].Last, f.Struck[n-1].Open))
		}
		p := f.Planchet
		fmt.Fprintf(w, "; %s", p.Mass.Text)
		if p.Diameter != nil {
			fmt.Fprintf(w, ", %s", p.Diameter.Text)
		}
		fmt.Fprintf(w, ", %s (weight %s)\n", p.Alloy.Name, p.Mass.Sure)
	}
	if page.More > 0 {
		fmt.Fprintf(w, "        and %d more; measure the diameter, or read the date\n", page.More)
	}
	if page.Caution != "" {
		fmt.Fprintln(w, page.Caution)
	}
	return w.Flush()
}

// chance prints a share as a whole percentage.
func chance(p float64) string {
	if p < 0.01 {
		return "<1%"
	}
	return strconv.Itoa(int(100*p+0.5)) + "%"
}
