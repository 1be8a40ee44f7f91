package e2e

import (
	"fmt"
	"slices"
	"testing"

	"github.com/chromedp/chromedp"
)

// inSight waits until the whole of a part stands on the glass and nothing lies
// over it.
func (d *device) inSight(what, selector string) {
	d.t.Helper()
	d.until(what+" in sight", fmt.Sprintf(`[...document.querySelectorAll(%s)].map((e) => [e, e.getBoundingClientRect()]).map(([e, r]) =>
		r.width > 0 && r.left >= 0 && r.top >= 0 && r.right <= innerWidth && r.bottom <= innerHeight &&
		[r.top + 1, r.bottom - 1].every((y) => e.contains(document.elementFromPoint(r.left + r.width / 2, y)))
	).reduce((all, one) => all && one, document.querySelector(%[1]s) !== null)`, quoted(selector)))
}

// TestAPhoneOnItsSide has little height: the number and its uncertainty stay in
// sight with all the keys, for either hand.
func TestAPhoneOnItsSide(t *testing.T) {
	t.Parallel()
	_, s, phone := atTheTable(t, phoneScreen)
	phone.press(`button[data-denomination="cent"]`)
	s.pan("put", "zinc-cent")
	phone.rested("ordinary")
	phone.do(chromedp.EmulateViewport(phoneScreen.height, phoneScreen.width, chromedp.EmulateMobile, chromedp.EmulateTouch))
	for _, hand := range []string{"left", "right"} {
		phone.do(chromedp.Evaluate[chromedp.Void](fmt.Sprintf(`document.documentElement.dataset.hand = %q; undefined`, hand)))
		phone.inSight("the number", `.digits`)
		phone.inSight("its uncertainty", `[data-part="u"]`)
		phone.inSight("what keeps the coin", `[data-do="keep"]`)
		phone.inSight("the denominations", `button[data-denomination]`)
		phone.shoot(hand)
	}
	phone.press(`[data-do="type"]`)
	phone.inSight("the number pad", `.pad-key`)
	phone.until("a margin beside what is typed", `document.querySelector(".digits").getBoundingClientRect().left > 8`)
	phone.shoot("typed")
}

// TestLettersTwiceAsLarge: the browser's own letters at twice their size on a
// narrow phone: no screen is wider than the glass, a coin can be kept before the
// list of what to inspect, and the number pad stands whole below what it types.
func TestLettersTwiceAsLarge(t *testing.T) {
	t.Parallel()
	browser := startBrowser(t, chromedp.Flag("blink-settings", "defaultFontSize=32"))
	s := startServer(t, t.TempDir(), "--scale", "virtual")
	s.joinAsDesk()
	phone := newDevice(t, browser, phoneScreen)
	phone.open(s.phone)
	phone.weighing()
	phone.tap(`button[data-denomination="cent"]`)
	s.pan("put", "zinc-cent")
	phone.rested("ordinary")
	phone.until("the way to keep the coin between its verdict and the long list", `
		((top) => top(".verdict") < top('[data-do="keep"]') && top('[data-do="keep"]') < top(".inspect"))
		((s) => document.querySelector(s)?.getBoundingClientRect().top)`)
	phone.shoot("weighed")
	for _, place := range slices.Concat(places, subPlaces) {
		if place == "desk" {
			continue // the laptop's own
		}
		phone.goTo(place)
		phone.until("nothing beside the glass at "+place, `document.scrollingElement.scrollWidth <= document.documentElement.clientWidth`)
	}
	phone.goTo("weigh")
	const whole = `[...document.querySelectorAll(".date-key")].every((k) => k.scrollWidth <= k.clientWidth)`
	phone.press(`[data-do="enter-date"]`)
	phone.until("the years to read whole", `document.querySelector(".date-key[data-run]") && `+whole)
	phone.press(`.date-key[data-run="1980"]`)
	phone.until("the dates to read whole", `document.querySelector(".date-key[data-mint]") && `+whole)
	phone.shoot("mint")
	phone.press(`[data-do="date-close"]`)
	phone.goTo("type")
	phone.do(chromedp.Evaluate[chromedp.Void](`scrollTo(0, 0); undefined`))
	phone.inSight("what is typed", `.digits`)
	phone.inSight("the first keys", `.pad-key[data-key="1"], .pad-key[data-key="4"]`)
	phone.until("the whole pad within the width", `[...document.querySelectorAll(".pad-key")].every((k) => k.getBoundingClientRect().right <= innerWidth && k.scrollWidth <= k.clientWidth)`)
	phone.shoot("typed")
}

// TestAnOpenedPointStaysOpen while the settled weight takes it to the points
// that would explain it.
func TestAnOpenedPointStaysOpen(t *testing.T) {
	t.Parallel()
	_, s, phone := atTheTable(t, laptopScreen)
	const point = `.point[data-kind="wrong-planchet"]`
	phone.press(`button[data-denomination="cent"]`)
	phone.press(`[data-do="more-points"]`)
	phone.press(point + ` summary`)
	phone.until("the point to open", `document.querySelector('`+point+` details').open`)
	s.pan("put", "cent-on-dime")
	phone.until("the point first among those that explain the weight", `document.querySelector('.inspect h3 + .points `+point+`')`)
	phone.until("it to be open still", `document.querySelector('`+point+` details').open && document.querySelector('`+point+` .drawing')`)
}
