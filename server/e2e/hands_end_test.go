package e2e

import (
	"testing"
)

// sitting begins one for cents on an empty pan.
func (d *device) sitting() {
	d.t.Helper()
	d.until("the empty pan", `document.querySelector('[data-part="phase"]')?.dataset.phase === "empty"`)
	d.do(listenIn)
	d.tap(`button[data-denomination="cent"]`)
	d.tap(`[data-do="hands"]`)
	d.until("the sitting", `document.querySelector('main[data-hands]')`)
}

// TestACaptionEndsWithItsReason: the cable comes loose under a coin and is put
// back; nothing says any more that it is loose.
func TestACaptionEndsWithItsReason(t *testing.T) {
	_, s, phone := atTheTable(t, phoneScreen)
	phone.sitting()
	s.pan("put", "bronze-cent")
	phone.untilCounted(1)
	s.pan("unplug")
	phone.until("the loose cable to be said", `document.querySelector('[data-part="said"]').textContent.includes("connection to the scale broke off")`)
	s.pan("plug")
	phone.untilWeight(3.05, 3.17)
	phone.until("the coin settled", `document.querySelector('[data-part="phase"]')?.dataset.phase === "settled"`)
	phone.until("nothing said of the cable any more", `!document.querySelector('[data-part="said"]').textContent.includes("broke off")`)
	phone.shoot("plugged")
}
