package e2e

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"io"
	"math/rand/v2"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// TestANightOfFindsIsOnTheLaptopInTheMorning: forty finds with photos are kept
// on the phone. In between the laptop is cut off in the middle of the sync, and
// the app is killed and opened again without the laptop. When the laptop is
// back, all is there, once, every photo as it was on the phone and none with
// the place it was taken at.
func TestANightOfFindsIsOnTheLaptopInTheMorning(t *testing.T) {
	t.Parallel()
	const finds = 40
	data, profile := t.TempDir(), t.TempDir()
	s := startServer(t, data, "--scale", "virtual")
	s.joinAsDesk()
	trust := append(trusting(t, s), chromedp.UserDataDir(profile))
	phone := startProfile(t, trust...)
	phone.open(s.offer())
	phone.until("the weigh screen", `document.querySelector('main[data-screen="weigh"]')`)
	phone.until("the core on the phone", `document.documentElement.dataset.core === "phone"`)
	phone.until("the app's copy on the phone", `(navigator.serviceWorker.getRegistration().then(r => { window.copied = !!r?.active }), window.copied)`)

	// A hunt goes on, so what is weighed is counted for it.
	phone.goTo("hunts")
	phone.newHunt("rolls")
	phone.until("the hunt going on", `document.querySelector('[data-part="hunt-state"]') && document.querySelector('[data-do="end"]')`)
	phone.shoot("hunt")
	phone.goTo("weigh")

	// From the scale, by one tap.
	phone.tap(`button[data-denomination="cent"]`)
	s.pan("put", "bronze-cent")
	phone.untilVerdict("bronze", "ordinary")
	phone.until("a coin that can be kept", `(k => k && !k.innerText.includes("—"))(document.querySelector('[data-do="keep"]:not([disabled])'))`)
	phone.until("the coin at rest", `document.querySelector('[data-part="phase"]')?.dataset.phase === "settled"`)
	phone.shoot("keep")
	phone.tap(`[data-do="keep"]`)
	phone.details()
	phone.until("its readings", `document.querySelector('[data-part="find-weight"] .trace')`)
	phone.addPhoto(1)
	phone.shoot("find")
	s.pan("clear")

	phone.typeFinds(2, 10)
	s.kill()
	phone.typeFinds(11, 30)
	phone.until("word of finds and photos that are only here", `/find.*photo/s.test(document.querySelector('[data-part="only-here"]')?.innerText)`)

	phone.kill()
	phone = startProfile(t, trust...)
	phone.open(s.api + "/")
	phone.until("the app without the laptop", `document.querySelector('main[data-screen="weigh"]')`)
	phone.until("the core on the phone", `document.documentElement.dataset.core === "phone"`)
	before := phone.onlyHere()
	phone.shoot("reopened")
	phone.goTo("finds")
	phone.until("thirty finds after the app was killed", `document.querySelector('[data-part="total"]')?.dataset.n === "30"`)
	phone.shoot("list")
	phone.goTo("weigh")
	phone.tap(`button[data-denomination="cent"]`)
	phone.typeFinds(31, finds)
	phone.until("more finds to be only here", fmt.Sprintf(`(now => now && now !== %s)(document.querySelector('[data-part="only-here"]')?.innerText)`, quoted(before)))

	back := startServer(t, data, "--scale", "virtual", "--listen", strings.TrimPrefix(s.api, "https://"))
	back.token = s.token
	phone.until("nothing left that is only on the phone", `!document.querySelector('[data-part="only-here"]')`)
	phone.goTo("finds")
	phone.until("the forty finds", fmt.Sprintf(`document.querySelector('[data-part="total"]')?.dataset.n === "%d"`, finds))
	phone.shoot("all-there")
	back.checkFinds(finds)

	// The laptop's own page shows the same.
	desk := newDevice(t, startBrowser(t), laptopScreen)
	desk.open(back.offer())
	desk.until("the weigh screen", `document.querySelector('main')`)
	desk.goTo("finds")
	desk.until("the forty finds on another device", fmt.Sprintf(`document.querySelector('[data-part="total"]')?.dataset.n === "%d"`, finds))
	desk.tap(`[data-find]`)
	desk.until("a photo from the laptop", `document.querySelector('[data-part="photos"] .thumb img')`)
	desk.shoot("wide")
}

