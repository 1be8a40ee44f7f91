package e2e

import (
	"context"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// twoPhonesAtOneFind are two joined phones that look at the same find; it is on
// the laptop, and nothing of theirs is anywhere else.
func twoPhonesAtOneFind(t *testing.T) (one, two *device) {
	t.Helper()
	browser := startBrowser(t)
	s := startServer(t, t.TempDir(), "--scale", "virtual")
	s.joinAsDesk()
	one, two = newDevice(t, browser, phoneScreen), newDevice(t, browser, phoneScreen)
	for _, d := range []*device{one, two} {
		d.open(s.offer())
		d.until("the weigh screen", `document.querySelector('main[data-screen="weigh"]')`)
		d.until("the core on the phone", `document.documentElement.dataset.core === "phone"`)
	}
	one.tap(`button[data-denomination="cent"]`)
	one.typeFind("3.11")
	one.details()
	one.edit()
	two.goTo("finds")
	two.tap(`[data-find]`)
	two.edit()
	one.until("the find on the laptop", `!document.querySelector('[data-part="only-here"]')`)
	return one, two
}

// apart lets phones write without seeing one another, and brings them together
// again.
func apart(phones []*device, write func()) {
	for _, d := range phones {
		d.t.Helper()
		d.cutOff(true)
	}
	write()
	for _, d := range phones {
		d.until("it saved here", `document.querySelector('[data-part="only-here"]')`)
		d.cutOff(false)
	}
}

// name is what the laptop calls a phone.
func (d *device) name() string {
	d.t.Helper()
	return d.ask(`JSON.parse(localStorage.getItem("panside.joined")).device.name`)
}

// says waits until a part of the page says all the words.
func (d *device) says(selector string, words ...string) {
	d.t.Helper()
	for _, w := range words {
		d.until(fmt.Sprintf("%s to say %q", selector, w), fmt.Sprintf(`document.querySelector(%s)?.innerText.includes(%s)`, quoted(selector), quoted(w)))
	}
}

// inBothThemes keeps pictures of a part of the page, on a phone and as wide as
// a laptop.
func (d *device) inBothThemes(name, selector string) {
	d.t.Helper()
	if os.Getenv("PANSIDE_SHOTS") == "" {
		return
	}
	for _, s := range []screen{laptopScreen, phoneScreen} {
		d.do(chromedp.EmulateViewport(s.width, s.height))
		d.until(name, fmt.Sprintf(`(e => e && (e.scrollIntoView({ block: "center" }), true))(document.querySelector(%s))`, quoted(selector)))
		for _, theme := range []string{"light", "dark"} {
			d.light(theme)
			d.shoot(fmt.Sprintf("%s-%d-%s", name, s.width, theme))
		}
	}
}

// TestTwoPhonesWriteTheSameNote: both changes are kept with the phone that wrote
// each and when, and the person chooses. A choice taken back opens it again.
func TestTwoPhonesWriteTheSameNote(t *testing.T) {
	t.Parallel()
	one, two := twoPhonesAtOneFind(t)
	phones := []*device{one, two}
	apart(phones, func() {
		one.write("note", "Doubling below the date")
		two.write("note", "Only a scratch")
	})
	const values = `[...document.querySelectorAll('[data-part="conflict"][data-field="note"] .conflict-value > span')].map((v) => v.innerText.replace(/\s+/g, " ")).sort().join("\n")`
	both := func(d *device) string {
		t.Helper()
		d.until("both notes", `document.querySelectorAll('[data-part="conflict"][data-field="note"] [data-do="choose"]').length === 2`)
		return strings.ReplaceAll(d.ask(values), ", shown now", "")
	}
	said := map[*device]string{}
	for d, other := range map[*device]*device{one: two, two: one} {
		said[d] = both(d)
		mine, theirs := "Doubling below the date", "Only a scratch"
		if d == two {
			mine, theirs = theirs, mine
		}
		for _, want := range []string{mine + " this phone, ", theirs + " " + other.name() + ", "} {
			if !strings.Contains(said[d], want) {
				t.Errorf("the conflict says %q, without %q", said[d], want)
			}
		}
	}
	one.inBothThemes("conflict", `[data-part="conflict"]`)
	one.axeHere("two notes on one find")

	choose := `[...document.querySelectorAll('.conflict-value')].find(e => e.innerText.includes("scratch")).querySelector("button").click(); undefined`
	one.do(chromedp.Evaluate[chromedp.Void](choose))
	ended := func() {
		t.Helper()
		for _, d := range phones {
			d.until("one note", `!document.querySelector('[data-part="conflict"]') && document.querySelector('textarea[name="note"]')?.value === "Only a scratch"`)
		}
	}
	ended()
	one.tap(`.undo-bar [data-do="undo"]`)
	for _, d := range phones {
		if now := both(d); now != said[d] {
			t.Errorf("taken back it says\n%s\nbefore it said\n%s", now, said[d])
		}
	}
	one.inBothThemes("conflict-again", `[data-part="conflict"]`)
	one.tap(`.undo-bar [data-do="undo"]`) // which now does it again
	ended()

	// Within a moment of an own edit a choice and a deletion know of it.
	one.do(chromedp.Evaluate[chromedp.Void](`(() => {
		const note = document.querySelector('textarea[name="note"]');
		note.value = "both of it";
		note.dispatchEvent(new Event("change", { bubbles: true }));
		document.querySelector('[data-do="delete"]').click();
	})(); undefined`))
	two.until("the find deleted", `document.querySelector('[data-part="deleted"]')`)
	two.until("nothing overlooked", `!document.querySelector('[data-overlooked], [data-part="conflict"]') && document.querySelector('textarea[name="note"]')?.value === "both of it"`)
	two.until("it closed to writing", `document.querySelector('textarea[name="note"]').matches(":disabled")`)
	two.tap(`[data-do="restore"]`)
	one.until("the find back", `document.querySelector('[data-part="find"]') && !document.querySelector('[data-part="deleted"]')`)
}

// TestADeletionThatOverlookedAPhoto: the deleter's clock is three days ahead, so
// by the clocks all of the other's was there before. Both phones say who did
// what, and ask.
func TestADeletionThatOverlookedAPhoto(t *testing.T) {
	t.Parallel()
	one, two := twoPhonesAtOneFind(t)
	phones := []*device{one, two}
	one.do(chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
		_, err := cdp.Call(ctx, target, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{
			Source: `const rightly = Date.now; Date.now = () => rightly() + 3 * 24 * 3600 * 1000;`,
		})
		return err
	}))
	one.do(chromedp.Evaluate[chromedp.Void](`location.reload(); undefined`))
	one.until("the find by the wrong clock", `Date.now() - performance.timeOrigin > 24 * 3600 * 1000 && document.querySelector('[data-part="find"] [data-do="edit"]')`)
	one.edit()
	one.until("the core on the phone", `document.documentElement.dataset.core === "phone"`)
	apart(phones, func() {
		two.addPhoto(1)
		two.write("note", "It is a good one")
		one.tap(`[data-do="delete"]`)
	})
	one.says(`[data-overlooked]`, "Deleted on this phone, but "+two.name()+" changed it without having seen that: ", "Note (It is a good one)", "Photo (obverse)")
	one.says(`[data-overlooked]`, "Deleted "+one.ask(`new Date(Date.now()).toLocaleDateString(undefined, { dateStyle: "medium" })`))
	two.says(`[data-overlooked]`, "Deleted on "+one.name()+", but this phone changed it without having seen that: ", "Note (It is a good one)", "Photo (obverse)")
	one.inBothThemes("overlooked", `[data-overlooked]`)
	one.axeHere("a deletion that overlooked something")

	// The list leads to it, though it doesn't list what is deleted.
	two.goTo("finds")
	two.says(`[data-part="overlooked"]`, "One deleted find was changed")
	two.until("no find in the list", `!document.querySelector("[data-find]")`)
	two.inBothThemes("overlooked-list", `[data-part="overlooked"]`)
	two.tap(`[data-part="overlooked"]`)

	kept := func(d *device, yes bool) {
		t.Helper()
		if yes {
			d.until("the find kept", `document.querySelector('[data-photo-link]') && !document.querySelector('[data-part="deleted"]')`)
		} else {
			d.until("it deleted and nothing to decide", `document.querySelector('[data-part="deleted"]:not([data-overlooked])')`)
		}
	}
	for _, step := range []struct {
		decide string
		keeps  bool
	}{{"restore", true}, {"delete-again", false}} {
		two.tap(`[data-overlooked] [data-do="` + step.decide + `"]`)
		for _, d := range phones {
			kept(d, step.keeps)
		}
		two.tap(`.undo-bar [data-do="undo"]`)
		two.says(`[data-overlooked]`, "Deleted on "+one.name()+", but this phone changed it", "Note (It is a good one)", "Photo (obverse)")
		one.says(`[data-overlooked]`, "Deleted on this phone, but "+two.name()+" changed it", "Note (It is a good one)", "Photo (obverse)")
	}
	two.tap(`[data-do="restore"]`)
	for _, d := range phones {
		kept(d, true)
	}
	two.goTo("finds")
	two.until("the find in the list, and nothing to decide", `document.querySelector("[data-find]") && !document.querySelector('[data-part="overlooked"]')`)
}

