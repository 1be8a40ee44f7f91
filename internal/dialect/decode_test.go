package dialect

import (
	"bytes"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"panside/internal/fault"
	"panside/internal/mass"
)

// says puts a reading into words: "3.11 g stable" or the status and code.
func says(r mass.Reading) string {
	s := string(r.Status)
	if r.HasValue {
		return r.Quantity.String() + " " + s
	}
	if r.Problem != nil {
		s += " " + string(r.Problem.Code)
	}
	return s
}

func check(block string) string { return string(blockCheck([]byte(block))) }

func all2words(readings []mass.Reading) []string {
	var out []string
	for _, r := range readings {
		out = append(out, says(r))
	}
	return out
}

func values(readings []mass.Reading) []string {
	var out []string
	for _, r := range readings {
		if r.HasValue {
			out = append(out, says(r))
		}
	}
	return out
}

// TestDecoder feeds whole streams to a detecting Decoder.
func TestDecoder(t *testing.T) {
	for name, tc := range map[string]struct {
		stream string
		opts   Options
		want   string // readings, separated by "; "
	}{
		"one press of the print key is enough": {
			stream: "       3.11 g     \r\n", want: "3.11 g stable",
		},
		"one line of fixed columns is enough": {
			stream: "+     3.11 g  \r\n", want: "3.11 g stable",
		},
		"one poll is enough": {
			stream: "\n    3.11G\r\nS00\r\x03", want: "error recognising; error recognising; 3.11 g stable",
		},
		"numbers with a unit need the first line end and two lines": {
			stream: "11 g\r\n3.11 g\r\n3.12 g\r\n3.13 g\r\n",
			want:   "error recognising; error recognising; 3.12 g unknown; 3.13 g unknown",
		},
		"bare numbers need the first line end and four lines": {
			stream: "11\r\n3.11\r\n3.12\r\n3.13\r\n3.14\r\n3.15\r\n", opts: Options{Unit: mass.Gram},
			want: "error recognising; error recognising; error recognising; error recognising; 3.14 g unknown; 3.15 g unknown",
		},
		"a named format counts at once, but not a line whose beginning was not seen": {
			stream: "11 g\r3.12 g\r", opts: Options{Dialect: "value-only"},
			want: "error garbled; 3.12 g unknown",
		},
		"numbers without a unit are no weights": {
			stream: "\r3.11\r3.11\r", opts: Options{Dialect: "value-only"},
			want: "error unknown-unit; error unknown-unit",
		},
		"unless the person names it": {
			stream: "\r3.11\r", opts: Options{Dialect: "value-only", Unit: mass.Grain},
			want: "3.11 gr unknown",
		},
		"no unit in motion": {
			stream: "+     3.11    \r\n+     3.11 g  \r\n", opts: Options{Dialect: "fixed-16"},
			want: "moving; 3.11 g stable",
		},
		"a glitch in front of the first line": {
			stream: "\x00\xffST,GS,+   3.11  g\r\n", want: "3.11 g stable",
		},
		"letters in front of the first line": {
			stream: "xyST,GS,+   3.11  g\r\nST,GS,+   3.12  g\r\n", want: "error recognising; 3.12 g stable",
		},
		"a cut frame": {
			stream: "ST,GS,+   3.11  g\r\nST,GS,+   3.\r\nST,GS,+   3.13  g\r\n",
			want:   "3.11 g stable; error garbled; 3.13 g stable",
		},
		"two lines run together": {
			stream: "ST,GS,+   3.11  g\r\nST,GS,+   3.11  gST,GS,+   3.11  g\r\nST,GS,+   3.13  g\r\n",
			want:   "3.11 g stable; error garbled; 3.13 g stable",
		},
		"a lost digit": {
			stream: "ST,GS,+   3.11  g\r\nST,GS,+   3.1  g\r\nST,GS,+   3.13  g\r\n",
			want:   "3.11 g stable; error garbled; 3.13 g stable",
		},
		"a new width is believed the second time": {
			stream: "ST,GS,+   3.11  g\r\nST,GS,+   3.110  g\r\nST,GS,+   3.111  g\r\nST,GS,+   3.112  g\r\n",
			want:   "3.11 g stable; error garbled; 3.111 g stable; 3.112 g stable",
		},
		"a lost decimal shows without columns too": {
			stream: "ST,GS,+3.11g\r\nST,GS,+3.1g\r\nST,GS,+13.11g\r\n",
			want:   "3.11 g stable; error garbled; 13.11 g stable",
		},
		"unit changed in mid-stream": {
			stream: "ST,GS,+   3.11  g\r\nST,GS,+   48.0 gr\r\nST,GS,+   0.83 tl\r\nST,GS,+   3.11  g\r\n",
			want:   "3.11 g stable; 48.0 gr stable; error refused-unit; 3.11 g stable",
		},
		"minus after tare": {
			stream: "ST,NT,-   3.11  g\r\n", want: "-3.11 g stable",
		},
		"over and under": {
			stream: "ST,GS,+   3.11  g\r\nOL,GS,+9999999E+19\r\nOL,GS,-9999999E+19\r\n",
			want:   "3.11 g stable; over overload; under underload",
		},
		"garbage": {
			stream: "\x81\x9f\r\x13\xe2Zq\nhello\r\n$GPGGA,1.5,2.5\r\n3.1.1\r\n",
			want:   "error recognising; error recognising; error not-a-scale; error not-a-scale",
		},
		"a wrong check character": {
			stream: "\x02S+    3.11g  \x03X", opts: Options{Dialect: "framed-xor"}, want: "error garbled",
		},
		"a name that doesn't exist": {
			stream: "ST,GS,+   3.11  g\r\n", opts: Options{Dialect: "no-such-format"}, want: "error bad-input",
		},
		"switching takes contrary evidence": {
			stream: "ST,GS,+   3.11  g\r\nST,GS,+   3.12  g\r\nS S       3.11 g\r\nST,GS,+   3.13  g\r\nS S       3.14 g\r\nS S       3.15 g\r\nS S       3.16 g\r\nS S       3.17 g\r\n",
			want:   "3.11 g stable; 3.12 g stable; error garbled; 3.13 g stable; error garbled; error garbled; 3.16 g stable; 3.17 g stable",
		},
		"a settled format is left out of doubt by a strange line": {
			stream: "ST,GS,+   3.11  g\r\nmemory full\r\nST,GS,+   3.12  g\r\n",
			want:   "3.11 g stable; error garbled; 3.12 g stable",
		},
		"empty lines are nothing": {
			stream: "\r\n\n\r\r\nST,GS,+   3.11  g\n\n", want: "3.11 g stable",
		},
		"a block begun twice": {
			stream: "\x02S+    3\x02S+    3.11g  \x03" + check("S+    3.11g  \x03"), opts: Options{Dialect: "framed-xor"},
			want: "error garbled; 3.11 g stable",
		},
	} {
		d := NewDecoder(tc.opts)
		if got := strings.Join(all2words(d.Feed([]byte(tc.stream), start)), "; "); got != tc.want {
			t.Errorf("%s:\n got %s\nwant %s", name, got, tc.want)
		}
	}
}

