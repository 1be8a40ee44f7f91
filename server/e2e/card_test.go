package e2e

import (
	"fmt"
	"testing"

	"github.com/chromedp/chromedp"
)

// countTaps counts every click of a finger from here on in window.taps.
var countTaps = chromedp.Evaluate[chromedp.Void](`
	window.taps = 0;
	addEventListener("click", (e) => { if (e.isTrusted) window.taps++; }, true);
	undefined`)

// tapped fails unless exactly so many taps were needed since the last look.
func (d *device) tapped(what string, taps int) {
	d.t.Helper()
	if got := d.ask(`String(window.taps)`); got != fmt.Sprint(taps) {
		d.t.Errorf("%s took %s taps, want %d", what, got, taps)
	}
	d.do(chromedp.Evaluate[chromedp.Void](`window.taps = 0; undefined`))
}

// next puts another coin on the pan once it was seen empty, and waits for it to rest.
func (d *device) next(s *server, coin string) {
	d.t.Helper()
	s.pan("clear")
	d.emptyPan()
	d.lay(s, coin)
	d.settled()
}

// lay puts a coin on the empty pan and waits for its weight. On a busy machine lines
// come late, and a coin may be asked for once more: then it is put on again.
func (d *device) lay(s *server, coin string) {
	d.t.Helper()
	for range 3 {
		s.pan("put", coin)
		d.until("a coin at rest", `["settled", "withheld"].includes(document.querySelector('[data-part="phase"]')?.dataset.phase)`)
		if d.ask(`document.querySelector('[data-part="phase"]').dataset.phase`) == "settled" {
			return
		}
		s.pan("clear")
		d.emptyPan()
	}
	d.t.Fatalf("%s is asked for again and again", coin)
}

// settled waits for a coin at rest with its verdict, whatever that is.
func (d *device) settled() {
	d.t.Helper()
	d.until("a coin at rest with its verdict", `document.querySelector('[data-part="phase"]')?.dataset.phase === "settled" &&
		document.querySelector('[data-part="headline"]:not([data-last])')`)
}

// TestTapsAtTheTable counts what each job of an evening takes.
func TestTapsAtTheTable(t *testing.T) {
	t.Parallel()
	_, s, phone := atTheTable(t, phoneScreen)
	phone.do(countTaps)
	phone.lay(s, "zinc-cent")
	phone.tap(`button[data-denomination="cent"]`)
	phone.rested("ordinary")
	phone.tapped("a denomination", 1)
	phone.tap(`[data-do="keep"]`)
	phone.until("the coin kept", `document.querySelector('[data-do="open-find"]')`)
	phone.tapped("to keep a coin", 1)

	phone.next(s, "cent-1982-bronze")
	phone.tapped("the next coin", 0)
	phone.tap(`[data-do="enter-date"]`)
	phone.tap(`[data-run="1980"]`)
	phone.tap(`[data-year="1982"][data-mint="D"]`)
	phone.until("the question", `document.querySelector('[data-question="us-cent-1982-date"] [data-choice="small"]')`)
	phone.tapped("date and mint", 3)
	phone.inSight("both answers", `[data-part="question"] button`)
	phone.shoot("question")

	phone.tap(`[data-choice="small"]`)
	phone.rested("look")
	phone.tapped("is it the rare one", 1)
	phone.until("what was said", `document.querySelector('[data-part="answered"]')?.dataset.choice === "small"`)
	phone.shoot("small")
	phone.tap(`[data-do="undo-answer"]`)
	phone.until("the question again", `document.querySelector('[data-part="question"]') && !document.querySelector('[data-part="answered"]')`)
	phone.tapped("a wrong answer", 1)
	phone.tap(`[data-choice="large"]`)
	phone.until("the other answer", `document.querySelector('[data-part="answered"]')?.dataset.choice === "large"`)

	// The answer is this coin's alone.
	phone.next(s, "cent-1982-bronze")
	phone.until("nothing answered", `!document.querySelector('[data-part="answered"]')`)

	// A cent of bronze in the year of steel: its color first, then the magnet.
	phone.next(s, "bronze-cent")
	phone.tap(`[data-do="enter-date"]`)
	phone.tap(`[data-run="1940"]`)
	phone.tap(`[data-year="1943"][data-mint="-"]`)
	phone.rested("look")
	phone.tap(`[data-part="next-test"] [data-field="colour"][data-answer="red"]`)
	phone.until("the magnet", `document.querySelector('[data-part="next-test"]')?.dataset.test === "magnet"`)
	phone.until("its caution", `/pacemaker.*pinch.*swallow/i.test(document.querySelector('[data-part="test-caution"]')?.textContent)`)
	phone.do(chromedp.Evaluate[chromedp.Void](`window.taps = 0; undefined`))
	phone.inSight("the magnet's answers", `[data-part="next-test"] [data-field="magnetic"]`)
	phone.shoot("magnet")
	phone.tap(`[data-part="next-test"] [data-field="magnetic"][data-answer="yes"]`)
	phone.until("it to be known", `document.querySelector('[data-given="magnetic"]')`)
	phone.tapped("the magnet", 1)
}

