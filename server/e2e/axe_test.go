package e2e

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// places are the addresses of the app's screens for one device that has
// joined; a test below holds the list to the app's own.
var places = []string{"weigh", "type", "book", "fits", "identify", "ring", "camera", "second-look", "density", "roll", "scale", "finds", "hunts", "desk"}

// subPlaces are the addresses below a screen's own that show something else.
var subPlaces = []string{"scale/check", "scale/cable", "second-look/dial"}

var axeFile = filepath.Join("..", "..", "pwa", "node_modules", "axe-core", "axe.min.js")

// axeSource is axe-core, the checker of the rules for accessible pages (WCAG),
// as npm put it there.
func axeSource(t *testing.T) string {
	t.Helper()
	source, err := os.ReadFile(axeFile)
	if err != nil {
		t.Skipf("axe-core isn't there; `go run ./server/up build` fetches it: %v", err)
	}
	return string(source)
}

// axe finds what people with other eyes, ears or hands would stumble over on
// the page as it is, in light and in dark, and on a phone what a thumb may miss. Contrast is the only rule that
// depends on the colours.
func (d *device) axe(source, name string) {
	d.t.Helper()
	d.do(chromedp.Evaluate[chromedp.Void](source + `; undefined`))
	d.shootAllSizes(name)
	if d.screen.width < 800 {
		d.reach(name)
	}
	for _, theme := range []string{"light", "dark"} {
		d.light(theme)
		d.do(chromedp.Evaluate[chromedp.Void](fmt.Sprintf(`
			window.found = null;
			(async () => {
				await new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)));
				for (const a of document.getAnimations()) try { a.finish(); } catch { a.cancel(); }
				const options = { resultTypes: ["violations"], elementRef: false };
				if (%q === "dark") options.runOnly = ["color-contrast"];
				const { violations, passes } = await axe.run(document, options);
				window.found = JSON.stringify({ passes: passes.length, violations: violations.map((v) =>
					v.id + ": " + v.help + "\n" + v.nodes.slice(0, 4).map((n) => "    " + n.html.slice(0, 200) + "\n    " + n.failureSummary.replaceAll("\n", " ")).join("\n")) });
			})().catch((e) => { window.found = JSON.stringify({ violations: ["axe failed: " + e] }); });
			undefined`, theme)))
		d.until("the checker to finish", `window.found`)
		raw, err := chromedp.Run(d.ctx, chromedp.Evaluate[string](`window.found`))
		if err != nil {
			d.t.Fatal(err)
		}
		var found struct {
			Passes     int
			Violations []string
		}
		if err := json.Unmarshal([]byte(raw), &found); err != nil {
			d.t.Fatal(err)
		}
		for _, v := range found.Violations {
			d.t.Errorf("%s, %s: %s", name, theme, v)
		}
		if found.Passes == 0 && len(found.Violations) == 0 {
			d.t.Errorf("%s, %s: the checker looked at nothing", name, theme)
		}
	}
}

// shootAllSizes keeps pictures of the page as it is, as wide as a phone and as a
// laptop, in both themes, where PANSIDE_SHOTS asks for them.
func (d *device) shootAllSizes(name string) {
	d.t.Helper()
	if os.Getenv("PANSIDE_SHOTS") == "" {
		return
	}
	for _, s := range []screen{phoneScreen, laptopScreen} {
		d.resize(s)
		for _, theme := range []string{"light", "dark"} {
			d.light(theme)
			d.shoot(fmt.Sprintf("%s-%d-%s", strings.ReplaceAll(name, "/", "-"), s.width, theme))
		}
	}
	d.resize(d.screen)
}

// light makes the device's own choice of light or dark.
func (d *device) light(scheme string) {
	d.t.Helper()
	d.do(chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
		_, err := cdp.Call(ctx, target, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
			Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}},
		})
		return err
	}))
}

// goTo shows a screen by its address.
func (d *device) goTo(place string) {
	d.t.Helper()
	d.do(chromedp.Evaluate[chromedp.Void](fmt.Sprintf(`location.hash = "#/" + %q; undefined`, place)))
	screen, _, _ := strings.Cut(place, "/")
	if screen == "type" {
		screen = "weigh" // with the number pad
	}
	d.until("a screen at "+place, fmt.Sprintf(`document.querySelector('main[data-screen="%s"]')?.innerText.length > 10 && !document.querySelector(".records-state")`, screen))
	if place == "type" {
		d.until("the number pad", `document.querySelector('[data-is="typed"]')`)
	}
}

