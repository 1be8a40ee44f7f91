package dialect

import (
	"strings"

	"panside/internal/fault"
	"panside/internal/mass"
	"panside/internal/say"
)

// One number with its unit among words and marks that say how it was weighed.
//
//	No. 12  2025-01-31 20:15  ST  Net:  +   3.11 g  ?
//	│       │                 │   │     │   │    │  └ status, label, date or time
//	│       │                 │   │     │   │    └ unit, behind the number or before it
//	│       │                 │   │     │   └ value: point or comma, a digit set off
//	│       │                 │   │     └ sign
//	│       │                 │   └ what it is: net, gross; tare and total are not the load
//	│       │                 └ stable or in motion, as a word or letters
//	│       └ date and time of day
//	└ a counter
//
//	O-Ld   EEEEE   ---UL---   instead of the number: over, under
//	Gross 13.11 g  Tare 10.00 g  Net 3.11 g
//	                          several weights, each with its name: the net counts
//
// Everything but the number may be missing, and stand in other order; blanks,
// commas, semicolons and colons may stand between, or nothing. What the lexicon
// doesn't explain to the last byte is not of this format. A line without a
// stability sign says nothing of rest; sitting.go adds what earlier lines of
// the same scale allow.
//
// This is the general reader. The other formats know more of their columns and
// are asked first; their lines are among its own.
//
// Knowledge: manuals, test fixtures and recorded lines of many makes; common
// practice.
var wordedLine = Dialect{
	Name:     "worded-line",
	Summary:  say.New("format-worded"),
	Settings: []Settings{{9600, "8N1"}, {4800, "8N1"}, {2400, "8N1"}, {1200, "7O1"}, {2400, "7N2"}, {9600, "7E1"}, {19200, "8N1"}},
	Parse:    parseWorded,
	Format:   formatWorded,
	loose:    true,
	plain:    true,
	nested:   true,
	bits:     bitsUnit,
}

func parseWorded(frame []byte) Result {
	if r, found := statusBits(string(frame)); found {
		return r
	}
	line := strings.ReplaceAll(string(frame), "\t", " ")
	trimmed := strings.Trim(line, " ")
	if trimmed == "" {
		return Result{Outcome: NotMine}
	}
	if r, found := special(trimmed); found {
		r.bits = bitsBare
		return r
	}
	if r, found := letterColumns(line); found {
		return r
	}
	if r, found := meterDigits(trimmed); found {
		return r
	}
	if mixedPair(trimmed) && strings.Trim(trimmed, "0123456789.:+- lbozLBOZ") == "" {
		return refusedPair()
	}
	return readItems(tokens(trimmed), line)
}

// item is one number with what stands around it.
type item struct {
	numbered bool // the number has come
	number   figure
	negative bool
	padded   bool   // blanks or zeros fill it in front
	plain    string // the number, if it is the line's first and all digits
	filler   Result // over or under, if signs stand where the number would
	unit     string
	glued    bool // a word follows the last digit without a blank
	label    meaning
	counter  bool // the number will be a counter's
}

// reader collects what the tokens of one line say.
type reader struct {
	items  []item
	now    item // the item that is being read
	said   [saysMaybe + 1]bool
	words  int // names of weights in front of their numbers
	clocks int
	sign   bool // a sign stands before the number to come
	// counted are plain digits in front of a weight. They may be a counter,
	// which shows when they count.
	counted string
	stray   bool // a unit or a name belongs to no number
}

// readItems reads a whole line.
func readItems(all []token, line string) Result {
	var r reader
	for i := 0; i < len(all); i++ {
		t := all[i]
		next := token{blank: true, kind: tokenMark}
		if i+1 < len(all) {
			next = all[i+1]
		}
		ok := false
		switch t.kind {
		case tokenClock:
			r.clocks++
			ok = !r.sign && (t.blank || strings.IndexByte(",;", all[i-1].text[0]) >= 0)
		case tokenNumber:
			ok = r.number(t, all[:i])
		case tokenWord:
			ok = r.word(t, next)
		default:
			n := fillerLength(all[i:])
			if n > 0 {
				ok = r.filler(t.text)
				i += n - 1
				break
			}
			ok = r.mark(t, all, i)
		}
		if !ok {
			return Result{Outcome: NotMine}
		}
	}
	if r.sign {
		return Result{Outcome: NotMine}
	}
	r.close()
	return r.result(line)
}

