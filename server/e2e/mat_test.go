package e2e

import (
	"fmt"
	"testing"

	"github.com/chromedp/chromedp"

	"panside/internal/simcoin"
)

// TestAMatOfCoins: a photo of twelve coins, from the tools and without a find. They are counted on the
// glass; one is taught by a tap and one by the keyboard's list, and those like the second are to be
// picked up, by their numbers.
func TestAMatOfCoins(t *testing.T) {
	t.Parallel()
	heads, tails := centObverse().Strike(14), simcoin.Reverse(centMM, 7).Strike(14)
	var coins []simcoin.Coin
	grey := 0
	for k := range 12 {
		c := simcoin.Coin{Diameter: centMM, Thickness: 1.55, Face: heads, Metal: simcoin.Brown, Seed: uint64(k)}
		if k%2 == 1 {
			c.Face = tails
		}
		if k%3 == 2 {
			c.Metal = simcoin.Grey
			grey++
		}
		coins = append(coins, c)
	}
	photo := simcoin.InRows(coins, 4, 1200, 900, 5).Render()
	brown := photo.Coins[0].Edge

	phone := phoneForCents(t)
	phone.goTo("second-look")
	phone.files(`input[name="picture"]`, asJPEG(t, "mat", photo))
	phone.press(`[data-step="mat"]`)
	phone.axeHere("a mat not counted yet")
	phone.press(`[data-do="count-coins"]`)
	phone.until("the count on the glass", fmt.Sprintf(`document.querySelector('[data-part="mat-count"]')?.dataset.count === "%d" && document.querySelectorAll('[data-part="mat-numbers"] text').length === %[1]d`, len(coins)))

	tap := func(x, y float64) {
		v := phone.glass()
		phone.do(chromedp.MouseClickXY(v.Left+(x-v.X)*v.Scale, v.Top+(y-v.Y)*v.Scale))
	}
	tap(2, 2)
	phone.until("word that no coin lies there", `document.querySelector('[data-part="mat-refused"]')?.dataset.why === "not-there"`)
	tap(brown.X, brown.Y)
	phone.until("the tapped coin in hand", `document.querySelector('[data-part="mat-coin"]') && !document.querySelector('[data-part="mat-refused"]')`)
	phone.press(`[data-part="mat-coin"] [data-choice="brown"]`)
	phone.until("those like it", fmt.Sprintf(`document.querySelector('[data-part="mat-panel"]').dataset.state === "idle" && document.querySelectorAll('[data-coin][data-color="brown"]').length >= %d`, len(coins)-grey))
	phone.axeHere("one coin taught")

	// The list by keys alone: the first coin that isn't like the brown one.
	phone.do(chromedp.Evaluate[chromedp.Void](`document.querySelector('[data-coin]:not([data-color="brown"])').focus(); undefined`))
	phone.enter()
	phone.until("the coin of the list in hand", `document.activeElement.getAttribute("aria-expanded") === "true" && document.activeElement.nextElementSibling?.matches('[data-part="mat-coin"]')`)
	phone.press(`[data-part="mat-coin"] [data-choice="grey"]`)
	phone.until("the grey ones told apart", fmt.Sprintf(`document.querySelectorAll('[data-coin][data-color="grey"]').length === %d`, grey))
	phone.press(`[data-choices="pick"] [data-choice="grey"]`)
	phone.until("their numbers, to be picked up", fmt.Sprintf(`document.querySelector('[data-part="mat-act"][data-act="pick-up"]')?.innerText.split(",").length === %d`, grey))
	phone.shoot("mat")
	phone.press(`[data-do="bench-undo"]`)
	phone.until("none to be picked up after undo", `!document.querySelector('[data-part="mat-act"]')`)
}
