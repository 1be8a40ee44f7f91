package e2e

import (
	"fmt"
	"testing"

	"github.com/chromedp/chromedp"
)

// TestComingBackShowsTheNewestWeight: the page is left, kept in the browser's
// memory, and called back from there. It has a line again without a touch, and
// shows what lies on the pan now.
func TestComingBackShowsTheNewestWeight(t *testing.T) {
	for told, deaf := range map[string]string{
		"by everything": "",
		// Not every browser tells a kept page that it is visible again.
		"by pageshow alone": `addEventListener("visibilitychange", (e) => e.stopImmediatePropagation(), true);`,
	} {
		t.Run(told, func(t *testing.T) {
			_, s, phone := atTheTable(t, phoneScreen)
			phone.tap(`button[data-denomination="cent"]`)
			// A browser may let a page go for reasons of its own, such as little memory.
			const tries = 4
			for try := 1; !phone.leavesAndReturns(s, deaf); try++ {
				if try == tries {
					t.Fatalf("the browser never kept the page in %d tries, the last time for: %s", tries,
						phone.ask(`JSON.stringify(performance.getEntriesByType("navigation")[0]?.notRestoredReasons ?? "no reason given")`))
				}
			}
			phone.until("the weight that lies there now", zincOnTheGlass)
			phone.until("a line to the laptop", `!document.querySelector('[data-part="line"]')`)
			phone.until("the page that was left", `window.returned`)
		})
	}
}

const zincOnTheGlass = `(w => w > 2.45 && w < 2.55)(Number.parseFloat(document.querySelector('[data-part="weight"]')?.textContent))`

// leavesAndReturns goes to another page with a bronze cent on the pan, and back
// when a zinc one lies there. It reports whether the page is the one that was left.
func (d *device) leavesAndReturns(s *server, first string) (kept bool) {
	d.t.Helper()
	s.pan("clear")
	s.pan("put", "bronze-cent")
	d.weighing()
	d.untilWeight(3.05, 3.17)
	d.do(chromedp.Evaluate[chromedp.Void](fmt.Sprintf(`
		%s
		addEventListener("pageshow", (e) => { window.returned = e.persisted; });
		window.left = true;
		undefined`, first)))
	d.open(s.api + "/trust")
	d.until("another page", `!document.getElementById("app")`)
	s.pan("clear")
	s.pan("put", "zinc-cent")
	d.do(chromedp.Evaluate[chromedp.Void](`history.back(); undefined`))
	d.until("the app again", `document.getElementById("app") && (window.returned || !window.left && document.readyState === "complete")`)
	return d.ask(`String(Boolean(window.returned))`) == "true"
}