// startProfile launches a browser whose only device is a phone that keeps what
// it stores in a folder.
func startProfile(t *testing.T, opts ...chromedp.ExecAllocatorOption) *device {
	t.Helper()
	ctx := startBrowser(t, opts...)
	d := &device{t: t, ctx: ctx}
	go d.collectConsole()
	d.do(chromedp.EmulateViewport(phoneScreen.width, phoneScreen.height,
		chromedp.EmulateScale(2), chromedp.EmulateMobile, chromedp.EmulateTouch))
	t.Cleanup(func() {
		if t.Failed() && d.ctx.Err() == nil {
			d.logConsole()
			d.shoot("failed")
		}
	})
	return d
}

// kill ends the browser at once, as a system that needs its memory does.
func (d *device) kill() {
	d.t.Helper()
	browser := chromedp.FromContext(d.ctx).Browser
	if err := browser.Process().Kill(); err != nil {
		d.t.Fatal(err)
	}
	<-browser.LostConnection
}

// kill ends the server at once, as a closed laptop does.
func (s *server) kill() {
	s.t.Helper()
	if err := s.cmd.Process.Kill(); err != nil {
		s.t.Fatal(err)
	}
	<-s.exited
}

// cutOff takes the page's requests away, or gives them back.
func (d *device) cutOff(off bool) {
	d.t.Helper()
	d.do(chromedp.Evaluate[chromedp.Void](fmt.Sprintf(`
		window.whole ??= window.fetch;
		window.fetch = %v ? () => Promise.reject(new TypeError("cut off")) : window.whole;
		if (!%v) dispatchEvent(new Event("online"));
		undefined`, off, off)))
}

// write fills in a field as a person does who then goes on to the next.
func (d *device) write(name, value string) {
	d.t.Helper()
	d.do(chromedp.Evaluate[chromedp.Void](fmt.Sprintf(`
		(el => { el.focus(); el.value = %q; el.dispatchEvent(new Event("input", { bubbles: true })); el.dispatchEvent(new Event("change", { bubbles: true })); el.blur(); })(document.querySelector('[name=%q]'));
		undefined`, value, name)))
}

// typeFind types a weight and keeps the coin.
func (d *device) typeFind(grams string) {
	d.t.Helper()
	d.until("the scale's line or its lack", `document.querySelector('[data-do="type"], [data-is="typed"]')`)
	d.do(chromedp.Evaluate[chromedp.Void](fmt.Sprintf(`
		(() => {
			document.querySelector('[data-do="type"]')?.click();
			const press = (key) => document.body.dispatchEvent(new KeyboardEvent("keydown", { key, bubbles: true }));
			press("Enter");
			for (const key of %q) press(key);
		})(); undefined`, grams)))
	d.until("a verdict of "+grams, fmt.Sprintf(
		`document.querySelector('[data-part="headline"]:not([data-last])') && document.querySelector('[data-do="keep"]:not([disabled])')?.innerText.includes(%q)`, grams))
	d.tap(`[data-do="keep"]`)
	d.until("the coin kept", `document.querySelector('[data-do="open-find"]')`)
}

// details goes from the kept coin to its page.
func (d *device) details() {
	d.t.Helper()
	d.tap(`[data-do="open-find"]`)
	d.until("the find", `document.querySelector('[data-part="find"] [data-part="photos"]')`)
}

// edit opens the fields of the find or hunt on the screen.
func (d *device) edit() {
	d.t.Helper()
	d.tap(`[data-do="edit"][aria-expanded="false"]`)
	d.until("its fields", `document.querySelector('[data-part="fields"] [name="note"]')`)
}

// typeFinds keeps finds from one number to another, each with a photo.
func (d *device) typeFinds(from, to int) {
	d.t.Helper()
	for n := from; n <= to; n++ {
		d.goTo("weigh")
		d.typeFind(fmt.Sprintf("3.%02d", n))
		d.details()
		d.addPhoto(n)
	}
}

// addPhoto gives the find on the screen a photo of its own.
func (d *device) addPhoto(n int) {
	d.t.Helper()
	file := filepath.Join(d.t.TempDir(), fmt.Sprintf("photo-%d.jpg", n))
	if err := os.WriteFile(file, located(d.t, picture(d.t, uint64(n))), 0o600); err != nil {
		d.t.Fatal(err)
	}
	d.do(chromedp.SetUploadFiles(chromedp.CSS(`input[name="file"]`), []string{file}))
	d.until("the photo", `document.querySelector('[data-photo-link]')`)
}

// newHunt begins a hunt of a source.
func (d *device) newHunt(source string) {
	d.t.Helper()
	d.tap(`[data-do="new-hunt"]`)
	d.tap(fmt.Sprintf(`[data-do="begin-hunt"][data-source=%q]`, source))
	d.until("the hunt going on", `document.querySelector('[data-part="hunt"] [data-do="end"]')`)
}

