package e2e

import (
	"fmt"
	"testing"

	"github.com/chromedp/chromedp"
)

// englishLeft gives the words on the glass that no Spanish sentence has. What
// stands in English as such says so by its lang.
const englishLeft = `(() => {
	const words = /\b([Tt]he|and|with|[Yy]our|[Tt]his|is|are|not|[Ww]eight|[Ss]cale|[Cc]oin|[Ff]ind|[Kk]eep|of)\b/g; // legends of coins are in capitals
	const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
	const found = [];
	while (walk.nextNode()) {
		const { parentElement: el, textContent: text } = walk.currentNode;
		if (el.closest("[lang=en], code, script, noscript, .source, .fingerprint, .scale-name")) continue;
		if (words.test(text)) found.push(text);
		words.lastIndex = 0;
	}
	return found.join("\n");
})()`

// speaks picks a language in the settings, as a person does.
func (d *device) speaks(language string) {
	d.t.Helper()
	d.press(`[data-do="settings"]`)
	d.tap(`label:has(input[name="language"][value="` + language + `"])`)
	d.until("the language on the page", fmt.Sprintf(`document.documentElement.lang === %q`, language))
}

// TestAnEveningInSpanish: the language is picked in the settings, without a
// reload and with what was told of the coin still there; a coin is weighed,
// judged and kept, the cable comes loose, and the page that is opened again, at
// last with the laptop closed, still speaks Spanish.
func TestAnEveningInSpanish(t *testing.T) {
	t.Parallel()
	s := startServer(t, t.TempDir(), "--scale", "virtual")
	browser := startBrowser(t, append(trusting(t, s), chromedp.Flag("accept-lang", "en-US"))...)
	s.joinAsDesk()
	phone := newDevice(t, browser, phoneScreen)
	phone.open(s.phone)
	phone.weighing()
	phone.putBy()
	phone.tap(`button[data-denomination="cent"]`)
	s.pan("put", "bronze-cent")
	phone.untilVerdict("bronze", "ordinary")
	phone.settled()
	phone.press(`[data-part="evidence"] ~ details summary, .evidence-more summary`)
	phone.press(`[data-test="magnet"] summary`)
	phone.press(`[data-test="magnet"] [data-answer="no"]`)
	phone.until("what was told", `document.querySelector('[data-given="magnetic"]')`)
	phone.do(chromedp.Evaluate[chromedp.Void](`window.samePage = true; undefined`))

	phone.speaks("es")
	phone.says(`dialog[open] h2`, "Ajustes")
	phone.until("the choice to keep the focus", `document.activeElement?.name === "language"`)
	phone.says(`dialog[open]`, "sin revisar por un hablante nativo")
	phone.axeHere("settings in Spanish")
	phone.closeSheet()
	phone.until("the same page as before", `window.samePage`)
	phone.until("what was told to be there still", `document.querySelector('[data-given="magnetic"]')?.innerText.includes("imán: no se pega")`)
	phone.untilVerdict("bronce", "ordinary")
	phone.says(`.call`, "Común")
	phone.says(`button[data-denomination="cent"]`, "centavo")
	phone.until("the weight with the point of the United States", `/^3\.1/.test(document.querySelector('[data-part="weight"]').textContent)`)
	phone.shoot("verdict")

	s.pan("lift", "bronze-cent")
	phone.emptyPan()
	s.pan("put", "cent-on-dime")
	phone.until("a call to look", `document.querySelector('[data-part="headline"]:not([data-last])')?.dataset.call === "look"`)
	phone.says(`.call`, "Mira mejor")
	phone.settled()
	phone.shoot("look")
	phone.press(`[data-do="keep"]`)
	phone.goTo("finds")
	phone.says(`main`, "Hallazgos", "2.2")
	phone.press(`[data-find]`)
	phone.until("the find", `document.querySelector('[data-part="trophy"]')`)
	phone.axeHere("a find in Spanish")

	phone.goTo("weigh")
	s.pan("unplug")
	phone.until("the problem", `document.querySelector('[data-part="problem"]')?.dataset.code === "port-lost"`)
	phone.shoot("unplugged")
	s.pan("plug")
	phone.untilWeight(2.2, 2.4)

	phone.do(chromedp.Reload())
	phone.weighing()
	phone.until("Spanish after a reload", `document.documentElement.lang === "es"`)
	phone.says(`[data-do="keep"]`, "Guardar")
	if english := phone.ask(englishLeft); english != "" {
		t.Errorf("on the glass in English: %s", english)
	}

	if err := s.cmd.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	<-s.exited
	phone.open(s.api + "/#/type")
	phone.do(chromedp.Reload())
	phone.until("the number pad", `document.querySelector('[data-is="typed"]')`)
	phone.until("Spanish without the laptop", `document.documentElement.lang === "es"`)
	phone.tap(`button[data-denomination="cent"]`)
	phone.do(chromedp.KeyEvent("3.11"))
	phone.untilVerdict("bronce", "ordinary")
	phone.says(`[data-is="typed"]`, "Peso tecleado")
	phone.shoot("laptop-closed")
}

