package e2e

import (
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"time"

	"github.com/chromedp/chromedp"
)

// patience bounds one wait for something on the glass. Generous, because two
// busy cores may be shared with other tests; nothing waits longer than needed.
const patience = 60 * time.Second

// lookEvery is how often a page looks whether what is waited for has come. By
// the clock rather than by frames, which a page in the background doesn't get.
const lookEvery = 20 * time.Millisecond

// until waits for a JavaScript condition to hold. What the condition throws
// counts as not yet.
func (d *device) until(what, condition string) {
	d.t.Helper()
	d.await(what, condition, `Boolean(`+condition+`)`)
}

// await waits until an expression is truthy in whatever page is there then: one
// that takes another's place loses the question, so it is asked anew.
func (d *device) await(what, condition, expression string) json.RawMessage {
	d.t.Helper()
	ctx, cancel := context.WithTimeout(d.ctx, patience)
	defer cancel()
	looks := fmt.Sprintf(`new Promise((done) => {
		const began = Date.now();
		const look = () => {
			let found = null;
			try {
				delete window.lastThrown;
				found = %s;
			} catch (e) {
				window.lastThrown = String(e);
			}
			if (found) done(JSON.stringify(found));
			else if (Date.now() - began > 2000) done("");
			else setTimeout(look, %d);
		};
		look();
	})`, expression, lookEvery.Milliseconds())
	for {
		try, over := context.WithTimeout(ctx, 5*time.Second)
		found, err := chromedp.Run(try, chromedp.Evaluate[string](looks, chromedp.EvalAwaitPromise))
		over()
		if err == nil && found != "" {
			return json.RawMessage(found)
		}
		wrong := new(chromedp.ExceptionError)
		if ctx.Err() != nil || errors.As(err, &wrong) {
			d.t.Fatalf("waited in vain for %s: %v\nthe condition: %s\n%s", what, cmp.Or(err, ctx.Err()), condition, d.state())
		}
		if err != nil {
			time.Sleep(lookEvery) // between two pages
		}
	}
}

// press clicks a button wherever the width of the screen has put it, once it is
// there and can be clicked: found and clicked in one step of the page, since it
// may be drawn anew between two.
func (d *device) press(selector string) {
	d.t.Helper()
	d.until("something to press: "+selector, fmt.Sprintf(`(e => e && !e.disabled && (e.click(), true))(document.querySelector(%s))`, quoted(selector)))
}

// tap clicks as a finger does: where the button is, once nothing covers it and
// it has stopped moving. A click that lands elsewhere, since the page moved
// meanwhile, is kept from what it hit, and tried again.
func (d *device) tap(selector string) {
	d.t.Helper()
	for deadline := time.Now().Add(patience); ; {
		raw := d.await("something to tap: "+selector, `the middle of `+selector+` at rest under the finger`, fmt.Sprintf(aim, quoted(selector)))
		var at struct{ X, Y float64 }
		if err := json.Unmarshal(raw, &at); err != nil {
			d.t.Fatalf("%v in %s", err, raw)
		}
		d.do(chromedp.MouseClickXY(at.X, at.Y))
		if landed := d.ask(`String(window.tapped)`); landed == "there" || landed == "undefined" { // of the page that it led to
			return
		}
		if time.Now().After(deadline) {
			d.t.Fatalf("no tap reaches %s\n%s", selector, d.state())
		}
	}
}

// aim gives the point to tap, the same in two looks one after the other, and
// notes in window.tapped where the next click lands.
const aim = `((selector) => {
	const before = window.aimed;
	delete window.aimed;
	const e = document.querySelector(selector);
	if (!e || e.disabled || !e.checkVisibility({ visibilityProperty: true })) return null;
	const middle = () => {
		const r = e.getClientRects()[0];
		return r && { e, x: r.left + r.width / 2, y: r.top + r.height / 2 };
	};
	const bare = (p) => p && e.contains(document.elementFromPoint(p.x, p.y));
	if (!bare(middle())) e.scrollIntoView({ block: "center", behavior: "instant" });
	const now = middle();
	if (!bare(now)) return null;
	window.aimed = now;
	if (before?.e !== e || before.x !== now.x || before.y !== now.y) return null;
	removeEventListener("click", window.caught, true);
	window.tapped = "nowhere";
	window.caught = (click) => {
		removeEventListener("click", window.caught, true);
		window.tapped = click.target.closest?.(selector) ? "there" : "elsewhere";
		if (window.tapped === "there") return;
		click.stopImmediatePropagation();
		click.preventDefault();
	};
	addEventListener("click", window.caught, true);
	return { x: now.x, y: now.y };
})(%s)`

// state is what a person wants to know first of a page that didn't come to what
// was waited for, and the beginning of what can be read on it.
func (d *device) state() string {
	ctx, cancel := context.WithTimeout(d.ctx, 5*time.Second)
	defer cancel()
	text, err := chromedp.Run(ctx, chromedp.Evaluate[string](`(() => {
		const part = (name) => document.querySelector('[data-part="' + name + '"]');
		const facts = {
			address: location.href.replace(/join=[^&]*/, "join=…"),
			screen: document.querySelector("main")?.dataset.screen ?? "none",
			core: document.documentElement.dataset.core,
			line: part("line")?.dataset.line ?? "open",
			problem: part("problem")?.dataset.code,
			phase: part("phase")?.dataset.phase,
			weight: part("weight")?.textContent.trim(),
			verdict: part("headline") && part("headline").dataset.call + (part("headline").hasAttribute("data-last") ? " (of the last coin)" : ""),
			sheet: document.querySelector("dialog[open]")?.getAttribute("aria-labelledby"),
			focus: document.activeElement?.outerHTML.slice(0, 120),
			hidden: document.hidden || undefined,
			"the condition threw": window.lastThrown,
		};
		const said = Object.entries(facts).filter(([, v]) => v !== undefined && v !== null).map(([k, v]) => k + ": " + v).join("\n");
		return said + "\nthe page says:\n" + ((document.querySelector("dialog[open]") ?? document.querySelector("main") ?? document.body)?.innerText ?? "");
	})()`))
	if err != nil {
		return "(the page is unreadable: " + err.Error() + ")"
	}
	return beginning(text, 35)
}

// beginning is a text's first lines, without the empty ones.
func beginning(text string, lines int) string {
	var kept []string
	for line := range strings.SplitSeq(text, "\n") {
		if strings.TrimSpace(line) == "" {
			continue
		}
		if len(kept) == lines {
			return strings.Join(append(kept, "…"), "\n")
		}
		kept = append(kept, line)
	}
	return strings.Join(kept, "\n")
}