// TestTheFirstPointIsOnTheFirstScreen of a small phone, without scrolling,
// whatever the verdict; so is what is asked.
func TestTheFirstPointIsOnTheFirstScreen(t *testing.T) {
	t.Parallel()
	_, s, phone := atTheTable(t, phoneScreen)
	for _, c := range []struct{ denomination, coin string }{
		{"cent", "bronze-cent"}, {"cent", "zinc-cent"}, {"quarter", "thin-quarter"}, {"dime", "silver-dime"},
		{"dime", "canadian-dime"}, {"cent", "cent-on-dime"}, {"cent", "steel-cent"}, {"nickel", "nickel"},
	} {
		phone.press(fmt.Sprintf(`button[data-denomination=%q]`, c.denomination))
		phone.next(s, c.coin)
		phone.inSight("the verdict on "+c.coin, `.headline h2`)
		phone.inSight("what to look at first on "+c.coin, `[data-do="first-look"]`)
		phone.until("what is asked of it in sight", `[...document.querySelectorAll('[data-part="next-test"] [data-answer], [data-part="question"] button')].every((b) =>
			b.getBoundingClientRect().bottom <= document.querySelector(".dock").getBoundingClientRect().top)`)
		phone.shoot(c.coin)
	}
	phone.tap(`[data-do="first-look"]`)
	phone.until("that point opened on the list", `((kind) => document.querySelector('.point[data-kind="' + kind + '"] details')?.open)(document.querySelector('[data-do="first-look"]').dataset.kind)`)
}

// TestReadingLeavesAStrip: below the verdict, weight and verdict stand in a row
// and the keys go; a new coin, an answer and a tap bring them back.
func TestReadingLeavesAStrip(t *testing.T) {
	t.Parallel()
	_, s, phone := atTheTable(t, phoneScreen)
	phone.press(`button[data-denomination="dime"]`)
	phone.next(s, "clad-dime")
	const atTop = `document.querySelector(".weigh-scroll").scrollTop === 0 && !document.querySelector('[data-part="strip"]')`
	read := func() {
		t.Helper()
		// A verdict that has just changed holds the top, so it is scrolled until it stays.
		phone.until("the strip, and one row of keys", `((box) => { box.scrollTop = 700; })(document.querySelector(".weigh-scroll")) ||
			(r => r && r.top === 0 && r.height <= 50)(document.querySelector('[data-part="strip"]')?.getBoundingClientRect()) &&
			document.querySelector(".dock").getBoundingClientRect().height <= 72 && document.querySelector(".keys").offsetHeight === 0`)
		phone.inSight("the way to keep the coin", `[data-do="keep"]`)
	}
	read()
	phone.until("weight and verdict in it", `/2\.2\d\s*g/.test(document.querySelector('[data-part="strip"]').innerText) && /ordinary/i.test(document.querySelector('[data-part="strip"]').innerText)`)
	phone.shoot("reading")
	phone.axeHere("the strip")
	read() // the checker scrolls to what it looks at

	// Lifted to be looked at, it stays where it is read.
	s.pan("lift", "clad-dime")
	phone.until("whose verdict it is", `/last coin/i.test(document.querySelector('[data-part="strip"]')?.innerText)`)
	phone.until("the empty pan", `document.querySelector('[data-part="phase"]')?.dataset.phase === "empty"`)
	phone.until("the place kept", `document.querySelector(".weigh-scroll").scrollTop > 400`)
	s.pan("put", "canadian-dime")
	phone.rested("look")
	phone.until("the verdict at the top", atTop)
	phone.inSight("the new coin's verdict", `.headline h2`)

	read()
	phone.press(`[data-part="next-test"] [data-answer]`)
	phone.until("the changed verdict at the top", atTop)
	read()
	phone.tap(`[data-part="strip"]`)
	phone.until("the top again", atTop)

	read()
	s.pan("unplug")
	phone.until("no weight in the strip either", `((words) => /no weight/i.test(words) && !/\d\.\d/.test(words))(document.querySelector('[data-part="strip"]')?.innerText ?? "")`)
}

