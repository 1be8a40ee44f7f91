//go:build js && wasm

// Command senses is what the phone hears and sees with, a thin door from JavaScript to package
// senses. It sets globalThis.pansideSenses = { listen(rate), hear(samples), together(rings),
// frame(corners), look(width, height, rgba, ms), shown(text), allLit(digits) } and stays until its
// worker goes. It is a module of its own, fetched when somebody first rings a coin or lets the
// camera read, so that the core stays small.
package main

import (
	"syscall/js"

	"panside/internal/senses"
)

// object is a JavaScript object; list a list.
type (
	object = map[string]any
	list   = []any
)

func main() {
	var s senses.Senses
	door := js.Global().Get("Object").New()
	setEar(door, &s)
	setEye(door, &s)
	js.Global().Set("pansideSenses", door)
	select {}
}

// set puts a function on the door.
func set(door js.Value, name string, f func(args []js.Value) any) {
	door.Set(name, js.FuncOf(func(_ js.Value, args []js.Value) any { return f(args) }))
}

// number is an argument that is one, else 0.
func number(args []js.Value, i int) float64 {
	if i >= len(args) {
		return 0
	}
	return numberOf(args[i])
}

func numberOf(v js.Value) float64 {
	if v.Type() != js.TypeNumber {
		return 0
	}
	return v.Float()
}
