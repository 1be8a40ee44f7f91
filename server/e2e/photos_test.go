package e2e

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// holdPhotos keeps the page from sending photos, or lets it again.
func (d *device) holdPhotos(hold bool) {
	d.t.Helper()
	d.do(chromedp.Evaluate[chromedp.Void](fmt.Sprintf(`
		window.wholeFetch ??= window.fetch;
		window.fetch = %v ? (to, init) => init?.method === "PUT" ? Promise.reject(new TypeError("held")) : window.wholeFetch(to, init) : window.wholeFetch;
		if (!%v) dispatchEvent(new Event("online"));
		undefined`, hold, hold)))
}

// TestADamagedPhotoIsSaidAndComesAgain: a photo is damaged on the laptop's disk
// and found when photos are read again. The phone and the laptop's page say so
// until the phone has sent it once more. One that nobody has is named by its
// find, until it is removed from it.
func TestADamagedPhotoIsSaidAndComesAgain(t *testing.T) {
	t.Parallel()
	data := t.TempDir()
	s := startServer(t, data, "--scale", "virtual")
	s.joinAsDesk()
	browser := startBrowser(t)
	phone := newDevice(t, browser, phoneScreen)
	phone.open(s.offer())
	phone.until("the weigh screen", `document.querySelector('main[data-screen="weigh"]')`)
	phone.until("the core on the phone", `document.documentElement.dataset.core === "phone"`)
	phone.tap(`button[data-denomination="cent"]`)
	phone.typeFinds(1, 1)
	phone.until("the photo read back on the laptop", `!document.querySelector('[data-part="only-here"]')`)
	photo := phone.ask(`document.querySelector('[data-photo-link] [data-photo]').dataset.photo`)
	phone.holdPhotos(true)

	s.kill()
	file := filepath.Join(data, "photos", photo+".jpg")
	whole, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	rotten := bytes.Clone(whole)
	rotten[len(rotten)/2] ^= 1
	if err := os.WriteFile(file, rotten, 0o600); err != nil {
		t.Fatal(err)
	}
	back := startServer(t, data, "--scale", "virtual", "--listen", strings.TrimPrefix(s.api, "https://"))
	back.token = s.token
	desk := newDevice(t, startBrowser(t), laptopScreen)
	desk.open(back.desk)
	for name, d := range map[string]*device{"phone": phone, "desk": desk} {
		d.until("the damage said on the "+name, `document.querySelector('[data-part="wanted"]')?.innerText.includes("1 photo is damaged on the laptop")`)
	}
	phone.until("who has it", `document.querySelector('[data-part="wanted"]').innerText.includes("this phone has it") && document.querySelector('[data-part="only-here"]')`)
	phone.shoot("damaged-photo")
	phone.axeHere("a damaged photo")
	desk.shoot("damaged-photo-desk")
	phone.holdPhotos(false)
	for name, d := range map[string]*device{"phone": phone, "desk": desk} {
		d.until("nothing said any more on the "+name, `!document.querySelector('[data-part="wanted"], [data-part="only-here"]')`)
	}
	if got := sha256.Sum256(back.photo(photo)); hex.EncodeToString(got[:]) != photo {
		t.Error("the photo that came again has other bytes")
	}
	if apart, err := filepath.Glob(filepath.Join(data, "photos", "damaged", photo+"*")); err != nil || len(apart) != 1 {
		t.Errorf("set apart: %q, %v", apart, err)
	}

	// Another client's photo goes the same way, and nobody has it.
	phone.do(chromedp.Evaluate[chromedp.Void](`new Promise((done, failed) => {
		const open = indexedDB.open("panside");
		open.onerror = failed;
		open.onsuccess = () => {
			const change = open.result.transaction("photos", "readwrite");
			change.objectStore("photos").clear();
			change.oncomplete = () => { open.result.close(); window.freed = true; };
		};
	}); undefined`))
	phone.until("the photo freed on the phone", `window.freed`)
	if err := os.Truncate(file, 0); err != nil {
		t.Fatal(err)
	}
	var progress struct{ Complete bool }
	if back.call(http.MethodGet, "/api/v1/photos/"+photo+"/progress", nil, &progress); progress.Complete {
		t.Error("an empty photo counts as complete")
	}
	back.call(http.MethodPost, "/api/v1/photos/wanted", map[string]any{"v": 1, "not_held": []string{photo}}, nil)
	for name, d := range map[string]*device{"phone": phone, "desk": desk} {
		d.until("the loss said on the "+name, `document.querySelector('[data-part="wanted"]')`)
	}
	back.call(http.MethodPost, "/api/v1/photos/wanted", map[string]any{"v": 1, "not_held": []string{photo}}, nil)
	phone.until("that nobody has it", `(dispatchEvent(new Event("online")), document.querySelector('[data-part="wanted"]')?.innerText.includes("no phone has it anymore"))`)
	phone.tap(`[data-part="wanted"]`)
	phone.tap(`[data-part="wanted-list"] summary`)
	phone.until("its find named", `document.querySelector('[data-wanted] a[href^="#/finds/"]')?.innerText.includes("3.01")`)
	phone.shoot("lost-photo")
	phone.tap(`[data-wanted] a`)
	phone.tap(`[data-photo-link]`)
	phone.tap(`[data-do="remove-photo"]`)
	for name, d := range map[string]*device{"phone": phone, "desk": desk} {
		d.until("nothing said any more on the "+name, `!document.querySelector('[data-part="wanted"]')`)
	}
}
