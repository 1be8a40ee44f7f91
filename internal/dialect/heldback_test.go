package dialect

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"panside/internal/mass"
)

// shown is one state of an invented scale's display.
type shown struct {
	value  string // signed, in grams; "" with over and under
	moving bool
	over   bool
	under  bool
}

// grammar is one invented scale's line, made of fields as manuals name them.
// The table was written before the general reader and isn't tuned to it: what
// fails here is reported, not repaired by a special case.
type grammar struct {
	name string
	line func(s shown) string // with its line end; "" if it sends nothing
	// unit is what the lines carry; "" if the person has to say it.
	unit mass.Unit
	// mute is set if the format has no stability sign.
	mute bool
	// ranges is set if over and under can be said.
	ranges bool
}

// pick is a when on, else b.
func pick(on bool, a, b string) string {
	if on {
		return a
	}
	return b
}

// digits is the value without its sign, and the sign or plus.
func (s shown) digits(plus string) (sign, digits string) {
	if d, negative := strings.CutPrefix(s.value, "-"); negative {
		return "-", d
	}
	return plus, s.value
}

// zeros fills digits with zeros to a width.
func zeros(digits string, width int) string {
	return strings.Repeat("0", max(0, width-len(digits))) + digits
}

func comma(s string) string { return strings.ReplaceAll(s, ".", ",") }

// plainUnit are lines of value and unit in one printf form.
func plainUnit(form string) func(shown) string {
	return func(s shown) string {
		if s.value == "" {
			return ""
		}
		return fmt.Sprintf(form, s.value)
	}
}

// flagged are lines with one word at rest and one in motion.
func flagged(form, rest, motion string) func(shown) string {
	return func(s shown) string {
		if s.value == "" {
			return ""
		}
		return strings.NewReplacer("FLAG", pick(s.moving, motion, rest)).Replace(fmt.Sprintf(form, s.value))
	}
}

