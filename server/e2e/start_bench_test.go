//go:build unix

package e2e

import (
	"fmt"
	"testing"

	"github.com/chromedp/chromedp"
)

const (
	startRounds = 5
	tapRounds   = 8
)

// usable is the first moment a joined phone can be used: there are keys to tap
// and a weight to read.
const usable = `mark("usable", () => document.querySelector("button[data-denomination]") && /\d/.test(part("weight")?.textContent ?? ""), () => {
	const all = [...performance.getEntriesByType("navigation"), ...performance.getEntriesByType("resource")]
		.filter((e) => !new URL(e.name).pathname.startsWith("/core/"));
	window.wire = all.reduce((sum, e) => sum + e.transferSize, 0);
	window.unpacked = all.reduce((sum, e) => sum + e.decodedBodySize, 0);
});`

// BenchmarkFirstOpening follows the code's address on a phone that has never
// seen the app, four times slower than this machine: bytes over the wire until
// the weigh screen can be used, without the core, and the time until then, from
// the tap on the address and with the joining.
func BenchmarkFirstOpening(b *testing.B) {
	s := startServer(b, b.TempDir(), "--scale", "virtual")
	s.joinAsDesk()
	browser := startBrowser(b, append(trusting(b, s), slowable())...)
	bare := barePage(b)
	for b.Loop() {
		for _, way := range slowWays {
			var wire, unpacked, took, bareTook []float64
			for range startRounds {
				plain := newDevice(b, browser, phoneScreen)
				plain.onEveryPage(marking + `mark("usable", () => document.getElementById("tap"));`)
				way.run(browser, func() { plain.open(bare); bareTook = append(bareTook, plain.marked("usable")...) }, plain)
				plain.close()

				phone := newDevice(b, browser, phoneScreen)
				phone.onEveryPage(marking + usable)
				link := s.offer()
				way.run(browser, func() { phone.open(link); took = append(took, phone.marked("usable")...) }, phone)
				wire = append(wire, ask[float64](b, phone.ctx, `wire`))
				unpacked = append(unpacked, ask[float64](b, phone.ctx, `unpacked`))
				phone.close()
			}
			b.Logf("%susable %.0f ms, bare page %.0f ms", way.name, took, bareTook)
			b.ReportMetric(median(wire)/1000, way.name+"kB")
			b.ReportMetric(median(wire)/median(unpacked), way.name+"of-unpacked")
			b.ReportMetric(median(took), way.name+"usable-ms")
			b.ReportMetric(median(took)/median(bareTook), way.name+"usable-over-bare")
		}
	}
}

// BenchmarkOfflineStart opens the app with the server stopped, four times
// slower than this machine, and types a weight as soon as it can be typed.
func BenchmarkOfflineStart(b *testing.B) {
	s := startServer(b, b.TempDir(), "--scale", "virtual")
	browser := startBrowser(b, append(trusting(b, s), slowable())...)
	bare := barePage(b)
	plain := newDevice(b, browser, phoneScreen)
	plain.onEveryPage(marking + `mark("usable", () => document.getElementById("tap"));`)
	phone := newDevice(b, browser, phoneScreen)
	phone.onEveryPage(marking + `
		mark("shell", () => document.querySelector('main[data-screen="weigh"]') && document.querySelector('button[data-key="3"]'), () => {
			const keys = ["3", ".", "1", "1"];
			const press = () => {
				const k = keys.shift();
				if (!k) return;
				document.querySelector('button[data-key="' + k + '"]').click();
				setTimeout(press, 0);
			};
			press();
		});
		mark("verdict", () => part("headline")?.textContent);`)
	phone.open(s.phone)
	phone.until("the keys", `document.querySelector('button[data-denomination="cent"]')`)
	phone.do(chromedp.Click(chromedp.CSS(`button[data-denomination="cent"]`)))
	ask[bool](b, phone.ctx, `navigator.serviceWorker.ready.then((r) => new Promise((done) => {
		const look = () => r.active?.state === "activated" ? done(true) : setTimeout(look, 50); look(); }))`)
	s.stop()
	for b.Loop() {
		for _, way := range slowWays {
			var bareTook, shell, verdict []float64
			for range startRounds {
				way.run(browser, func() {
					plain.open(bare)
					bareTook = append(bareTook, plain.marked("usable")...)
				}, plain)
				plain.open("about:blank")
				phone.open("about:blank")
				way.run(browser, func() {
					phone.open(s.api + "/#/type")
					times := phone.marked("shell", "verdict")
					shell, verdict = append(shell, times[0]), append(verdict, times[1])
				}, phone)
				if core := ask[string](b, phone.ctx, `document.documentElement.dataset.core`); core != "phone" {
					b.Errorf("the verdict comes from %q", core)
				}
			}
			b.Logf("%sshell %.0f ms, verdict %.0f ms, bare page %.0f ms", way.name, shell, verdict, bareTook)
			b.ReportMetric(median(shell), way.name+"shell-ms")
			b.ReportMetric(median(verdict), way.name+"verdict-ms")
			b.ReportMetric(median(shell)/median(bareTook), way.name+"shell-over-bare")
			b.ReportMetric(median(verdict)/median(bareTook), way.name+"verdict-over-bare")
		}
	}
}