// TestSevenBitsReadAsEight: a scale set to 7E1 or 7O1 behind a port set to 8N1
// sends a parity bit in each byte's eighth place.
func TestSevenBitsReadAsEight(t *testing.T) {
	for name, odd := range map[string]int{"even": 0, "odd": 1} {
		var plain, wire []byte
		for _, d := range All() {
			plain = append(plain, d.Format(mass.Quantity{Value: mass.MustDecimal("3.11"), Unit: mass.Gram}, mass.StatusStable)...)
		}
		for _, b := range plain {
			if (onesIn(b)+odd)%2 == 1 {
				b |= 0x80
			}
			wire = append(wire, b)
		}
		for _, format := range All() {
			opts := Options{Dialect: format.Name, Unit: mass.Gram}
			want := values(NewDecoder(opts).Feed(plain, start))
			if got := values(NewDecoder(opts).Feed(wire, start)); len(want) == 0 || !reflect.DeepEqual(got, want) {
				t.Errorf("%s parity, %s: %v, want %v", name, format.Name, got, want)
			}
		}
	}
	// A single wrong bit shows and costs the line.
	line := []byte("ST,GS,+   3.11  g\r\n")
	for i, b := range line {
		line[i] |= byte(onesIn(b)%2) << 7
	}
	for i := range len(line) - 2 {
		for bit := range 8 {
			broken := bytes.Clone(line)
			broken[i] ^= 1 << bit
			if got := values(NewDecoder(Options{}).Feed(broken, start)); len(got) > 0 {
				t.Errorf("bit %d of byte %d wrong: %v", bit, i, got)
			}
		}
	}
}

