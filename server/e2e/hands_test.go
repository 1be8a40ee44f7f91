package e2e

import (
	"context"
	"fmt"
	"testing"

	"github.com/chromedp/chromedp"
)

// listenIn keeps what is said and toned from here on in window.spoken and
// window.toned: a headless browser has neither a voice nor ears.
var listenIn = chromedp.Evaluate[chromedp.Void](`
	window.spoken = [];
	window.toned = [];
	speechSynthesis.speak = (u) => {
		window.spoken.push(u.text);
		setTimeout(() => u.onstart?.({}));
		setTimeout(() => u.onend?.({}), 20);
	};
	const make = AudioContext.prototype.createOscillator;
	AudioContext.prototype.createOscillator = function () {
		const o = make.call(this);
		const start = o.start.bind(o);
		o.start = (at) => { window.toned.push(Math.round(o.frequency.value)); start(at); };
		return o;
	};
	undefined`)

// untilCounted waits until so many coins in all are counted.
func (d *device) untilCounted(n int) {
	d.t.Helper()
	d.until(fmt.Sprintf("%d coins counted", n), fmt.Sprintf(`document.querySelector('[data-part="total"]')?.dataset.total === "%d"`, n))
}

// ask evaluates JavaScript that gives a text.
func (d *device) ask(script string) string {
	d.t.Helper()
	ctx, cancel := context.WithTimeout(d.ctx, patience)
	defer cancel()
	answer, err := chromedp.Run(ctx, chromedp.Evaluate[string](script))
	if err != nil {
		d.t.Fatal(err)
	}
	return answer
}

// kind is the count of one alloy of cents.
func kind(alloy string, n int) string {
	return fmt.Sprintf(`document.querySelector('[data-kind^="ordinary/cent/"][data-kind*="%s"]')?.dataset.count === "%d"`, alloy, n)
}

