//go:build unix

package e2e

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"slices"
	"testing"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// marking notes in window.marks when conditions first hold: the time since the
// page was asked for in ms, once the frame that shows it has been drawn.
const marking = `
	window.marks = {};
	window.drawn = (act) => requestAnimationFrame(() => setTimeout(() => act(performance.now()), 0));
	window.mark = (name, condition, then) => {
		let seen = false;
		const look = () => {
			if (seen || !condition()) return;
			seen = true;
			watch.disconnect();
			drawn((t) => { marks[name] = t; dispatchEvent(new Event("marked")); });
			then?.();
		};
		const watch = new MutationObserver(look);
		watch.observe(document, { subtree: true, childList: true, characterData: true, attributes: true });
		look();
	};
	// Waiting for an event takes nothing from the page, as looking again each frame would.
	window.once = (event, condition) => new Promise((done) => {
		const look = () => { if (condition()) { removeEventListener(event, look); done(true); } };
		addEventListener(event, look);
		look();
	});
	window.part = (name) => document.querySelector('[data-part="' + name + '"]:not([data-last])');
`

// onEveryPage has a script run in each page this device opens, before the page's own.
func (d *device) onEveryPage(script string) {
	d.t.Helper()
	if _, err := chromedp.Call(d.ctx, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: script}); err != nil {
		d.t.Fatal(err)
	}
}

// marked waits for the marks and returns their times in ms.
func (d *device) marked(names ...string) []float64 {
	d.t.Helper()
	list, err := json.Marshal(names)
	if err != nil {
		d.t.Fatal(err)
	}
	ask[bool](d.t, d.ctx, fmt.Sprintf(`once("marked", () => %s.every((n) => n in marks))`, list))
	return ask[[]float64](d.t, d.ctx, fmt.Sprintf(`%s.map((n) => marks[n])`, list))
}

// barePage is a server of a page with one button that shows a word when tapped:
// the least a page can do, as a baseline for one that does more.
func barePage(b *testing.B) (url string) {
	b.Helper()
	s := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "text/html")
		fmt.Fprint(w, `<!doctype html><meta name="viewport" content="width=device-width"><title>bare</title>
			<button id="tap" style="width:10rem;height:5rem">tap</button><p id="word" data-part="word"></p>
			<script>document.getElementById("tap").onclick = () => { const w = document.getElementById("word"); w.textContent = w.textContent === "one" ? "two" : "one"; };</script>`)
	}))
	b.Cleanup(s.Close)
	return s.URL
}

// share is the value that so much of the sorted values don't exceed.
func share(of float64, values []float64) float64 {
	if len(values) == 0 {
		return 0
	}
	s := slices.Sorted(slices.Values(values))
	return s[int(of*float64(len(s)-1)+0.5)]
}

func median(values []float64) float64 { return share(0.5, values) }

// close ends the device's page before the benchmark ends.
func (d *device) close() {
	d.t.Helper()
	if err := chromedp.Cancel(d.ctx); err != nil {
		d.t.Error(err)
	}
}
