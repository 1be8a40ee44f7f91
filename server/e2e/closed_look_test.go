package e2e

import (
	"crypto/sha256"
	"fmt"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// TestASecondLookWithTheLaptopClosed: the program that looks at pictures was never used before the laptop
// closed. A find is kept, photographed and measured without it, to single pixels, by keys alone; the photo
// stays the very one, byte for byte, and comes to the laptop as that.
func TestASecondLookWithTheLaptopClosed(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	s := startServer(t, dir, "--scale", "virtual")
	phone := newDevice(t, startBrowser(t, trusting(t, s)...), phoneScreen)
	phone.open(s.phone)
	phone.weighing()
	phone.until("the core on the phone", `document.documentElement.dataset.core === "phone"`)
	phone.putBy()
	phone.tap(`button[data-denomination="cent"]`)
	s.kill()
	phone.do(chromedp.Reload())
	phone.until("the app without the laptop", `document.querySelector('[data-part="line"]') && document.documentElement.dataset.core === "phone"`)
	phone.typeFind("3.11")
	phone.details()
	record := strings.TrimPrefix(phone.ask(`location.hash`), "#/finds/")
	phone.files(`input[name="file"]`, asJPEG(t, "coin", photographed(centObverse(), 0, 120, 61)))
	phone.until("the photo", `document.querySelectorAll('[data-photo-link]').length === 1`)
	phone.openSecondLook()
	sum := phone.ask(`decodeURIComponent(location.hash).split("/").pop()`)
	phone.press(`[data-do="keep-rim"]`)
	phone.until("the rim kept", `document.querySelector('[data-part="rim-kept"]')`)

	// A ruler by keys, on pixels as large as squares to count.
	phone.press(`[data-step="ruler"]`)
	phone.press(`[data-lay="line"]`)
	phone.focus(`.glass`)
	for range 30 {
		phone.do(chromedp.KeyEvent("+"))
	}
	phone.until("single pixels", `Number(document.querySelector(".glass").dataset.scale) >= 24`)
	const value = `Number(document.querySelector('[data-ruler][data-is="line"]')?.dataset.value)`
	phone.until("a length", value+` > 0`)
	before := phone.number(`[data-ruler][data-is="line"]`, "data-value")
	phone.focus(`[data-hold="ruler-1"]`)
	for range 48 { // two pixels of the photo
		phone.do(chromedp.KeyEvent(kb.ArrowRight))
	}
	phone.until("another length", fmt.Sprintf(`%s !== %g`, value, before))
	phone.press(`[data-do="bench-undo"]`)
	phone.until("the length before", fmt.Sprintf(`%s === %g`, value, before))
	phone.press(`[data-do="keep-ruler"]`)
	phone.until("the length kept", `document.querySelector('[data-part="ruler-kept"]')`)

	back := startServer(t, dir, "--scale", "virtual", "--listen", strings.TrimPrefix(s.api, "https://"))
	phone.goTo("finds/" + record)
	phone.until("the length with the find", `/mm/.test(document.querySelector('[data-part="trophy"] dl')?.innerText)`)
	phone.until("all of it with the laptop", `!document.querySelector('[data-part="only-here"]') && !document.querySelector('[data-part="line"]')`)
	if photos := phone.ask(`[...document.querySelectorAll("[data-photo-link]")].map((l) => l.href.split("/").pop()).join()`); photos != sum {
		t.Errorf("the find's photos are %s, want %s alone", photos, sum)
	}
	back.token = phone.token()
	if got := fmt.Sprintf("%x", sha256.Sum256(back.photo(sum))); got != sum {
		t.Errorf("the laptop's copy of %s is another picture, %s", sum, got)
	}
}

// focus puts the keyboard onto an element.
func (d *device) focus(selector string) {
	d.t.Helper()
	d.until(selector+" to have the keyboard", fmt.Sprintf(`(e => e && (e.focus(), e === document.activeElement))(document.querySelector(%s))`, quoted(selector)))
}