// close ends the item that is being read.
func (r *reader) close() {
	if r.now.numbered {
		r.items = append(r.items, r.now)
	} else if r.now.unit != "" || r.now.label != saysNothing {
		r.stray = true
	}
	r.now = item{}
}

// number takes digits as the value of an item, or of a counter.
func (r *reader) number(t token, before []token) bool {
	f, ok := readFigure(t.text)
	if !ok {
		return false
	}
	if r.now.numbered {
		r.close()
	}
	if n := len(before); n > 0 && !t.blank {
		// Right before the first digit a sign or a word may stand, or a
		// separator right behind a word. Other marks, and a letter in mid-line,
		// could have been a digit.
		last := before[n-1]
		separated := n > 1 && !last.blank && before[n-2].kind != tokenNumber && before[n-2].kind != tokenMark
		switch {
		case last.kind == tokenMark && strings.IndexByte("+-", last.text[0]) < 0 && !separated:
			return false
		case last.kind == tokenWord && len(last.text) == 1 && n > 1:
			return false
		}
	}
	r.now.number, r.now.numbered = f, true
	if len(before) == 0 && isDigits(t.text) && len(t.text) <= 6 {
		r.now.plain = t.text
	}
	r.now.padded = t.wide || len(t.text) > 1 && t.text[0] == '0' && isDigit(t.text[1])
	r.sign = false
	if r.now.counter && !isDigits(t.text) {
		return false
	}
	if r.now.counter {
		r.now = item{}
		r.said[saysCounter] = true
	}
	return true
}

// word takes a run of letters: a unit if the number has none yet, else words.
func (r *reader) word(t, next token) bool {
	if r.sign {
		return false
	}
	before := !r.now.numbered
	r.now.glued = r.now.glued || !before && r.now.unit == "" && !t.blank
	if !before && r.now.unit == "" {
		if unit, rest, ok := unitOf(t.text); ok {
			if r.now.glued && t.blank {
				return false // a letter between the digits and the unit could have been a digit
			}
			r.now.unit = unit
			if rest == "" {
				return true
			}
			ms, ok := split(rest)
			return ok && r.say(ms, false)
		}
	}
	if r.now.unit == "G" && r.now.glued {
		if unit, rest, ok := unitOf(t.text); ok && rest == "" {
			r.now.unit, r.now.label = unit, saysGross // so the G wasn't the unit
			return true
		}
	}
	if !before && troyOunce[r.now.unit+" "+t.text] {
		r.now.unit = "ozt"
		return true
	}
	if before && next.kind == tokenNumber && !next.blank {
		if m, ok := gluedWords[t.text]; ok {
			return r.say([]meaning{m}, true)
		}
		if t.text == strings.ToLower(t.text) {
			return false
		}
	}
	if ms, ok := split(t.text); ok {
		return r.say(ms, before)
	}
	if before && r.now.unit == "" && t.blank {
		if u, _, ok := unitOf(t.text); ok && u == t.text {
			r.now.unit = u
			return true
		}
	}
	return false
}

// say notes meanings; before is true if they stand before the number.
func (r *reader) say(ms []meaning, before bool) bool {
	for _, m := range ms {
		switch m {
		case saysNet, saysGross, saysTare, saysTotal:
			if !before && r.now.label != saysNothing {
				// The next weight's name.
				r.close()
			} else if before && r.now.label != saysNothing && r.now.label != m && m != saysTotal {
				return false
			}
			r.now.label = m
			if before {
				r.words++
			}
		case saysCounter:
			if r.now.numbered {
				r.close()
			}
			r.now.counter = true
			continue
		case saysNothing:
			continue
		default:
			r.said[m] = true
		}
	}
	return true
}

