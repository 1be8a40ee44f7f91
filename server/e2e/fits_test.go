package e2e

import "testing"

// TestWhichCoinThisIs: a coin that nobody can read is weighed, measured and looked at, and
// the tool names it, in Mexico here; its figures stand below. A field that can't be used is
// marked, and the book finds the same coin.
func TestWhichCoinThisIs(t *testing.T) {
	t.Parallel()
	browser := startBrowser(t)
	s := startServer(t, t.TempDir(), "--scale", "virtual")
	phone := newDevice(t, browser, phoneScreen)
	phone.open(s.phone)
	phone.weighing()
	phone.goTo("fits")
	phone.press(`[data-do="work"]`)
	phone.until("word that the weight is missing", `document.querySelector('[data-part="tool-fault"] .problem') && document.querySelector('input[name="value"]')?.getAttribute("aria-invalid")`)
	phone.write("value", "10,01")
	phone.write("diameter_mm", "1000")
	phone.press(`[data-do="work"]`)
	phone.until("the field that is wrong", `document.querySelector('input[name="diameter_mm"]')?.getAttribute("aria-invalid")`)
	phone.write("diameter_mm", "28.5")
	phone.write("colour", "red")
	phone.write("magnetic", "no")
	phone.press(`[data-do="work"]`)
	phone.until("its name, first of all", `document.querySelector('[data-part="fitting"] details')?.dataset.coin === "mx-20-centavos-1943" && document.querySelector('[data-part="answer"]')?.textContent.includes("Mexico, 20 centavos")`)
	phone.press(`[data-part="fitting"] summary`)
	phone.until("its figures", `document.querySelector('[data-part="fitting"] details[open] [data-part="mass"]')?.textContent.includes("10")`)
	phone.axeHere("which coin this is")

	phone.goTo("book")
	phone.write("search", "mexico 20 centavos 1950")
	phone.press(`[data-do="every-country"]`) // the list shows the hunter's own at first
	phone.until("it in the book", `document.querySelector('[data-part="strangers"] details')?.dataset.coin === "mx-20-centavos-1943"`)
	phone.axeHere("a coin of another country in the book")
}
