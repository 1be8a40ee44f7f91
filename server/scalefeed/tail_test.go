package scalefeed_test

import (
	"math/bits"
	"slices"
	"strconv"
	"strings"
	"testing"

	"panside/server/scalefeed"
)

func tailOf(pieces ...string) []string {
	var t scalefeed.Tail
	for _, p := range pieces {
		t.Add([]byte(p))
	}
	var all []string
	for _, l := range t.Lines() {
		all = append(all, strconv.Itoa(l.Times)+" "+string(l.Raw))
	}
	return all
}

func TestTailKeepsOneLineOfEachShape(t *testing.T) {
	got := tailOf("ST  3.1", "1 g\r\n", "\r\nUS  3.12 g\n", "ST  3.15 g\r", "OL\n", "ST  3.16 g\r\nunfinis")
	if want := []string{"3 ST  3.16 g", "1 OL", "1 US  3.12 g"}; !slices.Equal(got, want) {
		t.Errorf("%q", got)
	}
}

func TestTailIsBounded(t *testing.T) {
	var pieces []string
	for i := range 100 {
		pieces = append(pieces, strings.Repeat("x", i+1)+"\n")
	}
	got := tailOf(pieces...)
	if len(got) != 12 || got[0] != "1 "+strings.Repeat("x", 100) || got[11] != "1 "+strings.Repeat("x", 89) {
		t.Errorf("%d lines: %q", len(got), got)
	}
	// A stream without line ends is cut, so that it can be seen at all.
	if got := tailOf(strings.Repeat("y", 250)); len(got) != 1 || got[0] != "2 "+strings.Repeat("y", 120) {
		t.Errorf("%q", got)
	}
}

func TestTailTakesParityOff(t *testing.T) {
	const line = "ST,GS,+   3.11  g\r\n"
	for want := range 2 {
		raw := []byte(line)
		for i, b := range raw {
			if bits.OnesCount8(b)%2 != want {
				raw[i] |= 0x80
			}
		}
		if got := tailOf(string(raw)); !slices.Equal(got, []string{"1 " + strings.TrimSpace(line)}) {
			t.Errorf("parity %d: %q", want, got)
		}
	}
	if got := tailOf("\xb3\x3c\n"); !slices.Equal(got, []string{"1 \xb3\x3c"}) {
		t.Errorf("noise: %q", got)
	}
}

func TestTailForgets(t *testing.T) {
	var tail scalefeed.Tail
	tail.Add([]byte("a\nb"))
	tail.Clear()
	tail.Add([]byte("c\n"))
	if l := tail.Lines(); len(l) != 1 || string(l[0].Raw) != "c" {
		t.Errorf("%+v", l)
	}
}