// TestTwoHuntsGoOn: it is said which of them counts, and one tap ends the other;
// no hunt ends before it begins.
func TestTwoHuntsGoOn(t *testing.T) {
	t.Parallel()
	phone := phoneForCents(t)
	begin := func(place string) {
		t.Helper()
		phone.goTo("hunts")
		phone.newHunt("jar")
		phone.edit()
		phone.write("place", place)
		phone.until("its name", fmt.Sprintf(`document.querySelector('[data-part="hunt"] h2')?.innerText === %q`, place))
	}
	begin("Old jar")
	phone.until("nothing said of one hunt", `!document.querySelector('[data-part="two-going"]')`)
	begin("Mill branch")
	for _, at := range []string{"its page", "the list"} {
		phone.says(`[data-part="two-going"]`, "Two hunts are running. Coins are counted for Mill branch only.", "End Old jar")
		phone.inBothThemes("two-hunts-"+strings.Fields(at)[1], `[data-part="two-going"]`)
		phone.axeHere("two hunts at " + at)
		if at == "its page" {
			phone.goTo("hunts")
		}
	}
	phone.tap(`[data-do="end-other"]`)
	phone.until("one of them ended", `!document.querySelector('[data-part="two-going"]') && /ended/.test(document.querySelector('.records-list').innerText)`)
	phone.tap(`.undo-bar [data-do="undo"]`)
	phone.says(`[data-part="two-going"]`, "End Old jar")
	phone.tap(`[data-do="end-other"]`)

	phone.do(chromedp.Evaluate[chromedp.Void](`[...document.querySelectorAll("[data-hunt]")].find((h) => h.innerText.includes("Old jar")).click(); undefined`))
	phone.edit()
	phone.until("its two times", `document.querySelector('[name="ended"]')`)
	was := phone.ask(`document.querySelector('[name="ended"]').value`)
	phone.write("ended", "2020-01-02T03:04")
	phone.says(`[data-part="trouble"]`, "A hunt can’t end before it begins. Nothing was saved")
	phone.until("the time marked as wrong", `document.querySelector('[name="ended"][aria-invalid="true"]')`)
	phone.inBothThemes("ends-before", `[name="ended"]`)
	phone.write("ended", was)
	phone.until("the time taken", `document.querySelector('[name="ended"]:not([aria-invalid])')`)
}
