package e2e

import (
	"context"
	"fmt"
	"math"
	"os"
	"regexp"
	"strconv"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// TestACoinOnTheDial: one lamp stands still and the coin turns. One photo is taken at the wrong mark, is
// named, and taken again; then there is a shape.
func TestACoinOnTheDial(t *testing.T) {
	t.Parallel()
	phone := phoneForCents(t)
	phone.goTo("second-look")
	mark := func(n int, turn float64) string {
		return asJPEG(t, fmt.Sprintf("mark-%d", n), photographed(centObverse(), turn, 90, uint64(20+n)))
	}
	phone.files(`input[name="picture"]`, asJPEG(t, "coin", photographed(centObverse(), 0, 120, 1)))
	phone.rimFound()
	phone.press(`[data-step="light"]`)
	phone.press(`[data-choice="led-dial"]`)
	phone.until("eight marks", `document.querySelectorAll(".lamp-sides > li").length === 8`)
	phone.axeHere("the dial, eight marks")
	phone.press(`[data-choice="marks-4"]`)
	phone.until("four marks", `document.querySelectorAll(".lamp-sides > li").length === 4 && document.querySelector('[data-do="to-dial"]')`)
	// The third photo was taken before the disc was turned on.
	phone.files(`[data-part="light-panel"] input[name="picture"]`, mark(1, 0), mark(3, 92), mark(5, 90), mark(7, 269))
	phone.until("the photo at the wrong mark", `document.querySelector('[data-part="relief-refused"]')?.dataset.why === "astray" && document.querySelector('[data-part="relief-refused"]').dataset.mark === "5"`)
	phone.says(`[data-part="relief-refused"]`, "mark 5", "90")
	phone.axeHere("a photo at the wrong mark")
	phone.press(`[data-do="mark-again"]`)
	phone.until("that one alone to be taken", `document.querySelector('[data-part="light-panel"]').dataset.left === "1"`)
	phone.files(`[data-part="light-panel"] input[name="picture"]`, mark(5, 181))
	phone.until("the shape", `document.querySelector('[data-part="light-panel"]').dataset.state === "made" && document.querySelector('[data-part="light-view"]')?.dataset.lit`)
	phone.axeHere("the dial, made")

	// The lamp's own photos are another set, and the dial's are still there.
	phone.press(`[data-choice="led-lamp"]`)
	phone.until("none with the lamp moved", `document.querySelector('[data-part="light-panel"]').dataset.left === "4"`)
	if os.Getenv("PANSIDE_SHOTS") != "" {
		phone.press(`[data-choice="led-dial"]`)
		phone.speaks("es")
		phone.do(chromedp.KeyEvent(kb.Escape))
		phone.shootAllSizes("the dial, in Spanish")
		phone.inBothThemes("dial-led-es", `[data-choice="marks-8"]`)
	}
}

// inPrint is what the page would be on paper: the check line's length in mm, and what else is seen.
func (d *device) inPrint(script string) float64 {
	d.t.Helper()
	media := func(m string) {
		d.do(chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
			_, err := cdp.Call(ctx, target, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: m})
			return err
		}))
	}
	media("print")
	defer media("")
	v, err := strconv.ParseFloat(d.ask(`String(`+script+`)`), 64)
	if err != nil {
		d.t.Fatal(err)
	}
	return v
}

// pdf prints the page as it asks to be printed.
func (d *device) pdf() []byte {
	d.t.Helper()
	var pdf []byte
	d.do(chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
		printed, err := cdp.Call(ctx, target, page.PrintToPDF, page.PrintToPDFParams{PreferCSSPageSize: new(true)})
		if err == nil {
			pdf = []byte(printed.Data)
		}
		return err
	}))
	return pdf
}

var mediaBox = regexp.MustCompile(`/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]`)

// TestTheDialIsPrintedToSize: one sheet of the chosen paper with nothing but the dial on it, whose check
// line is 100 mm long; from the app's copy on the phone, the laptop being gone.
func TestTheDialIsPrintedToSize(t *testing.T) {
	t.Parallel()
	s := startServer(t, t.TempDir(), "--scale", "virtual")
	phone := newDevice(t, startBrowser(t, trusting(t, s)...), phoneScreen)
	phone.open(s.phone)
	phone.weighing()
	phone.putBy()
	phone.goTo("second-look")
	phone.press(`[data-do="to-dial"]`)
	phone.until("the sheet", `document.querySelector('[data-part="dial-sheet"]')`)
	s.kill()
	phone.do(chromedp.Reload())
	phone.until("the sheet without the laptop", `document.querySelector('[data-part="dial-sheet"]')`)
	phone.do(chromedp.Evaluate[chromedp.Void](`window.print = () => { window.printed = true; }; undefined`))
	phone.press(`[data-do="print-dial"]`)
	phone.until("the browser asked to print", `window.printed`)
	for paper, size := range map[string][2]float64{"a4": {595.3, 841.9}, "letter": {612, 792}} {
		if phone.ask(`document.querySelector('[data-part="dial-sheet"]').dataset.paper`) != paper {
			phone.press(fmt.Sprintf(`[data-choice="paper-%s"]`, paper))
		}
		phone.until(paper, fmt.Sprintf(`document.querySelector('[data-part="dial-sheet"]').dataset.paper === %q`, paper))
		if mm := phone.inPrint(`document.querySelector('[data-part="dial-check"]').getBoundingClientRect().width * 25.4 / 96`); math.Abs(mm-100) > 0.5 {
			t.Errorf("%s: the line of 100 mm is %.2f mm long", paper, mm)
		}
		if n := phone.inPrint(`[...document.body.querySelectorAll("*")].filter((e) => e.checkVisibility() && !e.contains(document.querySelector(".dial-sheet")) && !e.closest(".dial-sheet")).length`); n != 0 {
			t.Errorf("%s: %g other things are printed", paper, n)
		}
		pdf := phone.pdf()
		pages := mediaBox.FindAllSubmatch(pdf, -1)
		if len(pages) != 1 {
			t.Errorf("%s: %d pages", paper, len(pages))
			continue
		}
		for i, want := range size {
			if got, _ := strconv.ParseFloat(string(pages[0][i+1]), 64); math.Abs(got-want) > 1 {
				t.Errorf("%s: side %d is %.1f points, want %.1f", paper, i, got, want)
			}
		}
		if dir := os.Getenv("PANSIDE_SHOTS"); dir != "" {
			if err := os.WriteFile(dir+"/dial-"+paper+".pdf", pdf, 0o600); err != nil {
				t.Fatal(err)
			}
		}
	}
	phone.axeHere("the dial to print")
	if os.Getenv("PANSIDE_SHOTS") != "" {
		phone.speaks("es")
		phone.do(chromedp.KeyEvent(kb.Escape))
		phone.shootAllSizes("the dial to print, in Spanish")
	}
}
