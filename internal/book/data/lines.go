package data

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strconv"
	"strings"
)

// Whoever writes the data is told where to mend it: each problem that Build and Check find
// begins with file and line. The lines are only looked for once something is wrong.

// spot is where something stands in a source: a field, an entry of a list, or a text that
// is an entry of one.
type spot struct {
	file string
	way  string // “dates overdate-1798 kind”: lists, ids, fields
	line int
	// value is that of a field that holds one word or text.
	value string
}

// spots are those of all sources, by file and line.
type spots []spot

// spotsOf reads the places of all sources. Errors, one a problem: a file that is no JSON,
// a field that an object has twice, of which a reader takes the last, and an id that two
// entries of a list bear.
func spotsOf(from fs.FS) (spots, error) {
	var all spots
	var problems []error
	err := fs.WalkDir(from, ".", func(name string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() || !strings.HasSuffix(name, ".json") {
			return err
		}
		raw, err := fs.ReadFile(from, name)
		if err != nil {
			return err
		}
		r := reader{file: name, raw: raw}
		if json.Valid(raw) {
			r.value("", raw, 0)
		} else {
			r.unreadable()
		}
		all = append(all, r.found...)
		problems = append(problems, r.problems...)
		return nil
	})
	return all, errors.Join(append(problems, err)...)
}

// reader walks through one source.
type reader struct {
	file     string
	raw      []byte
	found    spots
	problems []error

	counted, lines int // ends of lines before an offset
}

// line is that of an offset. It is asked for in order, but for a problem.
func (r *reader) line(at int) int {
	if at < r.counted {
		r.counted, r.lines = 0, 0
	}
	r.lines += bytes.Count(r.raw[r.counted:at], []byte("\n"))
	r.counted = at
	return 1 + r.lines
}

func (r *reader) bad(at int, what string, about ...any) {
	r.problems = append(r.problems, fmt.Errorf("%s:%d: "+what, append([]any{r.file, r.line(at)}, about...)...))
}

// note keeps a place, and reports one that was there already.
func (r *reader) note(seen map[string]int, way, name string, at int, what string) string {
	if before, twice := seen[name]; twice {
		r.bad(at, "%s %q; the other stands in line %d", what, name, before)
	}
	seen[name] = r.line(at)
	way = strings.TrimPrefix(way+" "+name, " ")
	r.found = append(r.found, spot{file: r.file, way: way, line: r.line(at)})
	return way
}

// value walks through one value, which begins at an offset of the file. The file is
// known to be JSON, so nothing of it can fail to be read.
func (r *reader) value(way string, value []byte, offset int) {
	dec := json.NewDecoder(bytes.NewReader(value))
	start, _ := dec.Token()
	if start != json.Delim('{') && start != json.Delim('[') {
		return
	}
	seen := map[string]int{}
	for dec.More() {
		within, field := way, start == json.Delim('{')
		if field {
			key, _ := dec.Token()
			within = r.note(seen, way, key.(string), offset+int(dec.InputOffset())-1, "an object has two fields")
		}
		var of json.RawMessage
		_ = dec.Decode(&of)
		begins := offset + int(dec.InputOffset()) - len(of)
		if field {
			_ = json.Unmarshal(of, &r.found[len(r.found)-1].value) // empty for what is no text
		} else if name := named(of); name != "" {
			within = r.note(seen, way, name, begins, "two entries are called")
		}
		r.value(within, of, begins)
	}
}

// named is what an entry of a list is found by.
func named(entry []byte) string {
	var o object
	if json.Unmarshal(entry, &o) == nil {
		return entryID(o)
	}
	var s string
	if json.Unmarshal(entry, &s) == nil && strings.Contains(s, ";") { // a stranger's line
		return s
	}
	return ""
}

// unreadable says where the file stops being JSON.
func (r *reader) unreadable() {
	err, at := json.Unmarshal(r.raw, new(any)), len(r.raw)
	var syntax *json.SyntaxError
	if errors.As(err, &syntax) {
		at = max(int(syntax.Offset)-1, 0)
	}
	r.bad(at, "%w", err)
}

// located puts file and line before each problem of err that lacks them, as far as it says
// what it is about. Where something can't be read or is there twice, problems without a
// line are left out: they may follow from it.
func located(from fs.FS, err error) error {
	all, first := spotsOf(from)
	if err == nil {
		return first
	}
	problems := []error{first}
	for problem := range strings.Lines(err.Error()) {
		problem = strings.TrimSpace(problem)
		if s, ok := all.about(problem); ok && first == nil {
			problem = fmt.Sprintf("%s:%d: %s", s.file, s.line, problem)
		}
		if first == nil || hasLine(problem) {
			problems = append(problems, errors.New(problem))
		}
	}
	return errors.Join(problems...)
}

// listsOf are the lists that hold what problems call so.
var listsOf = map[string][]string{
	"issue": {"issues"}, "planchet": {"planchets"}, "on": {"planchets"}, "alloy": {"alloys"}, "source": {"sources"}, "rate": {"wear_rates"},
	"denomination": {"denominations"}, "kind": {"kinds"}, "caution": {"cautions"}, "question": {"questions"}, "end": {"ends"},
	"entry": {"facts", "kinds"}, "strangers": {"countries"}, "designs": {"designs"},
}