var grammars = []grammar{
	{name: "value and unit, glued", line: plainUnit("%sg\r\n"), unit: "g", mute: true},
	{name: "value and unit, CR", line: plainUnit("%8s g\r"), unit: "g", mute: true},
	{name: "value and unit, LF CR", line: plainUnit("%10s g\n\r"), unit: "g", mute: true},
	{name: "value and unit, wide field", line: plainUnit("%9s g\r\n"), unit: "g", mute: true},
	{name: "value and unit, 12 columns, one blank", line: plainUnit("%12s g \r\n"), unit: "g", mute: true},
	{name: "unit as a word", line: plainUnit("%10s grams\r\n"), unit: "g", mute: true},
	{name: "decimal comma", line: func(s shown) string { return plainUnit("%9s g\r\n")(shown{value: comma(s.value)}) }, unit: "g", mute: true},
	{name: "decimal comma with status words", line: func(s shown) string {
		return flagged("FLAG,GS,%9s,g\r\n", "ST", "US")(shown{value: comma(s.value), moving: s.moving})
	}, unit: "g"},
	{name: "bare number", line: plainUnit("%8s\r\n"), mute: true},
	{name: "bare number in a frame", line: plainUnit("\x02%8s\x03"), mute: true},
	{name: "frame with unit", line: plainUnit("\x02%8s g\x03"), unit: "g", mute: true},
	{name: "frame, CR at its end", line: plainUnit("\x02%8s  g \r"), unit: "g", mute: true},
	{name: "frame and line end", line: plainUnit("\x02%8s g\x03\r\n"), unit: "g", mute: true},
	{name: "frame with status letter", line: flagged("\x02FLAG%9s g\x03", "S", "U"), unit: "g"},
	{name: "frame, header and end marks around", line: flagged("\x01\x02FLAG%9sg\x03\x04", "S", "U"), unit: "g"},
	{name: "frame with exclusive-or inside", line: func(s shown) string {
		if s.value == "" {
			return ""
		}
		body := pick(s.moving, "U", "S") + fmt.Sprintf("%9sg", s.value)
		return "\x01\x02" + body + string(rune(blockCheck([]byte(body)))) + "\x03\x04"
	}, unit: "g"},
	{name: "two words and comma, value glued", line: flagged("FLAG,GS%8sg  \r\n", "ST", "US"), unit: "g"},
	{name: "two words by blanks", line: flagged("FLAG GS %8s g\r\n", "ST", "US"), unit: "g"},
	{name: "two words run together", line: func(s shown) string {
		if s.value == "" {
			return ""
		}
		sign, digits := s.digits("+")
		return pick(s.moving, "US", "ST") + "GS" + sign + zeros(digits, 7) + "g\r\n"
	}, unit: "g"},
	{name: "two words by semicolons", line: flagged("FLAG;NT;%8s;g\r\n", "ST", "US"), unit: "g"},
	{name: "two words, net as one letter", line: flagged("FLAG,N ,%8s g\r\n", "ST", "US"), unit: "g"},
	{name: "letter glued to a sign", line: func(s shown) string {
		mark := pick(s.moving, "U", "S")
		if s.over || s.under {
			return mark + pick(s.under, "-", " ") + "    oL\r\n"
		}
		sign, digits := s.digits(" ")
		return mark + sign + fmt.Sprintf("%8s", digits) + "g \r\n"
	}, unit: "g", ranges: true},
	{name: "letter S or D in front", line: flagged("FLAG %9s g\r\n", "S", "D"), unit: "g"},
	{name: "glued reply letters", line: flagged("SFLAG%11s g\r\n", "S", "D"), unit: "g"},
	{name: "question mark behind", line: flagged("%10s g FLAG\r\n", " ", "?"), unit: "g"},
	{name: "question mark behind, gross letter", line: flagged("%8s g    FLAGG\r\n", " ", "?"), unit: "g"},
	{name: "question mark in front", line: flagged("FLAG %11s g\r\n", " ", "?"), unit: "g"},
	{name: "letters S and U behind, glued", line: flagged("%9s gFLAG\r\n", "S", "U"), unit: "g"},
	{name: "letter M behind", line: flagged("%8s g FLAG\r\n", " ", "M"), unit: "g"},
	{name: "letters G and M behind", line: flagged("%8s g GFLAG\r\n", " ", "M"), unit: "g"},
	{name: "two letters MO or blank", line: flagged(" %8s g FLAG\r", "  ", "MO"), unit: "g"},
	{name: "unit letter, S at rest", line: flagged("%9s  GFLAG\r\n", "S", " "), unit: "g"},
	{name: "words stable and unstable", line: flagged("%8s g FLAG\r\n", "stable", "unstable"), unit: "g"},
	{name: "words STABLE and MOTION in front", line: flagged("FLAG %8s g\r\n", "STABLE", "MOTION"), unit: "g"},
	{name: "net with a colon", line: plainUnit("Net: %9s g\r\n"), unit: "g", mute: true},
	{name: "net weight in words", line: plainUnit("Net Wt. %9s g\r\n"), unit: "g", mute: true},
	{name: "weight, equals sign", line: plainUnit("Weight = %s g\r\n"), unit: "g", mute: true},
	{name: "N/W in front", line: plainUnit("N/W%9s g\r\n"), unit: "g", mute: true},
	{name: "net behind", line: plainUnit("%9s g  NET\r\n"), unit: "g", mute: true},
	{name: "unit in front", line: plainUnit("g %9s\r\n"), unit: "g", mute: true},
	{name: "unit in brackets", line: plainUnit("%9s (g)\r\n"), unit: "g", mute: true},
	{name: "date and time in front", line: plainUnit("2025-01-31 20:15:07 %8s g\r\n"), unit: "g", mute: true},
	{name: "date by points in front", line: plainUnit("31.01.2025 20:15 %8s g\r\n"), unit: "g", mute: true},
	{name: "time behind", line: plainUnit("%8s g   20:15:07\r\n"), unit: "g", mute: true},
	{name: "number sign in front", line: plainUnit("No. 12  %8s g\r\n"), unit: "g", mute: true},
	{name: "counter by n", line: plainUnit("n012 %8s g\r\n"), unit: "g", mute: true},
	{name: "last digit in brackets", line: func(s shown) string {
		if s.value == "" {
			return ""
		}
		cut := len(s.value) - 1
		return fmt.Sprintf("%9s[%s] g\r\n", s.value[:cut], s.value[cut:])
	}, unit: "g", mute: true},
	{name: "XON and XOFF around", line: plainUnit("\x11%8s g\r\n\x13"), unit: "g", mute: true},
	{name: "grains GN", line: plainUnit("%9s GN\r\n"), unit: "gr", mute: true},
	{name: "carats as a word", line: plainUnit("%9s carat\r\n"), unit: "ct", mute: true},
	{name: "over in letters", line: func(s shown) string {
		return pick(s.over, "    O-Ld\r\n", pick(s.under, "    U-Ld\r\n", fmt.Sprintf("%8s g\r\n", s.value)))
	}, unit: "g", mute: true, ranges: true},
	{name: "over as EEEEE", line: func(s shown) string {
		return pick(s.over, "   EEEEE g\r\n", pick(s.under, "   _____ g\r\n", fmt.Sprintf("%8s g\r\n", s.value)))
	}, unit: "g", mute: true, ranges: true},
	{name: "over in dashes", line: func(s shown) string {
		return pick(s.over, "---OL---\r\n", pick(s.under, "---UL---\r\n", fmt.Sprintf("%8s g\r\n", s.value)))
	}, unit: "g", mute: true, ranges: true},
	{name: "over with status words", line: func(s shown) string {
		if s.value == "" {
			return "OL,GS," + pick(s.over, "+", "-") + "       ,g\r\n"
		}
		return pick(s.moving, "US", "ST") + ",GS," + fmt.Sprintf("%8s,g\r\n", s.value)
	}, unit: "g", ranges: true},
	{name: "unit only at rest", line: func(s shown) string {
		if s.value == "" {
			return pick(s.over, "      H       \r\n", "      L       \r\n")
		}
		sign, digits := s.digits("+")
		return sign + fmt.Sprintf(" %8s ", digits) + pick(s.moving, "   ", "g  ") + "\r\n"
	}, unit: "g", ranges: true},
	{name: "unit only at rest, in a frame with letters", line: func(s shown) string {
		if s.value == "" {
			return ""
		}
		sign, digits := s.digits(" ")
		return "\x02" + sign + fmt.Sprintf("%7s", digits) + "G" + pick(s.moving, "M", " ") + " - " + pick(s.moving, "  ", " g") + "\x03"
	}, unit: "g"},
	{name: "retail line with GR", line: plainUnit("\n%8sgGR\r\x03"), unit: "g", mute: true},
	{name: "read key of three weights", line: func(s shown) string {
		if s.value == "" || s.moving {
			return ""
		}
		return "Gross: " + s.value + " g\r\nTare:  0.00 g\r\nNet:   " + s.value + " g\r\n\r\n"
	}, unit: "g", mute: true},
}

