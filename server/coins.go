package main

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io"
	"strconv"
	"strings"
)

// CoinsCmd prints and searches the coin book.
type CoinsCmd struct {
	Text         []string `arg:"" optional:"" help:"Words to search for: names, metals, years."`
	Country      string   `help:"Only this country, such as US, CA, MX."`
	Denomination string   `help:"Only this denomination, such as cent."`
	Year         int      `help:"Only coins of this year."`
	Mint         string   `help:"Only coins with this mint mark; none for those without."`
	JSON         bool     `name:"json" help:"All figures with their sources as JSON."`
}

// bookPage is the part of the core's answer that is printed for a person.
type bookPage struct {
	Coins []struct {
		Country, Denomination, Name, Note string
		Struck                            []struct {
			First, Last int
			Open        bool
			Marks       []string
		}
		Circulating bool
		Planchet    bookPlanchet
	}
	Strangers       []bookWorldCoin
	StruckForOthers []struct {
		Country, Name string
		Struck        []struct{ First, Last int }
		By            bookOrigin
		Planchet      bookPlanchet
	}
	Sources []struct{ ID, Title, Note string }
}

type bookPlanchet struct {
	Mass                bookFigure
	Limit               *bookLimit
	Diameter, Thickness *bookFigure
	Edge                string
	EdgeNote            string      `json:"edge_note"`
	EdgeBy              *bookOrigin `json:"edge_by"`
	Alloy               struct {
		Name string
		bookOrigin
	}
	Layers []struct {
		Part  string
		Alloy struct{ Name string }
		Share float64
	}
	Magnetic, Colour string
	LooksBy          bookOrigin `json:"looks_by"`
	Density          *struct{ Value, Low, High float64 }
	Note             string
}

// bookWorldCoin is a coin of any country, with its name.
type bookWorldCoin struct {
	CountryName string `json:"country_name"`
	Name        string
	Struck      []struct {
		First, Last int
		Open        bool
	}
	Planchet bookPlanchet
}

type bookOrigin struct{ Source, Sure string }

type bookFigure struct {
	Text  string
	Value float64 // grams or millimeters
	bookOrigin
}

// in is the figure in grams or millimeters, with the law's own in brackets where that
// is in another unit: thousandths of a gram, hundredths of a millimeter.
func (f bookFigure) in(unit string) string {
	if strings.HasSuffix(f.Text, " "+unit) {
		return f.Text
	}
	law := f.Text
	if grains, ok := strings.CutSuffix(law, " gr"); ok {
		law = grains + " grains by law"
	} else if inches, ok := strings.CutSuffix(law, " in"); ok {
		law = inches + " inch"
	}
	digits := 3
	if unit == "mm" {
		digits = 2
	}
	return strconv.FormatFloat(f.Value, 'f', digits, 64) + " " + unit + " (" + law + ")"
}

type bookLimit struct {
	bookFigure
	Scope, Batch string
}

// Help is shown under the command's flags.
func (CoinsCmd) Help() string {
	return `Words are names, metals, years and what the trade says: penny 1943, steelie, war
nickel. Weights are in grams, with the law’s own figure in brackets.

Example: panside coins silver 1964
         panside coins --denomination dime --year 1916 --mint D

Nothing found is said on standard error; the exit code is then 1, as with a country,
denomination, year or mark that the book doesn’t have. --json prints an empty list.`
}

// Run prints what was found.
func (c CoinsCmd) Run(std *stdio) error {
	if c.Mint == "none" {
		c.Mint = "-" // a lone dash is awkward to type on a command line
	}
	question, err := json.Marshal(map[string]any{
		"text": strings.Join(c.Text, " "), "country": c.Country, "denomination": c.Denomination, "year": c.Year, "mint": c.Mint,
	})
	if err != nil {
		return err
	}
	a, err := ask("coins", question)
	if err != nil {
		return err
	}
	if a.Error != nil {
		if _, err := fmt.Fprintln(std.Err, "panside: "+a.Error.Sentence); err != nil {
			return err
		}
		return exitCode(exitBad)
	}
	if c.JSON {
		_, err := fmt.Fprintf(std.Out, "%s\n", a.OK)
		return err
	}
	var page bookPage
	if err := json.Unmarshal(a.OK, &page); err != nil {
		return err
	}
	if len(page.Coins)+len(page.StruckForOthers)+len(page.Strangers) == 0 {
		fmt.Fprintln(std.Err, "panside: No coin matches. Try a denomination (cent), a metal (silver) or a year.")
		return exitCode(exitBad)
	}
	return page.print(std.Out)
}

