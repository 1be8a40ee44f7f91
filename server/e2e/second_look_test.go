package e2e

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"panside/internal/simcoin"
)

// A cent whose date is level at the top, as a small date is: four digits, each a word of its own, so
// that the test knows where their tops are.
const (
	centMM    = 19.05
	digitSize = 1.5
	digitY    = 4.5
	digitX    = 3.2 // of the first
	digitStep = 1.3
)

// dateTop is where the top of the n-th digit of the date stands, mm from the middle.
func dateTop(n int) (x, y float64) { return digitX + float64(n)*digitStep, digitY - digitSize/2 }

func centObverse() simcoin.Design {
	d := simcoin.Obverse(centMM, 7)
	d.Words = d.Words[:2]
	for n, digit := range "1970" {
		d.Words = append(d.Words, simcoin.Word{Text: string(digit), Size: digitSize, X: digitX + float64(n)*digitStep, Y: digitY})
	}
	return d
}

// photographed renders a coin on a table, turned by some degrees, the lamp on one side.
func photographed(d simcoin.Design, turn, lamp float64, seed uint64) simcoin.Shot {
	return photographedFace(d.Strike(36), turn, lamp, seed)
}

func photographedFace(f *simcoin.Face, turn, lamp float64, seed uint64) simcoin.Shot {
	c := simcoin.Coin{Diameter: centMM, Thickness: 1.55, Face: f, Metal: simcoin.Brown, Seed: 3}
	s := simcoin.Simple(c, 880, 0.86, seed)
	s.Camera.Width = 1120
	s.Coins[0].Turn = turn
	s.Lamps = []simcoin.Lamp{{From: lamp, Up: 30, Strength: 0.75}}
	return s.Render()
}

func imageOf(s simcoin.Shot) image.Image {
	return &image.NRGBA{Pix: s.Pix, Stride: 4 * s.Width, Rect: image.Rect(0, 0, s.Width, s.Height)}
}

// asJPEG writes a photo into a folder of the test's and returns its path.
func asJPEG(t *testing.T, name string, s simcoin.Shot) string {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, imageOf(s), &jpeg.Options{Quality: 95}); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), name+".jpg")
	if err := os.WriteFile(file, b.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	return file
}

// stillFilm writes a film of one picture for the fake camera: YUV4MPEG2, 4:2:0 in the limited range.
func stillFilm(t *testing.T, file string, s simcoin.Shot) {
	t.Helper()
	img := imageOf(s)
	var luma, blue, red []byte
	limited := func(v byte, span, from int) byte { return byte(from + int(v)*span/255) }
	for y := range s.Height {
		for x := range s.Width {
			r, g, b, _ := img.At(x, y).RGBA()
			yy, cb, cr := color.RGBToYCbCr(byte(r>>8), byte(g>>8), byte(b>>8))
			luma = append(luma, limited(yy, 219, 16))
			if x%2 == 0 && y%2 == 0 {
				blue, red = append(blue, limited(cb, 224, 16)), append(red, limited(cr, 224, 16))
			}
		}
	}
	film := fmt.Appendf(nil, "YUV4MPEG2 W%d H%d F30:1 Ip A1:1 C420jpeg\nFRAME\n", s.Width, s.Height)
	film = append(append(append(film, luma...), blue...), red...)
	if err := os.WriteFile(file, film, 0o600); err != nil {
		t.Fatal(err)
	}
}

// glassView is what the glass shows: the place of the picture in its middle, the scale, and where the
// middle stands on the page.
type glassView struct{ X, Y, Scale, Left, Top float64 }

func (d *device) glass() (v glassView) {
	d.t.Helper()
	d.do(chromedp.Evaluate[chromedp.Void](`document.querySelector(".glass").scrollIntoView({ block: "start" }); undefined`))
	at := d.ask(`(g => { const r = g.getBoundingClientRect(); return g.dataset.at + " " + g.dataset.scale + " " + (r.left + r.width / 2) + " " + (r.top + r.height / 2); })(document.querySelector(".glass"))`)
	if _, err := fmt.Sscan(at, &v.X, &v.Y, &v.Scale, &v.Left, &v.Top); err != nil {
		d.t.Fatalf("%q: %v", at, err)
	}
	return v
}

