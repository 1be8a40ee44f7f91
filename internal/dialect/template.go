package dialect

import (
	"strings"

	"panside/internal/mass"
	"panside/internal/say"
)

// This file is the template for a new format: copy it, give the copy a name
// that describes the shape, and change everything from here on. README.md has
// the steps. The template is a working format of its own, tested with the
// others and kept out of the list in list.go.
//
// The comment in front of the variable is the format's data sheet. Begin with
// one sentence of shape (never a maker), then draw the line and name its parts:
//
// Lines with the stability letter in front and the unit in brackets.
//
//	s    3.11 (g)
//	││      │  └ unit, in brackets
//	││      └ value, set right in 8 columns with its sign
//	│└ blank
//	└ s stable, m in motion; o over, u under (then the value is left out)
//
// Say when lines are sent and how they end. Close with where the knowledge
// comes from, in general words: “operating manuals of …”, “common practice”,
// “from memory”, or a standard by its number.
//
// Knowledge: invented, for this template.
var template = Dialect{
	// Name is stored in people's settings: it can't change once published.
	Name: "template",
	// Summary is what a person picks from: the shape, and the line itself.
	Summary: say.New("format-template"),
	// Settings are tried in this order; put the factory setting first.
	Settings: []Settings{{Baud: 9600, Framing: "8N1"}},
	// Poll must only read. Leave it out rather than send something that could
	// tare, zero or reconfigure somebody's scale.
	Poll: nil,
	// KeepAwake: true if a poll keeps the scale from switching itself off.
	KeepAwake: false,
	Parse:     parseTemplate,
	Format:    formatTemplate,
	// framing is lineFraming if left out; frame.go has the others.
	// loose: true if the rest of a cut line could pass for a whole line.
	// bits is the evidence in one line; evidence.go says how to choose it.
	bits: 12,
}

// templateColumns is the width of the value, sign included.
const templateColumns = 8

// parseTemplate says what one line means. Three rules:
//   - outcome Read only if every byte is explained, lengths included;
//   - tell NotMine (a stranger) from the outcomes of a broken line of this
//     format, because detection counts them differently;
//   - numbers through parseNumber, units through weighed: they refuse what
//     should be refused, in words.
func parseTemplate(frame []byte) Result {
	s := string(frame)
	switch s {
	case "o":
		return overload()
	case "u":
		return underload()
	}
	var status mass.Status
	switch {
	case strings.HasPrefix(s, "s "):
		status = mass.StatusStable
	case strings.HasPrefix(s, "m "):
		status = mass.StatusMoving
	default:
		return Result{Outcome: NotMine}
	}
	field, unit, found := strings.Cut(s[2:], " (")
	unit, closed := strings.CutSuffix(unit, ")")
	switch {
	case !found || !closed:
		return Result{Outcome: Cut}
	case len(field) != templateColumns:
		return Result{Outcome: BadLength}
	}
	n, ok := parseNumber(field)
	if !ok {
		return Result{Outcome: Impossible}
	}
	return weighed(status, n, unit)
}

// formatTemplate is the reverse. It serves the virtual scale and the round-trip
// tests, which run over every format in the list.
func formatTemplate(q mass.Quantity, status mass.Status) []byte {
	letter := "s"
	switch status {
	case mass.StatusStable, mass.StatusZero:
	case mass.StatusMoving:
		letter = "m"
	case mass.StatusOver:
		return []byte("o\r\n")
	case mass.StatusUnder:
		return []byte("u\r\n")
	default:
		return nil
	}
	value := right(q.Value.String(), templateColumns)
	if value == "" {
		return nil
	}
	return []byte(letter + " " + value + " (" + unitWord(q.Unit) + ")\r\n")
}
