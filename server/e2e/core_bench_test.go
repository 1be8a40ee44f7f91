//go:build unix

package e2e

import (
	"context"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"panside/internal/book/data"
	"panside/internal/bridge"
	"panside/internal/journal"
	"panside/internal/mass"
)

// cutAround gives what stands before and after the value between begin and end.
func cutAround(s, begin, end string) (before, after string) {
	head, tail, _ := strings.Cut(s, begin)
	_, tail, _ = strings.Cut(tail, end)
	return head + begin, end + tail
}

// questions are weights of every US denomination that the phone shows keys for
// and all others: as struck, worn, and the mass of another coin's blank.
func questions() (names []string, asked []string) {
	book := data.Coins()
	for _, d := range book.Denominations("US") {
		seen := map[mass.Grams]bool{}
		weigh := func(g mass.Grams) {
			if seen[g] {
				return
			}
			seen[g] = true
			names = append(names, fmt.Sprintf("%s of %.3f g", d.ID, float64(g)))
			asked = append(asked, fmt.Sprintf(`{"country":"US","denomination":%q,"mean_g":%v,"u_g":%v,"resolution_g":0.01,"evidence":{}}`,
				d.ID, float64(g), float64(mass.UnprovenScale(0.01, g).U())))
		}
		for _, i := range book.Issues("US", d.ID) {
			weigh(mass.Grams(book.Planchet(i.Planchet).Mass.Value))
		}
		weigh(2.27)
	}
	return names, asked
}

// BenchmarkVerdictInTheBrowser asks the app's own core, in its worker, for
// verdicts on every US denomination: the mean and the slowest on a phone four
// times slower than this machine, and how many times longer the questions take
// there than in a native program. A verdict keeps one thread busy and nothing
// else, so its time is taken unslowed, the quickest of some rounds, and
// multiplied: that leaves out what other programs do meanwhile. How much slower
// a fixed loop runs in the worker when the browser is slowed is reported too.
func BenchmarkVerdictInTheBrowser(b *testing.B) {
	bridge.Use(data.ShelfIn) // the native program's, which the server hands over in its own main
	browser, worker := coreInABrowser(b)
	names, asked := questions()
	list, err := json.Marshal(asked)
	if err != nil {
		b.Fatal(err)
	}
	const rounds, calls = 40, 4
	for b.Loop() {
		b.ReportMetric(slowness(b, browser, worker.ctx), "fold")
		quickest := make([]time.Duration, len(asked))
		for round := range rounds {
			for i, q := range asked {
				began := time.Now()
				for range calls {
					if out := bridge.Call("judge", []byte(q)); !strings.HasPrefix(string(out), `{"ok"`) {
						b.Fatalf("%s: %s", q, out)
					}
				}
				if took := time.Since(began) / calls; round == 0 || took < quickest[i] {
					quickest[i] = took
				}
			}
		}
		native := 0.0
		for _, d := range quickest {
			native += d.Seconds() * 1000 / float64(len(asked))
		}
		took := ask[[]float64](b, worker.ctx, fmt.Sprintf(`((asked) => {
			const quickest = asked.map(() => Infinity);
			for (let round = 0; round < %d; round++) asked.forEach((q, i) => {
				const t = performance.now();
				let answer;
				for (let j = 0; j < %d; j++) answer = pansideCore.call("judge", q);
				if (!answer.startsWith('{"ok"')) throw new Error(q + answer);
				quickest[i] = Math.min(quickest[i], (performance.now() - t) / %d);
			});
			return quickest;
		})(%s)`, rounds, calls, calls, list))
		sum, worst := 0.0, 0
		for i, ms := range took {
			sum += ms
			if ms > took[worst] {
				worst = i
			}
		}
		mean := sum / float64(len(took))
		b.Logf("slowest: %s, %.2f ms unslowed; native mean %.3f ms", names[worst], took[worst], native)
		b.ReportMetric(fold*took[worst], "worst-ms")
		b.ReportMetric(fold*mean, "mean-ms")
		b.ReportMetric(mean/native, "over-native")
	}
}