// moreGrammars are a second table, written after the reader had read the first
// and before it was looked at again.
var moreGrammars = []grammar{
	{name: "status words behind", line: flagged("%9s g FLAG,GS\r\n", "ST", "US"), unit: "g"},
	{name: "net, value, unit, status by commas", line: flagged("N,%9s,g,FLAG\r\n", "S", "U"), unit: "g"},
	{name: "value first, by commas", line: flagged("%s,g,FLAG,N\r\n", "S", "D"), unit: "g"},
	{name: "status letter and colon", line: flagged("FLAG:%9s g\r\n", "S", "D"), unit: "g"},
	{name: "bar between", line: flagged("%9s g | FLAG\r\n", "ST", "US"), unit: "g"},
	{name: "strokes between", line: flagged("FLAG/GS/%9s/g\r\n", "ST", "US"), unit: "g"},
	{name: "sentence", line: flagged("Weight: %9s g    FLAG\r\n", "stable", "unstable"), unit: "g"},
	{name: "clock, value, unit, status by commas", line: flagged("2025/01/31,20:15:07,%s,g,FLAG\r\n", "ST", "US"), unit: "g"},
	{name: "time in front by a comma", line: plainUnit("20:15:07, %s, g\r\n"), unit: "g", mute: true},
	{name: "leading zeros and sign", line: func(s shown) string {
		if s.value == "" {
			return ""
		}
		sign, digits := s.digits("+")
		return sign + zeros(digits, 8) + " g\r\n"
	}, unit: "g", mute: true},
	{name: "leading zeros, no blank, CR", line: func(s shown) string {
		if s.value == "" {
			return ""
		}
		sign, digits := s.digits("+")
		return sign + zeros(digits, 7) + "g\r"
	}, unit: "g", mute: true},
	{name: "unit gm", line: plainUnit("%9s gm\r\n"), unit: "g", mute: true},
	{name: "unit Gms", line: plainUnit("%9s Gms\r\n"), unit: "g", mute: true},
	{name: "unit cts", line: plainUnit("%9s cts\r\n"), unit: "ct", mute: true},
	{name: "unit ozt", line: plainUnit("%9s ozt\r\n"), unit: "ozt", mute: true},
	{name: "unit t oz", line: plainUnit("%9s oz t\r\n"), unit: "ozt", mute: true},
	{name: "unit dwt, S and blank", line: flagged("%9s dwt FLAG\r\n", "S", " "), unit: "dwt"},
	{name: "no zero before the point", line: func(s shown) string {
		if s.value == "" {
			return ""
		}
		sign, digits := s.digits("")
		return fmt.Sprintf("%9s g\r\n", sign+strings.TrimPrefix(digits, "0"))
	}, unit: "g", mute: true},
	{name: "LF alone", line: plainUnit("%9s g\n"), unit: "g", mute: true},
	{name: "star at rest", line: flagged("%9s g FLAG\r\n", "*", " "), unit: "g", mute: true},
	{name: "tilde in motion", line: flagged("FLAG %9s g\r\n", " ", "~"), unit: "g", mute: true},
	{name: "net and tare in pairs", line: plainUnit("NET   %8s g\r\nTARE      0.00 g\r\n"), unit: "g", mute: true},
	{name: "gross, tare and net in one line", line: func(s shown) string {
		return pick(s.value == "", "", "G "+s.value+" g T 0.00 g N "+s.value+" g\r\n")
	}, unit: "g", mute: true},
	{name: "gross, tare and net by letters", line: func(s shown) string {
		return pick(s.value == "", "", "G  "+s.value+" g\r\nT  0.00 g\r\nN  "+s.value+" g\r\n")
	}, unit: "g", mute: true},
	{name: "in German", line: func(s shown) string {
		return plainUnit("Gewicht: %9s g\r\n")(shown{value: comma(s.value)})
	}, unit: "g", mute: true},
	{name: "in Spanish", line: plainUnit("Peso neto %9s g\r\n"), unit: "g", mute: true},
	{name: "equals sign, net", line: plainUnit("NET=%sg\r\n"), unit: "g", mute: true},
	{name: "tabs between", line: flagged("FLAG\t%s\tg\r\n", "ST", "US"), unit: "g"},
	{name: "frame, two words, CR", line: flagged("\x02FLAG,+%8s g\r", "ST", "US"), unit: "g"},
	{name: "frame, G for gross, no unit", line: plainUnit("\x02%8sG\x03"), mute: true},
	{name: "dashes over, underscores under", line: func(s shown) string {
		return pick(s.over, "  --------   \r\n", pick(s.under, "  ________   \r\n", fmt.Sprintf("%10s g\r\n", s.value)))
	}, unit: "g", mute: true, ranges: true},
	{name: "H and L with status words", line: func(s shown) string {
		if s.value == "" {
			return "OL,GS," + pick(s.over, "       H", "       L") + ",g\r\n"
		}
		return pick(s.moving, "US", "ST") + ",GS," + fmt.Sprintf("%8s,g\r\n", s.value)
	}, unit: "g", ranges: true},
	{name: "over words beside a unit", line: func(s shown) string {
		return pick(s.over, "  OVER   g\r\n", pick(s.under, "  UNDER  g\r\n", fmt.Sprintf("%8s g\r\n", s.value)))
	}, unit: "g", mute: true, ranges: true},
}

