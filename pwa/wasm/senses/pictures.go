//go:build js && wasm

package main

import (
	"syscall/js"

	"panside/internal/senses"
)

// setPictures opens the door of the pictures: { put(width, height, rgba), drop(picture),
// ask(method, question, progress), pixels(picture) }. The page's own code is the only one that
// knocks.
func setPictures(door js.Value) {
	var p senses.Pictures
	pictures := js.Global().Get("Object").New()
	set(pictures, "put", func(args []js.Value) any {
		rgba := make([]byte, args[2].Get("byteLength").Int())
		js.CopyBytesToGo(rgba, args[2])
		return p.Put(int(number(args, 0)), int(number(args, 1)), rgba)
	})
	set(pictures, "drop", func(args []js.Value) any {
		p.Drop(int(number(args, 0)))
		return nil
	})
	set(pictures, "ask", func(args []js.Value) any {
		question, _ := valueOf(args[1]).(object)
		return p.Ask(args[0].String(), question, func(done float64) bool {
			args[2].Invoke(done)
			return true // whoever wants to stop ends the worker
		})
	})
	set(pictures, "pixels", func(args []js.Value) any {
		w, h, rgba, ok := p.Pixels(int(number(args, 0)))
		if !ok {
			return nil
		}
		bytes := js.Global().Get("Uint8Array").New(len(rgba))
		js.CopyBytesToJS(bytes, rgba)
		return object{"width": w, "height": h, "rgba": bytes}
	})
	door.Set("pictures", pictures)
}

// valueOf brings what JavaScript's JSON could hold into Go.
func valueOf(v js.Value) any {
	switch v.Type() {
	case js.TypeBoolean:
		return v.Bool()
	case js.TypeNumber:
		return v.Float()
	case js.TypeString:
		return v.String()
	case js.TypeObject:
		if js.Global().Get("Array").Call("isArray", v).Bool() {
			out := list{}
			for i := range v.Length() {
				out = append(out, valueOf(v.Index(i)))
			}
			return out
		}
		keys := js.Global().Get("Object").Call("keys", v)
		out := object{}
		for i := range keys.Length() {
			key := keys.Index(i).String()
			out[key] = valueOf(v.Get(key))
		}
		return out
	}
	return nil
}