// zoomTo brings a place of the picture into the middle of the glass at about that scale, by the wheel.
func (d *device) zoomTo(x, y, scale float64) {
	d.t.Helper()
	for range 60 {
		v := d.glass()
		if v.Scale >= scale {
			break
		}
		d.do(chromedp.Evaluate[chromedp.Void](fmt.Sprintf(`document.querySelector(".glass").dispatchEvent(new WheelEvent("wheel", { deltaY: -120, clientX: %g, clientY: %g, bubbles: true, cancelable: true })); undefined`,
			v.Left+(x-v.X)*v.Scale, v.Top+(y-v.Y)*v.Scale)))
		d.until("a larger picture", fmt.Sprintf(`Number(document.querySelector(".glass").dataset.scale) > %g`, v.Scale))
	}
	v := d.glass()
	d.do(chromedp.DragAndDropXY(v.Left+20, v.Top+20, v.Left+20+(v.X-x)*v.Scale, v.Top+20+(v.Y-y)*v.Scale))
}

// dragHold drags a handle to a place of the picture.
func (d *device) dragHold(name string, x, y float64) {
	d.t.Helper()
	v := d.glass()
	var from struct{ X, Y float64 }
	at := d.ask(fmt.Sprintf(`(r => (r.left + r.width / 2) + " " + (r.top + r.height / 2))(document.querySelector('[data-hold="%s"]').getBoundingClientRect())`, name))
	if _, err := fmt.Sscan(at, &from.X, &from.Y); err != nil {
		d.t.Fatal(err)
	}
	d.do(chromedp.DragAndDropXY(from.X, from.Y, v.Left+(x-v.X)*v.Scale, v.Top+(y-v.Y)*v.Scale))
}

// files puts files into a field.
func (d *device) files(field string, files ...string) {
	d.t.Helper()
	ctx, cancel := context.WithTimeout(d.ctx, patience)
	defer cancel()
	if err := chromedp.Do(ctx, chromedp.SetUploadFiles(chromedp.CSS(field), files)); err != nil {
		d.t.Fatal(err)
	}
}

// openSecondLook goes from a find's page to the second look at its only or first photo.
func (d *device) openSecondLook() {
	d.t.Helper()
	d.tap(`[data-photo-link]`)
	d.tap(`[data-do="second-look"]`)
	d.rimFound()
}

func (d *device) rimFound() {
	d.t.Helper()
	d.until("the rim", `document.querySelector('[data-part="rim-says"]') && document.querySelector('.glass-lines [data-part="rim"]')`)
}

