//go:build js && wasm

// Command senses is what the phone hears and sees with, a thin door from JavaScript to package
// senses. It sets globalThis.pansideSenses = { listen(rate), hear(samples), together(json),
// frame(corners), look(width, height, rgba, ms), shown(text), allLit(digits) } and stays until its
// worker goes. It is a module of its own, fetched when somebody first rings a coin or lets the
// camera read, so that the core stays small.
package main

import (
	"syscall/js"
	"unsafe"

	"panside/internal/senses"
)

func main() {
	var s senses.Senses
	door := js.Global().Get("Object").New()
	door.Set("listen", js.FuncOf(func(_ js.Value, args []js.Value) any {
		if len(args) == 1 && args[0].Type() == js.TypeNumber {
			s.Listen(args[0].Float())
		}
		return nil
	}))
	// samples is a Float32Array.
	door.Set("hear", js.FuncOf(func(_ js.Value, args []js.Value) any {
		if len(args) != 1 || args[0].Type() != js.TypeObject {
			return string(s.Hear(nil))
		}
		samples := make([]float32, args[0].Length())
		if len(samples) > 0 {
			bytes := js.Global().Get("Uint8Array").New(args[0].Get("buffer"), args[0].Get("byteOffset"), args[0].Get("byteLength"))
			js.CopyBytesToGo(unsafe.Slice((*byte)(unsafe.Pointer(&samples[0])), 4*len(samples)), bytes)
		}
		return string(s.Hear(samples))
	}))
	door.Set("together", js.FuncOf(func(_ js.Value, args []js.Value) any {
		if len(args) != 1 || args[0].Type() != js.TypeString {
			return string(s.Together(nil))
		}
		return string(s.Together([]byte(args[0].String())))
	}))
	setEye(door, &s)
	js.Global().Set("pansideSenses", door)
	select {}
}
