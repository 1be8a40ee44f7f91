package e2e

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/jpeg"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"panside/internal/simcoin"
)

// closeUpPxPerMM is how large the microscope shows it: 11 mm across.
const closeUpPxPerMM = 100

// microscoped is a part of the coin that photographed shows, its middle mm from the coin's own.
func microscoped(d simcoin.Design, x, y, lamp float64, seed uint64) simcoin.Shot {
	c := simcoin.Coin{Diameter: centMM, Thickness: 1.55, Face: d.Strike(48), Metal: simcoin.Brown, Seed: 3}
	s := simcoin.Simple(c, 880, 0.86, seed)
	s.Coins[0].X, s.Coins[0].Y = -x, -y
	s.Camera.Width, s.Camera.PxPerMM = 1120, closeUpPxPerMM
	s.Lamps = []simcoin.Lamp{{From: lamp, Up: 30, Strength: 0.75}}
	return s.Render()
}

// rulerJPEG is a photo of a ruler under that microscope, of the same size: a mark each millimeter, the
// first at 110 px.
func rulerJPEG(t *testing.T) string {
	t.Helper()
	img := image.NewNRGBA(image.Rect(0, 0, 1120, 880))
	draw.Draw(img, img.Bounds(), image.NewUniform(color.NRGBA{R: 225, G: 222, B: 210, A: 255}), image.Point{}, draw.Src)
	for n := range 10 {
		x := 110 + closeUpPxPerMM*n
		draw.Draw(img, image.Rect(x-2, 300, x+2, 620), image.NewUniform(color.NRGBA{R: 30, G: 30, B: 34, A: 255}), image.Point{}, draw.Src)
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, nil); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "ruler.jpg")
	if err := os.WriteFile(file, b.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	return file
}

// measures lays a length between two places of the picture and gives what it says, mm.
func (d *device) measures(x0, y0, x1, y1 float64) float64 {
	d.t.Helper()
	d.press(`[data-step="ruler"]`)
	d.press(`[data-do="whole"]`)
	d.press(`[data-lay="line"]`)
	d.until("a ruler in hand", `document.querySelectorAll(".hold").length === 2`)
	d.dragHold("ruler-0", x0, y0)
	d.dragHold("ruler-1", x1, y1)
	return d.number(`[data-ruler][data-is="line"]`, "data-value")
}

// unfold opens what is folded away, as a tap on its summary does.
func (d *device) unfold(selector string) {
	d.t.Helper()
	d.until(selector+" unfolded", fmt.Sprintf(`(e => e && (e.open || (e.firstElementChild.click(), e.open)))(document.querySelector(%s))`, quoted(selector)))
}

// phoneIn is a phone at its laptop, whose core has come, in a browser.
func phoneIn(t *testing.T, page context.Context) *device {
	t.Helper()
	phone := newDevice(t, page, phoneScreen)
	phone.open(startServer(t, t.TempDir(), "--scale", "virtual").phone)
	phone.weighing()
	phone.until("the core on the phone", `document.documentElement.dataset.core === "phone"`)
	return phone
}

// within wants a length to a share of it.
func (d *device) within(name string, got, want, share float64) {
	d.t.Helper()
	if math.Abs(got/want-1) > share {
		d.t.Errorf("%s: %.3f mm, want %.3f", name, got, want)
	}
}

// TestACloseUpIsMeasured: a photo through a microscope, in which there is no rim, is found on the find's
// photo of the whole coin and from then on has millimeters, kept with the find. The same picture is scaled
// by a ruler photographed at that zoom, which is remembered for the next one, and a picture of another
// shape isn't scaled by it.
func TestACloseUpIsMeasured(t *testing.T) {
	t.Parallel()
	inEveryLanguage(t, aCloseUpIsMeasured)
}