// TestHandsFree is an evening at the pan: one tap begins it; coins put and
// lifted, and coins dropped on one another, are each said, toned and counted
// once without a touch; the odd one goes on the list by itself.
func TestHandsFree(t *testing.T) {
	browser := startBrowser(t)
	s := startServer(t, t.TempDir(), "--scale", "virtual")
	s.joinAsDesk()
	phone := newDevice(t, browser, phoneScreen)
	phone.open(s.phone)
	phone.until("the weigh screen", `document.querySelector('main[data-screen="weigh"]')`)
	phone.until("the empty pan", `document.querySelector('[data-part="phase"]')?.dataset.phase === "empty"`)
	phone.do(listenIn)
	phone.tap(`[data-do="hands"]`)
	phone.until("the question for the denomination", `document.querySelector('[data-part="hands-start"]')`)
	phone.shoot("start")
	phone.tap(`button[data-denomination="cent"]`)
	phone.until("the sitting", `document.querySelector('main[data-hands]')`)
	phone.until("the beginning to be said", `spoken.some((w) => w.startsWith("Hands-free"))`)
	phone.shoot("begun")

	// Put and lifted.
	s.pan("put", "bronze-cent")
	phone.untilCounted(1)
	phone.until("the one bronze cent", kind("bronze", 1))
	s.pan("lift", "bronze-cent")
	phone.until("the empty pan again", `document.querySelector('[data-part="phase"]')?.dataset.phase === "empty"`)
	// Dropped on one another.
	s.pan("put", "zinc-cent")
	phone.untilCounted(2)
	s.pan("put", "bronze-cent")
	phone.untilCounted(3)
	phone.until("one zinc cent", kind("zinc", 1))
	phone.until("two bronze cents", kind("bronze", 2))
	phone.shoot("counting")
	s.pan("clear")
	phone.until("the empty pan after the pile", `document.querySelector('[data-part="phase"]')?.dataset.phase === "empty"`)
	phone.until("each metal's words, in order and once a coin", `(w => w.length === 3 &&
		w[0].includes("Bronze") && w[1].includes("zinc") && w[2].includes("Bronze"))(spoken.filter((w) => w.endsWith(" cent.")))`)
	phone.until("two tones that differ", `toned.includes(311) && toned.includes(784)`)

	// The odd one holds itself on the list.
	s.pan("put", "cent-on-dime")
	phone.until("it on the list", `document.querySelector('[data-part="aside"]')?.dataset.count === "1"`)
	phone.until("the third tone", `toned.filter((hz) => hz === 1047).length === 2`)
	phone.until("its number and words to be said", `spoken.some((w) => w.startsWith("Number 1. Look"))`)
	phone.untilCounted(4)
	phone.shoot("set-aside")
	s.pan("clear")
	phone.until("the empty pan after the odd one", `document.querySelector('[data-part="phase"]')?.dataset.phase === "empty"`)

	// Opened, removed, and back again.
	phone.tap(`[data-do="open-aside"]`)
	phone.until("what its weight said", `document.querySelector('dialog[open] [data-part="headline"]')?.dataset.call === "look"`)
	phone.tap(`dialog[open] [data-do="keep-opened"]`)
	phone.until("it to be a find", `document.querySelector('dialog[open] [data-part="is-find"]')`)
	phone.shoot("opened")
	phone.tap(`dialog[open] [data-do="undo-find"]`)
	phone.until("it to be no find any more", `document.querySelector('dialog[open] [data-do="keep-opened"]:not(:disabled)')`)
	phone.shoot("taken-back")
	phone.tap(`dialog[open] [data-do="close"]`)
	phone.tap(`[data-do="remove-aside"]`)
	phone.until("an empty list", `document.querySelector('[data-part="aside"]')?.dataset.count === "0"`)
	phone.tap(`[data-do="undo-remove"]`)
	phone.until("it back on the list", `document.querySelector('[data-part="aside"] [data-number="1"]')`)

	// Without a touch of the glass: the space key sets the last coin aside, Backspace takes a count back.
	phone.do(chromedp.Evaluate[chromedp.Void](`document.activeElement?.blur(); undefined`))
	s.pan("put", "zinc-cent")
	phone.untilCounted(5)
	phone.do(chromedp.KeyEvent(" "))
	phone.until("the zinc cent on the list as well", `document.querySelector('[data-part="aside"] [data-number="2"]')`)
	phone.do(chromedp.KeyEvent("\b"))
	phone.untilCounted(4)

	// Counts outlive the page; set to nothing, they come back.
	phone.do(chromedp.Reload())
	phone.until("the page anew, without a sitting", `document.querySelector('main[data-screen="weigh"]:not([data-hands])')`)
	phone.until("the denomination", `document.querySelector('button[data-denomination="cent"]')?.getAttribute("aria-pressed") === "true"`)
	phone.do(listenIn)
	phone.tap(`[data-do="hands"]`)
	phone.untilCounted(4)
	phone.until("a word about the coin that lies there", `document.querySelector('[data-part="said"]')?.textContent.length > 20`)
	phone.tap(`[data-do="reset-counts"]`)
	phone.untilCounted(0)
	phone.tap(`[data-do="undo-reset"]`)
	phone.untilCounted(4)
	phone.tap(`[data-do="end-hands"]`)
	phone.until("the end", `document.querySelector('main[data-screen="weigh"]:not([data-hands])')`)
}

// TestOnePhoneHoldsThePan: the second phone watches, shows what the first one
// asks, and takes over by a tap; both are told, and only the holder counts.
func TestOnePhoneHoldsThePan(t *testing.T) {
	browser := startBrowser(t)
	s := startServer(t, t.TempDir(), "--scale", "virtual")
	desk := newDevice(t, browser, laptopScreen)
	desk.open(s.desk)
	desk.until("the desk", `document.querySelector('main[data-screen="desk"]')`)
	s.token = desk.ask(`JSON.parse(localStorage["panside.joined"]).token`)
	first, second := newDevice(t, browser, phoneScreen), newDevice(t, browser, phoneScreen)
	for phone, address := range map[*device]string{first: s.phone, second: s.offer()} {
		phone.open(address)
		phone.until("the keys", `document.querySelector('button[data-denomination="cent"]')`)
		phone.do(listenIn)
	}
	first.tap(`button[data-denomination="cent"]`)
	second.until("who holds the pan", `document.querySelector('[data-part="watching"]')`)
	first.tap(`[data-do="hands"]`)
	first.until("the sitting", `document.querySelector('main[data-hands]')`)
	s.pan("put", "bronze-cent")
	first.untilCounted(1)
	second.untilVerdict("bronze", "ordinary") // judged as the cent that the first one asked for
	// What is found out about the coin is the holder's to tell, and the watcher reads it.
	second.until("where to tell more", `document.querySelector('[data-part="told-there"]') && !document.querySelector('.evidence-more, .tell')`)
	second.shoot("watching")
	second.axeHere("watching another's pan")

	second.tap(`[data-do="take-over"]`)
	second.until("being told that it holds the pan", `document.querySelector('[data-part="pan-news"]')?.dataset.news === "mine"`)
	second.until("its keys", `document.querySelector('button[data-denomination="dime"]')`)
	first.until("being told that it lost the pan", `document.querySelector('[data-part="said"]')?.textContent.includes("taken over")`)
	first.until("it to be said as well", `spoken.some((w) => w.includes("taken over"))`)
	first.shoot("lost")
	first.axeHere("the pan taken over")
	s.pan("clear")
	second.until("the empty pan", `document.querySelector('[data-part="phase"]')?.dataset.phase === "empty"`)
	second.tap(`button[data-denomination="dime"]`)
	s.pan("put", "clad-dime")
	second.untilVerdict("clad", "ordinary")
	first.untilCounted(1) // not its coin

	// Back again: what lies there was the other's coin, the next one is its own.
	first.tap(`[data-do="take-over"]`)
	first.until("holding the pan again", `!document.querySelector('[data-part="watching"]')`)
	second.until("watching again", `document.querySelector('[data-part="watching"]')`)
	s.pan("clear")
	first.until("the empty pan", `document.querySelector('[data-part="phase"]')?.dataset.phase === "empty"`)
	s.pan("put", "clad-dime")
	first.untilCounted(2)

	// The desk shows who it is.
	desk.until("the holder among the phones", `document.querySelectorAll('[data-part="pan-holder"]').length === 1`)
	desk.shoot("desk")
}

