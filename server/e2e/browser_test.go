package e2e

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// startBrowser launches one headless Chromium for the test. Each phone is its
// own browser context in it, with its own storage.
func startBrowser(t testing.TB, more ...chromedp.ExecAllocatorOption) context.Context {
	t.Helper()
	path := os.Getenv("PANSIDE_CHROMIUM")
	if path == "" {
		t.Skip("PANSIDE_CHROMIUM names no browser; `go run ./server/up test` sets it")
	}
	opts := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(path),
		chromedp.NoSandbox,
		chromedp.DisableGPU,
		// The certificate authority is the server's own; trusting it in the
		// browser's store is tested apart from the weighing.
		chromedp.IgnoreCertErrors,
		chromedp.Flag("disable-quic", true),
		chromedp.Flag("disable-background-networking", true),
		chromedp.Flag("disable-component-update", true),
		chromedp.Flag("disable-sync", true),
		// A small /dev/shm would crash the renderer.
		chromedp.Flag("disable-dev-shm-usage", true),
	)
	opts = append(opts, more...)
	alloc, stopAlloc := chromedp.NewExecAllocator(context.Background(), opts...)
	t.Cleanup(stopAlloc)
	browser, stop := chromedp.NewContext(alloc)
	t.Cleanup(stop)
	// The first Do starts the browser and lives as long as its context, so it
	// must carry no timeout.
	if err := chromedp.Do(browser); err != nil {
		t.Fatalf("starting Chromium: %v", err)
	}
	return browser
}

// screen is the size of a device's glass in CSS pixels.
type screen struct{ width, height int64 }

var (
	phoneScreen  = screen{360, 740}
	laptopScreen = screen{1280, 800}
)

// device is one browser context: a phone or the laptop's own browser.
type device struct {
	t      testing.TB
	ctx    context.Context
	screen screen

	mu      sync.Mutex
	console []string
}

func newDevice(t testing.TB, browser context.Context, s screen) *device {
	t.Helper()
	ctx, stop := chromedp.NewContext(browser, chromedp.WithNewBrowserContext())
	t.Cleanup(stop)
	d := &device{t: t, ctx: ctx, screen: s}
	if err := chromedp.Do(ctx); err != nil {
		t.Fatalf("opening a browser context: %v", err)
	}
	go d.collectConsole()
	d.resize(s)
	t.Cleanup(func() {
		if t.Failed() {
			d.logConsole()
			d.shoot("failed")
		}
	})
	return d
}

// resize gives the device a glass of that size, with touch on a phone's.
func (d *device) resize(s screen) {
	d.t.Helper()
	opts := []chromedp.EmulateViewportOption{chromedp.EmulateScale(2)}
	if s.width < 800 {
		opts = append(opts, chromedp.EmulateMobile, chromedp.EmulateTouch)
	}
	d.do(chromedp.EmulateViewport(s.width, s.height, opts...))
}

func (d *device) collectConsole() {
	for m, err := range chromedp.Console(d.ctx) {
		if err != nil {
			return
		}
		d.mu.Lock()
		d.console = append(d.console, string(m.Type)+": "+m.Text)
		d.mu.Unlock()
	}
}

// logConsole logs the last of what the page wrote to its console.
func (d *device) logConsole() {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.t.Logf("console:\n%s", strings.Join(d.console[max(0, len(d.console)-25):], "\n"))
}

// do runs actions within the test's patience and fails the test if they don't
// succeed.
func (d *device) do(steps ...chromedp.Action[chromedp.Void]) {
	d.t.Helper()
	ctx, cancel := context.WithTimeout(d.ctx, patience)
	defer cancel()
	if err := chromedp.Do(ctx, steps...); err != nil {
		d.t.Fatalf("in the browser: %v\n%s", err, d.state())
	}
}

func (d *device) open(url string) {
	d.t.Helper()
	d.do(chromedp.Navigate(url))
}

// shoot saves a screenshot where PANSIDE_SHOTS points to, if anywhere.
func (d *device) shoot(name string) {
	dir := os.Getenv("PANSIDE_SHOTS")
	if dir == "" {
		return
	}
	ctx, cancel := context.WithTimeout(d.ctx, 10*time.Second)
	defer cancel()
	png, err := chromedp.Run(ctx, chromedp.CaptureScreenshot())
	if err != nil {
		d.t.Logf("no screenshot %s: %v", name, err)
		return
	}
	file := filepath.Join(dir, strings.ReplaceAll(d.t.Name(), "/", "-")+"-"+name+".png")
	if err := os.WriteFile(file, png, 0o644); err != nil {
		d.t.Logf("no screenshot %s: %v", name, err)
	}
}
