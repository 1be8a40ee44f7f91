package dialect

import (
	"slices"
	"strconv"
	"strings"

	"panside/internal/fault"
	"panside/internal/mass"
	"panside/internal/say"
)

// Compile reads a pattern; pattern.go describes the language. Every error is a
// *PatternError with the column where it was seen.
func Compile(pattern string) (*Pattern, error) {
	c := compiler{source: pattern}
	for c.at < len(pattern) && c.err == nil {
		c.next()
	}
	if c.err == nil {
		c.check()
	}
	if c.err != nil {
		return nil, c.err
	}
	c.out.loose = c.loose()
	return &c.out, nil
}

type compiler struct {
	source string
	at     int
	out    Pattern
	err    *PatternError
}

func (c *compiler) fail(at int, why say.Line) {
	if c.err == nil {
		c.err = &PatternError{Pos: at + 1, Line: say.New("pattern-wrong", say.Count("column", at+1), say.Of("why", why))}
	}
}

// next reads one part.
func (c *compiler) next() {
	s, start := c.source[c.at:], c.at
	switch {
	case c.at >= maxPattern:
		c.fail(c.at, say.New("pattern-too-long"))
	case s[0] < ' ' || s[0] > '~':
		c.fail(c.at, say.New("pattern-ascii"))
	case strings.HasPrefix(s, "<<"):
		c.at += 2
		c.text("<", start)
	case s[0] == '<':
		end := strings.IndexByte(s, '>')
		if end < 0 {
			c.fail(c.at, say.New("pattern-unclosed"))
			return
		}
		c.at += end + 1
		c.named(s[1:end], start)
	default:
		c.at++
		c.text(s[:1], start)
	}
}

func (c *compiler) add(p part) { c.out.parts = append(c.out.parts, p) }

func (c *compiler) text(s string, start int) {
	if n := len(c.out.parts); n > 0 && c.out.parts[n-1].kind == partText {
		c.out.parts[n-1].text += s
		return
	}
	c.add(part{kind: partText, text: s, pos: start + 1})
}

// named reads the inside of angle brackets.
func (c *compiler) named(inside string, start int) {
	name, rest := inside, ""
	if i := strings.IndexAny(inside, ":= "); i >= 0 {
		name, rest = inside[:i], inside[i:]
	}
	kind, ok := partNames[name]
	if !ok {
		c.fail(start, say.New("pattern-part-unknown", say.Text("name", name)))
		return
	}
	p := part{kind: kind, comma: name == "comma-value", pos: start + 1}
	switch {
	case kind == partState:
		c.states(&p, rest, start+1+len(name))
	case kind == partUnit && strings.HasPrefix(rest, "="):
		u, err := mass.ParseUnit(rest[1:])
		if err != nil {
			why := say.New("pattern-unit", say.Text("given", rest[1:]))
			if fault.Of(err).Code == fault.RefusedUnit {
				why = say.New("pattern-unit-refused", say.Text("given", rest[1:]))
			}
			c.fail(start+len("<unit="), why)
			return
		}
		if c.out.unit != "" {
			c.fail(start, say.New("pattern-two-units"))
		}
		c.out.unit = u
		return
	case strings.HasPrefix(rest, ":") && kind != partSign && kind != partBlanks:
		n, err := strconv.Atoi(rest[1:])
		if err != nil || n < 1 || n > maxFrame || !isDigits(rest[1:]) {
			c.fail(start+1+len(name)+1, say.New("pattern-width", say.Count("most", maxFrame)))
			return
		}
		p.width = n
	case rest != "":
		c.fail(start+1+len(name), say.New("pattern-part-carries", say.Text("name", name), say.Text("rest", rest)))
		return
	case kind == partSkip:
		c.fail(start, say.New("pattern-skip-width"))
		return
	}
	if kind == partSign {
		p.width = 1
	}
	c.add(p)
}

var stateNames = map[string]mass.Status{
	"stable": mass.StatusStable, "moving": mass.StatusMoving, "zero": mass.StatusZero,
	"over": mass.StatusOver, "under": mass.StatusUnder,
}

