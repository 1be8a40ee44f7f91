package dialect

import (
	"errors"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"panside/internal/fault"
	"panside/internal/mass"
)

func compile(t *testing.T, pattern string) *Pattern {
	t.Helper()
	p, err := Compile(pattern)
	if err != nil {
		t.Fatalf("%q: %v", pattern, err)
	}
	return p
}

func TestPatternsMatchWholeLines(t *testing.T) {
	for _, tc := range []struct {
		pattern, line, want string
		stop                int
	}{
		{"G/N <sign><value> <unit> <state ok=stable --=moving>", "G/N    3.11 g ok", "3.11 g, step 0.01, stable", 0},
		{"G/N <sign><value> <unit> <state ok=stable --=moving>", "G/N -  3.11 g --", "-3.11 g, step 0.01, moving", 0},
		{"G/N <sign><value> <unit> <state ok=stable --=moving>", "G/N + 3.11 g no", "not mine", 14},
		{"<value> <unit>", "  3.11 g  ", "3.11 g, step 0.01, unknown", 0},
		{"<value><blanks><unit>", "3.11g", "3.11 g, step 0.01, unknown", 0},
		{"<value><blanks><unit>", "\t3.11 \tg", "3.11 g, step 0.01, unknown", 0},
		{"<value> <unit>", "3.11g", "not mine", 5},
		{"<value> <unit>", "3.11", "not mine", 5},
		{"<value> <unit>", "3.11 g S", "not mine", 7},
		{"<value> <unit>", "x3.11 g", "not mine", 1},
		{"<value> <unit>", "3.1.1 g", "impossible", 0},
		{"<value> <unit>", "3,11 g", "impossible", 0},
		{"<value> <unit>", "3.11 zz", "impossible", 0},
		{"<value> <unit>", "0.08 tl", "refused-unit", 0},
		{"<value> <unit>", "0:03.2 lb:oz", "not mine", 2},
		{"<value> <unit>", "^^^^^ g", "over", 0},
		{"<value> <unit>", "_____ g", "under", 0},
		{"<value> <unit>", "----- g", "over", 0},
		{"<comma-value> <unit>", "3,11 g", "3.11 g, step 0.01, unknown", 0},
		{"<comma-value> <unit>", "3.110,5 g", "not mine", 1},
		{"<comma-value> <unit>", "3,110,5 g", "impossible", 0},
		{"W=<value:7><unit:3>!", "W=   3.11 g !", "3.11 g, step 0.01, unknown", 0},
		{"W=<value:7><unit:3>!", "W=0003.11ozt!", "3.11 ozt, step 0.01, unknown", 0},
		{"W=<value:7><unit:3>!", "W=   3.1 1g !", "not mine", 10},
		{"W=<value:7><unit:3>!", "W=   3.11 g", "not mine", 10},
		{"W=<value:7><unit:3>!", "W=", "not mine", 3},
		{"<skip:4>;<value>;<unit=gr>", "0815;48.0;", "48.0 gr, step 0.1, unknown", 0},
		{"<skip:4>;<value>;<unit=gr>", "081", "not mine", 1},
		{"<state S=stable U=moving OL=over -OL=under> <value> <unit>", "OL 9999 g", "over", 0},
		{"<state S=stable U=moving OL=over -OL=under> <value> <unit>", "-OL ---- g", "under", 0},
		{"<state S=stable U=moving O=over OL=under> <value> <unit>", "OL 0 g", "under", 0},
		{"<state Z=zero S=stable> <value> <unit>", "Z 0.00 g", "0.00 g, step 0.01, zero", 0},
		{"<value:8> <unit:2><state ?=moving _=stable>", "    3.11 g ?", "3.11 g, step 0.01, moving", 0},
		{"<value:8> <unit:2><state ?=moving _=stable>", "    3.11 g  ", "3.11 g, step 0.01, stable", 0},
		{"<<<value><unit>>", "<3.11g>", "3.11 g, step 0.01, unknown", 0},
		{"<sign><value> <unit>", "+-3.11 g", "impossible", 0},
		{"<value>\x09<unit>", "", "", 8},
	} {
		p, err := Compile(tc.pattern)
		if err != nil {
			var e *PatternError
			if !errors.As(err, &e) || tc.want != "" || e.Pos != tc.stop {
				t.Errorf("%q: %v", tc.pattern, err)
			}
			continue
		}
		r, stop := p.Match([]byte(tc.line))
		if got := describe(r); got != tc.want || stop != tc.stop {
			t.Errorf("%q on %q: %s, stops at %d; want %s, %d", tc.pattern, tc.line, got, stop, tc.want, tc.stop)
		}
	}
}

