package e2e

import (
	"context"
	"encoding/binary"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"github.com/chromedp/chromedp"

	"panside/internal/book/data"
	"panside/internal/plate"
	"panside/internal/simring"
)

// fakeMicrophone lets the browser hear a file. What it names may be changed between two times
// that the microphone is switched on.
func fakeMicrophone(file string, more ...chromedp.ExecAllocatorOption) []chromedp.ExecAllocatorOption {
	return append([]chromedp.ExecAllocatorOption{
		chromedp.Flag("use-fake-device-for-media-stream", true),
		chromedp.Flag("use-file-for-fake-audio-capture", file),
		chromedp.Flag("autoplay-policy", "no-user-gesture-required"),
		chromedp.Flag("mute-audio", false),
	}, more...)
}

// hears makes the fake microphone play samples of 48,000 a second, over and over.
func hears(t *testing.T, file string, samples []float64) {
	t.Helper()
	wav := []byte("RIFF\x00\x00\x00\x00WAVEfmt ")
	wav = binary.LittleEndian.AppendUint32(wav, 16)
	for _, v := range []uint16{1, 1} {
		wav = binary.LittleEndian.AppendUint16(wav, v)
	}
	wav = binary.LittleEndian.AppendUint32(wav, 48000)
	wav = binary.LittleEndian.AppendUint32(wav, 96000)
	wav = binary.LittleEndian.AppendUint16(wav, 2)
	wav = binary.LittleEndian.AppendUint16(wav, 16)
	wav = append(wav, "data"...)
	wav = binary.LittleEndian.AppendUint32(wav, uint32(2*len(samples)))
	for _, v := range samples {
		wav = binary.LittleEndian.AppendUint16(wav, uint16(int16(math.Round(32767*max(-1, min(1, v))))))
	}
	binary.LittleEndian.PutUint32(wav[4:], uint32(len(wav)-8))
	next := file + ".next"
	if err := os.WriteFile(next, wav, 0o644); err != nil {
		t.Fatal(err)
	}
	if err := os.Rename(next, file); err != nil {
		t.Fatal(err)
	}
}

// rungOf renders taps of a coin of the book's planchet.
func rungOf(t *testing.T, kind simring.Kind, planchet string) []float64 {
	t.Helper()
	b := data.Coins()
	d, ok := plate.Of(b, b.Planchet(planchet))
	if !ok {
		t.Fatalf("%s rings like nothing", planchet)
	}
	scene := simring.Scene{Rate: 48000, Rand: rand.New(rand.NewPCG(3, 3)), Noise: 20}
	return append(scene.Render(kind, d.Hz[:], nil, 4), make([]float64, 12000)...)
}

// weighingA is a phone that weighs a denomination.
func weighingA(t *testing.T, page context.Context, denomination string) *device {
	t.Helper()
	s := startServer(t, t.TempDir(), "--scale", "virtual")
	phone := newDevice(t, page, phoneScreen)
	phone.open(s.phone)
	phone.weighing()
	phone.press(`button[data-denomination="` + denomination + `"]`)
	return phone
}

