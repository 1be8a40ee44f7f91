package e2e

import (
	"fmt"
	"testing"

	"github.com/chromedp/chromedp"
)

// dated types a coin's weight and date, and keeps it.
func (d *device) keepDated(grams, year, mint string) {
	d.t.Helper()
	d.typeFind(grams)
	d.details()
	d.edit()
	d.write("find-year", year)
	if mint != "" {
		d.until("the marks of that year", fmt.Sprintf(`[...document.querySelectorAll('[name="find-mint"] option')].some((o) => o.value === %q)`, mint))
		d.do(chromedp.Evaluate[chromedp.Void](fmt.Sprintf(`(el => { el.value = %q; el.dispatchEvent(new Event("change", { bubbles: true })); })(document.querySelector('[name="find-mint"]')); undefined`, mint)))
	}
}

// date gives the coin on the glass a year and a mark.
func (d *device) date(run, year, mint string) {
	d.t.Helper()
	d.press(`[data-do="enter-date"]`)
	d.press(fmt.Sprintf(`.date-key[data-run=%q]`, run))
	d.press(fmt.Sprintf(`.date-key[data-year=%q][data-mint=%q]`, year, mint))
}

// TestAFindIsATrophy: its photo large, what it is in one line, its badge, weight
// and verdict, and not one field until they are asked for. The row says the same.
func TestAFindIsATrophy(t *testing.T) {
	t.Parallel()
	phone := phoneForCents(t)
	phone.typeFind("3.11")
	phone.details()
	phone.until("a find without a photo, and the camera", `document.querySelector('[data-part="no-photo"]') && document.querySelector('[name="camera"]')`)
	phone.shoot("bare")
	phone.goTo("weigh")
	phone.keepDated("3.10", "1981", "D")
	phone.until("its title", `document.querySelector('[data-part="trophy"] h2').innerText === "1981-D, bronze"`)
	phone.tap(`[data-do="edit"]`)
	phone.addPhoto(1)
	phone.until("the whole photo", `document.querySelector('.large-photo [data-part="whole"] img')?.naturalWidth > 0`)
	phone.until("no field in sight", `!document.querySelector('[data-part="find"] :is(select, textarea, input:not([type="file"]))')`)
	if w := phone.ask(`String(document.querySelector(".large-photo img").getBoundingClientRect().width)`); len(w) < 3 || w < "300" {
		t.Errorf("the photo is %s wide on a phone of 360", w)
	}
	phone.until("badge, weight and verdict", `(t => t.querySelector('[data-part="badge"]').dataset.call === "ordinary" &&
		t.querySelector('[data-part="trophy-weight"]').innerText.replace(/\s/g, " ") === "3.10 g" &&
		t.querySelector('[data-part="claimed"]').innerText.startsWith("Bronze cent"))(document.querySelector('[data-part="trophy"]'))`)
	phone.inBothThemes("trophy", `[data-part="trophy"]`)
	phone.axeHere("a find as a trophy")

	phone.goTo("finds")
	phone.until("the row to say the same", `(r => r.querySelector(".find-row-name").innerText === "1981-D, bronze" &&
		r.querySelector('[data-part="badge"]').dataset.call === "ordinary" &&
		r.innerText.replace(/\s/g, " ").includes("3.10 g"))(document.querySelector("[data-find]"))`)
	phone.inBothThemes("rows", `[data-find]`)
	phone.axeHere("the list of finds")
}

// TestAnAnsweredQuestionIsInTheTitle: a 1982-D of bronze whose date is small; and
// the find that was kept before the answer follows it.
func TestAnAnsweredQuestionIsInTheTitle(t *testing.T) {
	t.Parallel()
	phone := phoneForCents(t)
	phone.typeFind("3.11")
	phone.date("1980", "1982", "D")
	phone.until("the question", `document.querySelector('[data-choice="small"]')`)
	phone.shoot("asked")
	phone.press(`[data-choice="small"]`)
	phone.until("the answer to change the verdict", `document.querySelector('[data-part="headline"]:not([data-last])')?.dataset.call === "look"`)
	phone.until("the coin kept with it", `document.querySelector('[data-do="open-find"]')`)
	phone.details()
	phone.until("the title", `/bronze · Small date$/.test(document.querySelector('[data-part="trophy"] h2').innerText)`)
	phone.until("the badge", `document.querySelector('[data-part="badge"]').dataset.call === "look"`)
	phone.inBothThemes("answered", `[data-part="trophy"]`)
}

