package say

import (
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"panside/internal/json"
)

// Tongue writes lines in one language. Safe for concurrent use.
type Tongue struct {
	language  string // "es-MX"
	templates map[string]string

	mu     sync.Mutex
	parsed map[string]Template
}

// English is always there. It has every code.
var English = func() *Tongue {
	all := map[string]string{}
	for _, subject := range english {
		for code, template := range subject {
			all[code] = template
		}
	}
	return &Tongue{language: "en", templates: all, parsed: map[string]Template{}}
}()

// In is the tongue of a language and region without templates of its own, which are
// those of English.
func In(language string) *Tongue {
	return &Tongue{language: language, parsed: map[string]Template{}}
}

// Open reads a language's templates, a JSON object of codes. The language may name a
// region, which decides the decimal sign: "es-MX".
func Open(language string, raw []byte) (*Tongue, error) {
	t := In(language)
	return t, json.Unmarshal(raw, &t.templates)
}

// Language is the one it was opened for, with its region.
func (t *Tongue) Language() string { return t.language }

// Has reports whether the language has a template of its own for the code.
func (t *Tongue) Has(code string) bool { return t.templates[code] != "" }

// Write writes a line out; "" for one that says nothing. A code that no language has is
// written as itself, and so is the name of an argument that isn't given.
func (t *Tongue) Write(l Line) string {
	if l.None() {
		return ""
	}
	return string(t.write(nil, l))
}

// Number writes a number that is written with a point, as the language does.
func (t *Tongue) Number(s string) string {
	if decimalComma(t.language) {
		return strings.Replace(s, ".", ",", 1)
	}
	return s
}

func (t *Tongue) write(out []byte, l Line) []byte {
	template, ok := t.template(l.Code)
	if !ok {
		return append(out, l.Code...)
	}
	return t.fill(out, template, l.Args, Arg{})
}

// template is that of a code, English where the language has none.
func (t *Tongue) template(code string) (Template, bool) {
	t.mu.Lock()
	defer t.mu.Unlock()
	if p, ok := t.parsed[code]; ok {
		return p, true
	}
	p, err := Parse(t.templates[code])
	if !t.Has(code) || err != nil {
		if t == English {
			return p, false
		}
		return English.template(code)
	}
	t.parsed[code] = p
	return p, true
}

// fill writes a template; number is that of the plural around it.
func (t *Tongue) fill(out []byte, template Template, args []Arg, number Arg) []byte {
	for i := range template.parts {
		p := &template.parts[i]
		if p.arg == "" {
			out = append(out, p.text...)
			continue
		}
		a := find(args, p.arg)
		if p.arg == "#" {
			a = number
		}
		switch {
		case a.arg == nil:
			out = append(out, p.arg...)
		case p.form == "plural":
			out = t.fill(out, choose(p.cases, "="+a.text, pluralOf(t.language, a.number, a.text)), args, a)
		case p.form == "select":
			out = t.fill(out, choose(p.cases, a.key(), "other"), args, number)
		default:
			out = t.value(out, a, p.styles)
		}
	}
	return out
}

func find(args []Arg, name string) Arg {
	for _, a := range args {
		if a.name == name {
			return a
		}
	}
	return Arg{}
}

// choose takes the first of two keys that there is a case for, else “other”.
func choose(cases []branch, keys ...string) Template {
	for _, key := range append(keys, "other") {
		for i := range cases {
			if cases[i].key == key {
				return cases[i].template
			}
		}
	}
	return Template{}
}

// key is what a select goes by.
func (a Arg) key() string {
	switch {
	case a.kind == ofNoun:
		return a.forms.Gender
	case a.kind == ofLine && a.line.None():
		return "none"
	case a.kind == ofLine:
		return a.line.Code
	}
	return a.text
}

// value writes an argument in a style.
func (t *Tongue) value(out []byte, a Arg, styles []string) []byte {
	from := len(out)
	capital, article, many := false, false, false
	for _, s := range styles {
		capital, article, many = capital || s == "capital", article || s == "article", many || s == "many"
	}
	switch a.kind {
	case ofNumber:
		out = append(out, t.Number(a.text)...)
	case ofNoun:
		word := a.forms.One
		if many {
			word = a.forms.Many
		}
		if article {
			out = append(append(out, articleOf(t.language, &a.forms)...), ' ')
		}
		out = append(out, word...)
	case ofList:
		out = t.list(out, a)
	case ofLine:
		if !a.line.None() {
			out = t.write(out, a.line)
		}
	default:
		out = append(out, a.text...)
	}
	if capital {
		if r, n := utf8.DecodeRune(out[from:]); n > 0 {
			rest := string(out[from+n:])
			out = append(utf8.AppendRune(out[:from], unicode.ToUpper(r)), rest...)
		}
	}
	return out
}

// list joins: “a, b and c”.
func (t *Tongue) list(out []byte, a Arg) []byte {
	for i := range a.items {
		item := t.value(nil, a.items[i], nil)
		switch {
		case i == 0:
		case a.text == Semicolon:
			out = append(out, "; "...)
		case i < len(a.items)-1 || a.text == Comma:
			out = append(out, ", "...)
		default:
			out = append(append(append(out, ' '), conjunction(t.language, a.text, string(item))...), ' ')
		}
		out = append(out, item...)
	}
	return out
}
