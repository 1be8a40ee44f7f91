package e2e

import (
	"fmt"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// TestTheAppFindsTheLaptopAtItsNewAddress: the app stays at the address where
// its records are, opens from its copy there, and weighs on at the new one.
// Then another household's laptop gets the old address: it is shown no token,
// and the phone says what it met.
func TestTheAppFindsTheLaptopAtItsNewAddress(t *testing.T) {
	t.Parallel()
	dir, strangers := t.TempDir(), t.TempDir()
	stranger := startServer(t, strangers, "--scale", "virtual")
	// The laptop has been at another address before, which the phone is told.
	before := startServer(t, dir, "--scale", "virtual", "--listen", "127.0.0.2:"+lastingPort(t))
	moved := before.api
	before.stop()
	s := startServer(t, dir, "--scale", "virtual", "--listen", strings.Replace(strings.TrimPrefix(moved, "https://"), "127.0.0.2", "127.0.0.1", 1))
	browser := startBrowser(t, trusting(t, s, stranger)...)
	stranger.stop()
	phone := newDevice(t, browser, phoneScreen)
	phone.open(s.phone)
	phone.weighing()
	phone.putBy()

	s.stop()
	there := startServer(t, dir, "--scale", "virtual", "--listen", strings.TrimPrefix(moved, "https://"))
	there.joinAsDesk()
	phone.do(chromedp.Reload())
	phone.weighing()
	phone.until("the page to have stayed", fmt.Sprintf(`location.origin === %q`, s.api))
	phone.tap(`button[data-denomination="cent"]`)
	there.pan("put", "bronze-cent")
	phone.untilVerdict("bronze", "ordinary")
	phone.press(`[data-do="settings"]`)
	phone.until("the new address in the settings", `document.querySelector('[data-part="whereabouts"]')?.innerText.includes("127.0.0.2")`)
	phone.shoot("moved")
	phone.tap(`dialog[open] [data-do="close"]`)

	there.stop()
	stranger = startServer(t, strangers, "--scale", "virtual", "--listen", strings.TrimPrefix(s.api, "https://"))
	phone.until("word of the stranger", `document.querySelector('[data-part="stranger"]')`)
	phone.until("no line", `document.querySelector('[data-part="line"]')`)
	phone.shoot("stranger")
	phone.tap(`[data-do="rejoin"]`)
	phone.until("the way to join again", `document.querySelector('dialog[open] ol li')`)

	// It was one's own laptop, set up anew: a fresh code lets the phone in.
	phone.open(stranger.phone)
	phone.weighing()
	phone.until("no word of a stranger", `!document.querySelector('[data-part="stranger"]')`)
}

// TestAFirstJoiningMovesToTheNameThatStays: the code leads to a number; the
// phone, which reaches the laptop by its .local name too, joins there with the
// same code. No certificate error is passed over.
func TestAFirstJoiningMovesToTheNameThatStays(t *testing.T) {
	t.Parallel()
	const name = "laptop-at-the-table.local"
	s := startServer(t, t.TempDir(), "--scale", "virtual", "--host", name)
	s.joinAsDesk()
	if !strings.HasPrefix(s.phone, "https://127.0.0.1:") {
		t.Fatalf("the code leads to %s", s.phone)
	}
	browser := startBrowser(t, append(trusting(t, s), chromedp.Flag("host-resolver-rules", "MAP "+name+" 127.0.0.1"))...)
	phone := newDevice(t, browser, phoneScreen)
	phone.open(s.phone)
	phone.until("the name in the address, without the code", fmt.Sprintf(
		`location.origin === %q && !location.hash.includes("join=")`, strings.Replace(s.api, "127.0.0.1", name, 1)))
	phone.weighing()
	phone.putBy() // which no browser does behind a warning
	phone.tap(`button[data-denomination="cent"]`)
	s.pan("put", "bronze-cent")
	phone.untilVerdict("bronze", "ordinary")
	phone.shoot("by-name")
	if n := s.phones(); n != 1 {
		t.Errorf("%d phones are listed", n)
	}
}

// TestAPhoneLeavesByItself: the person is asked once, and the laptop lists the
// phone no more.
func TestAPhoneLeavesByItself(t *testing.T) {
	t.Parallel()
	_, s, phone := atTheTable(t, phoneScreen)
	if n := s.phones(); n != 1 {
		t.Fatalf("%d phones are listed", n)
	}
	phone.press(`[data-do="settings"]`)
	phone.until("the sheet, which takes the focus", `document.querySelector("dialog[open]")?.contains(document.activeElement)`)
	phone.press(`[data-do="leave"]`)
	phone.until("the question, with the harmless answer in front", `document.activeElement?.dataset.do === "leave-no"`)
	phone.shoot("leave")
	phone.tap(`[data-do="leave-yes"]`)
	phone.until("being out", `document.querySelector('[data-part="join-fault"]')?.dataset.fault === "left"`)
	phone.shoot("left")
	if n := s.phones(); n != 0 {
		t.Errorf("%d phones are listed afterwards", n)
	}
}

// phones counts those on the laptop's list.
func (s *server) phones() (n int) {
	s.t.Helper()
	var list struct{ Devices []struct{ Role string } }
	s.call("GET", "/api/v1/devices", nil, &list)
	for _, d := range list.Devices {
		if d.Role == "phone" {
			n++
		}
	}
	return n
}
