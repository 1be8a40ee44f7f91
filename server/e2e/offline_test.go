package e2e

import (
	"bytes"
	"context"
	"crypto/tls"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httputil"
	"net/url"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// putBy waits until the app lies on the device.
func (d *device) putBy() {
	d.t.Helper()
	d.do(chromedp.Evaluate[chromedp.Void](`
		window.putBy = false;
		navigator.serviceWorker.ready.then(() => { window.putBy = true; });
		undefined`))
	d.until("the app to be kept on the device", `window.putBy`)
}

// weighing waits for the weigh screen with a line to the laptop.
func (d *device) weighing() {
	d.t.Helper()
	d.until("the weigh screen", `document.querySelector('[data-screen="weigh"]')`)
	d.until("a line to the laptop", `!document.querySelector('[data-part="line"]')`)
}

// atTheTable is a night's beginning: the laptop with its virtual scale and a desk
// that moves the coins, and one device that has joined and weighs.
func atTheTable(t *testing.T, on screen) (browser context.Context, s *server, d *device) {
	t.Helper()
	browser = startBrowser(t)
	s = startServer(t, t.TempDir(), "--scale", "virtual")
	s.joinAsDesk()
	d = newDevice(t, browser, on)
	d.open(s.phone)
	d.weighing()
	d.emptyPan()
	return browser, s, d
}

// TestJoinedTheAppOpensAndJudgesWithTheLaptopClosed is the promise as a whole,
// in a browser that trusts the laptop and passes over no error: the code's
// address is followed, the browser finds the app fit to be installed, the
// server is killed, the page is opened again and judges a typed weight; the
// server comes back, and nobody touches the phone for it.
func TestJoinedTheAppOpensAndJudgesWithTheLaptopClosed(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	s := startServer(t, dir, "--scale", "virtual")
	browser := startBrowser(t, trusting(t, s)...)
	phone := newDevice(t, browser, phoneScreen)
	phone.open(s.phone)
	phone.weighing()
	phone.putBy()
	phone.fitToInstall()

	if err := s.cmd.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	<-s.exited
	phone.do(chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
		// An ordinary phone computes about four times slower than a laptop.
		_, err := cdp.Call(ctx, target, emulation.SetCPUThrottlingRate, emulation.SetCPUThrottlingRateParams{Rate: 4})
		return err
	}))
	// The shortcut among the phone's apps, for those whose scale has no cable.
	phone.open(s.api + "/#/type")
	phone.do(chromedp.Reload())
	phone.tap(`button[data-denomination="cent"]`)
	phone.until("the number pad", `document.querySelector('[data-is="typed"]')`)
	phone.do(chromedp.KeyEvent("3.11"))
	phone.untilVerdict("bronze", "ordinary")
	phone.until("the core on the phone itself", `document.documentElement.dataset.core === "phone"`)
	phone.until("it to say that there is no line", `document.querySelector('[data-part="line"]')?.dataset.line === "waiting"`)
	phone.shoot("laptop-closed")
	phone.do(chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
		_, err := cdp.Call(ctx, target, emulation.SetCPUThrottlingRate, emulation.SetCPUThrottlingRateParams{Rate: 1})
		return err
	}))

	startServer(t, dir, "--scale", "virtual", "--listen", strings.TrimPrefix(s.api, "https://"))
	phone.until("the line to come back by itself", `!document.querySelector('[data-part="line"]')`)
	phone.until("the typed weight to be still there", `document.querySelector('[data-part="headline"]')?.innerText.toLowerCase().includes("bronze")`)
}

// fitToInstall asks the browser itself whether it would install the app.
func (d *device) fitToInstall() {
	d.t.Helper()
	ctx, cancel := context.WithTimeout(d.ctx, patience)
	defer cancel()
	type answers struct {
		page.GetInstallabilityErrorsResult
		page.GetAppManifestResult
	}
	got, err := chromedp.Run(ctx, func(ctx context.Context, target *chromedp.Target) (a answers, err error) {
		if a.GetAppManifestResult, err = cdp.Call(ctx, target, page.GetAppManifest, page.GetAppManifestParams{}); err != nil {
			return a, err
		}
		a.GetInstallabilityErrorsResult, err = cdp.Call(ctx, target, page.GetInstallabilityErrors, cdp.Empty{})
		return a, err
	})
	if err != nil {
		d.t.Fatal(err)
	}
	for _, e := range got.InstallabilityErrors {
		// A page of a private window, which each of the test's phones is, is
		// never installed.
		if e.ErrorID != "in-incognito" {
			d.t.Errorf("it can't be installed: %s %v", e.ErrorID, e.ErrorArguments)
		}
	}
	for _, e := range got.Errors {
		d.t.Errorf("the manifest: %s", e.Message)
	}
	if got.URL == "" || !strings.Contains(got.Data, `"standalone"`) {
		d.t.Errorf("the manifest is %q at %q", got.Data, got.URL)
	}
	d.do(chromedp.Evaluate[chromedp.Void](`
		window.icons = null;
		fetch(document.querySelector("link[rel=manifest]").href).then((r) => r.json()).then((m) =>
			Promise.all(m.icons.filter((i) => i.type === "image/png").map(async (i) => {
				const bitmap = await createImageBitmap(await (await fetch(i.src)).blob());
				return i.sizes === bitmap.width + "x" + bitmap.height;
			}))).then((fits) => { window.icons = fits; });
		undefined`))
	d.until("icons of the sizes the manifest names", `window.icons?.length >= 3 && window.icons.every(Boolean)`)
}

