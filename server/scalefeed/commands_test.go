package scalefeed

import (
	"bytes"
	"slices"
	"strings"
	"testing"
)

// TestNoCommandHoldsAByteThatIsNeverSent, but the one that waits for a refusal
// and the person's own choice of a format.
func TestNoCommandHoldsAByteThatIsNeverSent(t *testing.T) {
	const never = "TtZzPpRrGgNnCcUuMmKkOoBbEeXxLlHhAaDdFfVvJjYy0123456789\x1b\x02\x04\x01\x10\x07\x08\x7f\x12\x13\x14"
	for _, c := range harmless {
		if bytes.ContainsAny(c.send, never) {
			t.Errorf("%q", c.send)
		}
	}
	if !strings.ContainsRune(never, 'P') || bytes.ContainsAny(afterRefusal.send, strings.ReplaceAll(never, "P", "")) {
		t.Errorf("%q", afterRefusal.send)
	}
}

// TestSIsSentOnlyBehindW: wherever S goes, W has gone first and found nobody.
func TestSIsSentOnlyBehindW(t *testing.T) {
	w := harmless[0]
	for i, c := range harmless {
		if string(c.send) != "S\r\n" {
			continue
		}
		if i == 0 || string(w.send) != "W\r" || !c.onlyUnanswered {
			t.Error("W doesn't come before S")
		}
		for _, s := range c.at {
			if !slices.Contains(w.at, s) {
				t.Errorf("W isn't sent at %v", s)
			}
		}
	}
}

func TestRefusals(t *testing.T) {
	for answer, want := range map[string]bool{
		"ES\r\n": true, "?\r\n": true, "\n?\r\x03": true, "\x15": true,
		"ES\r\nES\r\n": true, "": false, "S S  3.11 g\r\n": false, "S I\r\n": false,
	} {
		if refusal([]byte(answer)) != want {
			t.Errorf("%q", answer)
		}
		if lineRefused([]byte(answer)) != (answer == "ES\r\n") {
			t.Errorf("%q: of a line", answer)
		}
	}
}