// TestAHuntIsItsAccount: its source is asked once, at the tap that begins it; what
// it counted stands first, by metal; and no field is in sight.
func TestAHuntIsItsAccount(t *testing.T) {
	t.Parallel()
	_, s, phone := atTheTable(t, phoneScreen)
	phone.until("the core on the phone", `document.documentElement.dataset.core === "phone"`)
	phone.goTo("hunts")
	phone.tap(`[data-do="new-hunt"]`)
	phone.until("the question for the source", `document.querySelectorAll('[data-do="begin-hunt"]').length === 5`)
	phone.inBothThemes("source", `[data-part="ask-source"]`)
	phone.tap(`[data-do="begin-hunt"][data-source="inherited"]`)
	phone.until("it going on", `document.querySelector('[data-part="hunt"] [data-do="end"]')`)
	phone.goTo("weigh")
	phone.sitting("dime")
	phone.oneByOne(s, "silver-dime", "clad-dime", "silver-dime")
	phone.press(`[data-do="end-hands"]`)
	phone.press(`dialog[open] [data-do="close"]`)
	phone.goTo("hunts")
	phone.tap(`[data-hunt]`)
	phone.until("the coins counted", `/Coins searched\s*3/.test(document.querySelector('[data-part="account"]')?.innerText)`)
	phone.until("how much silver", `(m => m?.dataset.coins === "2" && m.innerText.includes("keepers"))(document.querySelector('[data-metal="90% silver"]'))`)
	phone.until("no field in sight, and no more question", `!document.querySelector('[data-part="hunt"] :is(input, select, textarea), [data-part="ask-source"]')`)
	phone.inBothThemes("account", `[data-part="account"]`)
	phone.axeHere("a hunt by its account")
	phone.edit()
	phone.until("the source among the fields", `document.querySelector('[data-choice="source-inherited"]').getAttribute("aria-pressed") === "true"`)
	phone.axeHere("a hunt, its fields")
}

// TestAnIdentificationEndsInAFind: with the dates known for it, one of which is
// picked, and kept as what it was found to be.
func TestAnIdentificationEndsInAFind(t *testing.T) {
	t.Parallel()
	phone := phoneForCents(t)
	phone.walkToADoubledDie()
	phone.press(`[data-do="all-dates"]`)
	phone.until("a doubled die with its dates", `document.querySelector('[data-kind="doubled-die"]') && document.querySelector('[data-part="known-dates"] [data-date="1955"]')`)
	phone.inBothThemes("dates", `[data-part="known-dates"]`)
	phone.axeHere("the end of an identification")
	phone.tap(`[data-date="1955"]`)
	phone.until("it picked", `document.querySelector('[data-date="1955"]').getAttribute("aria-pressed") === "true"`)
	phone.tap(`[data-do="keep-as-unweighed"]`)
	phone.until("it kept", `document.querySelector('[data-part="kept-as"]')?.textContent.includes("Doubled die")`)
	phone.tap(`[data-part="keep-as"] [data-do="undo"]`)
	phone.tap(`[data-do="keep-as-unweighed"]`)
	phone.tap(`[data-part="keep-as"] [data-do="open-find"]`)
	phone.until("a find of that date and kind", `(t => /^1955/.test(t.querySelector("h2").innerText) && /Doubled die/.test(t.innerText))(document.querySelector('[data-part="trophy"]'))`)
	phone.goTo("finds")
	phone.until("one find, the other taken back", `document.querySelectorAll("[data-find]").length === 1`)

	// A weighed coin, kept already: the kind is put to its find.
	phone.goTo("weigh")
	phone.typeFind("3.10")
	phone.walkToADoubledDie()
	phone.tap(`[data-do="keep-as"]`)
	phone.until("it said of that find", `document.querySelector('[data-part="kept-as"]')`)
	phone.goTo("finds")
	phone.until("two finds, both doubled dies", `[...document.querySelectorAll("[data-find]")].filter((r) => r.innerText.includes("Doubled die")).length === 2`)
}

// walkToADoubledDie answers the key as one who sees a second outline.
func (d *device) walkToADoubledDie() {
	d.t.Helper()
	d.goTo("identify")
	d.until("the first question", `document.querySelector("[data-answer]")`)
	for step := 0; d.ask(`document.querySelector('[data-part="walk"]').dataset.at`) == "question"; step++ {
		if step > 8 {
			d.t.Fatal("the walk to a doubled die has no end")
		}
		d.do(chromedp.Evaluate[chromedp.Void](`(() => {
			const all = [...document.querySelectorAll("[data-answer]")];
			const wanted = /doubl|twice|second|letter|split|round|rest of/i;
			window.before = document.querySelector('[data-part="walk"] h2').innerText;
			(all.find((a) => wanted.test(a.innerText)) ?? all[0]).click();
		})(); undefined`))
		d.until("the next step", `document.querySelector('[data-part="walk"] h2').innerText !== window.before`)
	}
	d.until("a doubled die", `document.querySelector('[data-kind="doubled-die"]')`)
}