func onesIn(b byte) (n int) {
	for ; b != 0; b >>= 1 {
		n += int(b & 1)
	}
	return n
}

func TestEndlessLinesTakeNoMemory(t *testing.T) {
	for _, opts := range []Options{{}, {Dialect: "framed-xor"}, {Dialect: "retail-poll"}, {Dialect: "value-only"}} {
		for _, filler := range []string{"7", "\x02x", "\nx\nx\n", " "} {
			d := NewDecoder(opts)
			n := 0
			for range 200 {
				got := d.Feed(bytes.Repeat([]byte(filler), 100), start)
				for _, r := range got {
					if r.HasValue || len(r.Raw) > maxFrame {
						t.Fatalf("%v: %q became %v", opts, filler, says(r))
					}
				}
				n += len(got)
			}
			if n == 0 {
				t.Errorf("%v: %q: not a word about 20,000 bytes of nonsense", opts, filler)
			}
			if most := max(cap(d.lines.buf), cap(d.blocks.buf), cap(d.replies.buf)); most > 4*maxFrame {
				t.Errorf("%v: %q: %d bytes kept", opts, filler, most)
			}
		}
	}
}

func TestALineThatWaitsTooLongIsGivenUp(t *testing.T) {
	d := NewDecoder(Options{})
	d.Feed([]byte("ST,GS,+   3.10  g\r\nST,GS,+   3."), start)
	if got := all2words(d.Feed([]byte("11  g\r\n"), start.Add(partialLife))); !reflect.DeepEqual(got, []string{"3.11 g stable"}) {
		t.Errorf("within the time: %v", got)
	}
	d.Feed([]byte("ST,GS,+   3."), start.Add(partialLife))
	got := all2words(d.Feed([]byte("ST,GS,+   3.12  g\r\n"), start.Add(2*partialLife+time.Millisecond)))
	if !reflect.DeepEqual(got, []string{"error garbled", "3.12 g stable"}) {
		t.Errorf("after the time: %v", got)
	}
	// What follows is no whole line in a format that bears no cut.
	v := NewDecoder(Options{Dialect: "value-only"})
	v.Feed([]byte("\r\n1"), start)
	got = all2words(v.Feed([]byte("3.11 g\r\n"), start.Add(time.Minute)))
	if !reflect.DeepEqual(got, []string{"error garbled", "error garbled"}) {
		t.Errorf("the rest of a line given up: %v", got)
	}
	// But a line that begins after a silence between lines has its beginning.
	got = all2words(v.Feed([]byte("3.11 g\r\n"), start.Add(2*time.Minute)))
	if !reflect.DeepEqual(got, []string{"3.11 g unknown"}) {
		t.Errorf("a line after a silence: %v", got)
	}
}

func TestAReadingHasTheTimeOfItsLastByte(t *testing.T) {
	d := NewDecoder(Options{})
	at := func(ms int) time.Time { return start.Add(time.Duration(ms) * time.Millisecond) }
	d.Feed([]byte("ST,GS,+   3.11  g"), at(0))
	got := d.Feed([]byte("\r\nST,GS"), at(40))
	got = append(got, d.Feed([]byte(",+   3.12  g\r"), at(90))...)
	if len(got) != 2 || !got[0].At.Equal(at(40)) || !got[1].At.Equal(at(90)) {
		t.Errorf("times of %v", got)
	}
	if string(got[1].Raw) != "ST,GS,+   3.12  g" || got[1].Dialect != "status-comma" {
		t.Errorf("raw %q dialect %q", got[1].Raw, got[1].Dialect)
	}
}