func (d *device) onlyHere() string {
	d.t.Helper()
	d.until("what is only on this phone", `document.querySelector('[data-part="only-here"]')`)
	return d.ask(`document.querySelector('[data-part="only-here"]').innerText`)
}

// checkFinds reads the laptop's journal: so many finds, each once, each with
// one photo whose bytes have its hash and tell of no place.
func (s *server) checkFinds(want int) {
	s.t.Helper()
	photos := map[string]map[string]bool{} // by find
	seen := map[string]bool{}
	cursor := ""
	for more := true; more; {
		var page struct {
			Entries []struct{ ID, Record, Kind, Field string }
			Cursor  string
			More    bool
		}
		s.call(http.MethodGet, "/api/v1/journal?limit=100&after="+url.QueryEscape(cursor), nil, &page)
		for _, e := range page.Entries {
			if seen[e.ID] {
				s.t.Errorf("entry %s is there twice", e.ID)
			}
			seen[e.ID] = true
			if e.Kind != "find" {
				continue
			}
			if photos[e.Record] == nil {
				photos[e.Record] = map[string]bool{}
			}
			if sum, ok := strings.CutPrefix(e.Field, "photo/"); ok {
				photos[e.Record][sum] = true
			}
		}
		cursor, more = page.Cursor, page.More
	}
	if len(photos) != want {
		s.t.Errorf("%d finds on the laptop, not %d", len(photos), want)
	}
	all := map[string]bool{}
	for find, sums := range photos {
		if len(sums) != 1 {
			s.t.Errorf("find %s has %d photos", find, len(sums))
		}
		for sum := range sums {
			all[sum] = true
			body := s.photo(sum)
			if got := sha256.Sum256(body); hex.EncodeToString(got[:]) != sum {
				s.t.Errorf("photo %s has other bytes", sum)
			}
			if bytes.Contains(body, []byte("Exif")) {
				s.t.Errorf("photo %s still has what the camera noted", sum)
			}
		}
	}
	if len(all) != want {
		s.t.Errorf("%d different photos on the laptop, not %d", len(all), want)
	}
}

func (s *server) photo(sum string) []byte {
	s.t.Helper()
	req, err := http.NewRequestWithContext(context.Background(), http.MethodGet, s.api+"/api/v1/photos/"+sum, nil)
	if err != nil {
		s.t.Fatal(err)
	}
	req.Header.Set("Authorization", "Bearer "+s.token)
	resp, err := s.client.Do(req)
	if err != nil {
		s.t.Fatal(err)
	}
	defer resp.Body.Close()
	body, err := io.ReadAll(resp.Body)
	if err != nil || resp.StatusCode != http.StatusOK {
		s.t.Fatalf("photo %s: %s %v", sum, resp.Status, err)
	}
	return body
}

// picture is a JPEG that no other seed gives.
func picture(t testing.TB, seed uint64) []byte {
	t.Helper()
	rng := rand.New(rand.NewPCG(seed, 7))
	img := image.NewRGBA(image.Rect(0, 0, 320, 240))
	for y := range 240 {
		for x := range 320 {
			v := uint8((x*y/97 + rng.IntN(90)) % 256)
			img.Set(x, y, color.RGBA{v, v / 2, uint8(seed * 6), 255})
		}
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, nil); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// located puts an Exif block with a position into a JPEG: TIFF 6.0 and
// CIPA DC-008, big-endian, one directory that points to the GPS one with the
// latitude's reference.
func located(t testing.TB, plain []byte) []byte {
	t.Helper()
	tiff := []byte("MM\x00\x2a\x00\x00\x00\x08" +
		"\x00\x01\x88\x25\x00\x04\x00\x00\x00\x01\x00\x00\x00\x1a\x00\x00\x00\x00" +
		"\x00\x01\x00\x01\x00\x02\x00\x00\x00\x02N\x00\x00\x00\x00\x00\x00\x00")
	body := append([]byte("Exif\x00\x00"), tiff...)
	out := append([]byte{}, plain[:2]...)
	out = append(out, 0xff, 0xe1, byte((len(body)+2)>>8), byte(len(body)+2))
	out = append(out, body...)
	out = append(out, plain[2:]...)
	if _, err := jpeg.Decode(bytes.NewReader(out)); err != nil {
		t.Fatal(err)
	}
	return out
}
