//go:build js && wasm

// Command wasm is the core in the phone's browser: a thin door from JavaScript
// to the bridge. It sets globalThis.pansideCore = { call(method, json, bytes) }
// and stays until the page goes.
//
// bytes, a Uint8Array or nothing, is what follows the question's line as it was
// stored. The answer is a string, or [string, Uint8Array] if there is more
// beside its line. A phone's snapshot has megabytes: as a text it would be copied
// and converted several times on its way, which takes ten times longer than
// reading it.
//
// # How it is kept small
//
// A phone loads it before it judges by itself, so a test in server/repocheck holds
// its size, and heavyOnThePhone there names what must not come back. In kB of
// brotli, each measured by itself: the coin book's data handed over as files saves
// 49, no embed 43, no encoding/json 114, no crypto/sha256 37, no inlining 39 to 72,
// one stable sort for all types 5, no package time 25. The formats of scales would
// make it a fortieth larger, so the method scale-pattern is the server's alone.
// Tried and left: wasm-opt -Oz makes it 15 larger after brotli.
package main

import (
	"syscall/js"
	"unicode/utf8"

	"panside/internal/bridge"
)

func main() {
	core := bridge.NewPhone(browserRandom)
	call := js.FuncOf(func(_ js.Value, args []js.Value) any {
		if len(args) < 2 || args[0].Type() != js.TypeString || args[1].Type() != js.TypeString {
			line, _ := core.Call("", nil) // answers with the error for an unknown method
			return string(line)
		}
		more := js.Undefined()
		if len(args) > 2 {
			more = args[2]
		}
		line, kept := core.Call(args[0].String(), question(args[1], more))
		if kept == nil {
			return string(line)
		}
		bytes := js.Global().Get("Uint8Array").New(len(kept))
		js.CopyBytesToJS(bytes, kept)
		return []any{string(line), bytes}
	})
	door := js.Global().Get("Object").New()
	door.Set("call", call)
	js.Global().Set("pansideCore", door)
	select {}
}

// question puts a question's line and what follows it into one piece of memory.
func question(line, more js.Value) []byte {
	n := 0
	for {
		// encode would ask for new memory each time, which is slow in browsers.
		n = encoder.Call("encodeInto", line, room).Get("written").Int()
		if n+utf8.UTFMax <= room.Length() {
			break // the room was enough
		}
		room = js.Global().Get("Uint8Array").New(4 * room.Length())
	}
	if !more.Truthy() {
		b := make([]byte, n)
		js.CopyBytesToGo(b, room)
		return b
	}
	b := make([]byte, n+1+more.Length())
	js.CopyBytesToGo(b[:n], room)
	b[n] = '\n'
	js.CopyBytesToGo(b[n+1:], more)
	return b
}

var (
	encoder = js.Global().Get("TextEncoder").New()
	room    = js.Global().Get("Uint8Array").New(1 << 14)
)

// browserRandom fills b by the Web Cryptography API. crypto/rand does the same
// and would bring code along for the phone to load.
func browserRandom(b []byte) {
	bytes := js.Global().Get("Uint8Array").New(len(b))
	js.Global().Get("crypto").Call("getRandomValues", bytes)
	js.CopyBytesToGo(b, bytes)
}