// TestASecondLook goes the whole way: a fake microscope's picture is frozen into the find, its rim
// found, a ruler laid on the date, and the verdict follows what it says. The hunter's own reference
// is laid over it, the other side mirrored, and four photos become a shape that is lit from anywhere.
func TestASecondLook(t *testing.T) {
	t.Parallel()
	film := filepath.Join(t.TempDir(), "microscope.y4m")
	found := photographed(centObverse(), 0, 120, 1)
	stillFilm(t, film, found)
	page := startBrowser(t, fakeCamera(film, chromedp.Flag("use-fake-ui-for-media-stream", true))...)
	s := startServer(t, t.TempDir(), "--scale", "virtual")
	phone := newDevice(t, page, phoneScreen)
	phone.open(s.phone)
	phone.weighing()
	phone.until("the core on the phone", `document.documentElement.dataset.core === "phone"`)
	phone.press(`button[data-denomination="cent"]`)

	// My reference: another coin of the type, turned, under another lamp.
	phone.typeFind("3.10")
	phone.details()
	phone.files(`input[name="file"]`, asJPEG(t, "reference", photographed(centObverse(), 35, 200, 2)))
	phone.openSecondLook()
	phone.axeHere("a rim")
	phone.press(`[data-step="over"]`)
	phone.press(`[data-do="make-reference"]`)
	phone.until("the reference kept", `document.querySelector('[data-part="is-reference"]')`)

	// The find, whose picture comes from the camera.
	phone.goTo("weigh")
	phone.typeFind("3.11")
	phone.date("1970", "1970", "S")
	phone.until("the question", `document.querySelector('[data-question="us-cent-1970-s-date"]')`)
	phone.details()
	record := strings.TrimPrefix(phone.ask(`location.hash`), "#/finds/")
	phone.press(`[data-do="bench-camera"]`)
	phone.press(`[data-do="camera-on"]`)
	phone.until("the sharpness drawn", `document.querySelector('[data-part="bench-camera"]')?.dataset.state === "on" && document.querySelector(".live-view video")?.videoWidth > 0`)
	phone.until("some of its course", `Number(document.querySelector('[data-part="sharpness"]')?.dataset.seen) > 1`)
	phone.axeHere("a live camera")
	phone.do(chromedp.Evaluate[chromedp.Void](`document.querySelector('[data-part="focus-steps"]').open = true; undefined`))
	for n := range 2 {
		phone.press(`[data-do="focus-step"]`)
		phone.until("one step more", fmt.Sprintf(`document.querySelector('[data-part="focus-steps"]').dataset.steps === "%d"`, n+1))
	}
	phone.press(`[data-do="put-together"]`)
	phone.until("the steps in one picture", `document.querySelector('[data-part="frozen"] canvas')?.width > 0`)
	phone.press(`[data-do="discard-frozen"]`)
	phone.press(`[data-do="camera-on"]`)
	phone.until("the camera again", `document.querySelector(".live-view video")?.videoWidth > 0`)
	phone.press(`[data-do="freeze"]`)
	phone.until("the frozen picture", `document.querySelector('[data-part="frozen"] canvas')?.width > 0`)
	phone.axeHere("a frozen picture")
	phone.press(`[data-do="keep-frozen"]`)
	phone.rimFound()
	if w, want := phone.number(`.glass-lines [data-part="rim"]`, "rx")/phone.glass().Scale, found.Coins[0].Edge.A; w < 0.98*want || w > 1.02*want {
		t.Errorf("the rim's radius is %.1f px, want %.1f", w, want)
	}
	phone.until("its millimeters, by the coin book", `document.querySelector('[name="diameter"]').value === "19.05"`)

	// The ruler on the date: the 7's top against those of 9 and 0.
	phone.press(`[data-step="ruler"]`)
	phone.until("the question of the verdict", `document.querySelector('[data-part="bench-asked"]')?.dataset.question === "us-cent-1970-s-date"`)
	truth := found.Coins[0]
	x, y := truth.InPicture(dateTop(2))
	phone.zoomTo(x, y, 4)
	phone.press(`[data-do="lay-asked"]`)
	for n, digit := range []int{1, 3, 2} {
		x, y := truth.InPicture(dateTop(digit))
		phone.dragHold(fmt.Sprintf("ruler-%d", n), x, y)
	}
	phone.until("what the ruler says", `Number(document.querySelector('[data-ruler][data-is="step"]')?.dataset.value) < 0.03`)
	phone.axeHere("a ruler")
	phone.press(`[data-do="bench-undo"]`)
	phone.press(`[data-do="bench-redo"]`)
	phone.until("it again after undo and redo", `Number(document.querySelector('[data-ruler][data-is="step"]')?.dataset.value) < 0.03`)
	phone.press(`[data-do="use-ruler"]`)
	phone.until("the verdict changed by it", `document.querySelector('[data-part="bench-verdict"]')?.dataset.call === "look" && document.querySelector('[data-part="bench-asked"]').dataset.answered === "small"`)
	phone.until("the measurement kept", `document.querySelector('[data-part="ruler-kept"]')`)
	phone.shoot("verdict")

	// Over my reference: the relief says by how much it is turned.
	phone.press(`[data-step="over"]`)
	phone.press(`[data-part="over-panel"] [data-other]`)
	phone.until("one laid over the other", `document.querySelector('[data-part="over-panel"]').dataset.state === "laid"`)
	if turned := phone.number(`[data-part="over-laid"]`, "data-degrees"); turned < -37 || turned > -33 {
		t.Errorf("the reference is turned back by %.2f degrees, want −35", turned)
	}
	phone.axeHere("one over the other")
	phone.press(`[data-looking="beside"]`)
	phone.until("both beside each other", `document.querySelectorAll(".glass-pair .glass").length === 2`)
	phone.axeHere("one beside the other")

	// The other side, mirrored.
	phone.files(`[data-part="over-panel"] input[name="picture"]`, asJPEG(t, "reverse", photographed(simcoin.Reverse(centMM, 7), 0, 120, 5)))
	phone.press(`[data-looking="mirrored"]`)
	phone.until("the other side laid by its rim", `document.querySelector('[data-part="over-panel"]').dataset.looking === "mirrored" && document.querySelector('[data-part="over-panel"]').dataset.state === "laid"`)
	phone.axeHere("the other side mirrored")

	// Side light.
	phone.press(`[data-step="light"]`)
	phone.axeHere("side light, led")
	var frames []string
	for n, lamp := range []float64{0, 90, 180, 270} {
		frames = append(frames, asJPEG(t, fmt.Sprintf("lamp-%d", n), photographed(centObverse(), 0, lamp, 11)))
	}
	phone.files(`[data-part="light-panel"] input[name="picture"]`, frames...)
	phone.until("the shape", `document.querySelector('[data-part="light-panel"]').dataset.state === "made" && document.querySelector('[data-part="light-view"]')?.dataset.lit`)
	side := phone.number(`[data-part="light-pad"]`, "data-side")
	phone.do(chromedp.Evaluate[chromedp.Void](`document.querySelector('[data-part="light-pad"]').dispatchEvent(new KeyboardEvent("keydown", { key: "ArrowRight", bubbles: true })); undefined`))
	phone.until("the light elsewhere", fmt.Sprintf(`Number(document.querySelector('[data-part="light-pad"]').dataset.side) !== %g`, side))
	phone.axeHere("side light, made")

	// The find has it all.
	phone.goTo("finds/" + record)
	phone.until("its verdict and what was measured", `(p => p?.querySelector('[data-part="badge"]').dataset.call === "look" && /mm/.test(p.querySelector("dl").innerText))(document.querySelector('[data-part="trophy"]'))`)
	phone.until("all of it with the laptop", `!document.querySelector('[data-part="only-here"]')`)
}