func (p bookPage) print(to io.Writer) error {
	w := bufio.NewWriter(to)
	number := map[string]int{}
	for i, s := range p.Sources {
		number[s.ID] = i + 1
	}
	from := func(o bookOrigin) string { return fmt.Sprintf("%s [%d]", o.Sure, number[o.Source]) }
	for _, c := range p.Coins {
		fmt.Fprintf(w, "%s %s: %s\n", c.Country, c.Denomination, c.Name)
		for _, s := range c.Struck {
			fmt.Fprintln(w, "   struck    ", years(s.First, s.Last, s.Open)+marks(s.Marks))
		}
		if !c.Circulating {
			fmt.Fprintln(w, "              for collectors, not for circulation")
		}
		c.Planchet.print(w, from)
		if c.Note != "" {
			fmt.Fprintln(w, "   note      ", c.Note)
		}
	}
	for _, g := range p.StruckForOthers {
		fmt.Fprintf(w, "%s for others: %s, struck in this country’s mints (%s)\n", g.Country, g.Name, from(g.By))
		for _, s := range g.Struck {
			fmt.Fprintln(w, "   struck    ", years(s.First, s.Last, false))
		}
		g.Planchet.print(w, from)
	}
	for _, c := range p.Strangers {
		fmt.Fprintf(w, "%s: %s\n", c.CountryName, c.Name)
		for _, s := range c.Struck {
			fmt.Fprintln(w, "   struck    ", years(s.First, s.Last, s.Open))
		}
		c.Planchet.print(w, from)
	}
	for i, s := range p.Sources {
		fmt.Fprintf(w, "[%d] %s", i+1, s.Title)
		if s.Note != "" {
			fmt.Fprintf(w, " (%s)", s.Note)
		}
		fmt.Fprintln(w)
	}
	return w.Flush()
}

// print writes the figures; from says how sure an origin is and where it is
// listed.
func (b bookPlanchet) print(w io.Writer, from func(bookOrigin) string) {
	fmt.Fprintf(w, "   weight     %s (%s)\n", b.Mass.in("g"), from(b.Mass.bookOrigin))
	switch {
	case b.Limit == nil:
		fmt.Fprintln(w, "   limit      none published")
	case b.Limit.Scope == "batch":
		fmt.Fprintf(w, "   limit      of a batch, not of a piece: %s, %s (%s)\n", b.Limit.in("g"), b.Limit.Batch, from(b.Limit.bookOrigin))
	default:
		fmt.Fprintf(w, "   limit      ± %s a piece (%s)\n", b.Limit.in("g"), from(b.Limit.bookOrigin))
	}
	fmt.Fprintf(w, "   metal      %s (%s)\n", b.Alloy.Name, from(b.Alloy.bookOrigin))
	for _, l := range b.Layers {
		share := "share not published"
		if l.Share > 0 {
			share = strconv.FormatFloat(100*l.Share, 'f', 1, 64) + "% of the weight"
		}
		fmt.Fprintf(w, "              %s: %s, %s\n", l.Part, l.Alloy.Name, share)
	}
	for _, f := range []struct {
		name   string
		figure *bookFigure
	}{{"diameter  ", b.Diameter}, {"thickness ", b.Thickness}} {
		if f.figure != nil {
			fmt.Fprintf(w, "   %s %s (%s)\n", f.name, f.figure.in("mm"), from(f.figure.bookOrigin))
		}
	}
	if b.EdgeBy != nil {
		fmt.Fprintf(w, "   edge       %s (%s)\n", strings.TrimSuffix(b.Edge+", "+b.EdgeNote, ", "), from(*b.EdgeBy))
	}
	if b.Density != nil {
		fmt.Fprintf(w, "   density    %.3f g/cm³, between %.2f and %.2f (computed from the layers)\n", b.Density.Value, b.Density.Low, b.Density.High)
	}
	magnet := b.Magnetic
	if magnet == "" {
		magnet = "not known"
	}
	fmt.Fprintf(w, "   magnet     %s; color %s (%s)\n", magnet, colors[b.Colour], from(b.LooksBy))
	if b.Note != "" {
		fmt.Fprintln(w, "   note      ", b.Note)
	}
}

// colors are what those of the book are called.
var colors = map[string]string{"red": "copper-red", "yellow": "golden", "white": "silvery", "grey": "gray", "two-hue": "two colors"}

func years(first, last int, open bool) string {
	switch {
	case open:
		return strconv.Itoa(first) + " to now"
	case first == last:
		return strconv.Itoa(first)
	}
	return strconv.Itoa(first) + " to " + strconv.Itoa(last)
}

func marks(m []string) string {
	if len(m) == 0 {
		return ""
	}
	words := make([]string, len(m))
	for i, s := range m {
		if words[i] = s; s == "-" {
			words[i] = "no mark"
		}
	}
	return ": " + strings.Join(words, ", ")
}