// states reads " A=stable B=moving".
func (c *compiler) states(p *part, rest string, at int) {
	for rest != "" {
		blanks := len(rest) - len(strings.TrimLeft(rest, " "))
		rest, at = rest[blanks:], at+blanks
		if rest == "" {
			break
		}
		item, _, _ := strings.Cut(rest, " ")
		i := strings.LastIndexByte(item, '=')
		if i < 1 || blanks == 0 {
			c.fail(at, say.New("pattern-state-form"))
			return
		}
		status, ok := stateNames[item[i+1:]]
		if !ok {
			c.fail(at+i+1, say.New("pattern-state-meaning"))
			return
		}
		word := strings.ReplaceAll(item[:i], "_", " ")
		for _, w := range p.words {
			if w.word == word {
				c.fail(at, say.New("pattern-word-twice", say.Text("word", item[:i])))
				return
			}
		}
		p.words = append(p.words, stateWord{word, status})
		rest, at = rest[len(item):], at+len(item)
	}
	if len(p.words) == 0 {
		c.fail(p.pos-1, say.New("pattern-state-words"))
	}
	// Longer words first, so that "OL" is not taken for "O".
	slices.SortStableFunc(p.words, func(a, b stateWord) int { return len(b.word) - len(a.word) })
}

// check holds the pattern as a whole to its rules.
func (c *compiler) check() {
	count := map[partKind]int{}
	for i, p := range c.out.parts {
		if count[p.kind]++; count[p.kind] > 1 && p.kind != partText && p.kind != partBlanks && p.kind != partSkip {
			c.fail(p.pos-1, say.New("pattern-part-twice"))
			return
		}
		if p.kind == partUnit && c.out.unit != "" {
			c.fail(p.pos-1, say.New("pattern-unit-twice"))
			return
		}
		if i > 0 {
			c.adjacent(c.out.parts[i-1], p)
		}
	}
	end := len(c.source)
	switch {
	case count[partValue] == 0:
		c.fail(end, say.New("pattern-no-value"))
	case count[partUnit] == 0 && c.out.unit == "":
		c.fail(end, say.New("pattern-no-unit"))
	}
}

// adjacent refuses a free width before a part that could continue it, because
// where one ends would then be a guess.
func (c *compiler) adjacent(p, next part) {
	could := ""
	switch {
	case p.width > 0:
	case p.kind == partValue:
		could = valueBytes
	case p.kind == partUnit:
		could = unitBytes
	case p.kind == partBlanks:
		could = " "
	}
	if could == "" {
		return
	}
	clash := false
	switch next.kind {
	case partText:
		clash = strings.Contains(could, next.text[:1])
	case partState:
		for _, w := range next.words {
			clash = clash || strings.Contains(could, w.word[:1])
		}
	case partSkip:
		clash = true
	case partSign:
		clash = p.kind != partUnit
	case partValue:
		clash = p.kind == partValue || p.kind == partBlanks && next.width > 0
	case partUnit:
		clash = p.kind == partUnit || p.kind == partBlanks && next.width > 0
	}
	if p.kind == partBlanks && clash {
		c.fail(p.pos-1, say.New("pattern-blanks-unclear"))
	} else if clash {
		c.fail(p.pos-1, say.New("pattern-end-unclear"))
	}
}

// loose reports whether the rest of a cut line could match: the pattern has a
// free width and doesn't begin with a mark that no number or blank contains.
func (c *compiler) loose() bool {
	free := false
	for _, p := range c.out.parts {
		switch p.kind {
		case partBlanks:
			free = true
		case partValue, partUnit:
			free = free || p.width == 0
		case partState:
			for _, w := range p.words {
				free = free || len(w.word) != len(p.words[0].word)
			}
		}
	}
	if !free {
		return false
	}
	first := c.out.parts[0]
	switch first.kind {
	case partText:
		return strings.Contains(valueBytes+" ", first.text[:1])
	case partState:
		for _, w := range first.words {
			if strings.Contains(valueBytes+" ", w.word[:1]) {
				return true
			}
		}
		return false
	}
	return true
}
