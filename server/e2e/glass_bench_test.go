//go:build unix

package e2e

import (
	"context"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/gorilla/websocket"

	"panside/internal/dialect"
	"panside/internal/mass"
	"panside/server/pseudoport"
)

const (
	glassLines = 240
	glassBeat  = 50 * time.Millisecond
)

// BenchmarkSampleToGlass writes lines into a pseudo-terminal, as a scale would,
// and notes when each number stands in the app's page; half a beat later a bare
// server sends the same message by a WebSocket to a bare page that shows it.
// Both pages are in the same browser at the same time.
func BenchmarkSampleToGlass(b *testing.B) {
	port, err := pseudoport.Open()
	if err != nil {
		b.Skip(err)
	}
	b.Cleanup(func() { port.Close() })
	format, _ := dialect.ByName("status-comma")
	line := func(centigrams int64) []byte {
		return format.Format(mass.Quantity{Value: mass.MustDecimal(number(centigrams)), Unit: mass.Gram}, mass.StatusStable)
	}
	speaking, cancel := context.WithCancel(b.Context())
	b.Cleanup(cancel)
	var spoken sync.WaitGroup
	spoken.Go(func() { // so that the server recognises the format
		for speaking.Err() == nil {
			_, _ = port.Write(line(0))
			time.Sleep(glassBeat)
		}
	})
	s := startServer(b, b.TempDir(), "--scale", port.Name())
	show := newBareBroadcast(b)
	browser := startBrowser(b)
	app, plain := newDevice(b, browser, phoneScreen), newDevice(b, browser, phoneScreen)
	for _, d := range []*device{app, plain} {
		d.onEveryPage(`window.shown = []; new MutationObserver(() => {
			const text = document.querySelector('[data-part="weight"]')?.textContent ?? "";
			if (text !== shown.at(-1)?.text) shown.push({ text, at: performance.timeOrigin + performance.now() });
		}).observe(document, { subtree: true, childList: true, characterData: true });`)
	}
	app.open(s.phone)
	plain.open(show.url)
	app.until("the empty pan", `document.querySelector('[data-part="phase"]')?.dataset.phase === "empty"`)
	app.until("the core on the phone itself", `document.documentElement.dataset.core === "phone"`)
	plain.until("the socket", `window.connected`)
	cancel()
	spoken.Wait()
	for b.Loop() {
		wrote, sent := map[string]time.Time{}, map[string]time.Time{}
		beat := time.NewTicker(glassBeat / 2)
		for i := range int64(glassLines) {
			n := 300 + i // each number comes once
			<-beat.C
			bytes := line(n)
			wrote[number(n)] = time.Now()
			if _, err := port.Write(bytes); err != nil {
				b.Fatal(err)
			}
			<-beat.C
			sent[number(n)] = time.Now()
			show.send(number(n))
		}
		beat.Stop()
		last := number(300 + glassLines - 1)
		app.until("the last number", fmt.Sprintf(`shown.at(-1)?.text === %q`, last))
		plain.until("the last number", fmt.Sprintf(`shown.at(-1)?.text === %q`, last))
		ours, bare := app.lateness(wrote), plain.lateness(sent)
		// A busy machine's app passes over weights that a newer one has overtaken.
		if len(ours) < glassLines/2 || len(bare) < glassLines/2 {
			b.Errorf("of %d numbers %d stood on the app's glass and %d on the bare page's", glassLines, len(ours), len(bare))
		}
		b.ReportMetric(median(ours), "p50-ms")
		b.ReportMetric(share(0.99, ours), "p99-ms")
		b.ReportMetric(median(bare), "p50-bare-ms")
		b.ReportMetric(share(0.99, bare), "p99-bare-ms")
		b.ReportMetric(median(ours)/median(bare), "p50-over-bare")
		b.ReportMetric(share(0.99, ours)/share(0.99, bare), "p99-over-bare")
		app.do(chromedp.Evaluate[chromedp.Void](`shown.length = 0; undefined`))
		plain.do(chromedp.Evaluate[chromedp.Void](`shown.length = 0; undefined`))
	}
}

func number(centigrams int64) string { return fmt.Sprintf("%d.%02d", centigrams/100, centigrams%100) }

// lateness gives how many ms after its time each number stood on the page.
func (d *device) lateness(since map[string]time.Time) []float64 {
	d.t.Helper()
	// The page's clock against ours, from the quickest of some answers.
	ahead, best := 0.0, time.Hour
	for range 20 {
		asked := time.Now()
		theirs := ask[float64](d.t, d.ctx, `performance.timeOrigin + performance.now()`)
		if round := time.Since(asked); round < best {
			best = round
			ahead = theirs - millis(asked.Add(round/2))
		}
	}
	// A difference below what can be told is none: it is the same machine's clock.
	if half := float64(best) / 2e6; ahead < half && ahead > -half {
		ahead = 0
	}
	var late []float64
	for _, s := range ask[[]struct {
		Text string
		At   float64
	}](d.t, d.ctx, `shown`) {
		if at, ok := since[s.Text]; ok {
			late = append(late, s.At-ahead-millis(at))
			delete(since, s.Text)
		}
	}
	return late
}

func millis(t time.Time) float64 { return float64(t.UnixNano()) / 1e6 }

// bareBroadcast is a page that shows a message's number, and its WebSocket.
type bareBroadcast struct {
	b   *testing.B
	url string

	before, after string
	mu            sync.Mutex
	conn          *websocket.Conn
}

func newBareBroadcast(b *testing.B) *bareBroadcast {
	b.Helper()
	example, err := os.ReadFile("../../testdata/wire/weight.json")
	if err != nil {
		b.Fatal(err)
	}
	s := &bareBroadcast{b: b}
	s.before, s.after = cutAround(string(example), `"shown":"`, `"`)
	mux := http.NewServeMux()
	mux.HandleFunc("/", func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "text/html")
		fmt.Fprint(w, `<!doctype html><title>bare</title><p data-part="weight"></p><script>
			const s = new WebSocket("wss://" + location.host + "/live"), p = document.querySelector("p");
			s.onopen = () => { window.connected = true; };
			s.onmessage = (m) => { p.textContent = JSON.parse(m.data).shown; };</script>`)
	})
	mux.HandleFunc("/live", func(w http.ResponseWriter, r *http.Request) {
		up := websocket.Upgrader{}
		conn, err := up.Upgrade(w, r, nil)
		if err != nil {
			return
		}
		s.mu.Lock()
		defer s.mu.Unlock()
		s.conn = conn
	})
	server := httptest.NewUnstartedServer(mux)
	server.StartTLS()
	b.Cleanup(func() {
		s.mu.Lock()
		if s.conn != nil {
			s.conn.Close()
		}
		s.mu.Unlock()
		server.Close()
	})
	s.url = server.URL
	return s
}

func (s *bareBroadcast) send(number string) {
	s.b.Helper()
	s.mu.Lock()
	defer s.mu.Unlock()
	if err := s.conn.WriteMessage(websocket.TextMessage, []byte(s.before+number+s.after)); err != nil {
		s.b.Fatal(err)
	}
}
