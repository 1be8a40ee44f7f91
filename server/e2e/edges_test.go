package e2e

import (
	"encoding/json"
	"slices"
	"testing"

	"github.com/chromedp/chromedp"
)

// dim lists what is framed all round with an edge that doesn't stand out 3 to 1
// from what lies outside (WCAG 2.2, 1.4.11), by the colors as the browser
// computed them. What is switched off is free, and so is what is filled in a
// color that stands out itself.
const dim = `JSON.stringify((() => {
	const parts = (c) => (c.match(/[\d.]+/g) ?? []).map(Number);
	const luminance = ([r, g, b]) => [r, g, b].map((x) => x / 255).map((c) => (c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4))
		.reduce((sum, c, i) => sum + c * [0.2126, 0.7152, 0.0722][i], 0);
	const contrast = (a, b) => ((x, y) => (Math.max(x, y) + 0.05) / (Math.min(x, y) + 0.05))(luminance(a), luminance(b));
	const ground = (e) => {
		for (; e; e = e.parentElement) {
			const c = parts(getComputedStyle(e).backgroundColor);
			if (c.length === 3 || c[3] === 1) return c;
		}
		return [255, 255, 255];
	};
	const found = new Set();
	for (const e of document.querySelectorAll("body *")) {
		const s = getComputedStyle(e);
		const sides = ["Top", "Right", "Bottom", "Left"];
		if (!e.checkVisibility() || e.disabled || e.closest("svg") || sides.some((x) => s["border" + x + "Style"] === "none" || parseFloat(s["border" + x + "Width"]) === 0)) continue;
		const edge = parts(s.borderTopColor);
		if (edge[3] === 0) continue; // kept for a state
		const outside = ground(e.parentElement);
		const best = Math.max(contrast(edge, outside), contrast(ground(e), outside));
		if (best < 3) found.add(e.tagName + "." + e.className + ": " + best.toFixed(2));
	}
	return [...found];
})())`

// torn lists the words in which a figure may be parted from its unit at the end
// of a line.
const torn = `JSON.stringify((() => {
	const found = new Set();
	for (const e of document.querySelectorAll("body *")) {
		// A figure and its unit may be parts of one line in nodes of their own.
		const own = [...e.childNodes].some((n) => n.nodeType === Node.TEXT_NODE && n.data.trim() !== "");
		const inline = [...e.children].every((c) => getComputedStyle(c).display === "inline");
		if (!own || !inline || e.closest("code, pre, script, noscript, svg")) continue; // a drawing's words stay in one line
		if (/\d (%|°C|g|gr|mm|mg|kg|g\/cm³|cm³|s|MB|kB)(?![\p{L}\d])|± \d/u.test(e.textContent)) found.add(e.outerHTML.slice(0, 200));
	}
	return [...found];
})())`

// lists runs a script that answers with a list of words.
func (d *device) lists(script string) []string {
	d.t.Helper()
	var found []string
	if err := json.Unmarshal([]byte(d.ask(script)), &found); err != nil {
		d.t.Fatal(err)
	}
	return found
}

// TestEdgesAndFigures walks the screens: in either theme what is framed can be
// seen to be, and no figure is parted from its unit.
func TestEdgesAndFigures(t *testing.T) {
	t.Parallel()
	_, s, phone := atTheTable(t, phoneScreen)
	phone.press(`button[data-denomination="cent"]`)
	s.pan("put", "cent-on-dime")
	phone.until("a call to look", `document.querySelector('[data-part="headline"]:not([data-last])')?.dataset.call === "look"`)
	look := func(d *device, where string) {
		d.do(chromedp.Evaluate[chromedp.Void](`for (const e of document.querySelectorAll("details")) e.open = true; undefined`))
		for _, theme := range []string{"light", "dark"} {
			d.light(theme)
			for _, e := range d.lists(dim) {
				t.Errorf("%s, %s: a dim edge, %s", where, theme, e)
			}
		}
		for _, words := range d.lists(torn) {
			t.Errorf("%s: “%s” may be torn", where, words)
		}
	}
	look(phone, "a verdict")
	phone.press(`[data-do="enter-date"]`)
	phone.until("the entry of a date", `document.querySelector(".date-key")`)
	look(phone, "the date")
	phone.press(`[data-do="date-close"]`)
	for _, place := range slices.Concat(places, subPlaces) {
		if place != "desk" {
			phone.goTo(place)
			look(phone, place)
		}
	}
	phone.goTo("roll")
	phone.do(chromedp.Evaluate[chromedp.Void](`(async () => {
		const set = (e, v) => (e.value = v, e.dispatchEvent(new Event(e.tagName === "SELECT" ? "change" : "input", { bubbles: true })));
		const until = async (f) => { while (!f()) await new Promise((r) => setTimeout(r, 20)); return f(); };
		set(document.querySelector('[name="denomination"]'), "dime");
		const issues = () => [...(document.querySelector('[name="issue"]')?.options ?? [])].filter((o) => o.value);
		await until(() => issues().length > 1);
		const find = (word) => issues().find((o) => o.text.includes(word)).value;
		window.firstIssue = issues()[0].text;
		set(document.querySelector('[name="issue"]'), find("clad"));
		const silver = find("silver");
		await until(() => [...(document.querySelector('[name="other"]')?.options ?? [])].some((o) => o.value === silver));
		set(document.querySelector('[name="other"]'), silver);
		await until(() => document.querySelector('[name="count"]'));
		set(document.querySelector('[name="count"]'), "50");
		set(document.querySelector('[name="total_g"]'), "113.9");
		document.querySelector('[data-do="work"]').click();
	})(); undefined`))
	phone.until("the answer on a roll", `document.querySelector('[data-part="answer"]')?.innerText.includes("would show up")`)
	phone.until("the newest coins first", `window.firstIssue.includes("20")`)
	look(phone, "a roll's answer")
	_, _, desk := atTheDesk(t)
	look(desk, "desk")
}