// TestAKeeperByOneTap: silver is a keeper from the start, a bronze cent once it
// is wanted; both can be taken back.
func TestAKeeperByOneTap(t *testing.T) {
	t.Parallel()
	_, s, phone := atTheTable(t, phoneScreen)
	phone.press(`button[data-denomination="dime"]`)
	phone.next(s, "silver-dime")
	phone.rested("keeper")
	phone.until("why", `/silver/.test(document.querySelector('[data-part="wanted"]')?.innerText)`)
	phone.shoot("silver")
	phone.axeHere("a keeper")

	phone.press(`button[data-denomination="cent"]`)
	phone.next(s, "bronze-cent")
	phone.rested("ordinary")
	phone.tap(`[data-do="always-keep"][data-want="bronze-cents"]`)
	phone.rested("keeper")
	phone.shoot("bronze")
	phone.tap(`[data-do="undo-always"]`)
	phone.rested("ordinary")
	phone.tap(`[data-do="always-keep"][data-want="bronze-cents"]`)
	phone.rested("keeper")
	phone.next(s, "zinc-cent")
	phone.rested("ordinary")

	phone.tap(`.places [data-do="keep-list"]`)
	phone.until("the list", `document.querySelector('[name="want-bronze-cents"]')?.checked && document.querySelector('[name="want-silver"]').checked`)
	phone.press(`[name="want-bronze-cents"]`)
	phone.tap(`[data-do="undo-keep-list"]`)
	phone.until("bronze cents on the list again", `document.querySelector('[name="want-bronze-cents"]').checked`)
	phone.write("keep-date", "soon")
	phone.press(`[data-do="add-date"]`)
	phone.until("a plain word on it", `document.querySelector('dialog[open] [role="alert"]')`)
	phone.write("keep-date", "cent 1998 d")
	phone.press(`[data-do="add-date"]`)
	phone.until("the date on the list", `document.querySelector('[data-date="cent 1998-D"]')`)
	phone.shoot("list")
	phone.closeSheet()
}

// TestADateIsSearched: pinned, it holds for every coin and over a visit, with
// its own points on the first screen.
func TestADateIsSearched(t *testing.T) {
	t.Parallel()
	_, s, phone := atTheTable(t, phoneScreen)
	const given = `document.querySelector('[data-part="date"]')?.textContent`
	phone.press(`button[data-denomination="cent"]`)
	phone.press(`[data-do="enter-date"]`)
	phone.press(`[data-run="1995"]`)
	phone.press(`[data-year="1998"][data-mint="-"]`)
	phone.tap(`[data-do="search-date"]`)
	for range 2 {
		phone.next(s, "zinc-cent")
		phone.until("the date", given+` === "1998, no mark"`)
		phone.until("the date's own points", `document.querySelector('[data-part="first-look"][data-searched] h3')?.innerText.includes("1998")`)
	}
	phone.shoot("searched")
	phone.do(chromedp.Reload())
	phone.weighing()
	phone.until("the date after a new start", given+` === "1998, no mark"`)
	phone.next(s, "zinc-cent")
	phone.until("the date", given+` === "1998, no mark"`)
	phone.tap(`[data-do="search-date"]`)
	phone.next(s, "zinc-cent")
	phone.until("no date on the next coin", given+` === "any"`)
}

