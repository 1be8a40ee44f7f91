package e2e

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"panside/internal/simcoin"
)

// plainObverse is a type with two words around a bust; of the other one the first word has a second image.
func plainObverse() simcoin.Design { return simcoin.Obverse(centMM, 7) }

func doubledObverse() simcoin.Design {
	d := plainObverse()
	d.Words[0].DoubledX, d.Words[0].DoubledY = 0.16, 0
	return d
}

// litFrames photographs a coin with the lamp on four sides.
func litFrames(t *testing.T, name string, d simcoin.Design, turn float64, seed uint64) (files []string, last simcoin.Shot) {
	t.Helper()
	for n, lamp := range []float64{0, 90, 180, 270} {
		last = photographed(d, turn, lamp, seed)
		files = append(files, asJPEG(t, fmt.Sprintf("%s-%d", name, n), last))
	}
	return files, last
}

// lightsFromFourSides makes the shape of the coin on the bench from four photos and keeps them with the find.
func (d *device) lightsFromFourSides(frames []string) {
	d.t.Helper()
	d.press(`[data-step="light"]`)
	d.files(`[data-part="light-panel"] input[name="picture"]`, frames...)
	d.until("the shape", `document.querySelector('[data-part="light-panel"]').dataset.state === "made"`)
	d.press(`[data-do="keep-light"]`)
	d.until("the four photos kept", `document.querySelector('[data-part="light-kept"]')`)
}

// TestHintsOnACoin: a coin that the hunter knows to be ordinary is lit from four sides, kept, and made the
// reference. Another one of the type, with a word doubled, is lit as well; what differs is marked on it,
// says what is seen and what that is worth, and leads to the coin's look-fors and to the key. The verdict
// stays as it was, and the ordinary coin is shown under the same light.
func TestHintsOnACoin(t *testing.T) {
	t.Parallel()
	inEveryLanguage(t, hintsOnACoin)
}

func hintsOnACoin(t *testing.T, page context.Context) {
	phone := phoneIn(t, page)

	// Without a find there is no reference to hold it against.
	phone.goTo("second-look")
	frames, whole := litFrames(t, "ordinary", plainObverse(), 0, 21)
	file := asJPEG(t, "ordinary", whole)
	phone.files(`input[name="picture"]`, file)
	phone.rimFound()
	phone.press(`[data-step="hints"]`)
	phone.until("what hints need", `document.querySelector('[data-part="hints-missing"]')`)
	phone.axeHere("no hints without a find")

	phone.goTo("weigh")
	phone.press(`button[data-denomination="cent"]`)
	phone.typeFind("3.10")
	phone.details()
	phone.files(`input[name="file"]`, file)
	phone.openSecondLook()
	phone.press(`[data-step="hints"]`)
	phone.until("that there is neither shape nor reference", `document.querySelectorAll(".needs > li:not([data-there])").length === 3`)
	phone.axeHere("what hints need")
	phone.press(`[data-do="to-light"]`)
	phone.lightsFromFourSides(frames)
	phone.axeHere("side light, kept")
	phone.press(`[data-do="make-reference"]`)
	phone.until("the reference kept", `document.querySelector('[data-part="is-reference"]')`)
	phone.press(`[data-step="hints"]`)
	phone.until("that a reference has no hints", `document.querySelector('[data-part="hints-missing"]')`)

	phone.goTo("weigh")
	phone.typeFind("3.11")
	phone.details()
	record := strings.TrimPrefix(phone.ask(`location.hash`), "#/finds/")
	frames, whole = litFrames(t, "doubled", doubledObverse(), 12, 22)
	phone.files(`input[name="file"]`, asJPEG(t, "doubled", whole))
	phone.openSecondLook()
	verdict := phone.verdictOnBench()
	phone.lightsFromFourSides(frames)
	phone.press(`[data-step="hints"]`)
	phone.until("all but the other side there", `document.querySelectorAll(".needs > li[data-there]").length === 2`)
	phone.press(`[data-do="seek-hints"]`)
	phone.until("marks", `Number(document.querySelector('[data-part="hints-found"]')?.dataset.count) > 0`)
	phone.axeHere("hints")

	// The first lies on the doubled word.
	phone.press(`.hint-list > li[data-n="1"] > button`)
	phone.until("what is seen", `document.querySelector('.hint-list > li[data-open]')?.dataset.hint === "second-image"`)
	phone.press(`[data-do="enlarge-hint"]`)
	x, y := whole.Coins[0].InPicture(doubledObverse().Words[0].Middle())
	at, edge := phone.glass(), whole.Coins[0].Edge
	mm := centMM / 2 / edge.A
	if off, out := mm*math.Hypot(at.X-x, at.Y-y), mm*math.Hypot(at.X-edge.X, at.Y-edge.Y); off > 6.5 || out < 4 {
		t.Errorf("the first mark lies %.1f mm off the middle of the doubled word and %.1f off that of the coin", off, out)
	}
	phone.until("that it isn't tried on this camera", `document.querySelector('[data-part="hint-rate"]')?.dataset.simulated`)
	phone.until("the coin's look-fors", `document.querySelector('[data-part="hint-look-fors"] [data-kind="doubled-die"]') && document.querySelector('[data-part="hint-look-fors"] [data-kind="strike-doubling"]')`)
	phone.axeHere("a hint")
	phone.press(`[data-do="swap-coins"]`)
	phone.until("the ordinary coin", `document.querySelector('[data-do="swap-coins"]').ariaPressed === "true"`)
	phone.axeHere("the ordinary coin in its place")
	phone.press(`[data-do="swap-coins"]`)
	phone.press(`[data-do="tick-hint"]`)
	phone.until("it looked at", `document.querySelector('.hint-list > li[data-n="1"] > button .tag')`)
	phone.press(`[data-do="bench-undo"]`)
	phone.until("that taken back", `!document.querySelector('.hint-list > li[data-n="1"] > button .tag')`)

	// It counts as ordinary if the hunter says so, and not if not.
	phone.unfold(`[data-part="calibration"]`)
	phone.press(`[data-do="is-ordinary"]`)
	phone.until("one ordinary coin", `document.querySelector('[data-part="calibration"]').dataset.count === "1"`)
	phone.axeHere("ordinary coins")
	phone.press(`[data-do="not-ordinary"]`)
	phone.until("none", `document.querySelector('[data-part="calibration"]').dataset.count === "0"`)
	if now := phone.verdictOnBench(); now != verdict {
		t.Errorf("the verdict was %q and is %q", verdict, now)
	}

	phone.press(`[data-step="hints"]`)
	phone.press(`[data-do="hint-key"]`)
	phone.until("the key at what is doubled", `document.querySelector('[data-part="walk"]')`)
	phone.until("a way back in the key", `document.querySelector('[data-do="step-back"]')`)

	// Kept photos light it again on another day.
	phone.goTo("finds/" + record)
	phone.until("the find with five photos", `document.querySelectorAll('[data-photo-link]').length === 5`)
	phone.axeHere("a find with lit photos")
	phone.openSecondLook()
	phone.press(`[data-step="hints"]`)
	phone.press(`[data-do="seek-hints"]`)
	phone.until("marks by the kept photos", `Number(document.querySelector('[data-part="hints-found"]')?.dataset.count) > 0`)
}

// verdictOnBench is what the verdict says beside the rulers.
func (d *device) verdictOnBench() string {
	d.t.Helper()
	d.press(`[data-step="ruler"]`)
	d.until("the verdict", `document.querySelector('[data-part="bench-verdict"]')`)
	return d.ask(`document.querySelector('[data-part="bench-verdict"]').innerText`)
}