// hasLine reports whether a problem begins with a file and its line.
func hasLine(problem string) bool {
	place, _, _ := strings.Cut(problem, ": ")
	file, line, ok := strings.Cut(place, ".json:")
	_, err := strconv.Atoi(line)
	return ok && err == nil && !strings.Contains(file, " ")
}

// isSource reports a word that names a source as problems do: us/cent.json, us/wants, US/cent.
func isSource(word string) bool {
	return strings.HasSuffix(word, ".json") || strings.Count(word, "/") == 1 && !strings.HasSuffix(word, "/")
}

// quoted is the first text that a problem quotes, straight or as a printer does; "" for none.
func quoted(what string) string {
	marks := strings.NewReplacer("“", `"`, "”", `"`)
	_, text, _ := strings.Cut(marks.Replace(what), `"`)
	text, _, closed := strings.Cut(text, `"`)
	if !closed {
		return ""
	}
	return text
}

// slug is a text as ids are written: small letters and digits, a hyphen between.
func slug(s string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(s), func(r rune) bool {
		return (r < 'a' || r > 'z') && (r < '0' || r > '9')
	}), "-")
}

// about finds what a problem is about by the words before its colon, “in es: issue
// us-cent-zinc: has no name”, and else by what it quotes.
func (all spots) about(problem string) (none spot, ok bool) {
	if hasLine(problem) {
		return none, false
	}
	if in, rest, cut := strings.Cut(problem, ": "); cut && strings.HasPrefix(in, "in ") {
		problem = rest
	}
	where, what, _ := strings.Cut(problem, ": ")
	words := strings.Fields(where)
	if len(words) == 0 {
		return none, false
	}
	// An unknown field may have come with any file; a source's name narrows it down.
	unknown := ""
	if _, field, ok := strings.Cut(what, "unknown field "); ok {
		unknown = quoted(field)
	}
	if isSource(words[0]) {
		return all.in(strings.ToLower(strings.TrimSuffix(words[0], ".json"))+".json").entry(words[1:], what, unknown)
	}
	for n, word := range words[:len(words)-1] {
		id := strings.Trim(words[n+1], ",“”")
		if word == "country" && unknown == "" {
			return all.in(strings.ToLower(id) + "/coins.json").find(func(s spot) bool { return s.way == "id" })
		}
		from := all
		if country, rest, cut := strings.Cut(id, "/"); cut {
			from, id = all.in(strings.ToLower(country)+"/coins.json"), rest
		}
		for _, list := range listsOf[word] {
			if s, ok := from.find(func(s spot) bool { return s.way == list+" "+id }); ok {
				return s, true
			}
		}
	}
	if s, ok := all.stranger(words); ok {
		return s, true
	}
	if words[0] == "key" {
		all = slices.Concat(all.in(keySource+".json"), all.in(keySource+".en.json"))
	}
	return all.holding(what, unknown)
}

// in are the places of one file.
func (all spots) in(file string) spots {
	return slices.DeleteFunc(slices.Clone(all), func(s spot) bool { return s.file != file })
}

// find is the first place for which is holds, facts before texts.
func (all spots) find(is func(spot) bool) (found spot, ok bool) {
	for _, s := range all {
		_, _, texts := textFile(s.file)
		if is(s) && !(ok && texts) {
			if !texts {
				return s, true
			}
			found, ok = s, true
		}
	}
	return found, ok
}

// entry finds what a problem of one source is about: the way it gives, “dates
// overdate-1798 (…)”, an entry that it quotes there or begins with, or a field.
func (all spots) entry(way []string, what, unknown string) (spot, bool) {
	for n, word := range way {
		if strings.HasPrefix(word, "(") {
			way = way[:n]
			break
		}
	}
	given := strings.Join(way, " ")
	begins, _, _ := strings.Cut(what, " ")
	tries := []func(s spot) bool{
		func(s spot) bool { return unknown != "" && strings.HasSuffix(s.way, " "+unknown) },
		func(s spot) bool { return given != "" && s.way == given+" "+quoted(what) },
		func(s spot) bool { return given != "" && s.way == given },
		func(s spot) bool { return len(way) == 1 && strings.HasSuffix(s.way, " "+given) },
		func(s spot) bool {
			return given == "" && strings.Count(s.way, " ") == 1 && strings.HasSuffix(s.way, " "+begins)
		},
	}
	for _, is := range tries {
		if s, ok := all.find(is); ok {
			return s, true
		}
	}
	return spot{}, false
}

// holding finds an unknown field, or a field that holds what a problem quotes.
func (all spots) holding(what, unknown string) (spot, bool) {
	value := quoted(what)
	return all.find(func(s spot) bool {
		return unknown != "" && strings.HasSuffix(s.way, " "+unknown) || unknown == "" && value != "" && s.value == value
	})
}

// stranger finds the line of one by its id, mx-20-centavos-1943.
func (all spots) stranger(words []string) (none spot, ok bool) {
	for _, word := range words {
		country, of, _ := strings.Cut(word, "-")
		for _, s := range all {
			if line, found := strings.CutPrefix(s.way, "countries "+strings.ToUpper(country)+" coins "); found &&
				of != "" && strings.HasPrefix(slug(line), of) {
				return s, true
			}
		}
	}
	return none, false
}