// BenchmarkTap taps one denomination and another under a coin at rest, on a
// phone four times slower than this machine: from the finger's lifting to the
// frame with the verdict, against a bare page's button and word. Each tap comes
// when the page has nothing left to do, as a person's does. The pages are slowed
// one after the other, since the browser's throttling keeps a core busy for each.
func BenchmarkTap(b *testing.B) {
	s := startServer(b, b.TempDir(), "--scale", "virtual")
	s.joinAsDesk()
	browser := startBrowser(b, slowable())
	plain, phone := newDevice(b, browser, phoneScreen), newDevice(b, browser, phoneScreen)
	timing := func(shown string) string {
		return marking + fmt.Sprintf(`
			window.taps = [];
			addEventListener("click", (e) => {
				const before = (%[1]s)(), watch = new MutationObserver(() => {
					const now = (%[1]s)();
					if (!now || now === before) return;
					watch.disconnect();
					drawn((t) => { taps.push(t - e.timeStamp); dispatchEvent(new Event("tapped")); });
				});
				watch.observe(document, { subtree: true, childList: true, characterData: true, attributes: true });
			}, { capture: true });`, shown)
	}
	plain.onEveryPage(timing(`() => part("word")?.textContent`))
	phone.onEveryPage(timing(`() => part("headline")?.textContent`))
	plain.open(barePage(b))
	phone.open(s.phone)
	phone.until("the core on the phone itself", `document.documentElement.dataset.core === "phone"`)
	phone.until("the keys", `document.querySelector('button[data-denomination="dime"]')`)
	s.pan("put", "bronze-cent")
	phone.until("the coin at rest", `part("phase")?.dataset.phase === "settled"`)
	phone.do(chromedp.Click(chromedp.CSS(`button[data-denomination="dime"]`)))
	phone.until("a first verdict", `part("headline")`)
	phone.do(chromedp.Evaluate[chromedp.Void](`taps.length = 0; undefined`))
	for b.Loop() {
		for _, way := range slowWays {
			tap := func(d *device, button string) {
				ask[bool](b, d.ctx, `new Promise((done) => requestIdleCallback(() => done(true), { timeout: 1000 }))`)
				before := ask[int](b, d.ctx, `taps.length`)
				d.do(chromedp.Click(chromedp.CSS(button)))
				ask[bool](b, d.ctx, fmt.Sprintf(`once("tapped", () => taps.length > %d)`, before))
			}
			way.run(browser, func() {
				for range 2 * tapRounds {
					tap(plain, `#tap`)
				}
			}, plain)
			way.run(browser, func() {
				for range tapRounds {
					tap(phone, `button[data-denomination="cent"]`)
					tap(phone, `button[data-denomination="dime"]`)
				}
			}, phone)
			ours, bare := ask[[]float64](b, phone.ctx, `taps.splice(0)`), ask[[]float64](b, plain.ctx, `taps.splice(0)`)
			b.Logf("%sapp %.0f ms, bare page %.0f ms", way.name, ours, bare)
			b.ReportMetric(median(ours), way.name+"ms")
			b.ReportMetric(share(0.95, ours), way.name+"p95-ms")
			b.ReportMetric(median(ours)/median(bare), way.name+"over-bare")
		}
	}
}