func TestWrongPatternsSayWhere(t *testing.T) {
	for _, tc := range []struct {
		pattern string
		pos     int
		says    string
	}{
		{"", 1, "no <value>"},
		{"3.11 g", 7, "no <value>"},
		{"<value> g", 10, "no unit"},
		{"<value", 1, "closing >"},
		{"ab<weight> <unit>", 3, "“weight”"},
		{"<value> <value> <unit>", 9, "twice"},
		{"<unit> <unit=g> <value>", 1, "given twice"},
		{"<unit=g><unit=mg><value>", 9, "second unit"},
		{"<value> <unit=stone>", 15, "not a unit"},
		{"<value> <unit=tl>", 15, "tael"},
		{"<value:0> <unit>", 8, "width"},
		{"<value:x> <unit>", 8, "width"},
		{"<value:+3> <unit>", 8, "width"},
		{"<value:999> <unit>", 8, "width"},
		{"<value=3> <unit>", 7, "can’t carry"},
		{"<blanks><value:8> <unit>", 1, "how many blanks"},
		{"S<blanks><sign><value> <unit>", 2, "how many blanks"},
		{"<value><blanks> <unit>", 8, "how many blanks"},
		{"<value> <unit><blanks><state S=stable _=moving>", 15, "how many blanks"},
		{"<blanks:2><value> <unit>", 8, "can’t carry"},
		{"<sign:2><value> <unit>", 6, "can’t carry"},
		{"<skip><value:4> <unit>", 1, "needs a width"},
		{"<state><value> <unit>", 1, "needs its words"},
		{"<state S><value> <unit>", 8, "as in S=stable"},
		{"<state S=calm><value> <unit>", 10, "a state is"},
		{"<state S=stable S=moving><value> <unit>", 17, "twice"},
		{"<state =stable><value> <unit>", 8, "as in S=stable"},
		{"<value>5 <unit>", 1, "not certain"},
		{"<value>.<unit>", 1, "not certain"},
		{"<value><skip:3> <unit>", 1, "not certain"},
		{"<value><sign> <unit>", 1, "not certain"},
		{"<value> <unit>S", 9, "not certain"},
		{"<value> <unit><state S=stable>", 9, "not certain"},
		{"<value> <unit><skip:1>", 9, "not certain"},
		{"é<value> <unit>", 1, "ASCII"},
		{strings.Repeat(" ", 210) + "<value><unit>", 201, "too long"},
	} {
		p, err := Compile(tc.pattern)
		var e *PatternError
		if p != nil || !errors.As(err, &e) {
			t.Errorf("%q compiles", tc.pattern)
			continue
		}
		if e.Pos != tc.pos || !strings.Contains(e.Error(), tc.says) {
			t.Errorf("%q: column %d, %q; want column %d and “%s”", tc.pattern, e.Pos, e.Error(), tc.pos, tc.says)
		}
		if fault.Of(err).Code != fault.BadInput || fault.Of(err).English() != e.Error() {
			t.Errorf("%q: fault %v", tc.pattern, fault.Of(err))
		}
	}
}

// TestPatternsOfBuiltInFormats: the language can say what the built-in line
// formats say.
func TestPatternsOfBuiltInFormats(t *testing.T) {
	patterns := map[string]string{
		"status-comma":  "<state ST=stable US=moving>,GS,<sign><value:7><unit:3>",
		"command-reply": "S <state S=stable D=moving> <value:10> <unit>",
		"print-line":    "<value:11> <unit:5><state ?=moving _=stable>",
		"fixed-16":      "<sign> <value:8> <unit:3>",
		"fixed-22":      "N     <sign> <value:8> <unit:3>",
		"leading-mark":  "<state ?=moving _=stable> <sign><value:9> <unit:3>",
		"trailing-flag": "<sign><value:8> <unit:3> <state S=stable U=moving>",
	}
	rapid.Check(t, func(t *rapid.T) {
		format := rapid.SampledFrom(All()).Draw(t, "format")
		pattern, ok := patterns[format.Name]
		if !ok {
			return
		}
		p, err := Compile(pattern)
		if err != nil {
			t.Fatal(err)
		}
		q := quantity(t)
		status := rapid.SampledFrom(statuses[:2]).Draw(t, "status")
		if strings.HasPrefix(format.Name, "fixed") {
			status = mass.StatusStable // in motion these carry no unit
		}
		wire := format.Format(q, status)
		got := NewDecoder(Options{Pattern: p}).Feed(append([]byte("\n"), wire...), start)
		if len(got) != 1 || !got[0].HasValue || got[0].Quantity != q || got[0].Dialect != patternName {
			t.Fatalf("%q by %q: %v", wire, pattern, all2words(got))
		}
		if got[0].Status != status && !strings.HasPrefix(format.Name, "fixed") {
			t.Fatalf("%q by %q: %s", wire, pattern, got[0].Status)
		}
	})
}

func TestAPatternOfFreeWidthNeedsTheBeginningOfTheLine(t *testing.T) {
	for pattern, want := range map[string][]string{
		"<value> <unit>":   {"4.22 g unknown"},
		"<value:4> <unit>": {"4.22 g unknown"},
		"<value:4>g<unit=g>": {
			"3.11 g unknown", "4.22 g unknown"},
	} {
		line := map[bool]string{true: "3.11g\r\n4.22g\r\n", false: "3.11 g\r\n4.22 g\r\n"}[strings.Contains(pattern, ">g<")]
		got := values(NewDecoder(Options{Pattern: compile(t, pattern)}).Feed([]byte(line), start))
		if !reflect.DeepEqual(got, want) {
			t.Errorf("%s: %v, want %v", pattern, got, want)
		}
	}
	for pattern, loose := range map[string]bool{
		"N<value> <unit>":                        false,
		"1<value> <unit>":                        true,
		"+<value> <unit>":                        true,
		"<state S=stable U=moving><value><unit>": false,
		"<state 1=stable U=moving><value><unit>": true,
		"<state _=stable U=moving><value><unit>": true,
		"<skip:2><value:6><unit:2>":              false,
		"<skip:2><value><unit>":                  true,
		" <value:6><unit:2>":                     false,
		" <value:6> <unit>":                      true,
	} {
		if got := compile(t, pattern).loose; got != loose {
			t.Errorf("%s: loose %v, want %v", pattern, got, loose)
		}
	}
}
