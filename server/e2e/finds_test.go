package e2e

import (
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// phoneForCents is a joined phone that judges cents by itself.
func phoneForCents(t *testing.T) *device {
	t.Helper()
	_, _, phone := atTheTable(t, phoneScreen)
	phone.until("the core on the phone", `document.documentElement.dataset.core === "phone"`)
	phone.tap(`button[data-denomination="cent"]`)
	return phone
}

// TestEntriesOnTopOfOneAnother: whoever is quicker than the notebook is read
// anew writes on top of what they wrote before. Nothing of it is taken for
// another phone's, and nothing gets lost.
func TestEntriesOnTopOfOneAnother(t *testing.T) {
	t.Parallel()
	phone := phoneForCents(t)
	phone.typeFind("3.11")
	phone.details()
	phone.edit()
	phone.do(chromedp.Evaluate[chromedp.Void](`(() => {
		const set = (name, value) => {
			const input = document.querySelector('[name="' + name + '"]');
			input.value = value;
			input.dispatchEvent(new Event("change", { bubbles: true }));
		};
		window.entered = (async () => {
			set("lies-in", "flip");
			await new Promise(requestAnimationFrame);
			set("lies-label", "A-17");
			await new Promise(requestAnimationFrame);
			set("lies-where", "left drawer");
		})();
	})(); undefined`))
	phone.tap(`[data-part="history"] > summary`)
	phone.until("all three parts", `/flip, A-17, left drawer.* now/.test(document.querySelector('[data-part="history"]').innerText)`)
	phone.until("no conflict", `!document.querySelector('[data-part="conflict"]')`)
	phone.until("the parts in their fields", `["flip", "A-17", "left drawer"].every((v, i) => document.querySelector('[name="lies-' + ["in", "label", "where"][i] + '"]').value === v)`)

	// The app is put away in the middle of a note, and killed there.
	phone.do(chromedp.Evaluate[chromedp.Void](`(() => {
		const note = document.querySelector('textarea[name="note"]');
		note.focus();
		note.value = "half a thou";
		Object.defineProperty(document, "visibilityState", { value: "hidden", configurable: true });
		document.dispatchEvent(new Event("visibilitychange"));
	})(); undefined`))
	phone.until("the note in the history", `/Note half a thou/.test(document.querySelector('[data-part="history"]').innerText)`)

	// A field that has the focus and isn't written in follows what is done
	// elsewhere; left, it doesn't bring back what was undone there.
	phone.do(chromedp.Evaluate[chromedp.Void](`document.querySelector('[data-do="undo"]').click(); undefined`))
	phone.until("an empty note with the focus", `document.activeElement?.name === "note" && document.activeElement.value === ""`)
	phone.do(chromedp.Evaluate[chromedp.Void](`document.activeElement.blur(); undefined`))

	// What is no number is refused, and stays to be corrected.
	phone.write("find-year", "19x9")
	phone.until("the year marked as wrong", `document.querySelector('[name="find-year"][aria-invalid="true"]')?.value === "19x9"`)
	phone.until("the note not written again", `document.querySelector('textarea[name="note"]').value === "" &&
		document.querySelector('[data-part="history"]').innerText.match(/Note half a thou/g).length === 1`)
	phone.until("only the refusal", `document.querySelector('[data-part="trouble"]') && !document.querySelector('[data-part="saved"]')`)
	phone.shoot("refused")
}

// TestOnePictureGivenTwice is one photo, and stays of the side it was given
// first.
func TestOnePictureGivenTwice(t *testing.T) {
	t.Parallel()
	phone := phoneForCents(t)
	phone.typeFind("3.11")
	phone.details()
	phone.edit()
	dir, bytes := t.TempDir(), picture(t, 1)
	var files []string
	for _, name := range []string{"one.jpg", "two.jpg"} {
		files = append(files, filepath.Join(dir, name))
		if err := os.WriteFile(filepath.Join(dir, name), bytes, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	phone.do(chromedp.SetUploadFiles(chromedp.CSS(`input[name="file"]`), files))
	phone.until("both to be put", `document.querySelector('[data-photo-link]') && !document.querySelector('.photo-take[data-busy]')`)
	phone.until("one photo, of the obverse", `[...document.querySelectorAll('[data-photo-link]')].map((l) => l.innerText.trim()).join() === "obverse"`)
	phone.until("no conflict", `!document.querySelector('[data-part="conflict"]')`)
	if n := phone.ask(`String(document.querySelector('[data-part="history"]').textContent.match(/reverse/g)?.length ?? 0)`); n != "0" {
		t.Errorf("its side was written as the reverse %s times", n)
	}
}

// TestTheListIsWhereItWasLeft for one of its finds, and at its newest when one
// comes to it from the hunts.
func TestTheListIsWhereItWasLeft(t *testing.T) {
	t.Parallel()
	phone := phoneForCents(t)
	for _, grams := range []string{"3.05", "3.06", "3.07", "3.08", "3.09", "3.10"} {
		phone.typeFind(grams)
	}
	phone.do(chromedp.EmulateViewport(phoneScreen.width, 400))
	phone.goTo("finds")
	phone.until("all finds", `document.querySelectorAll(".find-row").length === 6`)
	// Until then the words above the list change, and the browser keeps the rows where they are.
	phone.until("all finds on the laptop", `document.querySelector('[data-part="sync"]:not([data-waiting])').innerText.startsWith("Everything")`)
	phone.do(chromedp.Evaluate[chromedp.Void](`addEventListener("scroll", () => { window.noted = scrollY; }, { once: true }); scrollTo(0, 200); undefined`))
	phone.until("the list scrolled", `window.noted === 200`)
	phone.do(chromedp.Evaluate[chromedp.Void](`[...document.querySelectorAll(".find-row")].at(-1).click(); undefined`))
	phone.until("the find", `document.querySelector('[data-part="find"]')`)
	phone.do(chromedp.Evaluate[chromedp.Void](`scrollTo(0, 0); document.querySelector("a.back").click(); undefined`))
	phone.until("the list where it was", `document.querySelectorAll(".find-row").length === 6 && scrollY === 200`)

	phone.goTo("hunts")
	phone.do(chromedp.Evaluate[chromedp.Void](`scrollTo(0, 0); undefined`))
	phone.goTo("finds")
	phone.until("all finds", `document.querySelectorAll(".find-row").length === 6`)
	phone.until("the newest finds", `scrollY === 0`)
}

// TestAKeepingDoneAgain: taken back and done again on the finds' page, it is the
// coin's as before, so that the coin isn't kept twice; and it can be taken back.
func TestAKeepingDoneAgain(t *testing.T) {
	t.Parallel()
	phone := phoneForCents(t)
	phone.typeFind("3.11")
	for _, step := range []struct {
		what, way string
		finds     int
	}{
		{"taken back", "keep", 0}, {"done again", "open-find", 1}, {"taken back once more", "keep", 0},
	} {
		phone.goTo("finds")
		phone.tap(`.undo-bar [data-do="undo"]`)
		phone.until("the keeping "+step.what, fmt.Sprintf(`document.querySelectorAll(".find-row").length === %d`, step.finds))
		phone.goTo("weigh")
		phone.until("that at the coin", fmt.Sprintf(`document.querySelector('[data-part="keep-line"] [data-do=%q]:not([disabled])')`, step.way))
	}
}

// TestTheDesksPanesReachTheBottom of the window, list and record alike.
func TestTheDesksPanesReachTheBottom(t *testing.T) {
	t.Parallel()
	_, _, desk := atTheTable(t, laptopScreen)
	desk.until("the core here", `document.documentElement.dataset.core === "phone"`)
	desk.goTo("hunts")
	desk.newHunt("rolls")
	desk.until("the hunt beside the list", `document.querySelector('.records-page [data-part="hunt"]')`)
	for _, place := range []string{"finds", "hunts"} {
		desk.goTo(place)
		desk.until("both panes of "+place, `document.querySelector('.records-list') && document.querySelector('.records-page')`)
		desk.until("them at the bottom", `[".records-list", ".records-page"].every((s) => Math.abs(document.querySelector(s).getBoundingClientRect().bottom - innerHeight) < 1) && document.documentElement.scrollHeight <= innerHeight`)
	}
	desk.shoot("panes")
}

// TestKeepingPushesNothing: what reaches the laptop at once isn't said above the
// weight in between, which would move down and up again with every coin. What
// stays on the phone is.
func TestKeepingPushesNothing(t *testing.T) {
	t.Parallel()
	_, s, phone := atTheTable(t, phoneScreen)
	phone.until("the core on the phone", `document.documentElement.dataset.core === "phone"`)
	phone.tap(`button[data-denomination="cent"]`)
	phone.do(chromedp.Evaluate[chromedp.Void](`
		window.pushed = 0;
		new MutationObserver(() => { if (document.querySelector('[data-part="only-here"]')) window.pushed++; }).observe(document.body, { childList: true, subtree: true });
		undefined`))
	phone.typeFind("3.11")
	for there := 0; there == 0; time.Sleep(lookEvery) {
		var page struct{ Entries []struct{ Kind string } }
		s.call(http.MethodGet, "/api/v1/journal", nil, &page)
		there = len(page.Entries)
	}
	if n := phone.ask(`String(window.pushed)`); n != "0" {
		t.Errorf("the strip was there %s times before the find was on the laptop", n)
	}
	phone.cutOff(true)
	phone.typeFind("3.10")
	phone.says(`[data-part="only-here"]`, "1 find only on this phone")
	phone.shoot("keys")
}
