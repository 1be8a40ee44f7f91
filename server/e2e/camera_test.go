package e2e

import (
	"bytes"
	"fmt"
	"image"
	"image/jpeg"
	"os"
	"path/filepath"
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
func (s *scene) show(t *testing.T, seconds float64, sh rendered.Shown, mark byte) {
	t.Helper()
	for range int(30 * seconds) {
		s.at += 1.0 / 30
		f := s.Frame(sh, s.at, rendered.Hand{}, 0)
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

// TestLightBecomesAKeptFind: a rendered film of a scale's display is framed by keyboard and taught by
// two weights; the camera then reads a third, which counts once it is tapped, is judged, and is
// kept as a find.
func TestLightBecomesAKeptFind(t *testing.T) {
	file := filepath.Join(t.TempDir(), "display.mjpeg")
	s := newScene()
	for k, text := range []string{"0.00", "3.11", "0.00", "11.50"} {
		mark := []byte{40, 100, 40, 220}[k]
		s.show(t, 0.3, rendered.Shown{Text: text, Unit: "g"}, 160)
		s.show(t, 4, rendered.Shown{Text: text, Unit: "g", Stable: true}, mark)
	}
	if err := os.WriteFile(file, s.film.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	page := startBrowser(t, fakeCamera(file, chromedp.Flag("use-fake-ui-for-media-stream", true))...)
	server := startServer(t, t.TempDir(), "--scale", "virtual")
	phone := newDevice(t, page, phoneScreen)
	phone.open(server.phone)
	phone.weighing()
	phone.press(`button[data-denomination="half"]`)
	phone.goTo("camera")
	phone.until("the camera to be off, and said so", `document.querySelector('[data-part="camera"]')?.dataset.state === "off"`)
	phone.axeHere("before the camera")
	phone.press(`[data-do="camera-on"]`)
	phone.until("the picture, to be framed", `document.querySelector('[data-part="camera"]').dataset.state === "framing" && document.querySelectorAll(".camera-corner").length === 4`)
	phone.axeHere("framing")
	for i, w := range s.window {
		phone.do(chromedp.Evaluate[chromedp.Void](fmt.Sprintf(`(() => {
			const c = document.querySelector('[data-corner="%d"]');
			const go = (key, n) => { for (let k = 0; k < n; k++) c.dispatchEvent(new KeyboardEvent("keydown", { key, bubbles: true, cancelable: true })); };
			const at = (v) => parseFloat(v) / 100;
			const x = Math.round((%g - at(c.style.left)) / 0.005), y = Math.round((%g - at(c.style.top)) / 0.005);
			window.moves = [[x > 0 ? "ArrowRight" : "ArrowLeft", Math.abs(x)], [y > 0 ? "ArrowDown" : "ArrowUp", Math.abs(y)]];
		})()`, i, w.X/filmWidth, w.Y/filmHeight)))
		// One key at a time, as the page draws the corner anew after each.
		phone.do(chromedp.Evaluate[chromedp.Void](fmt.Sprintf(`window.moved = false; (async () => {
			for (const [key, n] of window.moves) for (let k = 0; k < n; k++) {
				document.querySelector('[data-corner="%d"]').dispatchEvent(new KeyboardEvent("keydown", { key, bubbles: true, cancelable: true }));
				await new Promise(requestAnimationFrame);
			}
			window.moved = true;
		})(); undefined`, i)))
		phone.until("the corner to be there", `window.moved`)
	}
	phone.shoot("framed")
	phone.press(`[data-do="framed"]`)
	phone.until("to be taught", `document.querySelector('[data-part="camera"]').dataset.state === "teaching"`)
	for _, l := range []struct {
		text string
		mark byte
	}{{"0.00", 40}, {"3.11", 100}, {"11.50", 220}} {
		// Typed in time, or at the next turn of the film.
		for {
			phone.until("the film to show "+l.text, marked(l.mark))
			phone.do(chromedp.Evaluate[chromedp.Void](`window.before = document.querySelector('[data-part="taught-count"]')?.textContent; (() => {
				const i = document.querySelector('[name="display-shows"]'); i.value = "` + l.text + `"; i.dispatchEvent(new Event("input", { bubbles: true }));
			})()`))
			phone.press(`[data-do="teach"]`)
			phone.until("an answer", `document.querySelector('[data-part="camera"]').dataset.state === "reading" || document.querySelector('[data-part="taught-count"]').textContent !== window.before || document.querySelector('[data-part="camera"] [role="alert"]')`)
			if phone.ask(`String(document.querySelector('[data-part="camera"]').dataset.why !== "busy")`) == "true" {
				break
			}
		}
		if phone.ask(`String(document.querySelector('[data-part="camera"]').dataset.state === "reading")`) == "true" {
			break
		}
	}
	phone.until("to be taught enough", `document.querySelector('[data-part="camera"]').dataset.state === "reading"`)
	phone.shoot("taught")
	phone.press(`[data-do="to-weighing"]`)
	phone.until("the weight read by camera, unconfirmed", `document.querySelector('[data-part="camera-panel"]')?.dataset.reads === "11.50" && document.querySelector(".digits[data-unconfirmed]")`)
	if got := phone.ask(`String(document.querySelector('[data-part="headline"]:not([data-last])')?.dataset.call)`); got != "undefined" {
		t.Errorf("before it was confirmed it was judged: %s", got)
	}
	phone.axeHere("to be confirmed")
	phone.until("the weight again", `document.querySelector('[data-do="take-read"]:not([aria-disabled="true"])')?.textContent.startsWith("Take 11.50")`)
	phone.press(`[data-do="take-read"]`)
	phone.until("that it was confirmed", `document.querySelector('[data-part="weight"]').textContent === "11.50" && !document.querySelector(".digits[data-unconfirmed]")`)
	phone.until("a verdict", `document.querySelector('[data-part="headline"]:not([data-last])')?.dataset.call`)
	phone.shoot("verdict")
	phone.tap(`[data-do="keep"]`)
	phone.until("the coin kept", `document.querySelector('[data-do="open-find"]')`)
	phone.press(`[data-do="open-find"]`)
	phone.until("the find, marked", `document.querySelector('[data-part="find-weight"]')?.textContent.includes("read by camera")`)
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
		phone.until("word of a camera that is "+why, `document.querySelector('[data-part="camera-trouble"]')?.dataset.why === "`+why+`"`)
	}
	phone.axeHere("no camera")
}
