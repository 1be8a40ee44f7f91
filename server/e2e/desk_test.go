package e2e

import (
	"bytes"
	"context"
	"crypto/tls"
	"fmt"
	"net"
	"net/http"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// atTheDesk is the laptop's own page with a code to scan.
func atTheDesk(t *testing.T) (browser context.Context, s *server, desk *device) {
	t.Helper()
	browser = startBrowser(t)
	s = startServer(t, t.TempDir(), "--scale", "virtual")
	desk = newDevice(t, browser, laptopScreen)
	desk.open(s.desk)
	desk.until("the desk", `document.querySelector('main[data-screen="desk"]')`)
	desk.until("a code to scan", `document.querySelector('[data-part="offer"] img')`)
	return browser, s, desk
}

// TestDeskLetsAPhoneInAndEndsIt: the laptop's own page shows a code; the phone
// that follows it is joined and listed; ended there, it is told at once.
func TestDeskLetsAPhoneInAndEndsIt(t *testing.T) {
	t.Parallel()
	browser, s, desk := atTheDesk(t)
	desk.shoot("offer")

	phone := newDevice(t, browser, phoneScreen)
	phone.open(s.phone)
	phone.until("the weigh screen", `document.querySelector('main[data-screen="weigh"]')`)
	desk.until("the phone in the list", `document.querySelector('[data-do="end"]')`)
	desk.shoot("phone-listed")

	desk.tap(`[data-do="end"]`)
	desk.tap(`[data-do="end-yes"]`)
	phone.until("being told that it is out", `document.querySelector('main[data-screen="join"]')`)
	phone.shoot("ended")
}

// TestAUsedCodeJoinsNobody: the second device to follow the same address reads
// why it is not let in, and how to go on.
func TestAUsedCodeJoinsNobody(t *testing.T) {
	t.Parallel()
	browser := startBrowser(t)
	s := startServer(t, t.TempDir(), "--scale", "virtual")
	first, second := newDevice(t, browser, phoneScreen), newDevice(t, browser, phoneScreen)
	first.open(s.phone)
	first.until("the weigh screen", `document.querySelector('main[data-screen="weigh"]')`)
	second.open(s.phone)
	second.until("the reason", `document.querySelector('main[data-screen="join"]')?.innerText.length > 40`)
	second.until("the secret to be gone from the address", `!location.hash.includes("join=")`)
	second.shoot("used")
}

// TestAfterWrongCodesOnlyAPersonOpensJoining: the desk's code goes, it says why,
// and however often the page comes back in front it asks for no other by
// itself. A tap opens joining, and the new code lets a phone in.
func TestAfterWrongCodesOnlyAPersonOpensJoining(t *testing.T) {
	t.Parallel()
	browser, s, desk := atTheDesk(t)
	s.closeJoining()
	const closed = `document.querySelector('[data-part="offer-closed"]') && !document.querySelector('[data-part="offer"] img')`
	desk.until("word that joining is closed, in place of the code", closed)
	desk.inEveryLook("closed", `(e => (e.scrollIntoView({ block: "end" }), e.getBoundingClientRect().right <= innerWidth))(document.querySelector('[data-do="offer-open"]'))`)
	for range 3 {
		desk.do(chromedp.Reload())
		desk.until("word that joining is closed", closed)
	}
	if at := s.guess(1, "127.0.0.4"); at != http.StatusTooManyRequests {
		t.Errorf("a further code is answered %d: the page has opened joining", at)
	}

	desk.tap(`[data-do="offer-open"]`)
	desk.until("a fresh code", `document.querySelector('[data-part="offer"] img')`)
	desk.until("the focus near where it was", `document.activeElement?.id === "offer-title"`)
	phone := newDevice(t, browser, phoneScreen)
	phone.open(desk.ask(`document.querySelector('[data-part="offer-link"]').href`))
	phone.weighing()
}

// TestTheDeskHasAFreshCodeAfterAnotherStart: the page stays open while the server
// is stopped and started again. It says what happened in a laptop's words, and
// soon shows a code that lets a phone in, for the old one can't.
func TestTheDeskHasAFreshCodeAfterAnotherStart(t *testing.T) {
	t.Parallel()
	browser := startBrowser(t)
	dir := t.TempDir()
	s := startServer(t, dir, "--scale", "virtual")
	desk := newDevice(t, browser, laptopScreen)
	desk.open(s.desk)
	desk.until("only itself in the list, and nothing that contradicts it", `document.querySelector('[data-part="phones"]')?.innerText.includes("No phone is among them yet")`)
	const link = `document.querySelector('[data-part="offer-link"]')`
	desk.until("a code to scan", link)
	old := desk.ask(link + ".href")
	s.stop()
	desk.until("the laptop's own words", `(w => w?.includes("own server") && !w.includes("The phone"))(document.querySelector('[data-code="line-lost"]')?.innerText)`)
	desk.shoot("server-stopped")
	startServer(t, dir, "--scale", "virtual", "--listen", strings.TrimPrefix(s.api, "https://"))
	desk.until("a fresh code", fmt.Sprintf(`%s && %s.href !== %q`, link, link, old))
	phone := newDevice(t, browser, phoneScreen)
	phone.open(desk.ask(link + ".href"))
	phone.weighing()
}

// closeJoining tries ten wrong codes, from two addresses since one alone is held
// back before it gets so far.
func (s *server) closeJoining() {
	s.t.Helper()
	for _, from := range []string{"127.0.0.2", "127.0.0.3"} {
		s.guess(5, from)
	}
}

// guess tries wrong codes from an address of this computer and gives the last
// answer's status.
func (s *server) guess(n int, from string) (status int) {
	s.t.Helper()
	dialer := net.Dialer{LocalAddr: &net.TCPAddr{IP: net.ParseIP(from)}}
	transport := &http.Transport{DialContext: dialer.DialContext, TLSClientConfig: &tls.Config{InsecureSkipVerify: true}}
	defer transport.CloseIdleConnections()
	client := &http.Client{Timeout: patience, Transport: transport}
	for range n {
		resp, err := client.Post(s.api+"/api/v1/join", "application/json", bytes.NewReader([]byte(`{"secret":"AAAAAAAAAAAAAAAAAAAAAA"}`)))
		if err != nil {
			s.t.Fatal(err)
		}
		resp.Body.Close()
		status = resp.StatusCode
	}
	return status
}

// TestTheDeskShowsWhatThePhoneIsToCompare: the four lines of the page that
// hands out the certificate, whatever the width and the theme.
func TestTheDeskShowsWhatThePhoneIsToCompare(t *testing.T) {
	t.Parallel()
	browser, s, desk := atTheDesk(t)
	phone := newDevice(t, browser, phoneScreen)
	desk.until("four lines", `document.querySelectorAll('[data-part="authority-lines"] code').length === 4`)
	const linesIn = `[...document.querySelectorAll('%s code')].map((l) => l.innerText).join("\n")`
	phone.open(s.api + "/trust")
	phone.until("the page", `document.querySelector(".lines")`)
	if onDesk, onPhone := desk.ask(fmt.Sprintf(linesIn, `[data-part="authority-lines"]`)), phone.ask(fmt.Sprintf(linesIn, ".lines")); onDesk != onPhone {
		t.Errorf("the desk shows\n%s\nand the phone\n%s", onDesk, onPhone)
	}
	desk.inEveryLook("compare", `(e => (e.scrollIntoView({ block: "end" }), [...e.children].every((l) =>
		l.scrollWidth <= l.clientWidth && l.getBoundingClientRect().right <= innerWidth)))(document.querySelector('[data-part="authority-lines"]'))`)
}

// inEveryLook waits for a condition on the glass of a laptop and of a phone, in
// light and in dark.
func (d *device) inEveryLook(name, condition string) {
	d.t.Helper()
	for _, theme := range []string{"light", "dark"} {
		for _, size := range []screen{phoneScreen, laptopScreen} {
			d.light(theme)
			d.do(chromedp.EmulateViewport(size.width, size.height))
			d.until(fmt.Sprintf("%s at %d in %s", name, size.width, theme), fmt.Sprintf(`innerWidth === %d && (%s)`, size.width, condition))
			d.shoot(fmt.Sprint(name, "-", theme, "-", size.width))
		}
	}
}

// TestWithoutWebAssemblyTheLaptopJudges: the phone can't load the core, asks
// the laptop, and says so.
func TestWithoutWebAssemblyTheLaptopJudges(t *testing.T) {
	t.Parallel()
	// Without its compilers the engine has no WebAssembly either.
	browser := startBrowser(t, chromedp.Flag("js-flags", "--jitless"))
	s := startServer(t, t.TempDir(), "--scale", "virtual")
	s.joinAsDesk()
	phone := newDevice(t, browser, phoneScreen)
	phone.open(s.offer())
	phone.until("the weigh screen", `document.querySelector('main[data-screen="weigh"]')`)
	phone.until("there to be no WebAssembly", `typeof WebAssembly === "undefined"`)
	phone.tap(`button[data-denomination="dime"]`)
	s.pan("put", "clad-dime")
	phone.untilVerdict("clad", "ordinary")
	phone.until("the laptop as judge", `document.documentElement.dataset.core === "laptop"`)
	phone.until("it to be said", `document.body.innerText.includes("laptop")`)
	phone.shoot("laptop-judges")
}
