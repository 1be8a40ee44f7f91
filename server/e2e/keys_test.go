package e2e

import (
	"context"
	"encoding/json"
	"errors"
	"slices"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// TestAKeyboardAloneDoesEverything goes the main ways without a pointer: pick,
// judge, type, read on, set, look up, leave.
func TestAKeyboardAloneDoesEverything(t *testing.T) {
	t.Parallel()
	_, s, d := atTheTable(t, laptopScreen)

	d.tabTo(`button[data-denomination="cent"]`)
	d.enter()
	s.pan("put", "bronze-cent")
	d.untilVerdict("bronze", "ordinary")
	d.do(chromedp.KeyEvent("a"))
	d.until("the alloys to open", `document.getElementById("alloys")?.open`)
	d.do(chromedp.KeyEvent("i"))
	d.until("the way to what to inspect", `document.activeElement?.id === "inspect"`)
	d.tabTo(`[data-part="inspect"] button, [data-part="inspect"] summary`)
	d.enter()

	d.do(chromedp.KeyEvent("t"))
	d.until("the number pad", `document.querySelector('[data-is="typed"]')`)
	d.do(chromedp.KeyEvent("2.26"))
	d.until("the typed weight's verdict", `document.querySelector('[data-part="headline"]:not([data-last])')?.dataset.call === "look"`)
	d.do(chromedp.KeyEvent(kb.Escape))
	d.untilVerdict("bronze", "ordinary")
	d.do(chromedp.KeyEvent("3"))
	d.until("another denomination by its figure", `document.querySelector('button[data-denomination="dime"]')?.getAttribute("aria-pressed") === "true"`)

	d.tabTo(`[data-do="settings"]`)
	d.enter()
	d.until("the settings", `document.querySelector("dialog[open]")`)
	d.tabTo(`dialog[open] input[name="theme"]`)
	d.do(chromedp.KeyEvent(kb.ArrowRight))
	d.until("another theme", `document.documentElement.dataset.theme !== "auto"`)
	d.do(chromedp.KeyEvent(kb.Escape))
	d.until("the way back to the button", `!document.querySelector("dialog[open]") && document.activeElement?.dataset.do === "settings"`)

	d.tabTo(`[data-do="tools"]`)
	d.enter()
	d.tabTo(`dialog[open] a[href="#/density"]`)
	d.enter()
	d.until("the tool", `location.hash === "#/density" && !document.querySelector("dialog[open]")`)
	d.do(chromedp.Evaluate[chromedp.Void](`history.back(); undefined`))
	d.until("the way back", `document.querySelector('[data-screen="weigh"]')`)

	d.tabTo(`[data-do="settings"]`)
	d.enter()
	d.tabTo(`[data-do="leave"]`)
	d.enter()
	d.tabTo(`[data-do="leave-yes"]`)
	d.enter()
	d.until("being out", `document.querySelector('[data-part="join-fault"]')?.dataset.fault === "left"`)
}

// tabTo presses the tabulator until the focus is on what the selector names.
func (d *device) tabTo(selector string) {
	d.t.Helper()
	d.until(selector, `document.querySelector(`+quoted(selector)+`)`)
	for range 150 {
		d.do(chromedp.KeyEvent(kb.Tab))
		there, err := chromedp.Run(d.ctx, chromedp.Evaluate[bool](`document.activeElement?.matches(`+quoted(selector)+`) ?? false`))
		if err != nil {
			d.t.Fatal(err)
		}
		if there {
			return
		}
	}
	d.t.Fatalf("the tabulator never comes to %s\n%s", selector, d.state())
}

// enter presses Enter as a keyboard does, in one event. As chromedp presses it, a
// link is followed by the first of two, and the second may already meet the button
// that the focus has gone back to.
func (d *device) enter() {
	d.t.Helper()
	d.do(chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
		keys := kb.Encode('\r')
		down, up := *keys[0], *keys[len(keys)-1]
		down.Text = "\r"
		_, err := cdp.Call(ctx, target, input.DispatchKeyEvent, down)
		if err != nil {
			return err
		}
		_, err = cdp.Call(ctx, target, input.DispatchKeyEvent, up)
		return err
	}))
}

// quoted is a text as a JavaScript literal.
func quoted(text string) string {
	raw, err := json.Marshal(text)
	if err != nil {
		panic(err) // texts always can be
	}
	return string(raw)
}

