package dialect

import (
	"strings"

	"panside/internal/mass"
	"panside/internal/say"
)

// Words that scales send where a weight would be. Common practice; the display
// has seven bars a digit, so that an overload is "O-Ld" and capitals mix with
// small letters.
var (
	overWords  = set("ol", "o-l", "o-ld", "over", "overload", "ovld", "ovr", "full", "+ol", "oload", "eee", "eeee", "eeeee", "eeeeee", "eeeeeee", "hhhh", "hhhhh", "hhhhhh", "err", "error")
	underWords = set("ul", "u-l", "u-ld", "under", "underload", "-ol", "undld", "uload", "llll", "lllll", "llllll")
	weakWords  = set("lo", "lobat", "lo-bat", "lo bat", "low bat", "low battery", "batt", "bat", "lo-b")
	busyWords  = set("cal", "cal.", "busy", "wait", "unst", "unstable")
	faultWords = map[string]say.Line{
		"null": say.New("scale-says-converter"), "lh": say.New("scale-says-start-load"), "or": say.New("scale-says-out-of-range"),
	}
)

func set(all ...string) map[string]bool {
	m := map[string]bool{}
	for _, s := range all {
		m[s] = true
	}
	return m
}

// special reads a whole line, without blanks around it, that holds one such
// word, perhaps between dashes or beside a sign, a unit and a flag.
func special(line string) (r Result, found bool) {
	if r, found := specialWord(line); found {
		return r, true
	}
	if len(line) == 2 && line[0] == '?' && line[1] >= '@' && line[1] <= '_' {
		// A status byte alone: no weight can be had. Its lowest bit is motion.
		if line[1] == 'A' {
			return Result{Outcome: Read, Status: mass.StatusMoving}, true
		}
		return withoutWeight(busy), true
	}
	fields := strings.Fields(line)
	if len(fields) == 2 && (fields[0] == "S" || fields[0] == "SI" || fields[0] == "SU" || fields[0] == "SUI") {
		switch fields[1] {
		case "^":
			return overload(), true
		case "v":
			return underload(), true
		case "I", "A", "E":
			return withoutWeight(busy), true
		}
	}
	// A word, then a unit and a flag; a sign or a status letter in front.
	mark := ""
	if len(fields) > 1 && (fields[0] == "+" || fields[0] == "-" || fields[0] == "S-" || fields[0] == "U-") || len(fields) > 1 && (fields[0] == "S" || fields[0] == "U") {
		mark, fields = fields[0], fields[1:]
	}
	if len(fields) == 0 || len(fields) > 3 {
		return Result{}, false
	}
	r, found = rangeWord(fields[0])
	for _, f := range fields[1:] {
		_, ok := split(f)
		if _, rest, unit := unitOf(f); !(unit && rest == "") && !ok {
			return Result{}, false
		}
	}
	if found && strings.HasSuffix(mark, "-") && r.Status == mass.StatusOver {
		r = underload()
	}
	return r, found
}

// specialWord reads any of the words.
func specialWord(line string) (r Result, found bool) {
	word := strings.ToLower(line)
	if weakWords[word] {
		return withoutWeight(weakBattery), true
	}
	if r, found := rangeWord(line); found {
		return r, true
	}
	bare := strings.Trim(word, "-")
	if what, ok := faultWords[bare]; ok && bare != word {
		return withoutWeight(scaleFault(what)), true
	}
	if busyWords[bare] {
		return withoutWeight(busy), true
	}
	for _, lead := range [...]string{"error", "err", "er", "e"} {
		if n := strings.TrimLeft(strings.TrimPrefix(bare, lead), " -"); strings.HasPrefix(bare, lead) && isDigits(n) && len(n) <= 4 {
			return withoutWeight(scaleFault(say.New("scale-says-number", say.Text("number", n)))), true
		}
	}
	return Result{}, false
}

// rangeWord reads a word for over or under.
func rangeWord(s string) (r Result, found bool) {
	word := strings.ToLower(s)
	for _, w := range [...]string{word, strings.Trim(word, "-"), strings.TrimPrefix(word, "+")} {
		switch {
		case underWords[w]:
			return underload(), true
		case overWords[w] && w == strings.Trim(word, "-") && strings.HasPrefix(word, "-") && !strings.HasSuffix(word, "-"):
			return underload(), true // a minus sign before it
		case w == "err" || w == "error":
			return withStatus(overload(), unsureOver), true
		case overWords[w]:
			return overload(), true
		}
	}
	if len(word) >= 3 && strings.Trim(word, "*~") == "" {
		return overload(), true
	}
	return Result{}, false
}
