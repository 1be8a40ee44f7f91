package e2e

import (
	"bytes"
	"fmt"
	"image"
	"image/jpeg"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"panside/internal/segments"
	"panside/internal/segments/rendered"
)

const filmWidth, filmHeight = 640, 480

// scene is a display in the middle of the fake camera's picture.
type scene struct {
	*rendered.Scene
	window segments.Window
	at     float64
	film   bytes.Buffer
}

func newScene() *scene {
	l := rendered.Draw(1000)
	l.Kind, l.Cells, l.Places, l.Glare, l.Noise, l.Shake = rendered.Backlit, 5, 2, 0, 1.5, 0.1
	l.Paper, l.Ink, l.Ghost, l.Comma = 0.8, 0.15, 0.04, false
	l.FrameW, l.FrameH = filmWidth, filmHeight
	l.Zoom, l.FrameOff = 85, 0
	s := rendered.New(l)
	return &scene{Scene: s, window: s.Window()}
}

// show adds seconds of a state to the film. The picture's upper left corner says which it is, by
// its brightness, so that the test knows when to type.
func (s *scene) show(t testing.TB, seconds float64, sh rendered.Shown, mark byte) {
	t.Helper()
	s.moved(t, seconds, sh, mark, 0)
}

// moved is show of a phone that was moved by so many pixels.
func (s *scene) moved(t testing.TB, seconds float64, sh rendered.Shown, mark byte, moved float64) {
	t.Helper()
	for range int(30 * seconds) {
		s.at += 1.0 / 30
		s.add(t, s.Frame(sh, s.at, rendered.Hand{}, moved), mark)
	}
}

// add puts one picture on the film.
func (s *scene) add(t testing.TB, f segments.Frame, mark byte) {
	t.Helper()
	for y := range 16 {
		for x := range 16 {
			f.Pix[y*f.Width+x] = mark
		}
	}
	img := &image.Gray{Pix: f.Pix, Stride: f.Width, Rect: image.Rect(0, 0, f.Width, f.Height)}
	color := image.NewYCbCr(img.Rect, image.YCbCrSubsampleRatio420) // the browser takes no gray film
	copy(color.Y, img.Pix)
	for i := range color.Cb {
		color.Cb[i], color.Cr[i] = 128, 128
	}
	if err := jpeg.Encode(&s.film, color, &jpeg.Options{Quality: 92}); err != nil {
		t.Fatal(err)
	}
}

// fakeCamera lets the browser see a film, over and over.
func fakeCamera(file string, more ...chromedp.ExecAllocatorOption) []chromedp.ExecAllocatorOption {
	return append([]chromedp.ExecAllocatorOption{
		chromedp.Flag("use-fake-device-for-media-stream", true),
		chromedp.Flag("use-file-for-fake-video-capture", file),
	}, more...)
}

// marked is the JavaScript that tells whether the fake camera shows a state now.
func marked(mark byte) string {
	return fmt.Sprintf(`(() => {
		const v = document.querySelector(".camera-picture video"); if (!v || v.readyState < 2) return false;
		const c = document.createElement("canvas"); c.width = v.videoWidth; c.height = v.videoHeight;
		const p = c.getContext("2d"); p.drawImage(v, 0, 0);
		return Math.abs(p.getImageData(4, 4, 1, 1).data[1] - %d) < 20;
	})()`, mark)
}