// TestSpainWritesAComma: a phone that is set to Spanish of Spain speaks it from
// the first screen on; numbers have a comma wherever they stand, a comma and a
// point can be typed, and what reads two ways is asked back.
func TestSpainWritesAComma(t *testing.T) {
	t.Parallel()
	browser := startBrowser(t, chromedp.Flag("accept-lang", "es-ES"))
	s := startServer(t, t.TempDir(), "--scale", "virtual")
	s.joinAsDesk()
	phone := newDevice(t, browser, phoneScreen)
	phone.open(s.phone)
	phone.weighing()
	phone.until("Spanish", `document.documentElement.lang === "es"`)
	phone.tap(`button[data-denomination="cent"]`)
	s.pan("put", "bronze-cent")
	phone.untilVerdict("bronce", "ordinary")
	phone.settled()
	phone.until("the weight with a comma", `/^3,1\d$/.test(document.querySelector('[data-part="weight"]').textContent)`)
	phone.do(chromedp.Evaluate[chromedp.Void](`for (const d of document.querySelectorAll(".verdict details")) d.open = true; undefined`))
	if points := phone.ask(pointsLeft); points != "" {
		t.Errorf("with a point: %s", points)
	}
	phone.goTo("type")
	phone.says(`.pad-key[data-key="."]`, ",")
	for _, typed := range []string{"3,11", "3.11"} {
		phone.do(chromedp.KeyEvent(typed))
		phone.until("what was typed", `document.querySelector('.digits [data-part="weight"]').textContent === "3,11"`)
		phone.untilVerdict("bronce", "ordinary")
		phone.press(`[data-do="next"]`)
	}

	phone.goTo("density")
	phone.write("dry_g", "1.234")
	phone.write("wet_g", "0,30")
	phone.write("water_c", "20,5")
	phone.press(`[data-do="work"]`)
	phone.says(`[data-part="tool-fault"]`, "“1.234” puede ser 1,234 o 1234")
	phone.write("dry_g", "2,27")
	phone.press(`[data-do="work"]`)
	phone.until("a density with a comma", `/^7,\d/.test(document.querySelector(".answer-words").textContent)`)
	if points := phone.ask(pointsLeft); points != "" {
		t.Errorf("with a point: %s", points)
	}
}

// pointsLeft gives the numbers on the glass that have a decimal point. Those of the book's
// own names of metals (“bronce, 95.5 % de cobre”) are its words, the same in every place.
const pointsLeft = `(() => {
	const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
	const found = [];
	while (walk.nextNode()) {
		const { parentElement: el, textContent: text } = walk.currentNode;
		if (/\d\.\d+(?!\d*\s?%)/.test(text) && !el.closest("[lang=en], code, script, .source")) found.push(text);
	}
	return found.join("\n");
})()`