// BenchmarkFindsInTheBrowser takes the app's way with 10,000 finds in 200,000
// entries: their snapshot out of the browser's store, into the core's worker,
// and the first screen's list and the hunts' accounts back on the page.
//
// computed-ms is the core's part once its memory is there, and one-more-ms the
// same after one more entry, four times their quickest unslowed; over-bare-loop
// is computed-ms to a bare loop over the snapshot's bytes. The others are the
// whole way, each in a core that has just come up and holds nothing, and the
// median: first-ms unslowed, page-slowed-ms with the page's thread slowed by
// the browser's own throttling, which doesn't reach the core's worker, and
// all-slowed-ms with every process of the browser slowed.
func BenchmarkFindsInTheBrowser(b *testing.B) {
	const finds = 10_000
	s := startServer(b, b.TempDir(), "--scale", "virtual")
	browser := startBrowser(b, slowable())
	phone := newDevice(b, browser, phoneScreen)
	phone.open(s.phone)
	phone.until("the core on the phone itself", `document.documentElement.dataset.core === "phone"`)
	entries, snapshot := yearOfFinds(b, finds)
	ask[int](b, phone.ctx, `(self.parts = []).length`)
	for at := 0; at < len(snapshot); at += 1 << 20 { // one message holds only so much
		part, err := json.Marshal(snapshot[at:min(at+1<<20, len(snapshot))])
		if err != nil {
			b.Fatal(err)
		}
		ask[int](b, phone.ctx, fmt.Sprintf(`parts.push(%s)`, part))
	}
	ask[bool](b, phone.ctx, fmt.Sprintf(startOfFinds, entries, finds))
	for b.Loop() {
		var first, pageSlowed, allSlowed []float64
		start := func() float64 { return ask[float64](b, phone.ctx, `timed(start)`) }
		for range 5 {
			ask[bool](b, phone.ctx, `anotherCore()`)
			first = append(first, start())
			ask[bool](b, phone.ctx, `anotherCore()`)
			throttled(func() { pageSlowed = append(pageSlowed, start()) }, phone)
			ask[bool](b, phone.ctx, `anotherCore()`)
			slowly(browser, func() { allSlowed = append(allSlowed, start()) })
		}
		var computed, anew, bare []float64
		ask[bool](b, phone.ctx, `anotherCore()`)
		for range 15 {
			bare = append(bare, ask[float64](b, phone.ctx, `bare()`))
			computed = append(computed, ask[float64](b, phone.ctx, `computed()`))
			anew = append(anew, ask[float64](b, phone.ctx, `timed(oneMore)`))
		}
		b.Logf("snapshot of %d kB; a fresh core: %.0f ms unslowed, %.0f ms with the page slowed, %.0f ms with all slowed; one core: %.0f ms; after an entry %.1f ms; bare loop %.0f ms",
			len(snapshot)>>10, first, pageSlowed, allSlowed, computed, anew, bare)
		b.ReportMetric(fold*slices.Min(computed), "computed-ms")
		b.ReportMetric(fold*slices.Min(anew), "one-more-ms")
		b.ReportMetric(slices.Min(computed)/slices.Min(bare), "over-bare-loop")
		b.ReportMetric(median(first), "first-ms")
		b.ReportMetric(median(pageSlowed), "page-slowed-ms")
		b.ReportMetric(median(allSlowed), "all-slowed-ms")
	}
}

// startOfFinds puts the snapshot into a store of the page and sets what the
// benchmark calls. It takes the numbers of entries and finds.
const startOfFinds = `(async () => {
	const entries = %d, finds = %d;
	const address = performance.getEntriesByType("resource").map((r) => r.name).find((n) => n.includes("core.worker"));
	const bytes = await new Blob(parts.splice(0)).arrayBuffer();
	const done = (r) => new Promise((ok, no) => { r.onsuccess = () => ok(r.result); r.onerror = () => no(r.error); });
	const opening = indexedDB.open("bench", 1);
	opening.onupgradeneeded = () => opening.result.createObjectStore("kept", { keyPath: "key" });
	const db = await done(opening);
	await done(db.transaction("kept", "readwrite").objectStore("kept").put({ key: "snapshot", bytes }));
	let worker, waiting;
	const say = (method, json, bytes) => new Promise((ok, no) => {
		waiting = { ok, no };
		worker.postMessage({ id: 1, method, json, bytes }, bytes ? [bytes] : []);
	});
	const call = async (method, json, bytes) => {
		const a = JSON.parse((await say(method, json, bytes)).json);
		if (!a.ok) throw new Error(JSON.stringify(a));
		return a.ok;
	};
	self.anotherCore = async () => {
		worker?.terminate();
		worker = new Worker(address, { type: "module" });
		await new Promise((ok, no) => {
			worker.onmessage = ({ data }) => {
				if (data.type === "ready") ok();
				else if (data.type === "answer") waiting.ok(data);
				else (waiting?.no ?? no)(new Error(data.cause));
			};
		});
		// As the app has asked its core by then.
		await call("coins", "{}");
		await call("judge", '{"country":"US","denomination":"cent","mean_g":3.11,"u_g":0.005,"resolution_g":0.01,"evidence":{}}');
		return true;
	};
	const screen = async () => {
		const list = await call("journal-list", '{"kind":"find"}');
		if (list.total < finds || (await call("journal-hunts", '{"now":1800000000000}')).hunts.length === 0) throw new Error("finds are missing");
	};
	const open = async (bytes) => {
		if ((await call("journal-open", JSON.stringify({ entries }), bytes)).rebuild) throw new Error("rebuild");
		await screen();
	};
	const read = async () => (await done(db.transaction("kept").objectStore("kept").get("snapshot"))).bytes;
	self.timed = async (act) => { const t = performance.now(); await act(); return performance.now() - t; };
	self.start = async () => open(await read());
	self.computed = async () => { const bytes = await read(); return timed(() => open(bytes)); };
	self.oneMore = async () => {
		await call("journal-write", JSON.stringify({ now: 1800000000000, kind: "find", record: "", set: { note: "x" } }));
		await screen();
	};
	self.bare = () => { const b = new Uint8Array(bytes); return timed(() => { let h = 0; for (let i = 0; i < b.length; i++) h = (h * 31 + b[i]) | 0; return h; }); };
	return true;
})()`