// inEveryLanguage runs a test in a browser set to each language of the app.
func inEveryLanguage(t *testing.T, test func(t *testing.T, browser context.Context)) {
	t.Helper()
	for _, language := range []string{"en-US", "es-MX"} {
		t.Run(language, func(t *testing.T) {
			t.Parallel()
			test(t, startBrowser(t, chromedp.Flag("accept-lang", language)))
		})
	}
}

// TestNothingInTheWayOfAnybody walks every screen and sheet with axe-core.
func TestNothingInTheWayOfAnybody(t *testing.T) {
	t.Parallel()
	inEveryLanguage(t, nothingInTheWay)
}

func nothingInTheWay(t *testing.T, browser context.Context) {
	source := axeSource(t)
	s := startServer(t, t.TempDir(), "--scale", "virtual")

	out := newDevice(t, browser, phoneScreen)
	out.open(s.api)
	out.until("the way in", `document.querySelector('[data-screen="join"] ol')`)
	out.axe(source, "joining")

	out.open("http" + strings.TrimPrefix(s.api, "https") + "/")
	out.do(chromedp.Evaluate[chromedp.Void](`for (const d of document.querySelectorAll("details")) d.open = true; undefined`))
	out.axe(source, "trust page")

	phone := newDevice(t, browser, phoneScreen)
	phone.open(s.phone)
	phone.weighing()
	desk := newDevice(t, browser, laptopScreen)
	desk.open(s.desk)
	desk.until("the desk with a phone on its list", `document.querySelector('[data-part="offer"] img') && document.querySelector('[data-do="end"]')`)
	desk.axe(source, "desk")
	desk.tap(`[data-do="end"]`)
	desk.until("the question", `document.querySelector('[data-do="end-yes"]')`)
	desk.axe(source, "desk, asking")
	s.closeJoining()
	desk.until("word that joining is closed", `document.querySelector('[data-do="offer-open"]')`)
	desk.axe(source, "desk, joining closed")

	s.token = desk.token()
	phone.tap(`button[data-denomination="cent"]`)
	phone.axe(source, "empty pan")
	s.pan("put", "cent-on-dime")
	phone.until("a call to look", `document.querySelector('[data-part="headline"]:not([data-last])')?.dataset.call === "look"`)
	phone.do(chromedp.Evaluate[chromedp.Void](`for (const d of document.querySelectorAll("details")) d.open = true; undefined`))
	phone.axe(source, "verdict, all opened")
	for _, place := range places {
		if place == "desk" {
			continue // the laptop's own
		}
		phone.goTo(place)
		phone.axe(source, place)
	}
	for _, place := range subPlaces {
		phone.goTo(place)
		phone.axe(source, place)
	}
	phone.goTo("book")
	phone.press(`[data-part="coins"] a`)
	phone.until("a coin of the book", `location.hash.startsWith("#/book/") && document.querySelector("main h1")`)
	phone.axe(source, "a coin of the book")
	phone.goTo("book/" + "US-cent-1959-bronze")
	phone.axe(source, "a page that may not be there")

	phone.goTo("weigh")
	for _, name := range sheetNames(t) {
		if !phone.openSheet(name) {
			continue
		}
		phone.axe(source, "sheet "+name)
		phone.closeSheet()
	}
	phone.handsFree(s)
	phone.axe(source, "hands-free")
	for name, button := range handsFreeSheets {
		phone.press(button)
		phone.until("the sheet "+name, `document.querySelector("dialog[open]")`)
		phone.axe(source, "sheet "+name)
		phone.closeSheet()
	}
}

