package dialect

import (
	"strings"

	"panside/internal/fault"
	"panside/internal/mass"
	"panside/internal/say"
)

// A pattern is one line of the scale with its changing parts replaced by names
// in angle brackets:
//
//	line      G/N +  3.11 g ok
//	pattern   G/N <sign><value> <unit> <state ok=stable --=moving>
//
//	<value>        a number with point: sign, digits; any blanks in front
//	<value:8>      the same in exactly 8 columns, set right
//	<comma-value>  a number whose decimal mark is a comma; also with a width
//	<sign>         one column: + or - or blank
//	<unit>         the unit's letters
//	<unit:3>       the same in exactly 3 columns
//	<unit=g>       the line carries no unit: it is g. Takes no room
//	<state A=stable B=moving>
//	               one of the words, and what it says: stable, moving, zero,
//	               over or under; _ in a word stands for a blank
//	<skip:4>       any 4 characters, left out of account on purpose
//	<blanks>       any number of blanks or tabs, also none
//	<<             the character <
//	anything else  itself, a blank too; blanks at the end of a line don't matter
//
// There is one value, one unit, and at most one sign and one state. Where a
// part of free width stands right before a part that could continue it, its
// width has to be given. The whole line must match; nothing is searched for.
// With a state of over or under the value's place may hold filler instead of a
// number.

// maxPattern bounds the length of a pattern, in characters.
const maxPattern = 200

type partKind uint8

const (
	partText partKind = iota
	partBlanks
	partValue
	partSign
	partUnit
	partState
	partSkip
)

var partNames = map[string]partKind{
	"value": partValue, "comma-value": partValue, "sign": partSign,
	"unit": partUnit, "state": partState, "skip": partSkip, "blanks": partBlanks,
}

// part is one element of a pattern.
type part struct {
	kind  partKind
	text  string // partText
	width int    // columns; 0 if free
	comma bool   // partValue: the decimal mark is a comma
	words []stateWord
	pos   int // column in the pattern, from 1
}

type stateWord struct {
	word   string
	status mass.Status
}

// Pattern describes lines of a format nobody knows. Make one with Compile.
type Pattern struct {
	parts []part
	unit  mass.Unit // of <unit=…>; "" if the line carries it
	loose bool
}

// patternName is the dialect of readings found by a pattern.
const patternName = "pattern"

func (p *Pattern) dialect() Dialect {
	return Dialect{
		Name:    patternName,
		Summary: say.New("format-pattern"),
		Parse:   func(frame []byte) Result { r, _ := p.Match(frame); return r },
		loose:   p.loose,
		bits:    12,
	}
}

// spans are what the parts took from one line.
type spans struct {
	value, sign, unit string
	status            mass.Status
}

// Match reads one line, without its line end. stop is 0 if the pattern explains
// the whole line, else the column (from 1) up to which it does; then the
// outcome is NotMine. A line that matches can still be Impossible (a number
// such as 3.1.1, an unknown unit).
func (p *Pattern) Match(line []byte) (r Result, stop int) {
	s := string(line)
	got := spans{status: mass.StatusUnknown}
	at := 0
	for i := range p.parts {
		taken, ok := p.parts[i].take(s[at:], &got)
		if !ok {
			return Result{Outcome: NotMine}, at + 1
		}
		at += taken
	}
	if rest := strings.TrimRight(s[at:], " "); rest != "" {
		return Result{Outcome: NotMine}, at + 1
	}
	return p.meaning(got), 0
}

// meaning turns what the parts took into a result.
func (p *Pattern) meaning(got spans) Result {
	switch got.status {
	case mass.StatusOver:
		return overload()
	case mass.StatusUnder:
		return underload()
	}
	n, ok := parseNumber(got.sign + got.value)
	if strings.Contains(got.value, ",") {
		return Result{Outcome: Impossible} // a point was asked for
	}
	if !ok {
		if r, found := outOfRange(got.value); found {
			return r
		}
		return Result{Outcome: Impossible}
	}
	unit := got.unit
	if p.unit != "" {
		unit = string(p.unit)
	}
	return weighed(got.status, n, unit)
}

// take matches one part at the beginning of s and returns how much it took.
func (p *part) take(s string, got *spans) (taken int, ok bool) {
	if p.width > len(s) {
		return 0, false
	}
	switch p.kind {
	case partText:
		return len(p.text), strings.HasPrefix(s, p.text)
	case partBlanks:
		return len(s) - len(strings.TrimLeft(s, " \t")), true
	case partSkip:
		return p.width, true
	case partSign:
		got.sign = strings.Trim(s[:1], " ")
		return 1, strings.Contains("+- ", s[:1])
	case partState:
		for _, w := range p.words {
			if strings.HasPrefix(s, w.word) {
				got.status = w.status
				return len(w.word), true
			}
		}
		return 0, false
	case partUnit:
		taken = p.width
		if taken == 0 {
			taken = len(s) - len(strings.TrimLeft(s, unitBytes))
		}
		got.unit = strings.Trim(s[:taken], " ")
		return taken, strings.Trim(got.unit, unitBytes) == "" && got.unit != ""
	}
	taken = p.width
	if taken == 0 {
		body := strings.TrimLeft(s, " \t")
		taken = len(s) - len(strings.TrimLeft(body, valueBytes))
	}
	got.value = strings.ReplaceAll(s[:taken], "\t", " ")
	if p.comma {
		if strings.Contains(got.value, ".") {
			return 0, false
		}
		got.value = strings.Replace(got.value, ",", ".", 1)
	}
	return taken, strings.Trim(got.value, valueBytes+" ") == "" && strings.Trim(got.value, " ") != ""
}

const (
	// valueBytes may stand in the place of a value: digits, marks, filler.
	valueBytes = "0123456789.,+-^_*"
	unitBytes  = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ:%"
)

// PatternError says where a pattern is wrong.
type PatternError struct {
	Pos  int      // the column, from 1
	Line say.Line // for the person
}

func (e *PatternError) Error() string { return say.English.Write(e.Line) }

// Unwrap gives the fault (fault.BadInput) with the same line.
func (e *PatternError) Unwrap() error { return fault.New(fault.BadInput, e.Line) }