// TestANewVersionWaitsUntilThePersonAgrees: a newer build is served while a
// coin lies on the pan. It is fetched, said, and not used until the button is
// tapped.
func TestANewVersionWaitsUntilThePersonAgrees(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	s := startServer(t, dir, "--scale", "virtual")
	browser := startBrowser(t, trusting(t, s)...)
	front := newFront(t, s, dir)
	s.joinAsDesk()
	link, err := url.Parse(s.offer())
	if err != nil {
		t.Fatal(err)
	}
	phone := newDevice(t, browser, phoneScreen)
	phone.open(front.origin + "/#" + link.Fragment)
	phone.weighing()
	phone.putBy()
	// From now on the page comes from the copy.
	phone.do(chromedp.Reload())
	phone.weighing()
	phone.until("the copy's hold on the page", `navigator.serviceWorker.controller`)
	phone.tap(`button[data-denomination="cent"]`)
	s.pan("put", "bronze-cent")
	phone.untilVerdict("bronze", "ordinary")

	front.newer.Store(true)
	phone.do(chromedp.Evaluate[chromedp.Void](`window.sameVisit = true; dispatchEvent(new Event("online")); undefined`))
	phone.until("word of the newer version", `document.querySelector('[data-part="newer"]')`)
	phone.shoot("newer")
	phone.untilVerdict("bronze", "ordinary")
	phone.until("the newer one to wait", `window.sameVisit && !document.querySelector('meta[name="newer-build"]')`)
	// Whoever opens the page again still has the old one, and is told again.
	phone.do(chromedp.Reload())
	phone.until("the page anew", `!window.sameVisit`)
	phone.until("word of the newer version again", `document.querySelector('[data-part="newer"]')`)
	phone.until("the older one still", `!document.querySelector('meta[name="newer-build"]')`)
	phone.press(`[data-do="take-newer"]`)
	phone.until("the newer version", `document.querySelector('meta[name="newer-build"]')`)
	phone.weighing()
	phone.until("nothing more to change to", `!document.querySelector('[data-part="newer"]')`)
}

// front stands before the server with the server's own certificate and, once
// told, makes the app it serves a newer build: another front page, and another
// revision of it in the service worker's list.
type front struct {
	origin string
	newer  atomic.Bool
}

func newFront(t *testing.T, s *server, dir string) *front {
	t.Helper()
	leaf := filepath.Join(dir, "server.pem")
	cert, err := tls.LoadX509KeyPair(leaf, leaf)
	if err != nil {
		t.Fatal(err)
	}
	to, err := url.Parse(s.api)
	if err != nil {
		t.Fatal(err)
	}
	f := &front{}
	proxy := &httputil.ReverseProxy{
		Rewrite: func(r *httputil.ProxyRequest) {
			r.SetURL(to)
			r.Out.Host = r.In.Host
			r.Out.Header.Del("Accept-Encoding") // to be read here
			r.Out.Header.Del("If-None-Match")   // of the older build
		},
		Transport:      &http.Transport{TLSClientConfig: &tls.Config{InsecureSkipVerify: true}, DisableCompression: true},
		ModifyResponse: f.change,
	}
	listener, err := tls.Listen("tcp", "127.0.0.1:0", &tls.Config{Certificates: []tls.Certificate{cert}})
	if err != nil {
		t.Fatal(err)
	}
	server := &http.Server{Handler: proxy, ReadHeaderTimeout: time.Minute}
	go func() { _ = server.Serve(listener) }() // ends by Close
	t.Cleanup(func() { _ = server.Close() })
	f.origin = fmt.Sprintf("https://127.0.0.1:%d", listener.Addr().(*net.TCPAddr).Port)
	return f
}

func (f *front) change(r *http.Response) error {
	path := r.Request.URL.Path
	if !f.newer.Load() || r.StatusCode != http.StatusOK || path != "/sw.js" && path != "/" && path != "/index.html" {
		return nil
	}
	body, err := io.ReadAll(r.Body)
	if err != nil {
		return err
	}
	_ = r.Body.Close() // read to its end
	if path == "/sw.js" {
		body = bytes.Replace(body, []byte(`url:"index.html",revision:"`), []byte(`url:"index.html",revision:"newer-`), 1)
		if !bytes.Contains(body, []byte("newer-")) {
			return fmt.Errorf("the service worker's list has no front page")
		}
	} else {
		body = bytes.Replace(body, []byte("<head>"), []byte(`<head><meta name="newer-build" content="yes">`), 1)
	}
	r.Body = io.NopCloser(bytes.NewReader(body))
	r.ContentLength = int64(len(body))
	r.Header.Set("Content-Length", fmt.Sprint(len(body)))
	r.Header.Del("ETag")
	return nil
}

