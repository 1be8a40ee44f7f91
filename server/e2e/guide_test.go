package e2e

import (
	"os/exec"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"
)

// TestTheGuideAsksAlike: the terminal and the phone ask for the same weights, at the
// same places, in the same order.
func TestTheGuideAsksAlike(t *testing.T) {
	t.Parallel()
	browser := startBrowser(t)
	s := startServer(t, t.TempDir(), "--scale", "virtual")
	s.joinAsDesk()
	phone := newDevice(t, browser, phoneScreen)
	phone.open(s.phone)
	phone.until("the weigh screen", `document.querySelector('main[data-screen="weigh"]')`)

	terminal := make(chan []string, 1)
	go func() { terminal <- terminalAsks(t) }()

	phone.goTo("scale")
	phone.press(`[data-do="check"]:not(:disabled)`)
	phone.until("the form for weights", `document.querySelector('select[name="nominal-0"]')`)
	phone.write("nominal-0", "20")
	phone.write("class-0", "F2")
	phone.press(`[data-do="add-weight"]:not(:disabled)`)
	phone.until("a second weight", `document.querySelector('select[name="nominal-1"]')`)
	phone.write("nominal-1", "50")
	phone.write("class-1", "F2")
	phone.press(`input[name="times"][value="3"]`)
	phone.press(`[data-do="begin"]:not(:disabled)`)

	const words = `document.querySelector('[data-part="ask"]').innerText.replace(/\s+/g, " ")`
	var asked []string
	put := func() {
		phone.until("being asked for a weight", `document.querySelector('[data-part="ask"]')?.dataset.ask === "put"`)
		asked = append(asked, askOf(phone.ask(words)))
		s.pan("put", map[bool]string{true: "weight-20", false: "weight-50"}[strings.HasPrefix(asked[len(asked)-1], "20")])
		phone.until("the reading", `document.querySelector('[data-part="ask"]')?.dataset.ask !== "put"`)
		s.pan("clear")
	}
	for range 6 {
		put()
	}
	phone.press(`[data-do="edges"]:not(:disabled)`)
	for n := range 4 {
		put()
		if n == 1 {
			phone.inBothThemes("at the edge", `[data-part="ask"]`)
		}
	}
	phone.press(`[data-do="alone"]:not(:disabled)`)
	phone.until("being asked to leave it alone", `document.querySelector('[data-part="ask"]')?.dataset.ask === "leave"`)
	asked = append(asked, askOf(phone.ask(words)))
	phone.inBothThemes("left alone", `[data-part="ask"]`)
	s.pan("put", "weight-50")
	phone.until("being watched", `document.querySelector('[data-part="ask"]')?.dataset.ask === "watch"`)
	phone.axeHere("a scale that is watched")
	s.pan("clear")
	phone.until("that it was touched", `document.querySelector('[data-part="said"]')?.dataset.said === "disturbed"`)
	phone.inBothThemes("touched", `[data-part="ask"]`)

	select {
	case want := <-terminal:
		if !slices.Equal(asked, want) || len(asked) != 11 {
			t.Errorf("the phone asks\n%s\nthe terminal\n%s", strings.Join(asked, "\n"), strings.Join(want, "\n"))
		}
	case <-time.After(patience):
		t.Fatal("the terminal's check doesn't end")
	}
}

// terminalAsks are the asks of the terminal, whose practice scale is moved by itself.
func terminalAsks(t *testing.T) (asks []string) {
	args := []string{"check-scale", "--scale", "virtual", "--data", t.TempDir(), "--weight", "20 F2", "--weight", "50 F2", "--times", "3", "--edges", "--watch", "2s"}
	out, err := exec.CommandContext(t.Context(), serverBinary(t), args...).Output()
	if err != nil {
		t.Errorf("%v\n%s", err, out)
	}
	for line := range strings.Lines(string(out)) {
		if strings.HasPrefix(line, "Put the ") {
			asks = append(asks, askOf(line))
		}
	}
	return asks
}

var (
	askedWeight = regexp.MustCompile(`(\d+)\s?g weight`)
	askedSide   = regexp.MustCompile(`(front|right|back|left) edge`)
	askedTime   = regexp.MustCompile(`(\d) of 3`)
)

// askOf is what both mean: the weight in grams, and where it goes or how often it did.
func askOf(words string) string {
	part := func(r *regexp.Regexp) string {
		if m := r.FindStringSubmatch(words); m != nil {
			return m[1]
		}
		return ""
	}
	switch {
	case askedSide.MatchString(words):
		return part(askedWeight) + " " + part(askedSide)
	case askedTime.MatchString(words):
		return part(askedWeight) + " middle " + part(askedTime)
	}
	return part(askedWeight) + " alone"
}
