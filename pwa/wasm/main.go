//go:build js && wasm

// Command wasm is the core in the phone's browser: a thin door from JavaScript
// to the bridge. It sets globalThis.pansideCore = { call(method, json) } and
// stays until the page goes.
package main

import (
	"syscall/js"

	"panside/internal/bridge"
)

func main() {
	core := bridge.NewPhone(browserRandom)
	call := js.FuncOf(func(_ js.Value, args []js.Value) any {
		if len(args) != 2 || args[0].Type() != js.TypeString || args[1].Type() != js.TypeString {
			return string(core.Call("", nil)) // answers with the error for an unknown method
		}
		return string(core.Call(args[0].String(), bytesOf(args[1])))
	})
	door := js.Global().Get("Object").New()
	door.Set("call", call)
	js.Global().Set("pansideCore", door)
	select {}
}

// bytesOf copies a text once; Value.String would twice, and a snapshot of the
// journal has megabytes.
func bytesOf(text js.Value) []byte {
	encoded := encoder.Call("encode", text)
	b := make([]byte, encoded.Length())
	js.CopyBytesToGo(b, encoded)
	return b
}

var encoder = js.Global().Get("TextEncoder").New()

// browserRandom fills b by the Web Cryptography API. crypto/rand does the same
// and would bring code along for the phone to load.
func browserRandom(b []byte) {
	bytes := js.Global().Get("Uint8Array").New(len(b))
	js.Global().Get("crypto").Call("getRandomValues", bytes)
	js.CopyBytesToGo(b, bytes)
}