// TestNothingInTheWayOnTheSideWays: what is seen now and then only. Further
// ones are looked at where other tests come by them: the check of a scale, two
// notes on one find, a newer version, a phone that watches.
func TestNothingInTheWayOnTheSideWays(t *testing.T) {
	t.Parallel()
	source := axeSource(t)
	browser, s, phone := atTheTable(t, phoneScreen)
	late := newDevice(t, browser, phoneScreen)
	late.open(s.phone)
	late.until("a code that was used", `document.querySelector('[data-part="join-fault"]')`)
	late.axe(source, "a used code")

	phone.press(`[data-do="hands"]`)
	phone.until("the way into hands-free", `document.querySelector('[data-part="hands-start"]')`)
	phone.axe(source, "hands-free, its beginning")
	phone.press(`button[data-denomination="cent"]`)
	phone.press(`[data-do="end-hands"]`)
	phone.press(`[data-do="enter-date"]`)
	phone.until("the entry of a date", `document.querySelector(".date-panel")`)
	phone.axe(source, "entry of a date")
	phone.do(chromedp.KeyEvent(kb.Escape))
	phone.typeFind("3.11")
	phone.axe(source, "a typed weight, kept")
	phone.details()
	phone.addPhoto(1)
	phone.edit()
	phone.do(chromedp.Evaluate[chromedp.Void](`for (const d of document.querySelectorAll("details")) d.open = true; undefined`))
	phone.axe(source, "a find, all opened")
	phone.press(`[data-photo-link]`)
	phone.until("its photo", `document.querySelector('[data-part="photo"]')`)
	phone.axe(source, "a photo")
	phone.goTo("hunts")
	phone.press(`[data-do="new-hunt"]`)
	phone.until("the question for its source", `document.querySelector('[data-do="begin-hunt"]')`)
	phone.axe(source, "a hunt, its source asked")
	phone.press(`[data-do="begin-hunt"]`)
	phone.until("the hunt", `document.querySelector('[data-part="hunt"] [data-do="end"]')`)
	phone.axe(source, "a hunt")
	phone.edit()
	phone.axe(source, "a hunt, its fields")
	phone.goTo("weigh")
	phone.press(`[data-do="settings"]`)
	phone.press(`[data-do="leave"]`)
	phone.axe(source, "asked whether to leave")
	phone.closeSheet()

	s.stop()
	phone.until("no line", `document.querySelector('[data-part="line"]')`)
	phone.axe(source, "without a line")
	startServer(t, t.TempDir(), "--scale", "virtual", "--listen", strings.TrimPrefix(s.api, "https://"))
	phone.until("word of the stranger", `document.querySelector('[data-part="stranger"]')`)
	phone.axe(source, "another laptop answers")
	phone.press(`[data-do="rejoin"]`)
	phone.until("how to join again", `document.querySelector("dialog[open] ol li")`)
	phone.axe(source, "sheet rejoin")
}

// axeHere is axe for a state that another test has come to.
func (d *device) axeHere(name string) {
	d.t.Helper()
	source, err := os.ReadFile(axeFile)
	if err != nil {
		d.t.Logf("axe-core isn't there; `go run ./server/up build` fetches it: %v", err)
		return
	}
	d.axe(string(source), name)
}

// token is the one a joined page keeps.
func (d *device) token() string {
	d.t.Helper()
	token, err := chromedp.Run(d.ctx, chromedp.Evaluate[string](`JSON.parse(localStorage.getItem("panside.joined")).token`))
	if err != nil {
		d.t.Fatal(err)
	}
	return token
}

// sheetNames reads the app's list of sheets.
func sheetNames(t *testing.T) []string {
	t.Helper()
	source, err := os.ReadFile(filepath.Join("..", "..", "pwa", "src", "view", "context.ts"))
	if err != nil {
		t.Fatal(err)
	}
	union := regexp.MustCompile(`(?s)export type SheetName =(.*?);`).FindSubmatch(source)
	if union == nil {
		t.Fatal("the app's list of sheets isn't where it was")
	}
	var names []string
	for _, m := range regexp.MustCompile(`"([a-z-]+)"`).FindAllSubmatch(union[1], -1) {
		names = append(names, string(m[1]))
	}
	if len(names) < 5 {
		t.Fatalf("the app's list of sheets is %v", names)
	}
	return names
}