func TestEvidenceGrowsAndIsHonest(t *testing.T) {
	d := NewDecoder(Options{})
	if name, sure, n := d.Evidence(); name != "" || sure != 0 || n != 0 {
		t.Errorf("before anything: %q %v %d", name, sure, n)
	}
	d.Feed([]byte("\r\n"), start)
	last := 0.0
	for i := range 4 {
		d.Feed([]byte("3.11\r\n"), start)
		name, sure, n := d.Evidence()
		if name != "value-only" || sure <= last || sure >= 1 || n != i+1 {
			t.Errorf("after %d lines: %q %v %d", i+1, name, sure, n)
		}
		if settled := sure >= sureEnough; settled != (i == 3) {
			t.Errorf("after %d bare numbers it is %.3f sure", i+1, sure)
		}
		last = sure
	}
	// The formula by hand: one line of fixed columns, and nothing for any other
	// format.
	d = NewDecoder(Options{})
	d.Feed([]byte("ST,GS,+   3.11  g\r\n"), start)
	want := 4096.0 / (64 + 4096 + float64(len(All())-2)) // without the general reader
	if _, sure, _ := d.Evidence(); sure != want {
		t.Errorf("sure %v, want %v", sure, want)
	}
	if name, sure, _ := NewDecoder(Options{Dialect: "fixed-16"}).Evidence(); name != "fixed-16" || sure != 1 {
		t.Errorf("a fixed format: %q %v", name, sure)
	}
	// Long garbage ends it.
	d.Feed(bytes.Repeat([]byte("what is this\r\n"), 50), start)
	if name, sure, _ := d.Evidence(); sure >= noLonger {
		t.Errorf("after garbage: %q %v", name, sure)
	}
	if got := all2words(d.Feed([]byte("what is this\r\n"), start)); got[0] != "error not-a-scale" {
		t.Errorf("after garbage: %v", got)
	}
}

// stream draws lines of one format as a scale would send them: a fixed number
// of places, mostly one unit.
func stream(t *rapid.T, format Dialect) []byte {
	var wire []byte
	places := rapid.Uint8Range(0, 3).Draw(t, "places")
	for range rapid.IntRange(1, 12).Draw(t, "lines") {
		q := mass.Quantity{Value: mass.NewDecimal(rapid.Int64Range(-999, 99999).Draw(t, "digits"), places), Unit: mass.Gram}
		if rapid.IntRange(0, 9).Draw(t, "unit key") == 0 {
			q.Unit = mass.Grain
		}
		wire = append(wire, format.Format(q, rapid.SampledFrom(statuses[:5]).Draw(t, "status"))...)
	}
	return wire
}

func TestChunksDoNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		wire := stream(t, rapid.SampledFrom(All()).Draw(t, "format"))
		if rapid.Bool().Draw(t, "with noise") {
			at := rapid.IntRange(0, len(wire)).Draw(t, "noise at")
			noise := rapid.SliceOfN(rapid.Byte(), 1, 20).Draw(t, "noise")
			wire = append(append(bytes.Clone(wire[:at]), noise...), wire[at:]...)
		}
		opts := Options{Unit: mass.Gram}
		whole := NewDecoder(opts).Feed(wire, start)

		d := NewDecoder(opts)
		var pieces []mass.Reading
		for rest := wire; len(rest) > 0; {
			n := rapid.IntRange(1, len(rest)).Draw(t, "piece")
			pieces = append(pieces, d.Feed(rest[:n], start)...)
			rest = rest[n:]
		}
		d = NewDecoder(opts)
		var single []mass.Reading
		for i := range wire {
			single = append(single, d.Feed(wire[i:i+1], start)...)
		}
		if !reflect.DeepEqual(pieces, whole) || !reflect.DeepEqual(single, whole) {
			t.Fatalf("%q\nwhole  %v\npieces %v\nsingle %v", wire, all2words(whole), all2words(pieces), all2words(single))
		}
	})
}

// TestNoiseInFrontCostsNothingBehindIt: with noise and a line end in front the
// readings are the same; with noise glued to the first line at most that line
// is lost.
func TestNoiseInFrontCostsNothingBehindIt(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		format := rapid.SampledFrom(All()).Draw(t, "format")
		wire := stream(t, format)
		noise := rapid.SliceOfN(rapid.ByteRange(0x80, 0xff), 1, 60).Draw(t, "noise")
		opts := Options{Dialect: format.Name, Unit: mass.Gram}

		d := NewDecoder(opts)
		d.Feed([]byte("\n\x03?\r\n"), start)
		want := values(d.Feed(wire, start))
		d = NewDecoder(opts)
		d.Feed(append(noise, "\n\x03?\r\n"...), start)
		if got := values(d.Feed(wire, start)); !reflect.DeepEqual(got, want) {
			t.Fatalf("noise %q before %q: %v, want %v", noise, wire, got, want)
		}
		got := values(NewDecoder(opts).Feed(append(noise, wire...), start))
		// Whether a blank sign means rest depends on the lines before.
		got, want = withoutStatus(got), withoutStatus(want)
		if len(got) < len(want)-1 || !slices.Equal(got, want[len(want)-len(got):]) {
			t.Fatalf("noise %q glued to %q: %v, want %v but for the first", noise, wire, got, want)
		}
	})
}