// lastGrammars are a third table, written the same way.
var lastGrammars = []grammar{
	{name: "seven bits with even parity", line: func(s shown) string {
		line := []byte(flagged("FLAG GS %8s g\r\n", "ST", "US")(s))
		for i, b := range line {
			line[i] |= byte(onesIn(b)%2) << 7
		}
		return string(line)
	}, unit: "g"},
	{name: "three status characters and a check character", line: func(s shown) string {
		if s.value == "" {
			return ""
		}
		sign, digits := s.digits("")
		state := byte(0x20)
		if s.moving {
			state |= 8
		}
		if sign == "-" {
			state |= 2
		}
		return "\x02," + string(rune(state)) + "!" + zeros(strings.ReplaceAll(digits, ".", ""), 6) + "000000\rW"
	}, unit: "g"},
	{name: "empty lines between", line: plainUnit("%9s g\r\n\r\n"), unit: "g", mute: true},
	{name: "gross and tare in one line", line: plainUnit("GROSS %8s g TARE 0.00 g\r\n"), unit: "g", mute: true},
	{name: "gross and status behind", line: flagged("%s g G FLAG\r\n", "S", "U"), unit: "g"},
	{name: "blanks and commas", line: flagged("FLAG ,GS ,+%8s ,g\r\n", "ST", "US"), unit: "g"},
	{name: "time and date behind by commas", line: plainUnit("%s g,20:15:07,31/01/2025\r\n"), unit: "g", mute: true},
	{name: "net weight in words, with a status word", line: flagged("Net Weight: %8s g   FLAG\r\n", "Stable", "Unstable"), unit: "g"},
	{name: "N.W.", line: plainUnit("N.W.: %8s g\r\n"), unit: "g", mute: true},
	{name: "NW", line: plainUnit("NW %8s g\r\n"), unit: "g", mute: true},
	{name: "W=", line: func(s shown) string {
		if s.value == "" {
			return ""
		}
		sign, digits := s.digits("+")
		return "W=" + sign + zeros(digits, 6) + "g\r\n"
	}, unit: "g", mute: true},
	{name: "M in front", line: flagged("FLAG %9s g\r\n", " ", "M"), unit: "g"},
	{name: "words and commas in capitals", line: flagged("WEIGHT,%s,G,FLAG\r\n", "STABLE", "UNSTABLE"), unit: "g"},
	{name: "small letters in front", line: flagged("FLAG %9s g\r\n", "s", "u"), unit: "g"},
	{name: "status word behind", line: flagged("%9s g FLAG\r\n", "ST", "US"), unit: "g"},
	{name: "status word and colon, glued", line: flagged("FLAG:%sg\r\n", "STABLE", "UNSTABLE"), unit: "g"},
	{name: "abbreviated", line: flagged("FLAG. %9s g\r\n", "Stab", "Unst"), unit: "g"},
	{name: "dots to fill", line: plainUnit("Net.......%s g\r\n"), unit: "g", mute: true},
	{name: "kg with five decimals", line: func(s shown) string {
		if s.value == "" {
			return ""
		}
		sign, digits := s.digits(" ")
		return sign + " 0." + zeros(strings.ReplaceAll(digits, ".", ""), 5) + " kg\r\n"
	}, unit: "kg", mute: true},
	{name: "equals signs around", line: plainUnit("= %s g =\r\n"), unit: "g", mute: true},
	{name: "number of the scale in front", line: plainUnit("ID 7  %8s g\r\n"), unit: "g", mute: true},
	{name: "overload in asterisks", line: func(s shown) string {
		return pick(s.over, "  ******** g\r\n", pick(s.under, "  -------- g\r\n", fmt.Sprintf("%10s g\r\n", s.value)))
	}, unit: "g", mute: true},
}