// openers are the buttons that open a sheet and aren't named after it; empty
// for a sheet that needs a state of its own (a stranger's server, a sitting
// hands-free), which is looked at apart.
var openers = map[string]string{
	"denominations": `[data-do="more"]`,
	"keyboard":      `[data-do="keyboard"]`,
	"practice":      `[data-tool="practice"]`,
	"rejoin":        "",
	"hands-options": "",
	"hands-summary": "",
	"aside":         "",
}

// behind are the buttons of the sheets that have a sheet's own button inside.
var behind = map[string]string{"keyboard": `[data-do="settings"]`, "practice": `[data-do="tools"]`}

// handsFree begins a sitting with the odd coin on the list of those set aside.
func (d *device) handsFree(s *server) {
	d.t.Helper()
	s.pan("clear")
	d.goTo("weigh")
	d.do(chromedp.Evaluate[chromedp.Void](`document.querySelector('[data-do="back-to-scale"]')?.click(); undefined`))
	d.until("the live weight", `!document.querySelector('[data-is="typed"]')`)
	d.press(`[data-do="hands"]`)
	d.until("the sitting, or its beginning", `document.querySelector('[data-do="begin-hands"], [data-part="hands-start"], main[data-hands]')`)
	d.do(chromedp.Evaluate[chromedp.Void](`(document.querySelector('[data-do="begin-hands"]') ?? document.querySelector('button[data-denomination="cent"]'))?.click(); undefined`))
	d.until("the sitting", `document.querySelector('main[data-hands]')`)
	d.until("the empty pan", `document.querySelector('[data-part="phase"]')?.dataset.phase === "empty"`)
	s.pan("put", "cent-on-dime")
	d.until("the odd coin on the list", `document.querySelector('[data-do="open-aside"]')`)
}

// handsFreeSheets are the buttons of a sitting's sheets.
var handsFreeSheets = map[string]string{"hands-options": `[data-do="hands-options"]`, "aside": `[data-do="open-aside"]`}

// openSheet opens a sheet by its button.
func (d *device) openSheet(name string) bool {
	d.t.Helper()
	button, other := openers[name]
	if !other {
		button = fmt.Sprintf(`[data-do=%q]`, name)
	}
	if button == "" {
		return false
	}
	if from := behind[name]; from != "" {
		d.press(from)
	}
	d.press(button)
	d.until("the sheet "+name, fmt.Sprintf(`document.querySelector('dialog[open]')?.getAttribute("aria-labelledby") === "sheet-%s"`, name))
	return true
}

// closeSheet closes it as its own button does.
func (d *device) closeSheet() {
	d.t.Helper()
	d.press(`dialog[open] [data-do="close"]`)
	d.until("the sheet to close", `!document.querySelector("dialog[open]")`)
}

// TestEveryScreenIsWalked holds the tests' lists of screens to the app's.
func TestEveryScreenIsWalked(t *testing.T) {
	below, err := os.ReadFile(filepath.Join("..", "..", "pwa", "src", "screens", "tools", "scale.tsx"))
	if err != nil {
		t.Fatal(err)
	}
	var found []string
	for _, c := range regexp.MustCompile(`case "([a-z]+)":`).FindAllSubmatch(below, -1) {
		found = append(found, "scale/"+string(c[1]))
	}
	dial, err := os.ReadFile(filepath.Join("..", "..", "pwa", "src", "screens", "bench", "dial-page.tsx"))
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range regexp.MustCompile(`dialPlace = "([a-z]+)"`).FindAllSubmatch(dial, -1) {
		found = append(found, "second-look/"+string(c[1]))
	}
	if !slices.Equal(slices.Sorted(slices.Values(found)), slices.Sorted(slices.Values(subPlaces))) {
		t.Errorf("below the screens lie %q, and %q are walked", found, subPlaces)
	}
	source, err := os.ReadFile(filepath.Join("..", "..", "pwa", "src", "view", "places.ts"))
	if err != nil {
		t.Fatal(err)
	}
	for _, list := range regexp.MustCompile(`= \[([^\]]+)\] as const`).FindAllSubmatch(source, -1) {
		for name := range strings.SplitSeq(string(list[1]), ",") {
			if name = strings.Trim(strings.TrimSpace(name), `"`); name != "" && !slices.Contains(places, name) {
				t.Errorf("no test looks at the screen %q", name)
			}
		}
	}
}
