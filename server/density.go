package main

import (
	"bufio"
	"encoding/json"
	"fmt"
	"strings"
)

// DensityCmd works out a coin's density from two weighings: one for a person,
// or with --json one for each line of standard input.
type DensityCmd struct {
	Dry          string `arg:"" optional:"" help:"The coin in air, in grams; digits count."`
	Wet          string `arg:"" optional:"" help:"What the scale shows with the coin in water, in grams."`
	Water        string `arg:"" optional:"" help:"The water’s temperature, in °C."`
	How          string `enum:"hung,cup" default:"hung" help:"hung: the coin hangs under the scale. cup: it is lowered into a tared cup on the pan."`
	Thread       string `help:"What the thread alone shows in water, in grams."`
	Denomination string `help:"Compare with this denomination’s alloys only, such as half."`
	Country      string `default:"US" help:"The coin’s country."`
	Resolution   string `help:"The scale’s step in grams; otherwise the last digit of the dry weight."`
	JSON         bool   `name:"json" help:"Read one JSON object a line, write one answer a line."`
}

// Help is shown under the command's flags.
func (DensityCmd) Help() string {
	return `Weigh the coin dry. Then weigh it wholly under water, free of bubbles, touching
neither bottom nor wall: hung from the scale’s hook (the scale shows less), or on a
thread in a cup that stands on the pan and was tared with its water (the scale shows
only what the water carries).

JSON fields: method (hung, cup), dry_g, wet_g, water_c; optional thread_g,
resolution_g, u_g (of one weighing), u_water_c (0.5), denomination and country, and
pressure_hpa, humidity_pct and air_c together.

Example: panside density 12.50 11.29 21 --denomination half

A line that can’t be worked out is answered with its error, which names the wrong
value, and the rest go on; the exit code is then 1.`
}

// Run prints the density and the metals that remain, or answers every line.
func (c DensityCmd) Run(std *stdio) error {
	if c.JSON {
		if c.Dry != "" {
			return usageError("with --json the weighings come from standard input, not from the command line")
		}
		return answerLines(std, "density")
	}
	if c.Water == "" {
		return usageError("give the dry weight, the weight in water and the water’s temperature, such as: density 12.50 11.29 21; or use --json")
	}
	question := map[string]string{"method": c.How, "dry_g": c.Dry, "wet_g": c.Wet, "water_c": c.Water}
	for name, value := range map[string]string{"thread_g": c.Thread, "resolution_g": c.Resolution, "denomination": c.Denomination} {
		if value != "" {
			question[name] = value
		}
	}
	if c.Denomination != "" {
		question["country"] = c.Country
	}
	ok, err := askOnce(std, "density", question)
	if err != nil {
		return err
	}
	var a weighedMetal
	if err := json.Unmarshal(ok, &a); err != nil {
		return err
	}
	w := bufio.NewWriter(std.Out)
	fmt.Fprintf(w, "%.3f g/cm³, between %.3f and %.3f (95%%); volume %.4f cm³.\n", a.Density, a.Low, a.High, a.Volume)
	printMetals(w, "Alloys that remain:", a.Alloys)
	printMetals(w, "Other metals of that density:", a.Others)
	fmt.Fprintln(w, a.Advice)
	return w.Flush()
}

// weighedMetal is the part of the core's answer that is printed for a person.
type weighedMetal struct {
	Density, Low, High float64
	Volume             float64 `json:"volume_cm3"`
	Alloys, Others     []metalBand
	Advice             string
}

type metalBand struct {
	Name, Grade, Note string
	Low, High         float64
	Remains           bool
	Coins             []string
}

func printMetals(w *bufio.Writer, title string, metals []metalBand) {
	fmt.Fprintln(w, title)
	none := true
	for _, m := range metals {
		if !m.Remains {
			continue
		}
		none = false
		fmt.Fprintf(w, "   %s, %.2f to %.2f g/cm³ (%s)\n", m.Name, m.Low, m.High, m.Grade)
		if len(m.Coins) > 0 {
			fmt.Fprintln(w, "      of", strings.Join(m.Coins, ", "))
		}
		if m.Note != "" {
			fmt.Fprintln(w, "     ", m.Note)
		}
	}
	if none {
		fmt.Fprintln(w, "   none")
	}
}