// TestHeldBackCounter: a plain counter in front is known by its counting.
func TestHeldBackCounter(t *testing.T) {
	n := 0
	g := grammar{name: "plain counter in front", unit: "g", mute: true, line: func(s shown) string {
		n++
		return pick(s.value == "", "", fmt.Sprintf("%05d  %8s g\r\n", n, s.value))
	}}
	if o := hear(g, 100*time.Millisecond); o.wrong > 0 || o.falseRest > 0 || o.read*10 < o.sent*8 {
		t.Errorf("%+v", o)
	}
}

// course is a coin put on an empty pan, resting, taken off; an overload and an
// underload.
func course() (all []shown) {
	add := func(n int, s shown) {
		for range n {
			all = append(all, s)
		}
	}
	add(8, shown{value: "0.00"})
	for _, v := range []string{"0.71", "1.73", "2.35", "2.69", "2.87", "2.98", "3.04", "3.07", "3.09"} {
		add(1, shown{value: v, moving: true})
	}
	add(12, shown{value: "3.11"})
	for _, v := range []string{"2.02", "0.31"} {
		add(1, shown{value: v, moving: true})
	}
	add(6, shown{value: "0.00"})
	add(3, shown{over: true})
	add(3, shown{value: "0.00"})
	add(3, shown{under: true})
	add(6, shown{value: "-1.25"})
	add(6, shown{value: "12.47"})
	return all
}