// TestEveryControlIsReachedByTheTabulator: on each screen every control gets
// the focus in turn, and shows it.
func TestEveryControlIsReachedByTheTabulator(t *testing.T) {
	t.Parallel()
	browser := startBrowser(t)
	s := startServer(t, t.TempDir(), "--scale", "virtual")
	phone, desk := newDevice(t, browser, laptopScreen), newDevice(t, browser, laptopScreen)
	phone.open(s.phone)
	phone.weighing()
	desk.open(s.desk)
	desk.until("the desk with a phone on its list", `document.querySelector('[data-part="offer"] img') && document.querySelector('[data-do="end"]')`)
	s.token = desk.token()
	for _, place := range slices.Concat(places, subPlaces) {
		d := phone
		if place == "desk" {
			d = desk
		}
		d.goTo(place)
		d.tabThrough(place)
	}
	phone.goTo("weigh")
	for _, name := range sheetNames(t) {
		if !phone.openSheet(name) {
			continue
		}
		phone.tabThrough("sheet " + name)
		phone.do(chromedp.KeyEvent(kb.Escape))
		phone.until("the sheet to close", `!document.querySelector("dialog[open]")`)
	}
	phone.handsFree(s)
	phone.tabThrough("hands-free")
	for name, button := range handsFreeSheets {
		phone.press(button)
		phone.until("the sheet "+name, `document.querySelector("dialog[open]")`)
		phone.tabThrough("sheet " + name)
		phone.closeSheet()
	}
}

// tabs presses the tabulator many times. The presses are all the same, so none
// has to wait for the one before to be answered.
func (d *device) tabs(n int) {
	d.t.Helper()
	d.do(chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
		down := kb.Encode([]rune(kb.Tab)[0])[0]
		answers := make(chan error, n)
		for range n {
			go func() {
				_, err := cdp.Call(ctx, target, input.DispatchKeyEvent, *down)
				answers <- err
			}()
		}
		var failed error
		for range n {
			failed = errors.Join(failed, <-answers)
		}
		return failed
	}))
}

// tabThrough presses the tabulator once for each control and some more, and
// finds those that were left out or didn't show that they had the focus.
func (d *device) tabThrough(name string) {
	d.t.Helper()
	ctx := d.ctx
	n, err := chromedp.Run(ctx, chromedp.Evaluate[int](`
		window.controls = () => {
			const within = document.querySelector("dialog[open]") ?? document;
			return [...within.querySelectorAll("a[href], button, input, select, textarea, summary, [tabindex='0']")].filter((e) =>
				!e.disabled && e.tabIndex >= 0 && !e.closest("[inert]") && e.checkVisibility({ visibilityProperty: true }) &&
				// Of a group of choices the tabulator reaches the chosen one; arrows do the rest.
				!(e.type === "radio" && !e.checked && [...within.querySelectorAll("input[type=radio]")].some((r) => r.name === e.name && r.checked)));
		};
		window.met = new Set();
		window.unseen = [];
		window.meet ??= addEventListener("focusin", (e) => {
			window.met.add(e.target);
			const shows = (el) => {
				const style = getComputedStyle(el);
				return (style.outlineStyle !== "none" && Number.parseFloat(style.outlineWidth) > 0) || style.boxShadow !== "none";
			};
			const box = e.target.closest("label") ?? e.target;
			const seen = [e.target, box, ...box.querySelectorAll("*")].some(shows);
			// A heading that a new screen begins with takes the focus and is no control.
			if (!seen && e.target.tabIndex >= 0 && e.target.matches(":focus-visible")) window.unseen.push(e.target.outerHTML.slice(0, 160));
		}) ?? true;
		document.activeElement?.blur();
		window.controls().length`))
	if err != nil {
		d.t.Fatal(err)
	}
	if n == 0 {
		d.t.Errorf("%s: nothing to reach", name)
		return
	}
	var found struct{ Missed, Unseen []string }
	// Once more round where parts of the screen came after the count.
	for range 4 {
		d.tabs(n + 4)
		left, err := chromedp.Run(ctx, chromedp.Evaluate[string](`JSON.stringify({
			Missed: window.controls().filter((e) => !window.met.has(e)).map((e) => e.outerHTML.slice(0, 160)), Unseen: window.unseen })`))
		if err != nil {
			d.t.Fatal(err)
		}
		if err := json.Unmarshal([]byte(left), &found); err != nil {
			d.t.Fatal(err)
		}
		if len(found.Missed) == 0 {
			break
		}
		n += 2 * len(found.Missed)
	}
	for _, m := range found.Missed {
		d.t.Errorf("%s: never reached: %s", name, m)
	}
	for _, u := range found.Unseen {
		d.t.Errorf("%s: doesn't show that it has the focus: %s", name, u)
	}
}