// mark takes one character that is neither letter nor digit.
func (r *reader) mark(t token, all []token, i int) bool {
	c := t.text[0]
	last := i+1 == len(all)
	switch {
	case c == '-' && r.now.numbered && t.blank && (last || all[i+1].blank && all[i+1].kind != tokenNumber):
		return true // an empty field
	case c == '+' || c == '-':
		if r.sign || last || all[i+1].kind != tokenNumber && fillerLength(all[i+1:]) == 0 {
			return false
		}
		if r.now.numbered {
			r.close()
		}
		r.sign, r.now.negative = true, c == '-'
		return true
	case r.sign:
		return false
	case strings.IndexByte(",;|", c) >= 0:
		return i > 0
	case c == '/':
		return i > 0 && all[i-1].kind != tokenMark && !last && (all[i-1].kind != tokenNumber || !all[i+1].blank)
	case c == ':' || c == '.':
		return i > 0 && (all[i-1].kind == tokenWord || all[i-1].text == ".")
	case c == '=':
		return i > 0 && all[i-1].kind == tokenWord && !r.now.numbered
	case c == '#':
		return t.blank && !last && all[i+1].kind == tokenNumber && r.say([]meaning{saysCounter}, true)
	case c == '(' || c == '[':
		return i+2 < len(all) && all[i+1].kind == tokenWord && strings.IndexByte(")]", all[i+2].text[0]) >= 0 && r.now.numbered && r.now.unit == ""
	case c == ')' || c == ']':
		return i > 1 && strings.IndexByte("([", all[i-2].text[0]) >= 0 && r.now.unit != ""
	}
	m, ok := marks[c]
	if ok && !t.blank && i > 0 && all[i-1].kind == tokenNumber && r.now.unit == "" {
		return false // it could have been a digit
	}
	if ok {
		r.said[m] = true
	}
	return ok
}

// filler takes a row of one sign in the number's place.
func (r *reader) filler(sign string) bool {
	f, found := outOfRange(strings.Repeat(sign, 5))
	if !found || r.now.numbered {
		return false
	}
	if r.sign && r.now.negative && f.Status == mass.StatusOver {
		f = underload()
	}
	r.now.filler, r.now.numbered, r.sign = f, true, false
	return true
}

// fillerLength counts the signs of a row that stands in the number's place.
func fillerLength(all []token) int {
	n := 1
	if strings.IndexByte("^_~*-", all[0].text[0]) < 0 {
		return 0
	}
	for n < len(all) && all[n].kind == tokenMark && all[n].text == all[0].text && !all[n].blank {
		n++
	}
	if n < 3 {
		return 0
	}
	return n
}

// result is what the line says as a whole.
func (r *reader) result(line string) Result {
	it, ok := r.load()
	switch {
	case !ok || r.stray:
		return Result{Outcome: NotMine}
	case !it.numbered:
		return Result{Outcome: Read, Status: mass.StatusError, Problem: notTheLoad(say.New("scale-sent-date")), heading: true}
	case r.said[saysOver]:
		return overload()
	case it.filler.Outcome == Read:
		return it.filler
	}
	n := number{value: it.number.value, padded: it.padded || line[0] == ' ', comma: it.number.mark}
	if it.negative {
		n.value = n.value.Neg()
	}
	status := mass.StatusUnknown
	switch {
	case r.said[saysMoving]:
		status = mass.StatusMoving
	case r.said[saysZero]:
		status = mass.StatusZero
	case r.said[saysStable]:
		status = mass.StatusStable
	}
	if it.unit == "" {
		if n.value.Float64() >= mostBare || n.value.Float64() <= -mostBare {
			return Result{Outcome: NotMine}
		}
		if r.clocks > 0 || r.said[saysCounter] || it.label != saysNothing && r.words == 0 && !it.glued {
			return Result{Outcome: NotMine} // it can be anything, "3.11 N" a force
		}
		if n.value.Places() == 0 && (status != mass.StatusUnknown || it.label != saysNothing) {
			return Result{Outcome: NotMine} // letters and digits, as in "S20"
		}
		out := Result{Outcome: Read, Status: status, Quantity: mass.Quantity{Value: n.value}, HasValue: true, unitless: true, padded: n.padded, comma: n.comma}
		return r.named(out, it)
	}
	return r.named(weighed(status, n, it.unit), it)
}

