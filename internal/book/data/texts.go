package data

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"slices"

	"panside/internal/book"
)

// object is a JSON object as it is read; numbers keep their digits.
type object = map[string]any

// textFields are what a person reads. They stand in the files of a language
// and nowhere else.
var textFields = []string{
	"name", "plural", "short", "note", "edge_note", "sign", "rule", "title",
	"where", "light", "see", "mimics", "decides", "weight", "text",
	"ask", "unless", "help", "say", "photograph", "aliases",
	"article", "gender", "in_name", "at_end", "within",
}

// nameFields hang on an entry's name: a language that has a name of its own for it takes
// none of these from English.
var nameFields = []string{"short", "article", "gender", "in_name", "at_end", "within"}

// merged is a source's facts with the texts of a language put in, English where
// that lacks one.
func merged(from fs.FS, source, language string) (object, error) {
	facts, err := read(from, source+".json")
	if err != nil {
		return nil, err
	}
	if err := withoutTexts(source+".json", facts); err != nil {
		return nil, err
	}
	var english, theirs object
	for _, l := range slices.Compact([]string{book.DefaultLanguage, language}) {
		name := source + "." + l + ".json"
		words, err := read(from, name)
		if errors.Is(err, fs.ErrNotExist) && l != book.DefaultLanguage {
			continue
		}
		if err == nil {
			err = put(name, facts, words)
		}
		if err == nil && l != book.DefaultLanguage {
			err = orphans(name, words, english)
		}
		if err != nil {
			return nil, err
		}
		if l == book.DefaultLanguage {
			english = words
		} else {
			theirs = words
		}
	}
	if language != book.DefaultLanguage {
		markEnglish(facts, english, theirs)
	}
	dropAnswerIDs(facts)
	return facts, nil
}

func read(from fs.FS, name string) (object, error) {
	raw, err := fs.ReadFile(from, name)
	if err != nil {
		return nil, err
	}
	dec := json.NewDecoder(bytes.NewReader(raw))
	dec.UseNumber()
	var o object
	if err := dec.Decode(&o); err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	return o, nil
}

// withoutTexts finds a text that stands among the facts.
func withoutTexts(at string, facts any) error {
	switch x := facts.(type) {
	case object:
		for _, k := range slices.Sorted(maps.Keys(x)) {
			if slices.Contains(textFields, k) {
				return fmt.Errorf("%s: %q is a text and belongs into the file of a language", at, k)
			}
			if err := withoutTexts(at+" "+k, x[k]); err != nil {
				return err
			}
		}
	case []any:
		for _, e := range x {
			if err := withoutTexts(at+" "+entryID(e), e); err != nil {
				return err
			}
		}
	}
	return nil
}

// put writes words into facts: an object's by their field, a list's by the id
// of the entry. Words for an entry that isn't there, or that are no texts, are
// an error.
func put(at string, facts object, words object) error {
	if words["name"] != nil {
		for _, k := range nameFields {
			if k != "short" || facts["plural"] == nil { // a denomination's is for a key
				delete(facts, k)
			}
		}
	}
	for _, k := range slices.Sorted(maps.Keys(words)) {
		here := at + " " + k
		w, deeper := words[k].(object)
		if !deeper {
			if !slices.Contains(textFields, k) {
				return fmt.Errorf("%s: is no text", here)
			}
			facts[k] = words[k]
			continue
		}
		switch f := facts[k].(type) {
		case object:
			if err := put(here, f, w); err != nil {
				return err
			}
		case []any:
			if err := putEntries(here, f, w); err != nil {
				return err
			}
		default:
			return fmt.Errorf("%s: has words, but there are no such facts", here)
		}
	}
	return nil
}

func putEntries(at string, entries []any, words object) error {
	byID := map[string]object{}
	for _, e := range entries {
		id := entryID(e)
		if o, ok := e.(object); ok && id != "" {
			if byID[id] != nil {
				return fmt.Errorf("%s: two entries are called %q, so their texts can’t be told apart", at, id)
			}
			byID[id] = o
		}
	}
	for _, id := range slices.Sorted(maps.Keys(words)) {
		w, ok := words[id].(object)
		if !ok || byID[id] == nil {
			return fmt.Errorf("%s: words for %q, but there is no such entry", at, id)
		}
		if err := put(at+" "+id, byID[id], w); err != nil {
			return err
		}
	}
	return nil
}

// entryID is what a list's entry is called: its id, or, of an answer of the key
// without one, where it leads.
func entryID(entry any) string {
	o, _ := entry.(object)
	for _, field := range []string{"id", "to", "kind", "end"} {
		if s, ok := o[field].(string); ok {
			return s
		}
	}
	return ""
}

// markEnglish notes at each look-for and kind which of its texts are English for want of the
// language's own: a sheet tells, so that whoever reads it aloud knows.
func markEnglish(facts, english, theirs object) {
	for _, list := range []string{"kinds", "facts", "types", "dates"} {
		ours, _ := english[list].(object)
		own, _ := theirs[list].(object)
		for _, f := range entries(facts[list]) {
			id := text(f["id"])
			words, _ := ours[id].(object)
			in, _ := own[id].(object)
			var lacks []any
			for _, field := range slices.Sorted(maps.Keys(words)) {
				if in[field] == nil {
					lacks = append(lacks, field)
				}
			}
			if lacks != nil {
				f["english"] = lacks
			}
		}
	}
}

// orphans are the texts of a language that English hasn't got: nothing would show them,
// or they would be missed everywhere else.
func orphans(name string, theirs, english object) error {
	var problems []error
	for _, text := range lacking(nil, name, theirs, english) {
		problems = append(problems, fmt.Errorf("%s: English has no such text", text))
	}
	return errors.Join(problems...)
}

// dropAnswerIDs takes the ids of the key's answers away: they only join an answer to
// its words.
func dropAnswerIDs(o object) {
	for _, list := range o {
		entries, _ := list.([]any)
		for _, e := range entries {
			entry, _ := e.(object)
			within, _ := entry["answers"].([]any)
			for _, w := range within {
				if answer, ok := w.(object); ok {
					delete(answer, "id")
				}
			}
		}
	}
}

// Missing names the texts that stand in English and not in a language, by file,
// list, entry and field, in order. There English is shown.
func Missing(from fs.FS, language string) ([]string, error) {
	var missing []string
	err := fs.WalkDir(from, ".", func(name string, e fs.DirEntry, err error) error {
		source, of, text := textFile(name)
		if err != nil || !text || of != book.DefaultLanguage {
			return err
		}
		english, err := read(from, name)
		if err != nil {
			return err
		}
		theirs, err := read(from, source+"."+language+".json")
		if errors.Is(err, fs.ErrNotExist) {
			theirs, err = object{}, nil
		}
		missing = lacking(missing, source, english, theirs)
		return err
	})
	return missing, err
}

// formOf reports whether a field is a form of the entry's name. A denomination's short name
// and a choice's within a sentence are names of their own.
func formOf(field string, entry object) bool {
	return slices.Contains(nameFields, field) && field != "within" && (field != "short" || entry["plural"] == nil)
}

func lacking(missing []string, at string, english, theirs object) []string {
	for _, k := range slices.Sorted(maps.Keys(english)) {
		e, deeper := english[k].(object)
		switch {
		case formOf(k, english):
			// Each language has the forms that its own names need.
		case deeper:
			t, _ := theirs[k].(object)
			missing = lacking(missing, at+" "+k, e, t)
		case theirs[k] == nil:
			missing = append(missing, at+" "+k)
		}
	}
	return missing
}
