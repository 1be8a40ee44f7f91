package e2e

import (
	"fmt"
	"testing"
)

// TestTheScaleIsCheckedWithWeights leads through a whole check on a phone: one
// weight from the live weight, one typed, one reading refused; the result is
// kept, and the weigh screen says that the scale was checked.
func TestTheScaleIsCheckedWithWeights(t *testing.T) {
	t.Parallel()
	browser := startBrowser(t)
	s := startServer(t, t.TempDir(), "--scale", "virtual")
	s.joinAsDesk()
	phone := newDevice(t, browser, phoneScreen)
	phone.open(s.phone)
	phone.until("the weigh screen", `document.querySelector('main[data-screen="weigh"]')`)

	phone.goTo("scale")
	phone.until("an unchecked scale", `document.querySelector('[data-part="scale-truth"]')?.innerText.includes("Not checked yet")`)
	phone.shoot("overview")
	phone.press(`[data-do="check"]:not(:disabled)`)
	phone.until("the form for weights", `document.querySelector('select[name="nominal-0"]')`)
	phone.write("nominal-0", "50")
	phone.write("class-0", "F2")
	phone.press(`[data-do="add-weight"]:not(:disabled)`)
	phone.until("a second weight", `document.querySelector('select[name="nominal-1"]')`)
	phone.write("nominal-1", "20")
	phone.write("class-1", "F2")
	phone.press(`input[name="times"][value="3"]`)
	phone.shoot("kit")
	phone.press(`[data-do="begin"]:not(:disabled)`)
	for n := 1; n <= 3; n++ {
		phone.until("being asked for the 50 g weight", `(a => a?.dataset.ask === "put" && a.innerText.includes("50"))(document.querySelector('[data-part="ask"]'))`)
		s.pan("put", "weight-50")
		phone.until("the reading", fmt.Sprintf(`document.querySelectorAll('[data-part="progress"] li:first-child i[data-done]').length === %d`, n))
		if n == 2 {
			phone.shoot("weighing")
			phone.axeHere("a check weight on the pan")
		}
		s.pan("clear")
	}
	phone.press(`[data-do="by-hand"]:not(:disabled)`)
	phone.until("being asked for the 20 g weight", `document.querySelector('[data-part="ask"]')?.innerText.includes("20")`)
	phone.until("the field for the display", `document.querySelector('input[name="shown"]')`)
	phone.write("shown", "18.50")
	phone.press(`[data-do="take-typed"]:not(:disabled)`)
	phone.until("the refusal", `document.querySelector('[data-part="said"]')?.dataset.said === "refused"`)
	phone.shoot("refused")
	for n, shown := range []string{"20.00", "20.01", "20.00"} {
		phone.write("shown", shown)
		phone.press(`[data-do="take-typed"]:not(:disabled)`)
		if n < 2 {
			phone.until("the typed reading", fmt.Sprintf(`document.querySelectorAll('[data-part="progress"] li:nth-child(2) i[data-done]').length === %d`, n+1))
		}
	}
	phone.until("the further steps", `document.querySelector('[data-do="finish"]')`)
	phone.shoot("further")
	phone.axeHere("further steps of a check")
	phone.write("temperature", "21")
	phone.write("place", "kitchen")
	phone.press(`[data-do="finish"]:not(:disabled)`)
	phone.until("what the scale can tell at 1 to 50 g", `document.querySelectorAll('[data-part="worth"] tbody tr').length === 6`)
	phone.until("why no coin is a check weight", `document.querySelector('[data-part="check-result"]')?.textContent.includes("31 U.S.C. 5113")`)
	phone.shoot("result")
	phone.axeHere("what a check found")
	phone.press(`[data-do="keep"]:not(:disabled)`)
	phone.until("that it was kept", `document.querySelector('[data-part="kept"]')?.innerText.length > 20`)
	phone.until("the date of the check", `/Checked with weights on .*20\d\d/.test(document.querySelector('[data-part="scale-truth"]')?.innerText)`)
	phone.shoot("kept")

	phone.goTo("weigh")
	s.pan("put", "weight-20")
	phone.until("the check on the weigh screen", `document.querySelector('[data-part="scale-note"]')?.innerText.includes("checked today")`)
	phone.shoot("weigh")
}

// TestAPatternIsSetByHand names a pattern for the practice scale on a phone: it
// is tried on the last lines while it is typed, and counts at once.
func TestAPatternIsSetByHand(t *testing.T) {
	t.Parallel()
	browser := startBrowser(t)
	s := startServer(t, t.TempDir(), "--scale", "virtual")
	phone := newDevice(t, browser, phoneScreen)
	phone.open(s.phone)
	phone.until("the weigh screen", `document.querySelector('main[data-screen="weigh"]')`)
	phone.goTo("scale/cable")
	phone.until("the format found by itself", `document.querySelector('[data-part="format"]')?.dataset.format === "status-comma"`)
	phone.until("the last lines", `document.querySelector('[data-part="raw-lines"] code')?.innerText.includes(",GS,")`)
	phone.shoot("found")

	// What the program proposes fits the line it was made from.
	phone.press(`[data-do="pattern-from-line"]:not(:disabled)`)
	phone.until("a line that fits", `Number(document.querySelector('[data-part="trial"]')?.dataset.fit) >= 1`)
	phone.write("pattern", "<state ST=stable US=moving OL=over>,GX,<sign><value>  <unit>")
	phone.until("where no line fits", `document.querySelector('[data-part="raw-lines"] mark')?.innerText.startsWith(",GS,")`)
	phone.write("pattern", "<state ST=stable")
	phone.until("what is wrong with the pattern", `document.querySelector('input[name="pattern"]')?.getAttribute("aria-invalid") === "true"`)
	phone.shoot("wrong")
	phone.axeHere("a pattern that is wrong")
	phone.write("pattern", "<state ST=stable US=moving OL=over>,GS,<sign><value>  <unit>")
	phone.until("every line to fit", `!document.querySelector('[data-part="raw-lines"] mark') && Number(document.querySelector('[data-part="trial"]')?.dataset.fit) >= 1`)
	phone.shoot("pattern")
	phone.press(`[data-do="use"]:not(:disabled)`)
	phone.until("the pattern in use", `document.querySelector('[data-part="format"]')?.dataset.format === "pattern"`)
	phone.shoot("used")

	phone.goTo("weigh")
	phone.until("a weight by the pattern", `document.querySelector('[data-part="phase"]')?.dataset.phase === "empty"`)
	phone.goTo("scale/cable")
	phone.press(`[data-do="by-itself"]:not(:disabled)`)
	phone.until("the format found by itself again", `document.querySelector('[data-part="format"]')?.dataset.format === "status-comma"`)
}