// TestARingGoesIntoTheVerdict: a half dollar whose weight leaves clad and 40 % silver open is rung
// three times before a fake microphone; the ear tells the metal, one tap puts that into the verdict,
// another takes it out, and the find that is kept has it.
func TestARingGoesIntoTheVerdict(t *testing.T) {
	file := filepath.Join(t.TempDir(), "ring.wav")
	hears(t, file, rungOf(t, simring.Coin, "us-half-400"))
	page := startBrowser(t, fakeMicrophone(file, chromedp.Flag("use-fake-ui-for-media-stream", true))...)
	phone := weighingA(t, page, "half")
	phone.until("the scale's line", `document.querySelector('[data-do="type"]')`)
	phone.do(chromedp.Evaluate[chromedp.Void](`document.querySelector('[data-do="type"]').click();
		for (const key of ["1", "1", ".", "4", "0"]) document.body.dispatchEvent(new KeyboardEvent("keydown", { key, bubbles: true })); undefined`))
	const call = `document.querySelector('[data-part="headline"]:not([data-last])')?.dataset.call`
	phone.until("two metals", call+` === "either"`)

	phone.goTo("ring")
	phone.until("the microphone to be off, and said so", `document.querySelector('[data-part="ring-listen"]')?.dataset.state === "off"`)
	phone.until("where the metals lie", `document.querySelectorAll('[data-part="ring-band"] [data-metal]').length >= 3`)
	phone.axeHere("before a ring")
	phone.press(`[data-do="listen"]`)
	phone.until("word that the microphone is on", `document.querySelector(".lamp-words[data-on]")?.textContent.includes("never kept")`)
	phone.until("the metal", `document.querySelector('[data-part="ring-answer"]')?.dataset.alloy === "silver-400"`)
	phone.until("the microphone to be off again", `document.querySelector('[data-part="ring-listen"]').dataset.state === "off"`)
	phone.axeHere("a ring told")
	phone.shoot("told")
	phone.press(`[data-do="use-ring"]`)
	phone.press(`[data-do="take-ring-out"]`)
	phone.press(`[data-do="use-ring"]`)
	phone.press(`[data-do="to-verdict"]`)
	phone.until("one metal, and silver is kept", call+` === "keeper"`)
	phone.until("the ring among what was said", `document.querySelector('[data-given="ring"]')?.textContent.includes("kHz")`)
	phone.shoot("verdict")
	phone.tap(`[data-do="keep"]`)
	phone.until("the coin kept", `document.querySelector('[data-do="open-find"]')`)
	phone.details()
	phone.edit()
	phone.until("the find's ring", `(() => { for (const d of document.querySelectorAll("details")) d.open = true; return document.querySelector('[data-part="history"]').textContent.includes("kHz"); })()`)
}

// TestWhatIsNoRing: each has its sentence, and the way on is to ring again.
func TestWhatIsNoRing(t *testing.T) {
	file := filepath.Join(t.TempDir(), "ring.wav")
	hears(t, file, make([]float64, 96000))
	page := startBrowser(t, fakeMicrophone(file, chromedp.Flag("use-fake-ui-for-media-stream", true))...)
	phone := weighingA(t, page, "quarter")
	phone.goTo("ring")
	phone.press(`[data-do="listen"]`)
	phone.until("word of the silence", `document.querySelector('[data-part="ring-trouble"]')?.dataset.why === "silent"`)
	phone.axeHere("a silent microphone")
	for why, kind := range map[string]simring.Kind{"glass": simring.Glass, "clipped": simring.Clipping, "click": simring.Click} {
		hears(t, file, rungOf(t, kind, "us-quarter-clad"))
		phone.press(`[data-do="listen"]`)
		phone.until("word of a "+why, `document.querySelector('[data-part="ring-refused"]')?.dataset.why === "`+why+`"`)
		phone.press(`[data-do="stop-listening"]`)
	}
	hears(t, file, rungOf(t, simring.Coin, "us-quarter-clad"))
	phone.press(`[data-do="listen"]`)
	phone.until("the metal all the same", `document.querySelector('[data-part="ring-answer"]')?.dataset.alloy === "clad"`)

	// It is known to be clad, and stands for the coins to come, after the page was left too.
	phone.do(chromedp.Evaluate[chromedp.Void](`document.querySelector('[data-part="ring-known"]').open = true; undefined`))
	phone.press(`button[data-known="clad"]`)
	phone.until("the known coin", `document.querySelector('[data-part="ring-known"]')?.dataset.known === "us-quarter-clad"`)
	phone.goTo("weigh")
	phone.goTo("ring")
	phone.until("it still", `document.querySelector('[data-part="ring-known"]')?.dataset.known === "us-quarter-clad"`)
}

// TestAMicrophoneThatIsRefused, and a device that has none.
func TestAMicrophoneThatIsRefused(t *testing.T) {
	page := startBrowser(t, chromedp.Flag("use-fake-device-for-media-stream", true), chromedp.Flag("deny-permission-prompts", true))
	phone := weighingA(t, page, "quarter")
	phone.goTo("ring")
	phone.press(`[data-do="listen"]`)
	phone.until("word of the refusal", `document.querySelector('[data-part="ring-trouble"]')?.dataset.why === "refused"`)
	for why, name := range map[string]string{"none": "NotFoundError", "held": "NotReadableError"} {
		phone.do(chromedp.Evaluate[chromedp.Void](`navigator.mediaDevices.getUserMedia = () => Promise.reject(new DOMException("", "` + name + `")); undefined`))
		phone.press(`[data-do="listen"]`)
		phone.until("word of a microphone that is "+why, `document.querySelector('[data-part="ring-trouble"]')?.dataset.why === "`+why+`"`)
	}
	phone.axeHere("no microphone")
}
