package say

// Use is what a template does with an argument.
type Use struct {
	Arg    string
	Form   string   // "plural", "select", "noun", "text"; empty for the bare argument
	Styles []string // of "noun" and "text"
	Keys   []string // of "plural" and "select"
}

// Uses lists what a template does with its arguments, for checks of tables.
func (t Template) Uses() []Use {
	var all []Use
	for _, p := range t.parts {
		if p.arg == "" || p.arg == "#" {
			continue
		}
		u := Use{Arg: p.arg, Form: p.form, Styles: p.styles}
		for _, b := range p.cases {
			u.Keys = append(u.Keys, b.key)
		}
		all = append(all, u)
		for _, b := range p.cases {
			all = append(all, b.template.Uses()...)
		}
	}
	return all
}

// Codes are those that the language has templates of its own for, in no order.
func (t *Tongue) Codes() []string {
	var all []string
	for code := range t.templates {
		all = append(all, code)
	}
	return all
}

// Template is the text of a code's template in the language, empty if it has none.
func (t *Tongue) Template(code string) string {
	if e := t.templates[code]; e != nil {
		return e.text
	}
	return ""
}

// Parsed is that of a code, of English where the language has none.
func (t *Tongue) Parsed(code string) (Template, bool) {
	if p := t.template(code); p != nil {
		return *p, true
	}
	return Template{}, false
}