func withoutStatus(said []string) (out []string) {
	for _, s := range said {
		out = append(out, s[:strings.LastIndexByte(s, ' ')])
	}
	return out
}

// TestDetectionFindsEveryFormat: within eight lines a format is settled on, and
// every value given out before and after is one that was sent.
func TestDetectionFindsEveryFormat(t *testing.T) {
	for _, format := range All() {
		rapid.Check(t, func(t *rapid.T) {
			d := NewDecoder(Options{Unit: mass.Gram})
			sent := map[string]bool{}
			var got []mass.Reading
			for range 8 {
				q := mass.Quantity{Value: mass.NewDecimal(rapid.Int64Range(-999, 99999).Draw(t, "digits"), 2), Unit: mass.Gram}
				sent[q.String()] = true
				got = append(got, d.Feed(format.Format(q, rapid.SampledFrom(statuses[:2]).Draw(t, "status")), start)...)
			}
			for _, r := range got {
				if r.HasValue && !sent[r.Quantity.String()] {
					t.Fatalf("%s: %v was never sent", format.Name, r.Quantity)
				}
			}
			last := got[len(got)-1]
			if !last.HasValue && last.Status != mass.StatusMoving { // its unit may be in doubt
				t.Fatalf("%s: still nothing: %v", format.Name, all2words(got))
			}
			if last.Dialect == "value-only" && format.Name != "value-only" {
				t.Fatalf("%s was taken for bare numbers", format.Name)
			}
		})
	}
}

// TestALostOrStrangeByteGivesNoOtherNumber takes away one byte of a line among
// good ones, repeats the line from there, or puts a strange byte in its place.
// Bare numbers are left out: without columns a lost digit can't be seen, which
// is why their evidence is small. A digit that became another digit can be seen
// by a check character only.
func TestALostOrStrangeByteGivesNoOtherNumber(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		format := rapid.SampledFrom(All()).Draw(t, "format")
		if format.loose {
			return
		}
		q := mass.Quantity{Value: mass.NewDecimal(rapid.Int64Range(-999, 9999).Draw(t, "digits"), 2), Unit: rapid.SampledFrom(units[:4]).Draw(t, "unit")}
		good := format.Format(q, mass.StatusStable)
		broken := bytes.Clone(good)
		i := rapid.IntRange(0, len(broken)-1).Draw(t, "where")
		switch rapid.IntRange(0, 2).Draw(t, "how") {
		case 0:
			broken = append(broken[:i], broken[i+1:]...)
		case 1:
			broken = append(broken[:i], good[i:]...)
			broken = append(broken[:i+1], good[i:]...)
		case 2:
			broken[i] = rapid.SampledFrom([]byte("\x00.,?AxSU_\x7f\xff")).Draw(t, "byte")
		}
		d := NewDecoder(Options{})
		d.Feed(bytes.Repeat(good, 3), start)
		for _, r := range d.Feed(append(broken, good...), start) {
			if r.HasValue && r.Quantity.Value.Cmp(q.Value) != 0 && r.Quantity.Value.Cmp(q.Value.Neg()) != 0 || r.HasValue && r.Quantity.Unit != q.Unit {
				t.Fatalf("%s: %q gives %v, was %v", format.Name, broken, r.Quantity, q)
			}
		}
	})
}

func TestSentencesOfferHelpAndCarryNoRawBytes(t *testing.T) {
	d := NewDecoder(Options{})
	for _, r := range d.Feed([]byte("ST,GS,+   3.11 \xfe\xff\r\n\x01\x02\x03\r\nST,GS,+   1.00 \x1b[\r\n"), start) {
		if r.Problem == nil {
			continue
		}
		for _, c := range r.Problem.English() {
			if c < ' ' {
				t.Errorf("a control character in %q", r.Problem.English())
			}
		}
	}
	for o, f := range broken {
		if f.Code != fault.Garbled || !strings.HasSuffix(f.English(), ".") {
			t.Errorf("%v: %v", o, f)
		}
	}
}
