package e2e

import (
	"testing"

	"github.com/chromedp/chromedp"
)

// TestDeskLetsAPhoneInAndEndsIt: the laptop's own page shows a code; the phone
// that follows it is joined and listed; ended there, it is told at once.
func TestDeskLetsAPhoneInAndEndsIt(t *testing.T) {
	browser := startBrowser(t)
	s := startServer(t, t.TempDir(), "--scale", "virtual")
	desk := newDevice(t, browser, laptopScreen)
	desk.open(s.desk)
	desk.until("the desk", `document.querySelector('main[data-screen="desk"]')`)
	desk.until("a code to scan", `document.querySelector('[data-part="offer"] svg, [data-part="offer"] img')`)
	desk.shoot("offer")

	phone := newDevice(t, browser, phoneScreen)
	phone.open(s.phone)
	phone.until("the weigh screen", `document.querySelector('main[data-screen="weigh"]')`)
	desk.until("the phone in the list", `document.querySelector('[data-do="end"]')`)
	desk.shoot("phone-listed")

	desk.tap(`[data-do="end"]`)
	desk.tap(`[data-do="end-yes"]`)
	phone.until("being told that it is out", `document.querySelector('main[data-screen="join"]')`)
	phone.shoot("ended")
}

// TestAUsedCodeJoinsNobody: the second device to follow the same address reads
// why it is not let in, and how to go on.
func TestAUsedCodeJoinsNobody(t *testing.T) {
	browser := startBrowser(t)
	s := startServer(t, t.TempDir(), "--scale", "virtual")
	first, second := newDevice(t, browser, phoneScreen), newDevice(t, browser, phoneScreen)
	first.open(s.phone)
	first.until("the weigh screen", `document.querySelector('main[data-screen="weigh"]')`)
	second.open(s.phone)
	second.until("the reason", `document.querySelector('main[data-screen="join"]')?.innerText.length > 40`)
	second.until("the secret to be gone from the address", `!location.hash.includes("join=")`)
	second.shoot("used")
}

// TestWithoutWebAssemblyTheLaptopJudges: the phone can't load the core, asks
// the laptop, and says so.
func TestWithoutWebAssemblyTheLaptopJudges(t *testing.T) {
	// Without its compilers the engine has no WebAssembly either.
	browser := startBrowser(t, chromedp.Flag("js-flags", "--jitless"))
	s := startServer(t, t.TempDir(), "--scale", "virtual")
	s.joinAsDesk()
	phone := newDevice(t, browser, phoneScreen)
	phone.open(s.offer())
	phone.until("the weigh screen", `document.querySelector('main[data-screen="weigh"]')`)
	phone.until("there to be no WebAssembly", `typeof WebAssembly === "undefined"`)
	phone.tap(`button[data-denomination="dime"]`)
	s.pan("put", "clad-dime")
	phone.untilVerdict("clad", "ordinary")
	phone.until("the laptop as judge", `document.documentElement.dataset.core === "laptop"`)
	phone.until("it to be said", `document.body.innerText.includes("laptop")`)
	phone.shoot("laptop-judges")
}