// save writes the film for a browser started with fakeCamera.
func (s *scene) save(t testing.TB) (file string) {
	t.Helper()
	file = filepath.Join(t.TempDir(), "display.mjpeg")
	if err := os.WriteFile(file, s.film.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	return file
}

// weighing is a film of an empty pan, a cent, an empty pan, a half dollar.
func weighingFilm(t testing.TB) *scene {
	t.Helper()
	s := newScene()
	for k, text := range []string{"0.00", "3.11", "0.00", "11.50"} {
		mark := []byte{40, 100, 40, 220}[k]
		s.show(t, 0.3, rendered.Shown{Text: text, Unit: "g"}, 160)
		s.show(t, 4, rendered.Shown{Text: text, Unit: "g", Stable: true}, mark)
	}
	return s
}

const camera = `document.querySelector('[data-part="camera"]')`

// frames switches the camera on and puts the corners to those of the display.
func (d *device) frames(s *scene) {
	d.t.Helper()
	d.goTo("camera")
	d.press(`[data-do="camera-on"]`)
	d.until("the picture, to be framed", camera+`.dataset.state === "framing" && document.querySelectorAll(".camera-corner").length === 4`)
	for i, w := range s.window {
		d.do(chromedp.Evaluate[chromedp.Void](fmt.Sprintf(`(() => {
			const c = document.querySelector('[data-corner="%d"]');
			const at = (v) => parseFloat(v) / 100;
			const x = Math.round((%g - at(c.style.left)) / 0.005), y = Math.round((%g - at(c.style.top)) / 0.005);
			window.moves = [[x > 0 ? "ArrowRight" : "ArrowLeft", Math.abs(x)], [y > 0 ? "ArrowDown" : "ArrowUp", Math.abs(y)]];
		})()`, i, w.X/filmWidth, w.Y/filmHeight)))
		// One key at a time, as the page draws the corner anew after each.
		d.do(chromedp.Evaluate[chromedp.Void](fmt.Sprintf(`window.moved = false; (async () => {
			for (const [key, n] of window.moves) for (let k = 0; k < n; k++) {
				document.querySelector('[data-corner="%d"]').dispatchEvent(new KeyboardEvent("keydown", { key, bubbles: true, cancelable: true }));
				await new Promise(requestAnimationFrame);
			}
			window.moved = true;
		})(); undefined`, i)))
		d.until("the corner to be there", `window.moved`)
	}
}

// shown is a weight with the film's mark while it stands there.
type shownAt struct {
	text string
	mark byte
}

// teaches types what the film shows until the display is taught.
func (d *device) teaches(weights ...shownAt) {
	d.t.Helper()
	d.press(`[data-do="framed"]`)
	d.until("to be taught", camera+`.dataset.state === "teaching"`)
	for _, l := range weights {
		// Typed in time, or at the next turn of the film.
		for {
			d.until("the film to show "+l.text, marked(l.mark))
			d.do(chromedp.Evaluate[chromedp.Void](`window.before = document.querySelector('[data-part="taught-count"]')?.textContent; (() => {
				const i = document.querySelector('[name="display-shows"]'); i.value = "` + l.text + `"; i.dispatchEvent(new Event("input", { bubbles: true }));
			})()`))
			d.press(`[data-do="teach"]`)
			d.until("an answer", camera+`.dataset.state === "reading" || document.querySelector('[data-part="taught-count"]').textContent !== window.before || `+camera+`.dataset.why`)
			if d.ask(`String(`+camera+`.dataset.why !== "busy")`) == "true" {
				break
			}
		}
		if d.ask(`String(`+camera+`.dataset.state === "reading")`) == "true" {
			break
		}
	}
	d.until("to be taught enough", camera+`.dataset.state === "reading"`)
}

var lessons = []shownAt{{"0.00", 40}, {"3.11", 100}, {"11.50", 220}}

const takeHalf = `document.querySelector('[data-do="take-read"]:not([aria-disabled="true"])')?.textContent.startsWith("Take 11.50")`

// taken taps whenever the half dollar waits, as a person does again when the film went on under the
// finger, and tells whether there is a verdict.
const taken = `(() => {
	const verdict = document.querySelector('[data-part="headline"]:not([data-last])')?.dataset.call;
	if (!verdict && ` + takeHalf + `) document.querySelector('[data-do="take-read"]').click();
	return Boolean(verdict);
})()`

// TestLightBecomesAKeptFind: a rendered film of a scale's display is framed by keyboard and taught by
// two weights; the camera then reads a third, which counts once it is tapped, is judged, and is
// kept as a find. The laptop is away meanwhile.
func TestLightBecomesAKeptFind(t *testing.T) {
	s := weighingFilm(t)
	page := startBrowser(t, fakeCamera(s.save(t), chromedp.Flag("use-fake-ui-for-media-stream", true))...)
	server := startServer(t, t.TempDir(), "--scale", "virtual")
	phone := newDevice(t, page, phoneScreen)
	phone.open(server.phone)
	phone.weighing()
	phone.press(`button[data-denomination="half"]`)
	phone.goTo("camera")
	phone.until("the camera to be off, and said so", camera+`?.dataset.state === "off"`)
	phone.axeHere("before the camera")
	phone.frames(s)
	phone.axeHere("framing")
	phone.shoot("framed")
	phone.teaches(lessons...)
	phone.axeHere("taught")
	phone.cutOff(true)
	phone.press(`[data-do="to-weighing"]`)
	phone.until("the weight read by camera, unconfirmed", `document.querySelector('[data-part="camera-panel"]')?.dataset.reads === "11.50" && document.querySelector(".digits[data-unconfirmed]")`)
	if got := phone.ask(`String(document.querySelector('[data-part="headline"]:not([data-last])')?.dataset.call)`); got != "undefined" {
		t.Errorf("before it was confirmed it was judged: %s", got)
	}
	phone.axeHere("to be confirmed")
	phone.until("a verdict of what was taken", taken)
	phone.until("that it was confirmed", `document.querySelector('[data-part="weight"]').textContent === "11.50" && !document.querySelector(".digits[data-unconfirmed]")`)
	phone.shoot("verdict")
	phone.tap(`[data-do="keep"]`)
	phone.until("the coin kept", `document.querySelector('[data-do="open-find"]')`)
	phone.press(`[data-do="open-find"]`)
	phone.until("the find, marked", `document.querySelector('[data-part="find-weight"]')?.textContent.includes("read by camera")`)
}

// TestTheTableWeighsByOnePhonesCamera: shared, what one phone's camera reads is judged on another
// once it was confirmed there; hands-free isn't offered, and the scale of before is back after.
func TestTheTableWeighsByOnePhonesCamera(t *testing.T) {
	s := weighingFilm(t)
	page := startBrowser(t, fakeCamera(s.save(t), chromedp.Flag("use-fake-ui-for-media-stream", true))...)
	server := startServer(t, t.TempDir(), "--scale", "virtual")
	server.joinAsDesk()
	table := newDevice(t, page, phoneScreen)
	table.open(server.phone)
	table.weighing()
	table.press(`button[data-denomination="half"]`)
	phone := newDevice(t, page, phoneScreen)
	phone.open(server.offer())
	phone.weighing()
	phone.frames(s)
	phone.teaches(lessons...)
	phone.press(`[data-do="share-camera"]`)
	phone.until("that it is shared", `document.querySelector('[data-do="share-camera"]').getAttribute("aria-pressed") === "true"`)
	phone.axeHere("shared")
	table.until("the weight, to be confirmed", takeHalf)
	if got := table.ask(`String(document.querySelector('[data-part="headline"]:not([data-last])')?.dataset.call) + document.querySelectorAll('[data-do="hands"]').length`); got != "undefined0" {
		t.Errorf("before it was confirmed it was judged, or hands-free was offered: %s", got)
	}
	table.axeHere("to be confirmed at the table")
	table.until("a verdict of what was taken", taken+` && !document.querySelector('.digits[data-unconfirmed]')`)
	table.until("whose camera it is", `document.querySelector('.scale-name[data-kind="camera"]')?.textContent.startsWith("By camera")`)
	table.tap(`[data-do="keep"]`)
	table.until("the coin kept", `document.querySelector('[data-do="open-find"]')`)
	table.press(`[data-do="open-find"]`)
	table.until("the find, marked", `document.querySelector('[data-part="find-weight"]')?.textContent.includes("read by camera")`)
	phone.press(`[data-do="share-camera"]`)
	table.goTo("weigh")
	table.until("the practice scale again", `document.querySelector('[data-do="practice"]')`)
}

// TestWhatKeepsACameraFromReading: after the display is taught another unit shows, the phone is
// moved, the scale switches itself off, the lamp goes out: each is said with what to do, and no number
// stays.
func TestWhatKeepsACameraFromReading(t *testing.T) {
	s := newScene()
	s.show(t, 4, rendered.Shown{Text: "0.00", Unit: "g", Stable: true}, 40)
	s.show(t, 0.3, rendered.Shown{Text: "3.11", Unit: "g"}, 160)
	s.show(t, 5, rendered.Shown{Text: "3.11", Unit: "g", Stable: true}, 100)
	s.show(t, 4, rendered.Shown{Text: "48.0", Unit: "gn", Stable: true}, 220)
	s.moved(t, 4, rendered.Shown{Text: "3.11", Unit: "g", Stable: true}, 220, 60)
	s.show(t, 4, rendered.Shown{Off: true}, 220)
	s.Dim(1)
	s.show(t, 4, rendered.Shown{Off: true}, 220)
	page := startBrowser(t, fakeCamera(s.save(t), chromedp.Flag("use-fake-ui-for-media-stream", true))...)
	server := startServer(t, t.TempDir(), "--scale", "virtual")
	phone := newDevice(t, page, phoneScreen)
	phone.open(server.phone)
	phone.weighing()
	phone.frames(s)
	phone.until("the film to begin", marked(40))
	phone.teaches(shownAt{"0.00", 40}, shownAt{"3.11", 100})
	// What was said so far; a number beside it would be a lie.
	said := `(() => {
		const why = document.querySelector('[data-part="camera-why"]')?.dataset.why;
		const number = document.querySelector('[data-part="camera-reads"] strong')?.textContent !== "—";
		window.said ??= new Set();
		if (why) window.said.add(number ? "a number beside " + why : why);
		return window.said;
	})()`
	for _, why := range []string{"other-unit", "moved", "off", "dark"} {
		phone.until("word of "+why, said+`.has("`+why+`")`)
	}
	if all := phone.ask(said + `.size + ": " + [...window.said].join()`); strings.Contains(all, "number") {
		t.Errorf("said: %s", all)
	}
	phone.axeHere("not read")
}

// TestAWallIsNoDisplay: whoever frames a wall with a picture on it and types weights is told that no
// digits are there, and may frame anew.
func TestAWallIsNoDisplay(t *testing.T) {
	s := newScene()
	rng := rand.New(rand.NewPCG(1, 1))
	for range 120 {
		f := segments.Frame{Width: filmWidth, Height: filmHeight, Pix: make([]byte, filmWidth*filmHeight)}
		for k := range f.Pix {
			x, y := k%filmWidth, k/filmWidth
			f.Pix[k] = byte(150 + 60*math.Sin(float64(x*x+3*y*y)/9000) + 2*rng.NormFloat64())
		}
		s.add(t, f, 40)
	}
	page := startBrowser(t, fakeCamera(s.save(t), chromedp.Flag("use-fake-ui-for-media-stream", true))...)
	server := startServer(t, t.TempDir(), "--scale", "virtual")
	phone := newDevice(t, page, phoneScreen)
	phone.open(server.phone)
	phone.weighing()
	phone.frames(s)
	phone.press(`[data-do="framed"]`)
	phone.until("to be taught", camera+`.dataset.state === "teaching"`)
	// Typed by the page itself, as often as it takes.
	phone.until("word that it is no display", `(() => {
		const i = document.querySelector('[name="display-shows"]');
		if (`+camera+`.dataset.why === "not-a-display") return true;
		window.typed = (window.typed ?? 0) + 1;
		if (i && window.typed % 8 === 0) {
			i.value = ["0.00", "3.11", "24.68"][(window.typed / 8) % 3]; i.dispatchEvent(new Event("input", { bubbles: true }));
			document.querySelector('[data-do="teach"]')?.click();
		}
		return false;
	})()`)
	if got := phone.ask(`String(` + camera + `.dataset.state)`); got == "reading" {
		t.Error("a wall is read")
	}
	phone.axeHere("no display")
}

// TestACameraThatIsRefused, and a device that has none: each has its sentence.
func TestACameraThatIsRefused(t *testing.T) {
	page := startBrowser(t, chromedp.Flag("use-fake-device-for-media-stream", true), chromedp.Flag("deny-permission-prompts", true))
	s := startServer(t, t.TempDir(), "--scale", "virtual")
	phone := newDevice(t, page, phoneScreen)
	phone.open(s.phone)
	phone.weighing()
	phone.goTo("camera")
	phone.press(`[data-do="camera-on"]`)
	phone.until("word of the refusal", `document.querySelector('[data-part="camera-trouble"]')?.dataset.why === "refused"`)
	for why, name := range map[string]string{"none": "NotFoundError", "held": "NotReadableError"} {
		phone.do(chromedp.Evaluate[chromedp.Void](`navigator.mediaDevices.getUserMedia = () => Promise.reject(new DOMException("", "` + name + `")); undefined`))
		phone.press(`[data-do="camera-on"]`)
		phone.until("the way on", `document.querySelector('[data-do="type-instead"]')`)
		phone.until("word of a camera that is "+why, `document.querySelector('[data-part="camera-trouble"]')?.dataset.why === "`+why+`"`)
	}
	phone.axeHere("no camera")
}