// number is an attribute's number.
func (d *device) number(selector, attribute string) (v float64) {
	d.t.Helper()
	d.until(selector+" with "+attribute, fmt.Sprintf(`document.querySelector(%q)?.getAttribute(%q)`, selector, attribute))
	if _, err := fmt.Sscan(d.ask(fmt.Sprintf(`document.querySelector(%q).getAttribute(%q)`, selector, attribute)), &v); err != nil {
		d.t.Fatal(err)
	}
	return v
}

// TestASecondLookSaysWhyNot: what is no coin, no picture, or too large a one has its sentence each, and
// the rim can be set by hand. It needs no find.
func TestASecondLookSaysWhyNot(t *testing.T) {
	t.Parallel()
	phone := phoneForCents(t)
	phone.goTo("second-look")
	bad := func(name string, content []byte) string {
		file := filepath.Join(t.TempDir(), name)
		if err := os.WriteFile(file, content, 0o600); err != nil {
			t.Fatal(err)
		}
		return file
	}
	const photo = `input[name="picture"]`
	for name, c := range map[string]struct {
		content []byte
		says    string
	}{
		"broken.jpg": {[]byte("\xff\xd8\xff\xe0 and nothing more"), "broken or cut off"},
		// The header of a PNG of 200 megapixels.
		"huge.png": {[]byte("\x89PNG\r\n\x1a\n\x00\x00\x00\x0dIHDR\x00\x00\x4e\x20\x00\x00\x27\x10\x08\x02\x00\x00\x00\x00\x00\x00\x00"), "over 40 megapixels"},
		"text.jpg": {[]byte("no picture at all"), "isn’t a JPEG, PNG or WebP"},
	} {
		phone.files(photo, bad(name, c.content))
		phone.until(name+" refused", fmt.Sprintf(`document.querySelector('[data-part="trouble"]')?.innerText.includes(%q)`, c.says))
		phone.press(`[data-do="another-picture"]`)
	}
	empty := simcoin.Scene{Ground: simcoin.Wood, Ambient: 0.4, Camera: simcoin.Camera{Width: 600, Height: 500, PxPerMM: 20, Noise: 0.01}, Seed: 4}
	phone.files(photo, asJPEG(t, "table", empty.Render()))
	phone.until("word that there is no coin", `document.querySelector('[data-part="rim-refused"]')?.dataset.why === "none"`)
	phone.axeHere("no coin")
	phone.press(`[data-do="rim-by-hand"]`)
	phone.until("three points to hold the rim by", `document.querySelectorAll(".hold").length === 3`)
	before := phone.number(`.glass-lines [data-part="rim"]`, "rx")
	phone.do(chromedp.Evaluate[chromedp.Void](`for (let n = 0; n < 3; n++) document.querySelector('[data-hold="rim-0"]').dispatchEvent(new KeyboardEvent("keydown", { key: "ArrowUp", shiftKey: true, bubbles: true })); undefined`))
	phone.until("another rim", fmt.Sprintf(`Math.abs(Number(document.querySelector('.glass-lines [data-part="rim"]').getAttribute("rx")) - %g) > 1`, before))
	phone.until("the size of the picked coin", `document.querySelector('[name="diameter"]').value === "19.05"`)
	phone.press(`[data-step="ruler"]`)
	phone.press(`[data-lay="line"]`)
	phone.until("millimeters", `Number(document.querySelector('[data-ruler]')?.dataset.value) > 0`)
}