// coreInABrowser is a joined phone's browser, and the worker with its core, which
// has judged a coin, so that it holds the book's files that judging takes.
func coreInABrowser(b *testing.B) (browser context.Context, worker *device) {
	b.Helper()
	s := startServer(b, b.TempDir(), "--scale", "virtual")
	s.joinAsDesk()
	browser = startBrowser(b, slowable())
	phone := newDevice(b, browser, phoneScreen)
	phone.open(s.phone)
	phone.until("the core on the phone itself", `document.documentElement.dataset.core === "phone"`)
	phone.until("the keys", `document.querySelector('button[data-denomination="dime"]')`)
	s.pan("put", "bronze-cent")
	phone.do(chromedp.Click(chromedp.CSS(`button[data-denomination="dime"]`)))
	phone.until("a first verdict", `document.querySelector('[data-part="headline"]')`)
	return browser, &device{t: b, ctx: phone.worker("core.worker")}
}

// yearOfFinds writes finds of an invented household, twenty entries each, and
// gives the number of entries and the phone's snapshot of them.
func yearOfFinds(b *testing.B, finds int) (entries int, snapshot string) {
	b.Helper()
	rng := rand.NewChaCha8([32]byte{1})
	random := func(p []byte) { _, _ = rng.Read(p) }
	all := journal.NewState()
	author, err := journal.NewAuthor(journal.Writer(strings.Repeat("7", 20)), all)
	if err != nil {
		b.Fatal(err)
	}
	n := journal.NewNotebook(random)
	now := int64(1_750_000_000_000)
	write := func(kind string, id journal.Record, field, value string, args ...any) {
		now += 300
		e, err := author.Write(all, now, kind, id, field, json.RawMessage(fmt.Sprintf(value, args...)))
		if err != nil {
			b.Fatal(err)
		}
		if _, _, err := n.Add(e.Wire()); err != nil {
			b.Fatal(err)
		}
	}
	photo := func(id journal.Record, number int, side string) {
		sha := fmt.Sprintf("%x", sha256.Sum256([]byte(strconv.Itoa(number))))
		write(journal.KindFind, id, "photo/"+sha, `{"sha256":%q,"type":"image/jpeg","bytes":312000,"width":1600,"height":1600,"side":%q}`, sha, side)
	}
	var hunt journal.Record
	for i := range finds {
		if i%500 == 0 {
			hunt = journal.NewRecord(now, random)
			write(journal.KindHunt, hunt, "source", `"rolls"`)
			write(journal.KindHunt, hunt, "place", `"by the mill"`)
			write(journal.KindHunt, hunt, "paid", `{"amount":"250.00","currency":"USD"}`)
			write(journal.KindHunt, hunt, "begun", `%d`, now)
		}
		id := journal.NewRecord(now, random)
		write(journal.KindFind, id, "hunt", `%q`, hunt)
		write(journal.KindFind, id, "found", `%d`, now)
		write(journal.KindFind, id, "coin", `{"country":"US","denomination":"cent","year":%d,"mint":"D"}`, 1950+i%70)
		write(journal.KindFind, id, "weight", `{"value":"3.11","unit":"g","mean_g":3.1102,"u_g":0.0076,"resolution_g":0.01,"status":"stable"}`)
		write(journal.KindFind, id, "trace", `{"unit":"g","from":%d,"after":[0%s],"shown":["0.00"%s],"status":["moving"%s]}`,
			now-3000, strings.Repeat(",100", 29), strings.Repeat(`,"3.11"`, 29), strings.Repeat(`,"moving"`, 29))
		write(journal.KindFind, id, "verdict", `{"call":"look","headline":"Bronze cent, 95 %% copper.","decisive":true,"alloys":[{"name":"bronze","probability":0.9991}]}`)
		write(journal.KindFind, id, "kind", `"doubled-die"`)
		write(journal.KindFind, id, "certainty", `"guess"`)
		write(journal.KindFind, id, "note", `"Looks doubled at the date, seen by loupe under the kitchen lamp."`)
		write(journal.KindFind, id, "lies", `{"in":"flip","label":"%d"}`, i)
		write(journal.KindFind, id, "fate", `"keep"`)
		for j, side := range []string{"obverse", "reverse", "detail"} {
			photo(id, 3*i+j, side)
		}
		for range 2 {
			write(journal.KindFind, id, "certainty", `"likely"`)
			write(journal.KindFind, id, "note", `"Seen again by daylight: doubled, north."`)
			write(journal.KindFind, id, "fate", `"second-opinion"`)
		}
	}
	return n.Len(), string(n.Snapshot())
}