// named adds what the label and the unit's spelling say.
func (r *reader) named(out Result, it item) Result {
	if out.Outcome != Read {
		return out
	}
	out.label, out.ticket = it.label, r.words > 0
	if out.label == saysNothing && (r.said[saysCounter] || r.counted != "") {
		out.label = saysCounter
	}
	if it.label == saysTare || it.label == saysTotal {
		what := say.New("scale-sent-tare")
		if it.label == saysTotal {
			what = say.New("scale-sent-total")
		}
		not := withoutWeight(notTheLoad(what))
		not.label, not.bits = it.label, bitsUnit
		return not
	}
	if !out.HasValue {
		return out
	}
	out.Resolution, out.counted = it.number.step, r.counted
	out.noSign = out.Status == mass.StatusUnknown
	out.loneG = it.glued && (it.unit == "G" || it.unit == "GM")
	if it.glued && it.unit == "GN" {
		out.gr = true // grains, or grams net
	}
	switch signs := r.words > 0 || !out.noSign; {
	case out.unitless:
		out.bits = bitsBare
	case signs:
		out.bits = bitsWords
	}
	return out
}

// load picks the item that lies on the pan. There is one, or each has a name
// and the net counts; piece counts don't. The item is empty if the line has a
// date or a counter and no weight at all.
func (r *reader) load() (it item, ok bool) {
	if len(r.items) == 0 {
		return item{}, r.clocks > 0 || r.said[saysCounter]
	}
	if len(r.items) == 1 {
		return r.items[0], true
	}
	if first := r.items[0]; len(r.items) == 2 && first.unit == "" && first.label == saysNothing && first.plain != "" && r.items[1].unit != "" {
		r.counted = first.plain
		return r.items[1], true
	}
	found := 0
	for _, one := range r.items {
		count := pieces[strings.ToLower(one.unit)]
		switch {
		case one.unit == "":
			return item{}, false
		case count || one.label == saysTare || one.label == saysTotal:
		case one.label == saysNothing && len(r.items) > 2:
			return item{}, false
		case found > 0 && one.label == saysNet && it.label == saysGross:
			it = one
		case found > 0 && one.label == saysGross && it.label == saysNet:
		case found > 0:
			return item{}, false
		default:
			it = one
			found++
		}
	}
	return it, found > 0
}

// unitOf finds the unit at the beginning of a run of letters, and what is left
// of the run: "kgS" is kg and S. A unit is written in one case, or with a
// capital in front.
func unitOf(run string) (unit, rest string, ok bool) {
	for n := len(run); n > 0; n-- {
		head, tail := run[:n], run[n:]
		if head != strings.ToUpper(head) && head[1:] != strings.ToLower(head[1:]) || strings.ToUpper(tail) != tail {
			continue
		}
		if _, err := mass.ParseUnit(head); err != nil && fault.Of(err).Code == fault.UnknownUnit {
			continue
		}
		if tail != "" {
			if _, ok := split(tail); !ok {
				continue
			}
		}
		if n == 1 && head == "T" {
			return "", "", false
		}
		return head, tail, true
	}
	return "", "", false
}

// pieces are units of counts, which may stand beside a weight.
var pieces = set("pcs", "pc", "nos", "pieces")

// troyOunce are its spellings in two words.
var troyOunce = set("oz t", "t oz", "oz tr", "tr oz", "oz troy")

// mostBare bounds numbers without a unit: more digits than a display has are a
// code, a serial number or a time.
const mostBare = 1e8

func formatWorded(q mass.Quantity, status mass.Status) []byte {
	word := "moving"
	switch status {
	case mass.StatusStable, mass.StatusZero:
		word = "stable"
	case mass.StatusMoving, mass.StatusUnknown:
	case mass.StatusOver:
		return []byte("overload\r\n")
	case mass.StatusUnder:
		return []byte("underload\r\n")
	default:
		return nil
	}
	value, unit := right(q.Value.String(), 9), left(unitWord(q.Unit), 3)
	if value == "" || unit == "" {
		return nil
	}
	return []byte(word + value + " " + unit + "\r\n")
}
