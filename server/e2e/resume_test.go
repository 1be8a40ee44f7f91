package e2e

import (
	"testing"

	"github.com/chromedp/chromedp"
)

// TestComingBackShowsTheNewestWeight: the page is left, and called back from
// the browser's memory where it keeps pages. It has a line again without a
// touch, and shows what lies on the pan now.
func TestComingBackShowsTheNewestWeight(t *testing.T) {
	_, s, phone := atTheTable(t, phoneScreen)
	phone.tap(`button[data-denomination="cent"]`)
	s.pan("put", "bronze-cent")
	phone.untilWeight(3.05, 3.17)
	phone.do(chromedp.Evaluate[chromedp.Void](`
		window.shows = [];
		addEventListener("pageshow", (e) => window.shows.push(e.persisted));
		undefined`))
	phone.open(s.api + "/trust")
	phone.until("another page", `!document.getElementById("app")`)
	s.pan("clear")
	s.pan("put", "zinc-cent")

	phone.do(chromedp.Evaluate[chromedp.Void](`history.back(); undefined`))
	phone.until("the weight that lies there now", `(w => w > 2.45 && w < 2.55)(Number.parseFloat(document.querySelector('[data-part="weight"]')?.textContent))`)
	phone.until("a line to the laptop", `!document.querySelector('[data-part="line"]')`)
	kept, err := chromedp.Run(phone.ctx, chromedp.Evaluate[string](`
		window.shows ? "kept" : JSON.stringify(performance.getEntriesByType("navigation")[0]?.notRestoredReasons ?? "no reason given")`))
	if err != nil {
		t.Fatal(err)
	}
	if kept != "kept" {
		// Browsers under a test's control may always load anew; what the app
		// does when it is kept is held by the tests of pwa/src/live.
		t.Logf("this browser loaded the page anew: %s", kept)
	}
}
