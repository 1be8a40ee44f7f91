package e2e

import (
	"fmt"
	"testing"

	"github.com/chromedp/chromedp"
)

// dated types a coin's weight and date, and keeps it.
func (d *device) keepDated(grams, year, mint string) {
	d.t.Helper()
	d.until("the scale's line or its lack", `document.querySelector('[data-do="type"]')`)
	d.typeFind(grams)
	d.details()
	d.edit()
	d.write("find-year", year)
	if mint != "" {
		d.until("the marks of that year", fmt.Sprintf(`[...document.querySelectorAll('[name="find-mint"] option')].some((o) => o.value === %q)`, mint))
		d.do(chromedp.Evaluate[chromedp.Void](fmt.Sprintf(`(el => { el.value = %q; el.dispatchEvent(new Event("change", { bubbles: true })); })(document.querySelector('[name="find-mint"]')); undefined`, mint)))
	}
}

// TestAFindIsATrophy: its photo large, what it is in one line, its badge, weight
// and verdict, and not one field until they are asked for. The row says the same.
func TestAFindIsATrophy(t *testing.T) {
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
