package e2e

import (
	"io"
	"sync/atomic"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"panside/server/pseudoport"
)

// bareScale is a scale that sends numbers without a unit, behind a
// pseudo-terminal.
func bareScale(t *testing.T) (name string, say func(line string)) {
	t.Helper()
	far, err := pseudoport.Open()
	if err != nil {
		t.Skip(err)
	}
	far.Lossy = true
	var line atomic.Pointer[string]
	say = func(l string) { line.Store(&l) }
	say("0.00\r\n")
	done := make(chan struct{})
	go func() {
		defer close(done)
		tick := time.NewTicker(100 * time.Millisecond)
		defer tick.Stop()
		for {
			select {
			case <-t.Context().Done():
				return
			case <-tick.C:
				_, _ = io.WriteString(far, *line.Load())
			}
		}
	}()
	t.Cleanup(func() { <-done; far.Close() })
	return far.Name(), say
}

// inBoth takes a picture in the dark and in the light.
func (d *device) inBoth(name string) {
	for _, theme := range []string{"dark", "light"} {
		d.do(chromedp.Evaluate[chromedp.Void](`document.documentElement.dataset.theme = "` + theme + `"; undefined`))
		d.shoot(name + "-" + theme)
	}
}

// TestTheUnitIsAskedAndAnswered: the phone asks with the live digits beside the
// buttons, the answer counts at once, and it can be changed under Tools, The
// scale. The laptop's page asks the same.
func TestTheUnitIsAskedAndAnswered(t *testing.T) {
	t.Parallel()
	browser := startBrowser(t)
	name, say := bareScale(t)
	s := startServer(t, t.TempDir(), "--scale", name)
	phone, desk := newDevice(t, browser, phoneScreen), newDevice(t, browser, laptopScreen)
	phone.open(s.phone)
	phone.until("the question", `document.querySelector('[data-part="unit-ask"]')`)
	phone.until("the zero beside it", `document.querySelector('[data-part="asked-digits"]')?.textContent === "0.00"`)
	say("15.55\r\n")
	phone.until("the live digits beside it", `document.querySelector('[data-part="asked-digits"]')?.textContent === "15.55"`)
	phone.until("no weight before the answer", `!document.querySelector('.digits [data-part="weight"]')`)
	phone.inBoth("asked")
	phone.axeHere("the question for the unit")
	desk.open(s.desk)
	desk.goTo("weigh")
	desk.until("the question there, too", `document.querySelector('[data-part="unit-ask"]')`)
	desk.inBoth("asked-desk")

	phone.tap(`[data-part="unit-ask"] [data-unit="ct"]`)
	phone.until("the weight in carats", `document.querySelector('[data-part="weight"]')?.textContent === "15.55" && document.querySelector('[data-part="unit"]')?.textContent.trim() === "ct"`)
	desk.until("it there, too", `document.querySelector('[data-part="unit"]')?.textContent.trim() === "ct"`)
	phone.shoot("answered")

	phone.goTo("scale")
	phone.until("the answer", `document.querySelector('[data-part="unit-said"]')?.dataset.unit === "ct"`)
	phone.press(`[data-do="change-unit"]`)
	phone.until("the buttons", `document.querySelector('[data-part="unit-card"] [data-unit="ct"][aria-pressed="true"]')`)
	phone.inBoth("change")
	phone.axeHere("changing the unit")
	phone.press(`[data-part="unit-card"] [data-unit="g"]`)
	phone.until("the other answer", `document.querySelector('[data-part="unit-said"]')?.dataset.unit === "g"`)
	desk.goTo("scale")
	desk.press(`[data-do="change-unit"]`)
	desk.until("the buttons there, too", `document.querySelector('[data-part="unit-card"] [data-unit="g"][aria-pressed="true"]')`)
	desk.inBoth("change-desk")
	desk.goTo("weigh")
	desk.until("the weight in grams", `document.querySelector('[data-part="unit"]')?.textContent.trim() === "g"`)
}

// TestAWithheldLoadIsNoCoin: the scale's side withholds a weight, which is played
// here by changing the messages as they arrive.
func TestAWithheldLoadIsNoCoin(t *testing.T) {
	t.Parallel()
	browser := startBrowser(t)
	s := startServer(t, t.TempDir(), "--scale", "virtual")
	s.joinAsDesk()
	phone := newDevice(t, browser, phoneScreen)
	phone.open(s.phone)
	phone.until("the empty pan", `document.querySelector('[data-part="phase"]')?.dataset.phase === "empty"`)
	phone.tap(`button[data-denomination="cent"]`)
	phone.do(chromedp.Evaluate[chromedp.Void](`
		const parse = JSON.parse;
		JSON.parse = (text, revive) => {
			const m = parse(text, revive);
			if (m?.type === "weight" && (m.phase === "settled" || m.phase === "moving")) {
				m.phase = "withheld";
				m.mean_g = m.u_g = null;
			}
			return m;
		};
		undefined`))
	s.pan("put", "bronze-cent")
	phone.until("the word", `document.querySelector('[data-part="phase"]')?.dataset.phase === "withheld"`)
	phone.until("what to do", `document.querySelector('.weight-hint')?.textContent.includes("put it on again")`)
	phone.until("the display's number, greyed", `document.querySelector('.digits')?.dataset.withheld === "true"`)
	phone.until("no verdict", `document.querySelector('.verdict')?.dataset.is === "words"`)
	phone.until("nothing to keep", `document.querySelector('[data-do="keep"]')?.disabled`)
	phone.inBoth("withheld")
	phone.axeHere("a weight that is withheld")
	phone.do(chromedp.EmulateViewport(laptopScreen.width, laptopScreen.height))
	phone.inBoth("withheld-wide")
}
