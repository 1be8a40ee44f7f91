package e2e

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/chromedp/chromedp"
)

// TestFirstLight is the main job: the phone opens the printed address, “cent”
// is tapped, a bronze cent lands on the virtual scale's pan, then a zinc one,
// and the glass says which is which.
func TestFirstLight(t *testing.T) {
	t.Parallel()
	browser := startBrowser(t)
	s := startServer(t, t.TempDir(), "--scale", "virtual")
	s.joinAsDesk()
	phone := newDevice(t, browser, phoneScreen)
	phone.open(s.phone)
	phone.until("the weigh screen", `document.querySelector('main[data-screen="weigh"]')`)
	phone.until("the secret to be gone from the address", `!location.hash.includes("join=")`)
	phone.until("the empty pan", `document.querySelector('[data-part="phase"]')?.dataset.phase === "empty"`)
	phone.shoot("empty")

	phone.tap(`button[data-denomination="cent"]`)
	s.pan("put", "bronze-cent")
	phone.untilVerdict("bronze", "ordinary")
	phone.untilWeight(3.05, 3.17)
	phone.until("something to inspect", `document.querySelectorAll('[data-part="inspect"] li').length > 0`)
	phone.until("the tolerance", `document.querySelector('[data-part="tolerance"]')?.dataset.state === "within"`)
	phone.until("the core on the phone itself", `document.documentElement.dataset.core === "phone"`)
	phone.until("the coin at rest", `document.querySelector('[data-part="phase"]')?.dataset.phase === "settled"`)
	phone.shoot("bronze")

	s.pan("lift", "bronze-cent")
	phone.until("the last coin's verdict, marked as such", `document.querySelector('[data-part="headline"]')?.hasAttribute("data-last")`)
	phone.until("the pan to be empty", `document.querySelector('[data-part="phase"]')?.dataset.phase === "empty"`)
	s.pan("put", "zinc-cent")
	phone.untilVerdict("zinc", "ordinary")
	phone.untilWeight(2.45, 2.55)
	phone.shoot("zinc")
	s.pan("clear")
	phone.until("the empty pan again", `document.querySelector('[data-part="phase"]')?.dataset.phase === "empty"`)

	// A dime planchet struck by cent dies is no cent of any alloy.
	s.pan("put", "cent-on-dime")
	phone.until("a call to look", `document.querySelector('[data-part="headline"]:not([data-last])')?.dataset.call === "look"`)
	phone.shoot("odd")
}

// untilVerdict waits for a headline of the coin on the pan with a word and a
// call in it.
func (d *device) untilVerdict(word, call string) {
	d.t.Helper()
	d.until("a verdict of “"+word+"”", fmt.Sprintf(
		`(h => h && h.dataset.call === %q && h.innerText.toLowerCase().includes(%q))(document.querySelector('[data-part="headline"]:not([data-last])'))`, call, word))
}

// untilWeight waits for a number between low and high on the glass.
func (d *device) untilWeight(low, high float64) {
	d.t.Helper()
	d.until("a weight", fmt.Sprintf(
		`(w => w >= %v && w <= %v)(Number.parseFloat(document.querySelector('[data-part="weight"]')?.textContent))`, low, high))
}

// TestGarbageShowsNoWeight replays a capture of noise: whatever the phone
// shows at any moment, it is never a number.
func TestGarbageShowsNoWeight(t *testing.T) {
	t.Parallel()
	browser := startBrowser(t)
	capture, err := filepath.Abs("../../testdata/captures/garbage.log")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(capture); err != nil {
		t.Fatal(err)
	}
	s := startServer(t, t.TempDir(), "--scale", "replay:"+capture)
	phone := newDevice(t, browser, phoneScreen)
	phone.open(s.phone)
	phone.until("the weigh screen", `document.querySelector('main[data-screen="weigh"]')`)
	// From here on every change of the page is looked at.
	phone.do(watchForNumbers)
	phone.until("a sentence that says what is wrong", `document.querySelector('[data-part="problem"]')?.innerText.length > 20`)
	phone.shoot("garbage")
	phone.until("no number ever", `window.numbersSeen.length === 0`)
}

// watchForNumbers keeps every text with a digit that stands where the weight
// does in window.numbersSeen.
var watchForNumbers = chromedp.Evaluate[chromedp.Void](`
	window.numbersSeen = [];
	const look = () => {
		const text = document.querySelector('[data-part="weight"]')?.textContent ?? "";
		if (/\d/.test(text)) window.numbersSeen.push(text);
	};
	look();
	new MutationObserver(look).observe(document.body, { subtree: true, childList: true, characterData: true });
	undefined`)

// TestACableThatComesLoose: the phone says so in place of the weight, and goes
// on by itself when the scale is back.
func TestACableThatComesLoose(t *testing.T) {
	t.Parallel()
	browser := startBrowser(t)
	s := startServer(t, t.TempDir(), "--scale", "virtual")
	s.joinAsDesk()
	phone := newDevice(t, browser, phoneScreen)
	phone.open(s.phone)
	phone.tap(`button[data-denomination="cent"]`)
	s.pan("put", "bronze-cent")
	phone.untilWeight(3.05, 3.17)
	s.pan("unplug")
	phone.until("the problem", `document.querySelector('[data-part="problem"]')?.dataset.code === "port-lost"`)
	phone.until("no number", `!/\d/.test(document.querySelector('[data-part="weight"]')?.textContent ?? "")`)
	phone.shoot("unplugged")
	s.pan("plug")
	phone.until("the scale back", `!document.querySelector('[data-part="problem"]')`)
	phone.untilWeight(3.05, 3.17)
}
