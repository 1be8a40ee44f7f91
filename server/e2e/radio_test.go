package e2e

import "testing"

// fakeBluetooth stands for a phone's Bluetooth whose list has one scale. What it does is set by the
// test: window.radio.refuse names the error of picking, send gives a measurement, leave goes away.
// Numbers are Bluetooth's: 0x181D the Weight Scale Service, 0x2A9D Weight Measurement, 0x2A9E Weight
// Scale Feature.
const fakeBluetooth = `(() => {
	const target = (more) => Object.assign(new EventTarget(), more);
	const measurement = target({ value: undefined, startNotifications: async () => {} });
	const feature = target({ readValue: async () => new DataView(new Uint8Array([0x38, 0, 0, 0]).buffer) });
	const service = { getCharacteristic: async (id) => {
		if (id === 0x2a9d) return measurement;
		if (id === 0x2a9e) return feature;
		throw new DOMException("", "NotFoundError");
	} };
	const device = target({ name: "Kitchen scale", gatt: {
		connect: async () => ({ getPrimaryService: async (id) => {
			if (id !== 0x181d || radio.bare) throw new DOMException("", "NotFoundError");
			return service;
		} }),
		disconnect: () => {},
	} });
	window.radio = {
		refuse: "", bare: false,
		send: (...bytes) => {
			measurement.value = new DataView(new Uint8Array(bytes).buffer);
			measurement.dispatchEvent(new Event("characteristicvaluechanged"));
		},
		leave: () => device.dispatchEvent(new Event("gattserverdisconnected")),
	};
	Object.defineProperty(navigator, "bluetooth", { configurable: true, value: {
		getAvailability: async () => radio.refuse !== "off",
		requestDevice: async () => {
			if (radio.refuse) throw new DOMException("", radio.refuse === "off" ? "NotFoundError" : radio.refuse);
			return device;
		},
	} });
})()`

// TestAScaleOnThisPhonesBluetooth: picked on the phone, a scale of the weight service is read, and
// why no coin is judged by it is said; so is each way in which there is no such scale.
func TestAScaleOnThisPhonesBluetooth(t *testing.T) {
	t.Parallel()
	page := startBrowser(t)
	s := startServer(t, t.TempDir(), "--scale", "virtual")
	phone := newDevice(t, page, phoneScreen)
	phone.onEveryPage(fakeBluetooth)
	phone.open(s.phone)
	phone.weighing()
	phone.goTo("scale")
	const card = `document.querySelector('[data-part="radio-scale"]')`
	trouble := func(refuse, why string) {
		t.Helper()
		phone.ask(`radio.refuse = "` + refuse + `"`)
		phone.press(`[data-do="radio-pick"]`)
		phone.until("word of "+why, `document.querySelector('[data-part="radio-trouble"]')?.dataset.why === "`+why+`"`)
	}
	phone.until("the card", card+`?.dataset.state === "off"`)
	phone.axeHere("Bluetooth off")
	trouble("off", "off")
	trouble("NotAllowedError", "refused")
	phone.axeHere("Bluetooth refused")
	phone.ask(`String(radio.bare = true)`)
	trouble("", "no-weight")
	phone.ask(`String(radio.bare = false)`)
	phone.press(`[data-do="radio-pick"]`)
	phone.until("the scale", card+`.dataset.state === "on" && `+card+`.innerText.includes("Kitchen scale")`)
	phone.ask(`String(radio.send(0, 24, 0))`) // 24 × 5 g
	phone.says(`[data-part="radio-weight"]`, "0.12")
	phone.says(`[data-part="radio-problem"]`, "too coarse for coins")
	phone.axeHere("a Bluetooth scale")
	phone.inBothThemes("a Bluetooth scale", `[data-part="radio-scale"]`)
	phone.ask(`String(radio.leave())`)
	phone.until("that it is gone", `document.querySelector('[data-part="radio-trouble"]')?.dataset.why === "lost" && !document.querySelector('[data-part="radio-weight"]')`)
	phone.press(`[data-do="radio-pick"]`)
	phone.until("it again", card+`.dataset.state === "on"`)
	phone.press(`[data-do="radio-stop"]`)
	phone.until("it let go", card+`.dataset.state === "off"`)
}

// TestNoBluetoothNoCard: where a browser has none, nothing is offered.
func TestNoBluetoothNoCard(t *testing.T) {
	t.Parallel()
	_, _, phone := atTheTable(t, phoneScreen)
	phone.onEveryPage(`Object.defineProperty(navigator, "bluetooth", { configurable: true, value: undefined })`)
	phone.open(phone.ask(`location.origin`) + "/#/scale")
	phone.until("the scale's page without the card", `document.querySelector('main[data-screen="scale"]') && navigator.bluetooth === undefined && !document.querySelector('[data-part="radio-scale"]')`)
}