// outcome is how one grammar was read.
type outcome struct {
	sent, read, wrong   int // weights
	falseRest, noMotion int // moving lines called stable, resting lines called moving
	ranges, rangesRead  int
	first               int // the line at which the first weight came
}

func hear(g grammar, every time.Duration) (o outcome) {
	d := NewDecoder(Options{})
	at := start
	lines := 0
	pending := map[string]int{}
	for _, s := range course() {
		line := g.line(s)
		at = at.Add(every)
		if line == "" {
			continue
		}
		lines++
		switch {
		case s.value == "" && g.ranges:
			o.ranges++
		case s.value == "":
			continue
		default:
			o.sent++
			pending[s.value]++
		}
		got := d.Feed([]byte(line), at)
		if ask, _ := d.NeedsUnit(); ask == AskUnit && g.unit == "" {
			// The person answers; from there on it is a scale like any other.
			d = NewDecoder(Options{Unit: mass.Gram})
		}
		for _, r := range got {
			switch {
			case r.Status == mass.StatusOver && s.over, r.Status == mass.StatusUnder && s.under:
				o.rangesRead++
			case r.HasValue:
				if o.first == 0 {
					o.first = lines
				}
				unit := g.unit
				if unit == "" {
					unit = mass.Gram
				}
				value := r.Quantity.Value.String()
				if grams, err := r.Quantity.Grams(); err == nil && unit == mass.Kilogram {
					value = fmt.Sprintf("%.2f", grams.Float64())
				}
				if pending[value] == 0 || r.Quantity.Unit != unit {
					o.wrong++
					continue
				}
				o.read++
				if s.moving && (r.Status == mass.StatusStable || r.Status == mass.StatusZero) {
					o.falseRest++
				}
				if !s.moving && r.Status == mass.StatusMoving {
					o.noMotion++
				}
			}
		}
	}
	return o
}

// TestHeldBackGrammars: no line of the table becomes a weight that it doesn't
// say, none in motion is called stable, and most are read.
func TestHeldBackGrammars(t *testing.T) {
	for _, every := range []time.Duration{100 * time.Millisecond, time.Second} {
		sent, read, whole := 0, 0, 0
		both := slices.Concat(grammars, moreGrammars, lastGrammars)
		for _, g := range both {
			o := hear(g, every)
			sent, read = sent+o.sent, read+o.read
			if o.read*10 >= o.sent*8 && o.rangesRead*10 >= o.ranges*8 {
				whole++
			} else {
				t.Logf("%v: %s: %+v", every, g.name, o)
			}
			if o.wrong > 0 || o.falseRest > 0 || o.noMotion > 0 {
				t.Errorf("%v: %s: %+v", every, g.name, o)
			}
		}
		t.Logf("every %v: %d of %d grammars, %d of %d lines", every, whole, len(both), read, sent)
	}
}
