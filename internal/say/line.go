// Package say holds what is said to a person until it is said: a sentence is a line,
// a code with named arguments in no language yet. A tongue, the templates of one
// language, writes it out.
//
// Templates are a part of ICU MessageFormat: see Parse. English stands here, in the
// en_*.go files; other languages are data, read by Open, and English stands in for a
// code that they lack.
//
// Nobody cuts, joins or trims a line once it is written, nor changes its case: a clause
// that varies is a select in the template, or a line of its own given as argument.
package say

import (
	"strconv"

	"panside/internal/json"
)

// Line is a sentence, or a part of one, in no language yet. It is one pointer: lines are
// made and handed on in hundreds of places. Its zero value says nothing and has no code.
type Line struct{ *Coded }

// Coded is what a line is.
type Coded struct {
	Code string
	Args []Arg
}

// New returns a line. Write code and arguments out where it is called: a test reads
// them in the source and holds the templates of every language to them.
func New(code string, args ...Arg) Line {
	if len(args) == 0 {
		return Line{&Coded{Code: code}}
	}
	l := &struct { // one piece of memory for a line of the usual length
		Coded
		room [4]Arg
	}{Coded: Coded{Code: code}}
	// They are copied, so that a caller's list of them needs no place on the heap.
	l.Args = append(l.room[:0], args...)
	return Line{&l.Coded}
}

// None reports whether nothing is said.
func (l Line) None() bool { return l.Coded == nil }

// Within is the line that an argument is; none if it isn't one.
func (l Line) Within(name string) Line {
	if a := find(l.Args, name); a.arg != nil && a.kind == ofLine {
		return a.line
	}
	return Line{}
}

// Arg is a named value of a line. It is one pointer: a line is made in hundreds of
// places, and each would copy what it holds.
type Arg struct{ *arg }

type arg struct {
	name   string
	kind   kind
	text   string // of text and number; how a list is joined
	number float64
	forms  *Forms
	line   Line // a list's items are the arguments of one without a code
}

type kind uint8

const (
	ofText kind = iota
	ofNumber
	ofNoun
	ofList
	ofLine
)

// Text is a text that stands as it is, or the word that a select goes by.
func Text(name, s string) Arg { return Arg{&arg{name: name, kind: ofText, text: s}} }

// Decimal is a number with its digits after the sign, as many as needed for −1. It is
// written with the sign of the language.
func Decimal(name string, x float64, digits int) Arg {
	return Arg{&arg{name: name, kind: ofNumber, text: strconv.FormatFloat(x, 'f', digits, 64), number: x}}
}

// Figure is a number that was written already, with a point: “3.110”.
func Figure(name, s string) Arg {
	x, _ := strconv.ParseFloat(s, 64)
	return Arg{&arg{name: name, kind: ofNumber, text: s, number: x}}
}

// Count is a whole number.
func Count(name string, n int) Arg { return Decimal(name, float64(n), 0) }

// Forms are those of a noun in its language.
type Forms struct {
	One  string
	Many string
	// Article is the indefinite one; empty for the language's usual one: “a”, in
	// Spanish that of the gender.
	Article string
	Gender  string // "f", "m"; empty where the language has none
}

// Noun is a word of the book with its forms; a select goes by its gender.
func Noun(name string, f Forms) Arg {
	a := &struct {
		arg
		own Forms
	}{arg{name: name, kind: ofNoun}, f}
	a.forms = &a.own
	return Arg{&a.arg}
}

// How a list is joined.
const (
	And       = "and"
	Or        = "or"
	Comma     = "comma"
	Semicolon = "semicolon"
)

// List is joined as the language does. The names of its items don't count.
func List(name, join string, items ...Arg) Arg {
	return Arg{&arg{name: name, kind: ofList, text: join, line: New("", items...)}}
}

// Of is a line within a line. Nothing is written of one that says nothing, and a select
// goes by its code, by “none” for that.
func Of(name string, l Line) Arg { return Arg{&arg{name: name, kind: ofLine, line: l}} }

// MarshalJSON writes {"code":"…","args":{…}}. A text is a string, a number a number
// with its digits, a noun {"one","many"}, a list {"list","join"}, a line as itself.
func (l Line) MarshalJSON() ([]byte, error) { return l.appendJSON(nil), nil }

func (l Line) appendJSON(out []byte) []byte {
	if l.None() {
		return append(out, "null"...)
	}
	out = quoted(append(out, `{"code":`...), l.Code)
	out = append(out, `,"args":{`...)
	for i, a := range l.Args {
		if i > 0 {
			out = append(out, ',')
		}
		out = append(quoted(out, a.name), ':')
		out = a.appendJSON(out)
	}
	return append(out, "}}"...)
}

func (a Arg) appendJSON(out []byte) []byte {
	switch a.kind {
	case ofNumber:
		return append(out, a.text...)
	case ofNoun:
		out = quoted(append(out, `{"one":`...), a.forms.One)
		return append(quoted(append(out, `,"many":`...), a.forms.Many), '}')
	case ofList:
		out = append(quoted(append(out, `{"join":`...), a.text), `,"list":[`...)
		for i, item := range a.line.Args {
			if i > 0 {
				out = append(out, ',')
			}
			out = item.appendJSON(out)
		}
		return append(out, "]}"...)
	case ofLine:
		return a.line.appendJSON(out)
	}
	return quoted(out, a.text)
}

func quoted(out []byte, s string) []byte {
	raw, _ := json.Marshal(s) // a string can always be written
	return append(out, raw...)
}
