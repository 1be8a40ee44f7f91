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
	call := js.FuncOf(func(_ js.Value, args []js.Value) any {
		if len(args) != 2 || args[0].Type() != js.TypeString || args[1].Type() != js.TypeString {
			return string(bridge.Call("", nil)) // answers with the error for an unknown method
		}
		return string(bridge.Call(args[0].String(), []byte(args[1].String())))
	})
	core := js.Global().Get("Object").New()
	core.Set("call", call)
	js.Global().Set("pansideCore", core)
	select {}
}
