package say

import (
	"strings"
	"sync/atomic"
	"unicode"
	"unicode/utf8"

	"panside/internal/json"
)

// Tongue writes lines in one language. Safe for concurrent use.
type Tongue struct {
	language  string            // "es-MX"
	templates map[string]*entry // never changed once it is open
}

// entry is a code's template. It is parsed when it is first used, since few are.
type entry struct {
	text   string
	parsed atomic.Pointer[Template]
}

// English is always there. It has every code.
var English = func() *Tongue {
	t := In("en")
	for _, subject := range english {
		t.add(subject)
	}
	return t
}()

// In is the tongue of a language and region without templates of its own, which are
// those of English.
func In(language string) *Tongue {
	return &Tongue{language: language, templates: map[string]*entry{}}
}

// Open reads a language's templates, a JSON object of codes. The language may name a
// region, which decides the decimal sign: "es-MX".
func Open(language string, raw []byte) (*Tongue, error) {
	var templates map[string]string
	err := json.Unmarshal(raw, &templates)
	t := In(language)
	t.add(templates)
	return t, err
}

func (t *Tongue) add(templates map[string]string) {
	entries := make([]entry, 0, len(templates))
	for code, text := range templates {
		entries = append(entries, entry{text: text})
		t.templates[code] = &entries[len(entries)-1]
	}
}

// Language is the one it was opened for, with its region.
func (t *Tongue) Language() string { return t.language }

// Has reports whether the language has a template of its own for the code.
func (t *Tongue) Has(code string) bool { return t.Template(code) != "" }

// Write writes a line out; "" for one that says nothing. A code that no language has is
// written as itself, and so is the name of an argument that isn't given.
func (t *Tongue) Write(l Line) string {
	if l.None() {
		return ""
	}
	template := t.template(l.Code)
	if template != nil && len(template.parts) == 1 && template.parts[0].arg == "" {
		return template.parts[0].text
	}
	return string(t.write(make([]byte, 0, 160), l)) // most lines need no more
}

// Number writes a number that is written with a point, as the language does.
func (t *Tongue) Number(s string) string {
	if decimalComma(t.language) {
		return strings.Replace(s, ".", ",", 1)
	}
	return s
}

func (t *Tongue) write(out []byte, l Line) []byte {
	template := t.template(l.Code)
	if template == nil {
		return append(out, l.Code...)
	}
	return t.fill(out, template, l.Args, Arg{})
}

// template is that of a code, English where the language has none, nil where that has
// none either.
func (t *Tongue) template(code string) *Template {
	if e := t.templates[code]; e != nil {
		if p := e.parsed.Load(); p != nil {
			return p
		}
		if p, err := Parse(e.text); err == nil && e.text != "" {
			e.parsed.Store(&p)
			return &p
		}
	}
	if t == English {
		return nil
	}
	return English.template(code)
}

// fill writes a template; number is that of the plural around it.
func (t *Tongue) fill(out []byte, template *Template, args []Arg, number Arg) []byte {
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
func choose(cases []branch, first, second string) *Template {
	for _, key := range [...]string{first, second, "other"} {
		for i := range cases {
			if cases[i].key == key {
				return &cases[i].template
			}
		}
	}
	return &Template{}
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
			out = append(append(out, articleOf(t.language, a.forms)...), ' ')
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
	items := a.line.Args
	for i := range items {
		switch {
		case i == 0:
		case a.text == Semicolon:
			out = append(out, "; "...)
		case i < len(items)-1 || a.text == Comma:
			out = append(out, ", "...)
		default:
			out = append(out, ' ')
			from := len(out)
			out = t.value(out, items[i], nil)
			item := string(out[from:]) // how it begins decides the word before it
			return append(append(append(out[:from], conjunction(t.language, a.text, item)...), ' '), item...)
		}
		out = t.value(out, items[i], nil)
	}
	return out
}
