package e2e

import (
	"fmt"
	"testing"

	"github.com/chromedp/chromedp"
)

// types presses keys, one by one, where the focus is.
func (d *device) types(keys ...string) {
	d.t.Helper()
	for _, k := range keys {
		d.do(chromedp.Evaluate[chromedp.Void](fmt.Sprintf(
			`(document.activeElement ?? document.body).dispatchEvent(new KeyboardEvent("keydown", { key: %q, bubbles: true, cancelable: true })); undefined`, k)))
	}
}

// rested waits for a coin on the pan to have come to rest with its verdict.
func (d *device) rested(call string) {
	d.t.Helper()
	d.until("a coin at rest that is "+call, fmt.Sprintf(`document.querySelector('[data-part="phase"]')?.dataset.phase === "settled" &&
		document.querySelector('[data-part="headline"]:not([data-last])')?.dataset.call === %q`, call))
}

// TestDateByTapsAndByKeys: a phone's date and mint are three taps with the one
// that opens it, none of them small; a keyboard types it; the last one is one tap.
func TestDateByTapsAndByKeys(t *testing.T) {
	t.Parallel()
	browser := startBrowser(t)
	s := startServer(t, t.TempDir(), "--scale", "virtual")
	phone := newDevice(t, browser, phoneScreen)
	phone.open(s.phone)
	phone.press(`button[data-denomination="cent"]`)
	const given = `document.querySelector('[data-part="date"]')?.textContent`
	const large = `(buttons => buttons.length > 4 && buttons.every((b) => {
		const r = b.getBoundingClientRect();
		return r.height >= 44 && r.width >= 44 && r.left >= 0 && r.right <= innerWidth && r.top >= innerHeight * 0.4 && r.bottom <= innerHeight;
	}))`
	phone.tap(`[data-do="enter-date"]`)
	phone.until("the years, those of a jar in sight without a swipe", `document.querySelector('.date-panel')?.dataset.stage === "run" &&
		`+large+`([...document.querySelectorAll(".date-panel button")].filter((b) => !b.dataset.run || b.dataset.run >= 1950))`)
	phone.shoot("years")
	phone.tap(`.date-key[data-run="1955"]`)
	phone.until("the dates with their mints", large+`([...document.querySelectorAll(".date-panel button")])`)
	phone.shoot("dates")
	phone.tap(`.date-key[data-year="1955"][data-mint="-"]`)
	phone.until("the date", given+` === "1955, no mark"`)

	// The sheet of that very date, closest first and what the eye sees first.
	// Only a sheet of a date is tagged: the undated one lists dated points too.
	phone.until("the doubled die of that date", `document.querySelector('.point[data-scope="date"][data-kind="doubled-die"] .tag')`)
	phone.press(`[data-do="more-points"]`)
	// What is normal for a type stands at the end, so scopes alone aren't in order.
	phone.until("the order to inspect in", `(() => {
		const tools = ["eye", "scale", "magnet", "calipers", "loupe", "microscope"];
		const points = [...document.querySelectorAll(".point")].map((p) => p.dataset);
		const dates = points.filter((p) => p.scope === "date").length;
		const any = points.filter((p) => p.scope === "any").map((p) => tools.indexOf(p.with));
		return points.length > 20 && dates > 0 && points.slice(0, dates).every((p) => p.scope === "date") &&
			any.length > 10 && any.every((x, i) => i === 0 || any[i - 1] <= x);
	})()`)
	phone.until("a point to open", `(document.querySelector('.point[data-kind="doubled-die"] details').open = true)`)
	phone.until("its drawing", `document.querySelector('.point[data-kind="doubled-die"] .drawing svg')`)
	phone.do(chromedp.Evaluate[chromedp.Void](`document.querySelector('.point[data-kind="doubled-die"]').scrollIntoView(); undefined`))
	phone.shoot("sheet")

	// Only what was struck can be tapped: no quarter bears 1975.
	phone.press(`button[data-denomination="quarter"]`)
	phone.until("the date to be gone with the denomination", given+` === "any"`)
	phone.press(`[data-do="enter-date"]`)
	phone.press(`.date-key[data-run="1975"]`)
	phone.until("no 1975", `document.querySelector('.date-key[data-year="1976"]') && !document.querySelector('.date-key[data-year="1975"]')`)
	phone.press(`[data-do="date-back"]`)
	phone.press(`[data-do="any-date"]`)
	phone.until("the keys again", `document.querySelector('button[data-denomination="cent"]')`)

	// The last date of the denomination is one tap; by keyboard none.
	phone.press(`button[data-denomination="cent"]`)
	phone.press(`[data-do="same-date"]`)
	phone.until("the last date", given+` === "1955, no mark"`)
	phone.do(chromedp.EmulateViewport(laptopScreen.width, laptopScreen.height))
	phone.types("x")
	phone.until("no date", given+` === "any"`)
	phone.types("y")
	phone.until("the panel", `document.querySelector(".date-panel")`)
	phone.types("1", "9")
	phone.shoot("wide")
	phone.types("8", "2", "d")
	phone.until("the typed date", given+` === "1982 D"`)
	phone.shoot("typed")
}