func aCloseUpIsMeasured(t *testing.T, page context.Context) {
	phone := phoneIn(t, page)
	phone.press(`button[data-denomination="cent"]`)
	phone.typeFind("3.11")
	phone.details()
	record := strings.TrimPrefix(phone.ask(`location.hash`), "#/finds/")

	d := plainObverse()
	wx, wy := d.Words[0].Middle()
	part := microscoped(d, 0.85*wx, 0.85*wy, 120, 31)
	truth := part.Coins[0]
	phone.files(`input[name="file"]`, asJPEG(t, "part", part))
	phone.until("one photo", `document.querySelectorAll('[data-photo-link]').length === 1`)
	phone.tap(`[data-photo-link]`)
	phone.press(`[data-choice="side-detail"]`)
	phone.until("a detail", `document.querySelector('[data-choice="side-detail"]').ariaPressed === "true"`)
	phone.press(`[data-do="second-look"]`)
	phone.until("no millimeters", `document.querySelector('[data-part="close-up"][open]') && !document.querySelector('[data-do="find-close-up"]')`)
	phone.axeHere("a close-up with no whole coin")
	phone.press(`[data-step="ruler"]`)
	phone.until("that there are no millimeters", `document.querySelector('[data-part="ruler-panel"] .problem')`)

	// With a photo of the whole coin.
	phone.goTo("finds/" + record)
	phone.files(`input[name="file"]`, asJPEG(t, "whole", photographed(d, 0, 120, 32)))
	phone.until("two photos", `document.querySelectorAll('[data-photo-link]').length === 2`)
	phone.press(`.photo-grid [data-photo-link]`)
	phone.press(`[data-do="second-look"]`)
	phone.until("a whole coin to look on", `document.querySelector('[data-do="find-close-up"]')`)
	phone.press(`[data-do="find-close-up"]`)
	// The longest work of all on the bench: on busy cores each part of it takes the patience of one wait.
	for share := 20; share < 100; share += 20 {
		phone.until("its place still looked for", fmt.Sprintf(`document.querySelector('[data-part="close-up"]').dataset.state !== "finding" || parseInt(/\d+/.exec(document.querySelector('[data-do="stop-close-up"]').previousElementSibling.innerText)) >= %d`, share))
	}
	phone.until("its place", `document.querySelector('[data-part="close-up-outline"] polygon') || document.querySelector('[data-part="close-up-refused"]')`)
	if turned := phone.number(`[data-part="close-up-found"]`, "data-degrees"); math.Abs(turned) > 2 {
		t.Errorf("the close-up is said to be turned by %.1f degrees", turned)
	}
	phone.axeHere("a close-up found")
	x0, y0 := truth.InPicture(0.85*wx-2, 0.85*wy)
	x1, y1 := truth.InPicture(0.85*wx+3, 0.85*wy+1)
	want := math.Hypot(5, 1)
	phone.within("by the whole coin", phone.measures(x0, y0, x1, y1), want, 0.02)
	phone.press(`[data-do="keep-ruler"]`)
	phone.until("the length kept", `document.querySelector('[data-part="ruler-kept"]')`)
	phone.goTo("finds/" + record)
	phone.press(`.photo-grid [data-photo-link]`)
	phone.press(`[data-do="second-look"]`)
	phone.until("the scale that was kept", `document.querySelector('[data-part="close-up"]')?.dataset.by === "close-up" && document.querySelector('[data-part="rim-kept"]')`)
	phone.press(`[data-step="ruler"]`)
	phone.until("the length again", `document.querySelector('[data-ruler][data-is="line"]')?.dataset.value`)
	phone.within("kept", phone.number(`[data-ruler][data-is="line"]`, "data-value"), want, 0.02)

	// By a ruler at that zoom.
	phone.press(`[data-step="rim"]`)
	phone.unfold(`[data-part="new-lens"]`)
	phone.files(`[data-part="new-lens"] input[name="picture"]`, rulerJPEG(t))
	phone.until("the ruler", `document.querySelector('[data-part="ruler-photo"]')`)
	phone.dragHold("mark-0", 110, 460)
	phone.dragHold("mark-1", 910, 460)
	phone.write("apart", "8")
	phone.write("lens", "Microscope, 60×")
	phone.axeHere("a photographed ruler")
	phone.press(`[data-do="remember-lens"]`)
	phone.until("a scale by the ruler", `document.querySelector('[data-part="close-up"]')?.dataset.by === "ruler" && document.querySelector('[data-part="lenses"]').dataset.count === "1"`)
	phone.axeHere("a lens remembered")
	phone.press(`[data-step="ruler"]`)
	phone.within("by the ruler", phone.number(`[data-ruler][data-is="line"]`, "data-value"), want, 0.02)
	phone.press(`[data-step="rim"]`)
	phone.press(`[data-do="bench-undo"]`)
	phone.until("the scale before", `document.querySelector('[data-part="close-up"]').dataset.by === "close-up"`)

	// The next picture, of no find, has it at a tap; one of another shape doesn't.
	phone.goTo("second-look")
	phone.files(`input[name="picture"]`, asJPEG(t, "next", microscoped(d, 3, 3, 200, 33)))
	phone.until("no rim", `document.querySelector('[data-part="rim-panel"]')?.dataset.state !== "seeking"`)
	phone.unfold(`[data-part="close-up"]`)
	phone.press(`[data-lens]`)
	phone.until("a scale", `document.querySelector('[data-part="close-up"]').dataset.by === "ruler"`)
	phone.within("the next one", phone.measures(200, 200, 500, 600), 5, 0.02)
	phone.press(`[data-do="another-picture"]`)
	phone.files(`input[name="picture"]`, asJPEG(t, "square", simcoin.Simple(simcoin.Coin{Diameter: centMM, Thickness: 1.55, Face: d.Strike(36), Metal: simcoin.Brown}, 700, 0.8, 5).Render()))
	phone.rimFound()
	phone.unfold(`[data-part="close-up"]`)
	phone.press(`[data-lens]`)
	phone.until("that it is of another shape", `document.querySelector('[data-part="other-shape"]')`)
	phone.press(`[data-do="forget-lens"]`)
	phone.until("none", `document.querySelector('[data-part="lenses"]').dataset.count === "0"`)
	phone.press(`[data-do="put-lens-back"]`)
	phone.until("it again", `document.querySelector('[data-part="lenses"]').dataset.count === "1"`)
}
