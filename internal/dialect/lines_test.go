package dialect

import "testing"

// lines are frames of each format by hand, with what they mean in the form of
// describe. Frames of block and reply formats are written whole.
var lines = map[string][]struct{ frame, want string }{
	"status-comma": {
		{"ST,GS,+   3.11  g", "3.11 g, step 0.01, stable"},
		{"US,GS,+   3.11  g", "3.11 g, step 0.01, moving"},
		{"ST,NT,-   3.11  g", "-3.11 g, step 0.01, stable"}, // after tare
		{"ST,+00123.45  g", "123.45 g, step 0.01, stable"},
		{"ST,GS, 00254.80 kg", "254.80 kg, step 0.01, stable"},
		{"ST,NT,-0012.3,kg", "-12.3 kg, step 0.1, stable"},
		{"ST,GS,+  48.0 gr", "48.0 gr, step 0.1, stable"},
		{"ST,GS,+   48.0 GN", "48.0 gr, step 0.1, stable"},
		{"ST,GS,+ 0.1000 ozt", "0.1000 ozt, step 0.0001, stable"},
		{"ST,GS,+3.11g", "3.11 g, step 0.01, stable"},
		{"ST,GS,+   3,11  g", "3.11 g, step 0.01, stable"},
		{"ST,NT,-0012,3,kg", "-12.3 kg, step 0.1, stable"},
		{"OL,GS,+9999999E+19", "over"},
		{"OL,GS,-9999999E+19", "under"},
		{"OL,+ ------- g", "over"},
		{"OL,GS,       H,g", "over"},
		{"OL,GS,       L,g", "under"},
		{"OL,GS,       kg", "cut"},
		{"ST,GS,+   0.83 tl", "refused-unit"},
		{"ST,GS,+ 0:03.2 lb:oz", "refused-unit"},
		{"QT,+     12 PC", "refused-unit"},
		{"ST,TR,+   1.00  g", "not-the-load"},
		{"ST,GS,+   3.11  x", "impossible"},
		{"ST,GS,+   3.1.1 g", "impossible"},
		{"ST,GS,+   -3.11 g", "impossible"},
		{"ST,GS,+3 11 g", "impossible"},
		{"ST,GS,--------  g", "impossible"},
		{"ST,GS,+1234567890123456789 g", "impossible"},
		{"ST,GS,+   3.11", "cut"},
		{"ST,GS,", "cut"},
		{"ST,GS,+   3.11  gST,GS,+   3.11  g", "bad length"},
		{",GS,+   3.11  g", "not mine"},
		{"XX,GS,+   3.11  g", "not mine"},
		{"ST,XX,+   3.11  g", "not mine"},
		{"st,gs,+   3.11  g", "not mine"},
		{"ST;GS;+   3.11  g", "not mine"},
		{"", "not mine"},
	},
	"command-reply": {
		{"S S       3.11 g", "3.11 g, step 0.01, stable"},
		{"S D       3.11 g", "3.11 g, step 0.01, moving"},
		{"S S      -3.11 g", "-3.11 g, step 0.01, stable"},
		{"S S     0.1000 ozt", "0.1000 ozt, step 0.0001, stable"},
		{"S S +0003.11 g", "3.11 g, step 0.01, stable"},
		{"S +", "over"},
		{"S -", "under"},
		{"S I", "not-the-load"},
		{"ES", "not-the-load"},
		{"S S       0.08 tl", "refused-unit"},
		{"S S     0:03.2 lb:oz", "refused-unit"},
		{"S S          4 PCS", "refused-unit"},
		{"S S       3.11 q", "impossible"},
		{"S S       3..1 g", "impossible"},
		{"S S       3.11g", "impossible"},
		{"S S       3.11", "cut"},
		{"S S", "cut"},
		{"S", "cut"},
		{"S S       3.11 gS S       3.11 g", "bad length"},
		{"S X       3.11 g", "not mine"},
		{"SS       3.11 g", "not mine"},
		{"S SN      3.11 g", "not mine"},
	},
	"print-line": {
		{"       3.11 g     ", "3.11 g, step 0.01, stable"},
		{"       3.11 g    ?", "3.11 g, step 0.01, moving"},
		{"      -3.11 g     ", "-3.11 g, step 0.01, stable"},
		{"       3.11 g     N", "3.11 g, step 0.01, stable"},
		{"       3.11 g", "not mine"}, // no place for the mark: a value and a unit
		{"       3.11 g ", "not mine"},
		{"+      3.11 g", "not mine"},
		{"+      3,11 g     ", "3.11 g, step 0.01, stable"},
		{"     0.4500 ozt   ?", "0.4500 ozt, step 0.0001, moving"},
		{"       3.11 g     NET", "3.11 g, step 0.01, stable"},
		{"       3.11 g    ? G", "3.11 g, step 0.01, moving"},
		{"      ^^^^^ g", "over"},
		{"      _____ g", "under"},
		{"         OL g", "over"},
		{"        -OL g", "under"},
		{"      ----- g", "over"},
		{"        --- g", "scale-fault"},
		{"       O-Ld g", "over"},
		{"       0.08 tl    ", "refused-unit"},
		{"     0:03.2 lb:oz", "refused-unit"},
		{"          3 PCS  ?", "refused-unit"},
		{"       3.11 x     ", "impossible"},
		{"       3.1.1 g", "not mine"},
		{"       3.11", "not mine"},
		{"3.11 g", "not mine"},
		{"                3.11 g", "not mine"},
		{"       3.11 2", "not mine"},
		{"       3.11 g   3.11 g", "not mine"},
	},
	"fixed-16": {
		{"+     3.11 g  ", "3.11 g, step 0.01, stable"},
		{"-     3.11 g  ", "-3.11 g, step 0.01, stable"},
		{"      3.11 g  ", "3.11 g, step 0.01, stable"},
		{"+     3.11    ", "3.11 without a unit, step 0.01, moving"},
		{"+   0.4500 ozt", "0.4500 ozt, step 0.0001, stable"},
		{"+     3,11 g  ", "3.11 g, step 0.01, stable"},
		{"+    3.1[1]g  ", "3.11 g, step 0.1, stable"},
		{"+   3.1[12]g  ", "3.112 g, step 0.1, stable"},
		{"+     [311]g  ", "impossible"},
		{"      H       ", "over"},
		{"      High    ", "over"},
		{"      L       ", "under"},
		{"      C       ", "not-the-load"},
		{"      --      ", "not-the-load"},
		{"   Err  054   ", "scale-fault"},
		{"     E  123   ", "scale-fault"},
		{"+     0.08 tl ", "refused-unit"},
		{"+        4 pcs", "refused-unit"},
		{"+     3.11 q  ", "impossible"},
		{"+    3.1.1 g  ", "impossible"},
		{"+     3.1", "cut"},
		{"+     3.11 g +     3.11 g  ", "not mine"},
		{"+     3.11 g  +     3.11 g  ", "bad length"},
		{"+      3.11     ", "bad length"},
		{"+3.11       g ", "not mine"},
		{"+     3.11  g ", "not mine"},
		{"*     3.11 g  ", "not mine"},
		{"              ", "not mine"},
	},
	"fixed-22": {
		{"N     +     3.11 g  ", "3.11 g, step 0.01, stable"},
		{"G     +     3.11 g  ", "3.11 g, step 0.01, stable"},
		{"Net   +     3.11 g  ", "3.11 g, step 0.01, stable"},
		{"N1    -     3.11 g  ", "-3.11 g, step 0.01, stable"},
		{"N     +     3.11    ", "3.11 without a unit, step 0.01, moving"},
		{"G#    +    3.1[1]g  ", "3.11 g, step 0.1, stable"},
		{"Stat        H       ", "over"},
		{"Stat        L       ", "under"},
		{"Stat     Err  054   ", "scale-fault"},
		{"T1    +     1.00 g  ", "not-the-load"},
		{"Qnt   +        4 pcs", "not-the-load"},
		{"N     +     0.08 tl ", "refused-unit"},
		{"N     +     3.11 q  ", "impossible"},
		{"N     +     3.1", "cut"},
		{"N     +      3.11 g  ", "bad length"},
		{"Stat  +     3.11 g  ", "not mine"},
		{"N           H       ", "not mine"},
		{"      +     3.11 g  ", "not mine"},
		{"?     +     3.11 g  ", "not mine"},
		{"SI          3.11 g  ", "not mine"}, // the load, behind the command it answers
	},
	"leading-mark": {
		{"        3.11 g  ", "3.11 g, step 0.01, stable"},
		{"?       3.11 g  ", "3.11 g, step 0.01, moving"},
		{"? -     3.11 g  ", "-3.11 g, step 0.01, moving"},
		{"       -3.11 g  ", "-3.11 g, step 0.01, stable"},
		{"?       48.0 gr ", "48.0 gr, step 0.1, moving"},
		{"^       0.00 g  ", "over"},
		{"v       0.00 g  ", "under"},
		{"?       0.08 tl ", "refused-unit"},
		{"?       3.11 q  ", "impossible"},
		{"?       3.1", "cut"},
		{"?        3.11 g  ", "bad length"},
		{"?       3.1.1 g  ", "bad length"},
		{"? -    -3.11 g  ", "not mine"},
		{"        3.11  g ", "not mine"},
		{"x       3.11 g  ", "not mine"},
	},
	"trailing-flag": {
		{"+    3.11 g   S", "3.11 g, step 0.01, stable"},
		{"+    3.11 g   U", "3.11 g, step 0.01, moving"},
		{"-    3.11 g   S", "-3.11 g, step 0.01, stable"},
		{"+0003.11g S", "3.11 g, step 0.01, stable"},
		{"3.11 g,S", "3.11 g, step 0.01, stable"},
		{"      OL g   U", "over"},
		{"     -OL g   U", "under"},
		{"+    0.08 tl  S", "refused-unit"},
		{"+  0:03.2 lb:oz S", "refused-unit"},
		{"+    3.11 q   S", "impossible"},
		{"+    3.1.1 g  S", "not mine"},
		{"+    3.11 S", "not mine"},
		{"+    3.11 g   X", "not mine"},
		{"+    3.11 gS", "not mine"},
		{"g S", "not mine"},
	},
	"framed-xor": {
		{"\x02S+    3.11g  \x03", "3.11 g, step 0.01, stable"},
		{"\x02M+    3.11g  \x03", "3.11 g, step 0.01, moving"},
		{"\x02S-00003.11g  \x03", "-3.11 g, step 0.01, stable"},
		{"\x02Z+    0.00g  \x03", "0.00 g, step 0.01, zero"},
		{"\x02H+    0.00g  \x03", "over"},
		{"\x02L+    0.00g  \x03", "under"},
		{"\x02F+    0.00g  \x03", "scale-fault"},
		{"\x02S+    0.08tl \x03", "refused-unit"},
		{"\x02S+    3.11q  \x03", "impossible"},
		{"\x02S+   3.1.1g  \x03", "impossible"},
		{"\x02S+   -3.11g  \x03", "impossible"},
		{"\x02S     3.11g  \x03", "impossible"},
		{"\x02S+    3.11 g \x03", "impossible"},
		{"\x02S+   3.11g  \x03", "bad length"},
		{"\x02S+    3.11g   \x03", "bad length"},
		{"\x02Q+    3.11g  \x03", "not mine"},
		{"\x02S, hello \x03", "not mine"},
	},
	"retail-poll": {
		{"\n    3.11G\r\nS00\r\x03", "3.11 g, step 0.01, stable"},
		{"\n    3.11G\r\nS10\r\x03", "3.11 g, step 0.01, moving"},
		{"\n    0.00G\r\nS20\r\x03", "0.00 g, step 0.01, zero"},
		{"\n   -3.11G\r\nS00\r\x03", "-3.11 g, step 0.01, stable"},
		{"\n01.050KG\r\n00\r\x03", "1.050 kg, step 0.001, stable"},
		{"\n01.050KG\r00\r\x03", "1.050 kg, step 0.001, stable"},
		{"\n  0.250LB\r\n0p0\r\x03", "0.250 lb, step 0.001, stable"},
		{"\n^^^^^^^^G\r\nS02\r\x03", "over"},
		{"\n________G\r\nS01\r\x03", "under"},
		{"\n^^^^^^^^G\r\nS00\r\x03", "over"},
		{"\n    3.11G\r\nS02\r\x03", "over"}, // the status bytes win
		{"\nS10\r\x03", "moving without a value"},
		{"\nS02\r\x03", "over"},
		{"\nS00\r\x03", "not-the-load"},
		{"\n    3.11G\r\nS08\r\x03", "scale-fault"},
		{"\n    3.11G\r\nS<0\r\x03", "scale-fault"}, // the whole first byte inverted
		{"\n?\r\x03", "not-the-load"},
		{"\n1LB 03.2OZ\r\nS00\r\x03", "refused-unit"},
		{"\n    0.08TL\r\nS00\r\x03", "refused-unit"},
		{"\n    3.11QQ\r\nS00\r\x03", "impossible"},
		{"\n   3.1.1G\r\nS00\r\x03", "impossible"},
		{"\n    3.11\r\nS00\r\x03", "not mine"},
		{"\n    3.11G\r\nS0\r\x03", "not mine"},
		{"\n    3.11G\r\nS0p\r\x03", "not mine"},
		{"\n    3.11G\r\nSAB\r\x03", "not mine"},
		{"\nhello\r\x03", "not mine"},
		{"\n\x03", "not mine"},
	},
	"value-only": {
		{"3.11 g", "3.11 g, step 0.01, unknown"},
		{"3.11g", "3.11 g, step 0.01, unknown"},
		{"   -3.11 g  ", "-3.11 g, step 0.01, unknown"},
		{"- 3.11 g", "-3.11 g, step 0.01, unknown"},
		{"3.11", "3.11 without a unit, step 0.01, unknown"},
		{"OL", "over"},
		{"-OL", "under"},
		{"UL", "under"},
		{"-----", "over"},
		{"EEEEE", "over"},
		{"Err", "over"},
		{"---", "scale-fault"},
		{"0.08 tl", "refused-unit"},
		{"0:03.2 lb:oz", "refused-unit"},
		{"1lb 3.2oz", "refused-unit"},
		{"23.5 C", "impossible"},
		{"3.1.1 g", "not mine"},
		{"3,11 g", "3.11 g, step 0.01, unknown"},
		{"3,1.1 g", "not mine"},
		{"3,11,2 g", "not mine"},
		{"3.", "not mine"},
		{"1e3 g", "not mine"},
		{"g", "not mine"},
		{"3.11 g 3.11 g", "not mine"},
		{"12:30:15", "not mine"},
		{"20250131201507", "not mine"},
		{"-", "not mine"},
	},
	"worded-line": {
		// Status words and letters, apart and run together.
		{"ST GS    3.11 g", "3.11 g, step 0.01, stable"},
		{"STGS+0003.11g", "3.11 g, step 0.01, stable"},
		{"US, N,+0012.34 g", "12.34 g, step 0.01, moving"},
		{"S-     3.11g ", "-3.11 g, step 0.01, stable"},
		{"SD    -0.6800 g", "-0.6800 g, step 0.0001, moving"},
		{"S   ?       18.50 g  ", "18.50 g, step 0.01, moving"},
		{"   3.11 g    ?G", "3.11 g, step 0.01, moving"},
		{"    3.11gS", "3.11 g, step 0.01, stable"},
		{" 0012.34 g MO", "12.34 g, step 0.01, moving"},
		{" 0000.00 g CZ", "0.00 g, step 0.01, zero"},
		{"unstable  3.11 g", "3.11 g, step 0.01, moving"},
		{"3.11 g *", "3.11 g, step 0.01, unknown"}, // rest to some, motion to others
		// Names of weights.
		{"N/W+   12.34 kg", "12.34 kg, step 0.01, unknown"},
		{"wn000125.4kg", "125.4 kg, step 0.1, unknown"},
		{"15.5 KG G", "15.5 kg, step 0.1, unknown"},
		{"    3.11 g  NET", "3.11 g, step 0.01, unknown"},
		{"Net Wt.: 3.11 g", "3.11 g, step 0.01, unknown"},
		{"    1.500    g   Tare", "not-the-load"},
		{"Tare:  10.3lb", "not-the-load"},
		{"Total 20.31g", "not-the-load"},
		{"Gross 13.11 g Tare 10.00 g Net 3.11 g", "3.11 g, step 0.01, unknown"},
		{"G 13.11 g  T 10.00 g", "13.11 g, step 0.01, unknown"},
		{"+0002.354 kg 000100nos", "2.354 kg, step 0.001, unknown"},
		{"3.11 g 3.12 g", "not mine"},
		{"3.11 g Net 3.12 g Net", "not mine"},
		// Numbers.
		{"   3,11 g", "3.11 g, step 0.01, unknown"},
		{"1.234,50 g", "1234.50 g, step 0.01, unknown"},
		{"+   123.5[6] g  ", "123.56 g, step 0.1, unknown"},
		{"+007.12/3 G S", "7.123 g, step 0.01, stable"},
		{"3.1.1 g", "not mine"},
		{"3.11- g", "not mine"},
		{"- -3.11 g", "not mine"},
		{"-.50 g", "-0.50 g, step 0.01, unknown"},
		{"311. g", "311 g, step 1, unknown"},
		{"00012  3.11 g", "3.11 g, step 0.01, unknown"}, // if it counts; see TestACounterHasToCount
		{"1.2 3.11 g", "not mine"},
		{"-1 3.11 g", "not mine"},
		{"?3.11 g", "not mine"}, // the mark could have been a digit
		{",3.11 g", "not mine"},
		{"x3.11 g", "not mine"},
		{"3.11 g x", "not mine"},
		{"=13.000", "not mine"}, // some scales send digits backwards like this
		{"ST 20", "not mine"},
		// Units.
		{"g    3.11", "3.11 g, step 0.01, unknown"},
		{"3.11 (g)", "3.11 g, step 0.01, unknown"},
		{"3.11 [g", "not mine"},
		{"   3.11", "3.11 without a unit, step 0.01, unknown"},
		{"3.11 N", "not mine"}, // net, or a force
		{"+  12.34  G ", "12.34 g, step 0.01, unknown"},
		{"+  47.99  D ", "47.99 dwt, step 0.01, unknown"},
		{"+  15.55  K ", "15.55 ct, step 0.01, unknown"},
		{"+   15.55  CS", "15.55 ct, step 0.01, stable"},
		{"+  0.110  O ", "0.110 oz, step 0.001, unknown"},
		{"+  0.100  Y ", "0.100 ozt, step 0.001, unknown"},
		{"+  0.007  P ", "0.007 lb, step 0.001, unknown"},
		{"+  3.110 IG ", "3.110 g, step 0.001, unknown"},
		{"+  3.110  X ", "refused-unit"},
		{", !   311000000", "3.11 g, step 0.01, stable"},
		{",*!000311000000", "-3.11 g, step 0.01, moving"},
		{"50 000311000000", "0.311 kg, step 0.002, stable"},
		{"5  000311000000", "0.311 lb, step 0.002, stable"},
		{",$!   311000000", "over"},
		{",&!   311000000", "under"},
		{", \"   311000000", "refused-unit"},
		{", 1   311000000", "not mine"},
		{"123456789012345", "not mine"},
		{"41570200001234", "12.34 g, step 0.01, unknown"},
		{"41580200001234", "not mine"},
		{"20250131201507", "not mine"},
		{"?A", "moving without a value"}, {"?B", "not-the-load"},
		{"+   62.916 GN", "62.916 gr, step 0.001, unknown"},
		{"3 pcs", "refused-unit"},
		{"3.11 Mg", "refused-unit"},
		// Dates, times, counters.
		{"2025-01-31 20:15:07   3.11 g", "3.11 g, step 0.01, unknown"},
		{"3.11 g  31.01.2025 8:15 PM", "3.11 g, step 0.01, unknown"},
		{"No. 12   3.11 g", "3.11 g, step 0.01, unknown"},
		{"n001 3.11g", "3.11 g, step 0.01, unknown"},
		{"2025-01-31", "not-the-load"},
		{"20:15:07", "not-the-load"},
		{"No.. 1", "not-the-load"},
		{"2025-13-41 3.11 g", "not mine"},
		{"20:15 3.11", "not mine"},
		// Instead of a number.
		{"O-Ld", "over"}, {"   EEEEE g", "over"}, {"-----", "over"}, {"Err", "over"}, {"-FULL-", "over"},
		{"-------OL------", "over"}, {"+ ~~~~~~~~GN", "over"}, {"   OL  g U", "over"}, {"S     oL", "over"}, {"SI  ^", "over"},
		{"-------UL------", "under"}, {"  -OL  g U", "under"}, {"U-    oL", "under"}, {"- OL g", "under"}, {"U-Ld", "under"}, {"SI  v", "under"},
		{"-NULL-", "scale-fault"}, {"-Err2-", "scale-fault"}, {"-LH-", "scale-fault"}, {"Er 5", "scale-fault"}, {"-------Or------", "scale-fault"},
		{"LobAt", "scale-fault"}, {"  LO", "scale-fault"},
		{"CAL", "not-the-load"}, {"SI I", "not-the-load"}, {"S  A", "not-the-load"}, {"S  E", "not-the-load"},
		{"O-Lx", "not mine"}, {"hello", "not mine"}, {"G/N +  3.11 g ok", "not mine"}, {"S", "not mine"}, {"-", "not mine"},
	},
	"template": {
		{"s     3.11 (g)", "3.11 g, step 0.01, stable"},
		{"m    -3.11 (g)", "-3.11 g, step 0.01, moving"},
		{"o", "over"},
		{"u", "under"},
		{"s     0.08 (tl)", "refused-unit"},
		{"s     3.11 (q)", "impossible"},
		{"s    3.1.1 (g)", "impossible"},
		{"s     3.1", "cut"},
		{"s    3.11 (g)", "bad length"},
		{"x     3.11 (g)", "not mine"},
	},
}