// TestTheWholeBookIsThereWithTheLaptopClosed: on a phone that has only ever shown
// a cent, with the server killed, the look-fors of a denomination that was never
// opened, the key, and another country's coins are there. Then a kept file is
// damaged: it is refused and said, with what to do, and the rest goes on; beside
// the laptop it is fetched anew by itself.
func TestTheWholeBookIsThereWithTheLaptopClosed(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	s := startServer(t, dir, "--scale", "virtual")
	browser := startBrowser(t, trusting(t, s)...)
	phone := newDevice(t, browser, phoneScreen)
	phone.open(s.phone)
	phone.weighing()
	phone.putBy()
	if err := s.cmd.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	<-s.exited

	phone.onEveryPage(askingTheBook)
	ask := func(what, method, question, condition string) {
		t.Helper()
		phone.do(chromedp.Evaluate[chromedp.Void](fmt.Sprintf(`window.said = null; askCore(%s, %s).then((a) => { window.said = a; }, (e) => { window.said = { threw: String(e) }; }); undefined`, quoted(method), question)))
		phone.until(what, `window.said && (`+condition+`)`)
	}
	phone.open(s.api + "/#/type")
	phone.do(chromedp.Reload())
	phone.until("the core on the phone itself", `document.documentElement.dataset.core === "phone"`)
	ask("a dime's look-fors", "look", `{ country: "US", denomination: "dime", year: 1982, mint: "-" }`, `said.ok?.look.some((l) => l.kind === "missing-mint-mark")`)
	ask("the key", "key", `{}`, `said.ok?.questions.length > 10`)
	ask("another country's verdict", "judge", `{ country: "GB", denomination: "penny", value: "3.56" }`, `said.ok?.headline`)
	ask("every coin", "coins", `{ text: "euro" }`, `said.ok?.coins.length > 3`)

	damage := func(file string) {
		t.Helper()
		phone.do(chromedp.Evaluate[chromedp.Void](fmt.Sprintf(`window.damaged = 0; (async () => {
			for (const name of await caches.keys()) {
				const cache = await caches.open(name);
				for (const kept of await cache.keys()) {
					if (!new URL(kept.url).pathname.includes(%s)) continue;
					const text = await (await cache.match(kept)).text();
					await cache.put(kept, new Response(text.replace("a", "b"), { headers: { "Content-Type": "application/json" } }));
					window.damaged++;
				}
			}
		})(); undefined`, quoted(file))))
		phone.until("a damaged copy of "+file, `window.damaged > 0`)
	}
	damage("/us/dime-")
	ask("that a part is damaged, and what to do", "look", `{ country: "US", denomination: "dime" }`, `said.error?.code === "book-damaged" && said.error.sentence.includes("laptop")`)
	ask("the rest", "look", `{ country: "US", denomination: "nickel" }`, `said.ok?.look.length > 20`)

	startServer(t, dir, "--scale", "virtual", "--listen", strings.TrimPrefix(s.api, "https://"))
	phone.until("the line to come back by itself", `!document.querySelector('[data-part="line"]')`)
	ask("the damaged part anew", "look", `{ country: "US", denomination: "dime" }`, `said.ok?.look.length > 20`)
	phone.do(chromedp.Evaluate[chromedp.Void](`window.whole = null; (async () => {
		for (const name of await caches.keys()) {
			for (const kept of await (await caches.open(name)).keys()) {
				if (new URL(kept.url).pathname.includes("/us/dime-")) window.whole = await (await caches.match(kept)).json().then(() => true);
			}
		}
	})(); undefined`))
	phone.until("a whole copy in its place", `window.whole`)
}

// askingTheBook gives a page askCore, which asks a core of its own in the app's
// own worker: each call a fresh one, with nothing put by but what the service
// worker keeps.
const askingTheBook = `
	window.askCore = (method, question) => new Promise((done, failed) => {
		const script = [...performance.getEntriesByType("resource")].map((e) => e.name).find((n) => n.includes("core.worker"));
		const worker = new Worker(script, { type: "module" });
		worker.onerror = failed;
		worker.onmessage = ({ data }) => {
			if (data.type === "ready") worker.postMessage({ id: 1, method, json: JSON.stringify(question) });
			else if (data.type === "answer") { worker.terminate(); done(JSON.parse(data.json)); }
			else { worker.terminate(); failed(data.cause); }
		};
		worker.postMessage({ begin: { country: "US", language: "en" } });
	});`
