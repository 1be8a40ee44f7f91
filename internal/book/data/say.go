package data

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"

	"panside/internal/say"
)

// unread are the languages that no native speaker has read yet.
var unread = []string{"es"}

// templates joins the language's files of templates.
func (b *builder) templates() object {
	all := object{}
	names, err := fs.Glob(b.from, sayFolder+"/*."+b.language+".json")
	if err != nil {
		b.bad(err)
	}
	for _, name := range names {
		of, err := templatesOf(b.from, name)
		if err != nil {
			b.bad(err)
		}
		for _, t := range of {
			if all[t.code] != nil {
				b.bad(fmt.Errorf("%s:%d: %s has a template already", name, t.line, t.code))
			}
			if !say.English.Has(t.code) {
				b.bad(fmt.Errorf("%s:%d: %s is no code of English", name, t.line, t.code))
			}
			all[t.code] = t.text
		}
	}
	return all
}

// coded is a template with its place.
type coded struct {
	code, text string
	line       int
}

// templatesOf reads a file of templates, an object of codes. Errors name file and line.
func templatesOf(from fs.FS, name string) ([]coded, error) {
	raw, err := fs.ReadFile(from, name)
	if err != nil {
		return nil, err
	}
	dec := json.NewDecoder(bytes.NewReader(raw))
	line := func() int { return 1 + bytes.Count(raw[:dec.InputOffset()], []byte("\n")) }
	wrong := func(err error) error { return fmt.Errorf("%s:%d: %w", name, line(), err) }
	if start, err := dec.Token(); err != nil || start != json.Delim('{') {
		return nil, wrong(errors.Join(errors.New("no object of templates"), err))
	}
	var all []coded
	var problems []error
	for dec.More() {
		code, err := dec.Token()
		if err != nil {
			return nil, wrong(err)
		}
		var text string
		if err := dec.Decode(&text); err != nil {
			return nil, wrong(err)
		}
		t := coded{code.(string), text, line()}
		if _, err := say.Parse(text); err != nil {
			problems = append(problems, wrong(fmt.Errorf("%s: %w", t.code, err)))
		}
		all = append(all, t)
	}
	if _, err := dec.Token(); err != nil {
		return nil, wrong(err)
	}
	return all, errors.Join(problems...)
}