// describe puts a result into words.
func describe(r Result) string {
	switch {
	case r.Outcome != Read:
		return r.Outcome.String()
	case r.HasValue:
		unit := " " + string(r.Quantity.Unit)
		if r.unitless {
			unit = " without a unit"
		}
		return r.Quantity.Value.String() + unit + ", step " + r.Resolution.String() + ", " + string(r.Status)
	case r.Status == "error":
		return string(r.Problem.Code)
	case r.Status == "moving":
		return "moving without a value"
	}
	return string(r.Status)
}

func TestLinesMeanWhatTheirLegendSays(t *testing.T) {
	for _, d := range append(All(), template) {
		if len(lines[d.Name]) == 0 {
			t.Errorf("%s has no lines in this table", d.Name)
		}
		for _, tc := range lines[d.Name] {
			frame := []byte(tc.frame)
			if d.framing == blockFraming {
				frame = append(frame, blockCheck(frame[1:]))
			}
			if got := describe(d.Parse(frame)); got != tc.want {
				t.Errorf("%s: %q means %s, want %s", d.Name, tc.frame, got, tc.want)
			}
		}
	}
}

// TestWrongCheckCharacter flips every single bit of a block in turn: the
// exclusive-or of ISO 1745 finds every one of them.
func TestWrongCheckCharacter(t *testing.T) {
	whole := []byte("\x02S+    3.11g  \x03")
	whole = append(whole, blockCheck(whole[1:]))
	for i := 1; i < len(whole)-2; i++ {
		for bit := range 8 {
			frame := append([]byte(nil), whole...)
			frame[i] ^= 1 << bit
			if r := framedXOR.Parse(frame); r.Outcome == Read {
				t.Errorf("%q is read as %s", frame, describe(r))
			}
		}
	}
	whole[len(whole)-1] ^= 0x01
	if r := framedXOR.Parse(whole); r.Outcome != BadChecksum {
		t.Errorf("a wrong check character gives %s", r.Outcome)
	}
}