// TestKeysOfSeveralCountries: a country that was chosen once is as near as the
// United States; a coin of another is two taps.
func TestKeysOfSeveralCountries(t *testing.T) {
	t.Parallel()
	_, s, phone := atTheTable(t, phoneScreen)
	phone.tap(`[data-do="more"]`)
	phone.press(`[name="country-CA"]`)
	phone.closeSheet()
	phone.until("keys of both", `document.querySelectorAll('.keys [data-country="US"]').length > 5 && document.querySelectorAll('.keys [data-country="CA"]').length > 5`)
	phone.shoot("keys")
	phone.press(`.keys [data-country="CA"][data-denomination="dime"]`)
	phone.inSight("the picked key of a long row", `.keys [aria-pressed="true"]`)
	phone.next(s, "canadian-dime")
	phone.rested("ordinary")
	phone.tap(`[data-do="more"]`)
	phone.press(`dialog [data-country="GB"][data-denomination="penny"]`)
	phone.until("the penny on its key", `/penny/.test(document.querySelector('.keys [data-outside]')?.textContent)`)
}

// TestPlacesHaveWords: at most five, each with its word, and no button of the
// weigh screen is a bare sign.
func TestPlacesHaveWords(t *testing.T) {
	t.Parallel()
	browser, s, desk := atTheDesk(t)
	phone := newDevice(t, browser, phoneScreen)
	phone.open(s.phone)
	phone.weighing()
	for name, d := range map[string]*device{"phone": phone, "desk": desk} {
		d.goTo("weigh")
		d.until("at most five places with words on the "+name, `((places) => places.length > 3 && places.length <= 5 &&
			places.every((p) => p.innerText.trim().length > 3 && p.scrollWidth <= p.clientWidth))([...document.querySelectorAll(".places > *")])`)
		d.until("no bare sign on the "+name, `[...document.querySelectorAll(".page button, .page a")].filter((b) => b.checkVisibility() && !b.closest("dialog") && !b.classList.contains("skip"))
			.every((b) => [...b.querySelectorAll("*")].concat(b).some((e) => !e.classList.contains("unseen") && [...e.childNodes].some((n) => n.nodeType === 3 && n.data.trim())))`)
	}
	phone.press(`[data-do="type"]`)
	phone.until("a phone's order of figures", `[...document.querySelectorAll(".pad-key[data-key]")].map((k) => k.dataset.key).join("") === "123456789.0" &&
		((a, b) => a.getBoundingClientRect().top < b.getBoundingClientRect().top)(document.querySelector('[data-key="3"]'), document.querySelector('[data-key="4"]'))`)
	phone.inSight("the whole pad", `.pad-key`)
}

// TestACoinShowsOneNumber: corrected, the same wherever it stands; the scale's
// display small beside it.
func TestACoinShowsOneNumber(t *testing.T) {
	t.Parallel()
	_, s, phone := atTheTable(t, phoneScreen)
	phone.press(`button[data-denomination="cent"]`)
	phone.next(s, "bronze-cent")
	phone.until("one number", `((grams) => /^\d\.\d\d$/.test(grams) &&
		document.querySelector('[data-do="keep"]').innerText.includes(grams) &&
		document.querySelector(".band-label.strong").textContent.startsWith(grams) &&
		/\d\.\d\d/.test(document.querySelector('[data-part="display"]').innerText) &&
		parseFloat(getComputedStyle(document.querySelector('[data-part="display"]')).fontSize) * 3 < parseFloat(getComputedStyle(document.querySelector(".digits")).fontSize)
	)(document.querySelector('[data-part="weight"]').textContent)`)
	// Scrolled anew each time: the list below may still be growing.
	phone.until("the same in the strip", `(document.querySelector(".weigh-scroll").scrollTop = 600) &&
		document.querySelector('[data-part="strip"]')?.innerText.includes(document.querySelector('[data-part="weight"]').textContent)`)
}
