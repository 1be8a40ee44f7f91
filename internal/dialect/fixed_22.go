package dialect

import (
	"strings"

	"panside/internal/mass"
	"panside/internal/say"
)

// Fixed lines of 22 characters, CR LF counted: the 16 of fixed-16 behind a code
// that names the value.
//
//	N     +     3.11 g
//	│     └ columns 7 to 20: as the 14 columns of fixed-16
//	└ columns 1 to 6: N, N1 net and G, G# gross: the load on the pan.
//	  Stat: a special code (over, under, adjusting, a fault).
//	  Any other code names something else (tare memory, limit, total, count):
//	  such a line is understood and is not the load. Not so S, SI, SU and SUI:
//	  scales that repeat the command they answer send lines just as long, and
//	  the general reader knows those.
//
// Knowledge: the same manuals as for fixed-16; common practice.
var fixed22 = Dialect{
	Name:      "fixed-22",
	Summary:   say.New("format-fixed-22"),
	Settings:  []Settings{{1200, "7O1"}, {9600, "8N1"}, {9600, "7O1"}, {2400, "7E1"}},
	Poll:      []byte("\x1bP\r\n"),
	KeepAwake: true,
	Parse:     parseFixed22,
	Format:    formatFixed22,
	bits:      12,
}

const fixed22Code = 6

var fixed22Loads = set("N", "N1", "NT", "Net", "NET", "G", "G#", "GS", "Gross", "GROSS")

// echoes are commands that other scales repeat in front of the load on the pan.
var echoes = set("S", "SI", "SU", "SUI")

func parseFixed22(frame []byte) Result {
	s := string(frame)
	if len(s) <= fixed22Code || !isCode(s[:fixed22Code]) {
		return Result{Outcome: NotMine}
	}
	code, columns := strings.TrimRight(s[:fixed22Code], " "), s[fixed22Code:]
	load := fixed22Loads[code]
	if echoes[code] {
		return Result{Outcome: NotMine}
	}
	if len(columns) != fixed16Columns {
		switch {
		case !load || !strings.Contains("+- ", columns[:1]):
			return Result{Outcome: NotMine}
		case len(columns) < fixed16Columns:
			return Result{Outcome: Cut}
		}
		return Result{Outcome: BadLength}
	}
	special, isSpecial := fixedSpecial(strings.Trim(columns, " "))
	r := fixedColumns(columns)
	switch {
	case code == "Stat" && isSpecial:
		return special
	case code == "Stat" || isSpecial:
		return Result{Outcome: NotMine}
	case load || r.Outcome != Read:
		return r
	}
	return withoutWeight(notTheLoad(say.New("scale-sent-named", say.Text("name", code))))
}

// isCode reports whether s is a code: a letter, then letters, digits and a few
// marks, then blanks.
func isCode(s string) bool {
	code := strings.TrimRight(s, " ")
	if code == "" || !isLetters(code[:1]) {
		return false
	}
	for i := 1; i < len(code); i++ {
		if c := code[i : i+1]; !isLetters(c) && !isDigits(c) && !strings.Contains("#.%-+", c) {
			return false
		}
	}
	return true
}

func formatFixed22(q mass.Quantity, status mass.Status) []byte {
	columns, code := formatFixedColumns(q, status), "N     "
	if columns == "" {
		return nil
	}
	if status == mass.StatusOver || status == mass.StatusUnder {
		code = "Stat  "
	}
	return []byte(code + columns + "\r\n")
}
