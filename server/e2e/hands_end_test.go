package e2e

import (
	"fmt"
	"strconv"
	"testing"

	"github.com/chromedp/chromedp"
)

// sitting begins one on an empty pan.
func (d *device) sitting(denomination string) {
	d.t.Helper()
	d.emptyPan()
	d.do(listenIn)
	d.press(fmt.Sprintf(`button[data-denomination=%q]`, denomination))
	d.press(`[data-do="hands"]`)
	d.until("the sitting", `document.querySelector('main[data-hands]')`)
}

// emptyPan waits until the pan was seen empty.
func (d *device) emptyPan() {
	d.t.Helper()
	d.until("the empty pan", `document.querySelector('[data-part="phase"]')?.dataset.phase === "empty"`)
}

// oneByOne puts coins on the pan and lifts each once it is counted.
func (d *device) oneByOne(s *server, coins ...string) {
	d.t.Helper()
	for n, coin := range coins {
		s.pan("put", coin)
		d.untilCounted(n + 1)
		s.pan("clear")
		d.emptyPan()
	}
}

// TestACaptionEndsWithItsReason: the cable comes loose under a coin and is put
// back; nothing says any more that it is loose.
func TestACaptionEndsWithItsReason(t *testing.T) {
	_, s, phone := atTheTable(t, phoneScreen)
	phone.sitting("cent")
	s.pan("put", "bronze-cent")
	phone.untilCounted(1)
	s.pan("unplug")
	phone.until("the loose cable to be said", `document.querySelector('[data-part="said"]').textContent.includes("connection to the scale broke off")`)
	s.pan("plug")
	phone.untilWeight(3.05, 3.17)
	phone.until("the coin settled", `document.querySelector('[data-part="phase"]')?.dataset.phase === "settled"`)
	phone.until("nothing said of the cable any more", `!document.querySelector('[data-part="said"]').textContent.includes("broke off")`)
	phone.shoot("plugged")
}

// TestTheTallyIsInSight: each metal by its letters and its count, under the
// caption, whatever is listed below; and at the end what the sitting came to.
func TestTheTallyIsInSight(t *testing.T) {
	_, s, phone := atTheTable(t, phoneScreen)
	phone.sitting("cent")
	phone.oneByOne(s, "bronze-cent", "zinc-cent", "zinc-cent", "cent-on-dime")
	phone.until("each metal by its letters", `[...document.querySelectorAll('[data-part="tally"] .tally-tile')].map((t) => t.innerText.replace(/\s+/g, " ").trim()).join("; ") === "Zn 2 Copper-plated zinc; Cu 1 Bronze; 1 Look closer"`)
	phone.inSight("the tally", `[data-part="tally"] .tally-tile`)
	phone.until("another shape for what is struck now", `document.querySelector('[data-tile*="zinc"] .metal-disc').dataset.current && !document.querySelector('[data-tile*="bronze"] .metal-disc').dataset.current`)
	phone.inBothThemes("tally", `[data-part="tally"]`)
	phone.axeHere("a sitting with its tally")

	phone.press(`[data-do="end-hands"]`)
	phone.until("the summary", `(d => d?.dataset.coins === "4" && /^4 coins in 1 minute, 1 to look at/.test(d.innerText) && d.innerText.includes("no. 1"))(document.querySelector('dialog[open] [data-part="summary"]'))`)
	phone.until("it to be said", `spoken.some((w) => w.startsWith("4 coins in 1 minute"))`)
	phone.inBothThemes("summary", `[data-part="summary"]`)
	phone.axeHere("the summary of a sitting")
	phone.press(`[data-do="to-finds"]`)
	phone.until("the coin set aside among the finds", `document.querySelector('[data-part="aside-coins"]')`)
}

// TestNothingPushesASitting: neither a long caption, nor a further kind, nor what
// stays on the phone moves the weight, the caption, the tally or the keys.
func TestNothingPushesASitting(t *testing.T) {
	_, s, phone := atTheTable(t, phoneScreen)
	phone.until("the core on the phone", `document.documentElement.dataset.core === "phone"`)
	phone.sitting("cent")
	phone.oneByOne(s, "bronze-cent")
	places := func() string {
		return phone.ask(`[".digits", ".caption", ".tally", ".hands-dock"].map((s) => Math.round(document.querySelector(s).getBoundingClientRect().top)).join()`)
	}
	before := places()
	s.pan("put", "cent-on-dime") // a long caption, and a kind more
	phone.untilCounted(2)
	if now := places(); now != before {
		t.Errorf("with another coin the parts stand at %s, before at %s", now, before)
	}
	s.pan("clear")
	phone.emptyPan()
	phone.do(chromedp.Evaluate[chromedp.Void](`fetch = () => Promise.reject(new TypeError("cut off")); undefined`))
	phone.press(`[data-do="open-aside"]`)
	phone.press(`[data-do="keep-opened"]`)
	phone.press(`dialog[open] [data-do="close"]`)
	phone.until("word of the find that is only here", `document.querySelector('.hands [data-part="only-here"]')`)
	if now := places(); now != before {
		t.Errorf("with something only on the phone the parts stand at %s, before at %s", now, before)
	}
	if n, err := strconv.Atoi(phone.ask(`String(document.querySelectorAll('[data-part="only-here"]').length)`)); n != 1 || err != nil {
		t.Errorf("it is said %d times (%v)", n, err)
	}
}

// TestAKeeperIsHeardAndCounted: silver among dimes has a tone, a word, a row and a
// place in the summary of its own, and is on no list.
func TestAKeeperIsHeardAndCounted(t *testing.T) {
	_, s, phone := atTheTable(t, phoneScreen)
	phone.sitting("dime")
	phone.oneByOne(s, "silver-dime", "clad-dime", "silver-dime")
	phone.until("two keepers of silver", `(t => t?.dataset.n === "2" && t.dataset.call === "keeper" && /Ag\s*90/.test(t.innerText) && t.innerText.includes("Keeper"))(document.querySelector('[data-tile*="silver-900"]'))`)
	phone.until("their tone", `toned.filter((hz) => hz === 932).length === 2`)
	phone.until("their words", `spoken.filter((w) => w.includes("Keep it")).length === 2`)
	phone.until("an empty list", `document.querySelector('[data-part="aside"]')?.dataset.count === "0"`)
	phone.inBothThemes("keeper", `[data-part="tally"]`)
	phone.axeHere("a sitting with keepers")
	phone.press(`[data-do="end-hands"]`)
	phone.until("them in the summary", `document.querySelector('dialog[open] [data-part="summary"]')?.dataset.keepers === "2"`)
}
