package dialect

import (
	"bytes"
	"errors"
	"reflect"
	"strings"
	"testing"

	"panside/internal/fault"
	"panside/internal/mass"
)

// explained is a second, simpler opinion on whether a frame can mean a value:
// its digits, in order, are the digits of the value; what is left when the
// number is taken out consists of bytes that some format uses as marks.
func explained(t *testing.T, r mass.Reading) {
	t.Helper()
	data, parity := withoutParity(append(bytes.Clone(r.Raw), '\r'))
	if !parity {
		data, _ = withoutParity(append(bytes.Clone(r.Raw), '\n')) // it may have ended so
	}
	if len(r.Raw) > 0 && r.Raw[0]&0x7f <= ' ' && r.Raw[0] != ' ' {
		data, _ = withoutParity(r.Raw) // a block or reply: the line end is its own
	}
	if r.Dialect != framedXOR.Name { // its check character can be any
		data = withoutFlow(data)
	}
	text := string(data)
	format, _ := ByName(r.Dialect)
	check := format.loose && data[0] == stx // a check character before ETX may be any, too
	if i := strings.LastIndexFunc(strings.TrimRight(text, "\r"), func(c rune) bool {
		return c > '~' || c < ' ' && c != '\t' && c != '\r' && c != '\n' && c != stx && c != etx
	}); i >= 0 && r.Dialect != framedXOR.Name && !check {
		text = text[i+1:] // a glitch in front
	}
	switch r.Dialect {
	case framedXOR.Name:
		text = text[:len(text)-1] // the check byte can be a digit
	case retailPoll.Name:
		text = text[:strings.IndexByte(text, '\r')] // status bytes are digits
	case fixed22.Name:
		text = text[fixed22Code:] // codes have digits
	}
	digits := func(s string) string {
		return strings.TrimLeft(strings.Map(func(c rune) rune {
			if c < '0' || c > '9' {
				return -1
			}
			return c
		}, s), "0")
	}
	if format.loose {
		// Dates and counters have digits, too: the value's stand together, with
		// the point at its place.
		plain := strings.NewReplacer("[", "", "]", "", "/", "", ",", ".").Replace(text)
		value := strings.TrimPrefix(r.Quantity.Value.String(), "-")
		whole, frac, _ := strings.Cut(value, ".")
		if !strings.Contains(plain, value) && !strings.Contains(strings.ReplaceAll(plain, ".", ""), strings.TrimLeft(whole+frac, "0")) {
			t.Fatalf("%s: %q became %v", r.Dialect, r.Raw, r.Quantity)
		}
		return
	}
	marks := []byte(text)
	for i, c := range marks {
		if c == ',' && i > 0 && i+1 < len(marks) && isDigit(marks[i-1]) && isDigit(marks[i+1]) {
			marks[i] = '.' // a decimal comma, not one between fields
		}
	}
	text = string(marks)
	if digits(text) != digits(r.Quantity.Value.String()) {
		t.Fatalf("%s: %q became %v", r.Dialect, r.Raw, r.Quantity)
	}
	if r.Dialect == patternName {
		return
	}
	if rest := strings.Trim(text, "0123456789.+-[] \r\n\x02\x03,?^v"); strings.ContainsAny(rest, "\x00\x1b\x7f:;!\"#$%&'()*/<=>@\\`{|}~") {
		t.Fatalf("%s: %q became %v", r.Dialect, r.Raw, r.Quantity)
	}
	if strings.Count(text, ".") > 1 || r.Quantity.Value.Places() > 0 != strings.Contains(text, ".") {
		t.Fatalf("%s: the point of %q is lost in %v", r.Dialect, r.Raw, r.Quantity)
	}
}

// FuzzDecoder holds for any bytes: no panic; a value only from an explained
// frame; no value of an unknown unit; the same readings from any pieces.
func FuzzDecoder(f *testing.F) {
	q := mass.Quantity{Value: mass.MustDecimal("3.11"), Unit: mass.Gram}
	var every []byte
	for _, d := range All() {
		wire := bytes.Repeat(d.Format(q, mass.StatusStable), 3)
		f.Add(wire, uint8(7), "", false)
		f.Add(append(wire, d.Format(q, mass.StatusMoving)...), uint8(1), d.Name, true)
		every = append(every, wire...)
	}
	f.Add(every, uint8(100), "", true)
	f.Add([]byte("\x00\xffST,GS,+   3.11  g\r\n"), uint8(3), "", false)
	f.Fuzz(func(t *testing.T, wire []byte, piece uint8, name string, unit bool) {
		opts := Options{}
		if _, ok := ByName(name); ok {
			opts.Dialect = name
		}
		if unit {
			opts.Unit = mass.Gram
		}
		whole := NewDecoder(opts).Feed(wire, start)
		d := NewDecoder(opts)
		var pieces []mass.Reading
		for rest := wire; len(rest) > 0; {
			n := min(int(piece)+1, len(rest))
			pieces = append(pieces, d.Feed(rest[:n], start)...)
			rest = rest[n:]
		}
		if !reflect.DeepEqual(whole, pieces) {
			t.Fatalf("%q: %v whole, %v in pieces of %d", wire, all2words(whole), all2words(pieces), piece)
		}
		for _, r := range whole {
			ListenLine(r)
			switch {
			case r.HasValue:
				explained(t, r)
				if _, err := r.Quantity.Unit.Factor(); err != nil {
					t.Fatalf("a value without a known unit: %v", r.Quantity)
				}
				if r.Problem != nil || r.Dialect == "" {
					t.Fatalf("a value with a problem or of no format: %+v", r)
				}
			case r.Status != mass.StatusMoving && r.Problem == nil:
				t.Fatalf("neither a value nor a reason: %+v", r)
			}
		}
	})
}

// FuzzPattern: any text compiles or says where it is wrong, and any line
// matches as a whole or says where it stops.
func FuzzPattern(f *testing.F) {
	f.Add("<value> <unit>", "3.11 g")
	f.Add("<state ST=stable US=moving OL=over>,GS,<sign><value:7><unit:3>", "ST,GS,+   3.11  g")
	f.Add("<<<comma-value:8><unit=gr><skip:3>", "<    3,11abc")
	f.Add("<state ?=moving _=stable>", "?")
	f.Fuzz(func(t *testing.T, pattern, line string) {
		p, err := Compile(pattern)
		if err != nil {
			var e *PatternError
			if !errors.As(err, &e) || e.Pos < 1 || e.Pos > len(pattern)+1 || fault.Of(err).Code != fault.BadInput {
				t.Fatalf("%q: %v", pattern, err)
			}
			return
		}
		r, stop := p.Match([]byte(line))
		if stop < 0 || stop > len(line)+1 || stop > 0 && r.Outcome != NotMine || stop == 0 && r.Outcome == NotMine {
			t.Fatalf("%q on %q: %s, stops at %d", pattern, line, r.Outcome, stop)
		}
		if r.HasValue {
			digits := strings.TrimLeft(strings.Map(func(c rune) rune {
				if c < '0' || c > '9' {
					return -1
				}
				return c
			}, r.Quantity.Value.String()), "0")
			left := line
			for _, c := range digits {
				i := strings.IndexRune(left, c)
				if i < 0 {
					t.Fatalf("%q on %q gives %v", pattern, line, r.Quantity)
				}
				left = left[i+1:]
			}
		}
	})
}
