package say

import (
	"slices"
	"strconv"
	"strings"
)

// Template is a parsed one.
type Template struct{ parts []part }

type part struct {
	text string // as it stands, where there is no argument
	arg  string // “#” for the number of the plural around it
	form string // "plural", "select", "noun", "text"; empty for the bare argument
	// styles of "noun" and "text", in order.
	styles []string
	cases  []branch
}

type branch struct {
	key      string
	template Template
}

// styles of an argument: of a noun's forms, and a capital for what begins a sentence.
var styles = map[string][]string{
	"noun": {"article", "many", "capital"},
	"text": {"capital"},
}

// plurals are the categories of CLDR.
var plurals = []string{"zero", "one", "two", "few", "many", "other"}

// Problem is what is wrong with a template.
type Problem struct {
	At   int // byte of the template
	What string
}

// Error says where.
func (p *Problem) Error() string { return "byte " + strconv.Itoa(p.At) + ": " + p.What }

// Parse reads a template, a part of ICU MessageFormat:
//
//	message  = (text | argument)*
//	argument = {name}
//	         | {name, plural, (=number {message} | category {message})+}   other is a must
//	         | {name, select, (key {message})+}                             other is a must
//	         | {name, noun, (article | many | capital)+}                    of our own
//	         | {name, text, capital}                                        of our own
//
// Within a plural # is its number. An apostrophe stands for itself but before {, } and,
// within a plural, #: there it quotes up to the next; two of them are always one (the
// rule of ICU since 4.8). Other formats of ICU, offset: and selectordinal are refused.
//
// Source: ICU User Guide, “Formatting Messages”, and the class docs of MessageFormat,
// PluralFormat and SelectFormat. Errors: *Problem.
func Parse(template string) (Template, error) {
	p := parser{in: template}
	t := p.message(0, false)
	if p.problem == nil && p.at < len(p.in) {
		p.fail("there is a } without its {")
	}
	if p.problem != nil {
		return Template{}, p.problem
	}
	return t, nil
}

type parser struct {
	in      string
	at      int
	problem *Problem
}

// deepest is how far messages may nest.
const deepest = 8

func (p *parser) fail(what string) {
	if p.problem == nil {
		p.problem = &Problem{p.at, what}
	}
	p.at = len(p.in) // nothing more is read
}

// message reads up to its end or a }, which stays.
func (p *parser) message(depth int, plural bool) Template {
	var t Template
	if depth > deepest {
		p.fail("messages nest too deep")
	}
	var text []byte
	flush := func() {
		if len(text) > 0 {
			t.parts = append(t.parts, part{text: string(text)})
			text = nil
		}
	}
	for p.at < len(p.in) {
		switch c := p.in[p.at]; {
		case c == '\'':
			text = append(text, p.apostrophe(plural)...)
		case c == '}':
			flush()
			return t
		case c == '{':
			flush()
			t.parts = append(t.parts, p.argument(depth, plural))
		case c == '#' && plural:
			flush()
			t.parts = append(t.parts, part{arg: "#"})
			p.at++
		default:
			text = append(text, c)
			p.at++
		}
	}
	flush()
	return t
}

// apostrophe reads one, and what it quotes.
func (p *parser) apostrophe(plural bool) string {
	p.at++
	rest := p.in[p.at:]
	switch {
	case strings.HasPrefix(rest, "'"):
		p.at++
		return "'"
	case rest == "" || rest[0] != '{' && rest[0] != '}' && (rest[0] != '#' || !plural):
		return "'"
	}
	var text []byte
	for p.at < len(p.in) {
		c := p.in[p.at]
		p.at++
		if c == '\'' {
			if p.at >= len(p.in) || p.in[p.at] != '\'' {
				return string(text)
			}
			p.at++
		}
		text = append(text, c)
	}
	return string(text) // ICU lets a quote run to the end
}

func (p *parser) argument(depth int, plural bool) part {
	p.at++ // the {
	a := part{arg: p.word()}
	if a.arg == "" {
		p.fail("an argument has no name")
		return a
	}
	if p.takes('}') {
		return a
	}
	p.must(',')
	from := p.at
	a.form = p.word()
	switch a.form {
	case "plural", "select":
		p.must(',')
		a.cases = p.branches(depth, plural || a.form == "plural", a.form == "plural")
	case "noun", "text":
		p.must(',')
		for p.problem == nil && !p.takes('}') {
			s := p.word()
			if !slices.Contains(styles[a.form], s) || slices.Contains(a.styles, s) {
				p.fail("no style of a " + a.form + ": " + s)
			}
			a.styles = append(a.styles, s)
		}
	default:
		p.at = from
		p.fail("no format: " + a.form)
	}
	return a
}

// branches reads those of a plural or select, and the } behind them.
func (p *parser) branches(depth int, inPlural, plural bool) []branch {
	var all []branch
	other := false
	for p.problem == nil && !p.takes('}') {
		key := p.word()
		digits, exact := strings.CutPrefix(key, "=")
		_, err := strconv.ParseUint(digits, 10, 31)
		switch {
		case key == "":
			p.fail("a case has no key")
		case plural && exact && err != nil, plural && !exact && !slices.Contains(plurals, key):
			p.fail("no case of a plural: " + key)
		case slices.ContainsFunc(all, func(b branch) bool { return b.key == key }):
			p.fail("two cases are called " + key)
		}
		p.must('{')
		t := p.message(depth+1, inPlural)
		p.must('}')
		other = other || key == "other"
		all = append(all, branch{key, t})
	}
	if !other {
		p.fail("the case “other” is missing")
	}
	return all
}

const blanks = " \t\r\n"

func (p *parser) skip() {
	for p.at < len(p.in) && strings.IndexByte(blanks, p.in[p.at]) >= 0 {
		p.at++
	}
}

// word reads a name, key or style with the blanks around it.
func (p *parser) word() string {
	p.skip()
	from := p.at
	for p.at < len(p.in) && strings.IndexByte(blanks+"{},#'", p.in[p.at]) < 0 {
		p.at++
	}
	word := p.in[from:p.at]
	p.skip()
	return word
}

func (p *parser) takes(c byte) bool {
	p.skip()
	if p.at < len(p.in) && p.in[p.at] == c {
		p.at++
		return true
	}
	if p.at >= len(p.in) {
		p.fail("it ends within {…}")
	}
	return false
}

func (p *parser) must(c byte) {
	p.skip()
	if p.problem == nil && !p.takes(c) {
		p.fail("here must stand " + string(rune(c)))
	}
}
