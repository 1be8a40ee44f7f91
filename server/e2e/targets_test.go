package e2e

// smallTargets lists what a finger is to hit and is smaller than 44 CSS pixels either way (WCAG 2.2, 2.5.5,
// target size, enhanced). Links within a sentence are free, as there; a field is as large as its label, and
// an input that lies unseen under its button as large as that.
const smallTargets = `JSON.stringify((() => {
	const found = new Set();
	for (const e of document.querySelectorAll("a[href], button, summary, select, textarea, input, [role=button], [role=slider]")) {
		if (!e.checkVisibility({ visibilityProperty: true }) || e.disabled || e.closest("[inert]")) continue;
		const line = e.matches("a[href]") && getComputedStyle(e).display === "inline";
		if (line && [...e.parentElement.childNodes].some((n) => n !== e && n.textContent.trim() !== "")) continue;
		const sizes = [e, e.closest("label")].filter(Boolean).map((x) => x.getBoundingClientRect());
		const around = getComputedStyle(e, "::after"); // made larger by one that lies over its edges
		const more = (...sides) => around.position === "absolute" ? Math.max(0, -sides.reduce((sum, x) => sum + (parseFloat(around[x]) || 0), 0)) : 0;
		const width = Math.max(...sizes.map((r) => r.width)) + more("left", "right");
		const height = Math.max(...sizes.map((r) => r.height)) + more("top", "bottom");
		if (width + 0.01 < 44 || height + 0.01 < 44) found.add(width.toFixed(0) + "×" + height.toFixed(0) + " " + e.outerHTML.slice(0, 160));
	}
	return [...found];
})())`

// reach fails the test for every target on the page that a thumb may miss.
func (d *device) reach(name string) {
	d.t.Helper()
	for _, target := range d.lists(smallTargets) {
		d.t.Errorf("%s: too small for a thumb: %s", name, target)
	}
}