// TestEvidenceFollowsTheNextTest: what the person finds out goes into the
// verdict, for the coin on the pan and for the one lifted to be looked at, and
// can be taken back.
func TestEvidenceFollowsTheNextTest(t *testing.T) {
	t.Parallel()
	browser := startBrowser(t)
	s := startServer(t, t.TempDir(), "--scale", "virtual")
	s.joinAsDesk()
	phone := newDevice(t, browser, phoneScreen)
	phone.open(s.phone)
	phone.press(`button[data-denomination="dime"]`)
	s.pan("put", "canadian-dime")
	phone.rested("look")
	const next = `document.querySelector('[data-part="next-test"]')?.dataset.test`
	const givens = `document.querySelectorAll("[data-given]").length`
	phone.until("a test to make", next)
	phone.until("how to make it", `document.querySelector(".verdict .how li")`)
	phone.do(chromedp.Evaluate[chromedp.Void](`document.querySelector('[data-part="evidence"]').scrollIntoView(); undefined`))
	phone.shoot("next-test")
	phone.until("whose result is asked", next+` === "design"`)
	phone.press(`[data-part="next-test"] [data-field="design"][data-answer="no"]`)
	phone.until("it to be known", givens+` === 1`)
	phone.until("a verdict that knows it, and a new test", `document.querySelector('[data-part="explanations"] li')?.dataset.kind === "foreign-coin" && `+next+` === "stripe"`)
	phone.press(`[data-part="next-test"] [data-field="stripe"][data-answer="no"]`)
	phone.until("the magnet, after what the eye tells", givens+` === 2 && `+next+` === "magnet"`)
	phone.until("the caution of the magnet", `/pacemaker.*pinch.*swallow/i.test(document.querySelector('[data-part="test-caution"]')?.textContent)`)
	phone.do(chromedp.Evaluate[chromedp.Void](`document.documentElement.dataset.theme = "dark";
		document.querySelector('[data-part="evidence"]').scrollIntoView(); undefined`))
	phone.shoot("given")
	phone.press(`[data-do="undo-evidence"]`)
	phone.until("the last to be taken back", givens+` === 1`)
	phone.press(`[data-do="undo-evidence"]`)
	phone.until("it to be taken back", givens+` === 0 && document.querySelector('[data-do="undo-evidence"]') === null`)

	// In the hand.
	s.pan("lift", "canadian-dime")
	// A coin put back before the pan was seen empty is the same one.
	phone.until("the empty pan", `document.querySelector('[data-part="phase"]')?.dataset.phase === "empty"`)
	phone.until("the last coin", `document.querySelector('[data-part="headline"]')?.hasAttribute("data-last")`)
	phone.press(`[data-field="design"][data-answer="no"]`)
	phone.press(`[data-field="edge"][data-answer="reeded"]`)
	phone.until("both to be known of the lifted coin", givens+` === 2 && document.querySelector('[data-part="headline"]')?.hasAttribute("data-last")`)
	phone.until("its verdict to know", `document.querySelector('[data-part="explanations"] li')?.dataset.kind === "foreign-coin"`)

	// Back on the pan it may be any coin, until the person says it is the same.
	s.pan("put", "canadian-dime")
	phone.rested("look")
	phone.until("nothing known", givens+` === 0`)
	phone.press(`[data-do="same-coin"]`)
	phone.until("all known again", givens+` === 2`)

	// A size that no coin has is refused, and the verdict stays.
	phone.do(chromedp.Evaluate[chromedp.Void](`(() => {
		const input = document.querySelector('input[name="diameter_mm"]');
		input.value = "0";
		input.dispatchEvent(new Event("input", { bubbles: true }));
		input.form.requestSubmit();
	})(); undefined`))
	phone.until("a sentence on it", `document.querySelector('.tell-size [role="alert"]')`)
	phone.until("nothing taken", givens+` === 2`)
}

