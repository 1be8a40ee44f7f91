package e2e

import (
	"fmt"
	"strings"
	"testing"

	"panside/internal/simcoin"
)

// TestAClashOnACoin: a find whose obverse bears its own reverse, mirrored and turned, in the field. Both
// sides are lit from four sides; there is no ordinary coin to hold it against. The mark says what is seen
// and not what made it, and leads to the look-for; the other side is laid over it, mirrored.
func TestAClashOnACoin(t *testing.T) {
	t.Parallel()
	phone := phoneForCents(t)
	phone.typeFind("3.11")
	phone.details()
	record := strings.TrimPrefix(phone.ask(`location.hash`), "#/finds/")

	const turn = 40
	reverse := simcoin.Reverse(centMM, 7).Strike(36)
	clashed := simcoin.Obverse(centMM, 7).Strike(36)
	clashed.Clash(reverse, 0.012, turn)
	lit := func(name string, face *simcoin.Face, seed uint64) (files []string) {
		for n, lamp := range []float64{0, 90, 180, 270} {
			files = append(files, asJPEG(t, fmt.Sprintf("%s-%d", name, n), photographedFace(face, 0, lamp, seed)))
		}
		return files
	}
	obverses, reverses := lit("obverse", clashed, 41), lit("reverse", reverse, 42)
	for n, file := range []string{obverses[3], reverses[3]} {
		phone.files(`input[name="file"]`, file)
		phone.until("the photo", fmt.Sprintf(`document.querySelectorAll('[data-photo-link]').length === %d`, n+1))
	}
	phone.openSecondLook()
	verdict := phone.verdictOnBench()
	phone.lightsFromFourSides(obverses)
	phone.press(`[data-step="hints"]`)
	phone.press(`[data-do="open-other"]`)
	phone.until("the reverse", `document.querySelector('main p.quiet')?.innerText.includes("reverse")`)
	phone.rimFound()
	phone.lightsFromFourSides(reverses)
	phone.goTo("finds/" + record)
	phone.openSecondLook()
	phone.until("the obverse", `document.querySelector('main p.quiet')?.innerText.includes("obverse")`)
	phone.press(`[data-step="hints"]`)
	phone.press(`[data-do="seek-hints"]`)
	phone.until("the mark", `document.querySelector('.hint-list > li[data-hint="other-side"]')`)
	phone.press(`.hint-list > li[data-hint="other-side"] > button`)
	phone.says(`.hint-list > li[data-open]`, "mirrored and turned by", "Clashed dies do this")
	phone.until("that it isn't tried on this camera", `document.querySelector('[data-part="hint-rate"]')?.dataset.simulated`)
	phone.until("the coin's look-for", `document.querySelector('[data-part="hint-look-fors"] [data-kind="die-clash"]')`)
	phone.axeHere("a clash")
	phone.press(`[data-do="swap-coins"]`)
	phone.until("the other side in its place", `document.querySelector('[data-do="swap-coins"]').ariaPressed === "true"`)
	phone.axeHere("the other side as it clashed")
	phone.press(`[data-do="swap-coins"]`)
	if now := phone.verdictOnBench(); now != verdict {
		t.Errorf("the verdict was %q and is %q", verdict, now)
	}

	phone.press(`[data-step="over"]`)
	phone.press(`[data-part="over-panel"] [data-other]`)
	phone.press(`[data-looking="mirrored"]`)
	phone.until("the other side laid by its rim", `document.querySelector('[data-part="over-panel"]').dataset.looking === "mirrored" && document.querySelector('[data-part="over-panel"]').dataset.state === "laid"`)
	phone.axeHere("the clashed side under the other")

	// The key begins where the mark leads.
	phone.press(`[data-step="hints"]`)
	phone.press(`[data-do="hint-key"]`)
	phone.until("the key at what is sunk", `document.querySelector('[data-part="walk"]') && document.querySelector('[data-do="step-back"]')`)
	phone.goTo("finds/" + record)
	phone.until("both sides' photos", `document.querySelectorAll('[data-photo-link]').length === 10`)
}