// TestSharedPhotosWait: what another app on the phone shares is taken by the
// app's own worker, waits, and is gone only when it is thrown away.
func TestSharedPhotosWait(t *testing.T) {
	s := startServer(t, t.TempDir(), "--scale", "virtual")
	browser := startBrowser(t, trusting(t, s)...)
	phone := newDevice(t, browser, phoneScreen)
	phone.open(s.phone)
	phone.weighing()
	phone.putBy()
	phone.do(chromedp.Reload())
	phone.until("the worker's hand on the page", `navigator.serviceWorker.controller`)
	phone.do(chromedp.Evaluate[chromedp.Void](`
		const form = new FormData();
		for (const name of ["obverse ö.jpg", "reverse.png"]) form.append("photos", new File([name], name, { type: "image/" + name.split(".")[1] }));
		form.append("photos", new File(["x"], "page.html", { type: "text/html" }));
		fetch("/share-photos", { method: "POST", body: form, redirect: "manual" }).then((r) => { window.shared = r.type; });
		undefined`))
	phone.until("the way back into the app", `window.shared === "opaqueredirect"`)
	phone.do(chromedp.Evaluate[chromedp.Void](`location.hash = "#/shared"; undefined`))
	phone.until("two photos that wait", `document.querySelector('[data-part="shared"]')?.dataset.waiting === "2"`)
	phone.do(chromedp.Reload())
	phone.until("them still to wait", `document.querySelector('[data-part="shared"]')?.dataset.waiting === "2"`)
	phone.shoot("shared")
	phone.tap(`[data-do="drop-shared"]`)
	phone.until("none to wait", `document.querySelector('[data-part="shared"]')?.dataset.waiting === "0"`)
	phone.tap(`[data-do="undo-shared"]`)
	phone.until("both back", `document.querySelector('[data-part="shared"]')?.dataset.waiting === "2"`)
	phone.tap(`[data-do="drop-shared"]`)
	phone.tap(`[data-do="forget-shared"]`)
	phone.until("none to wait", `!document.querySelector('[data-part="shared"]')`)
}

// TestAnUnpluggedScaleIsSaidNoLongerThanItIs: in a sitting with a coin on the
// pan, the caption tells of the pulled cable, and goes once the coin rests again.
func TestAnUnpluggedScaleIsSaidNoLongerThanItIs(t *testing.T) {
	_, s, phone := atTheTable(t, phoneScreen)
	phone.press(`button[data-denomination="cent"]`)
	phone.handsFree(s)
	const said = `document.querySelector('[data-part="said"]').textContent`
	before := phone.ask(said)
	s.pan("unplug")
	phone.until("word of the cable", fmt.Sprintf(`%s !== %q && /cable|plug/.test(%[1]s)`, said, before))
	pulled := phone.ask(said)
	s.pan("plug")
	phone.until("the coin at rest", `document.querySelector('[data-part="phase"]')?.dataset.phase === "settled"`)
	phone.until("another caption", fmt.Sprintf(`%s !== %q && !/cable|plug/.test(%[1]s)`, said, pulled))
	phone.shoot("plugged-in-again")
}