// TestTheWeightChangesTheSheetAndAnswersTheKey: a quarter without a layer.
func TestTheWeightChangesTheSheetAndAnswersTheKey(t *testing.T) {
	t.Parallel()
	browser := startBrowser(t)
	s := startServer(t, t.TempDir(), "--scale", "virtual")
	s.joinAsDesk()
	phone := newDevice(t, browser, phoneScreen)
	phone.open(s.phone)
	phone.press(`button[data-denomination="quarter"]`)
	s.pan("put", "clad-quarter")
	phone.rested("ordinary")
	phone.until("a sheet without what a regular weight rules out", `document.querySelectorAll(".point").length > 0 &&
		!document.querySelector('.point[data-kind="missing-clad-layer"]')`)
	s.pan("clear")
	phone.until("the empty pan", `document.querySelector('[data-part="phase"]')?.dataset.phase === "empty"`)
	s.pan("put", "thin-quarter")
	phone.rested("look")
	phone.until("what explains a light coin, first", `[...document.querySelectorAll(".point")].slice(0, 8).some((p) => p.dataset.kind === "missing-clad-layer")`)

	const asks = `document.querySelector('[data-part="walk"] h2')?.textContent`
	const drawn = `document.querySelector('[data-part="walk"] .drawing svg')`
	say := func(answer string) {
		t.Helper()
		phone.until("the answer “"+answer+"”", fmt.Sprintf(`[...document.querySelectorAll(".choice")].some((c) => c.textContent.includes(%q))`, answer))
		phone.until("a drawing of the step", drawn)
		phone.do(chromedp.Evaluate[chromedp.Void](fmt.Sprintf(
			`[...document.querySelectorAll(".choice")].find((c) => c.textContent.includes(%q)).click(); undefined`, answer)))
	}
	phone.do(chromedp.Evaluate[chromedp.Void](`location.hash = "#/identify"; undefined`))
	phone.until("the first question", asks)
	phone.shoot("key-start")
	say("Its color or surface")
	say("One face red, the other white")
	// “What does the scale say?” is answered by the scale.
	phone.until("the kind", `document.querySelector('[data-part="walk"] h2')?.dataset.kind === "missing-clad-layer"`)
	phone.until("a drawing of the kind", drawn)
	phone.until("the scale's part in it", `[...document.querySelectorAll(".trail-step .tag")].length === 1`)
	phone.shoot("key-kind")

	phone.press(`[data-do="step-back"]`)
	phone.until("the scale's question, its answer marked", `document.querySelector(".choice .tag")`)
	phone.shoot("key-back")
	say("I can’t weigh it")
	phone.until("whom to ask", `document.querySelector('[data-part="walk"]').dataset.at === "end"`)
	phone.until("what to photograph", `document.querySelectorAll('[data-part="walk"] .care li').length >= 2`)
	phone.until("a drawing of the end", drawn)
	phone.shoot("key-end")
	phone.press(`[data-do="restart"]`)
	phone.until("the first question again", `document.querySelectorAll(".trail-step").length === 0`)
}
