//go:build js && wasm

package main

import (
	"syscall/js"
	"unsafe"

	"panside/internal/ring"
	"panside/internal/senses"
)

// setEar puts the microphone's part on the door.
func setEar(door js.Value, s *senses.Senses) {
	set(door, "listen", func(args []js.Value) any {
		s.Listen(number(args, 0))
		return nil
	})
	// samples is a Float32Array.
	set(door, "hear", func(args []js.Value) any {
		if len(args) != 1 || args[0].Type() != js.TypeObject {
			return heard(s.Hear(nil))
		}
		samples := make([]float32, args[0].Length())
		if len(samples) > 0 {
			bytes := js.Global().Get("Uint8Array").New(args[0].Get("buffer"), args[0].Get("byteOffset"), args[0].Get("byteLength"))
			js.CopyBytesToGo(unsafe.Slice((*byte)(unsafe.Pointer(&samples[0])), 4*len(samples)), bytes)
		}
		return heard(s.Hear(samples))
	})
	// rings is a list of what hear gave.
	set(door, "together", func(args []js.Value) any {
		var rings []ring.Ring
		if len(args) == 1 && args[0].Type() == js.TypeObject {
			for i := range args[0].Length() {
				rings = append(rings, ringFrom(args[0].Index(i)))
			}
		}
		e, why := senses.Together(rings)
		hz := list{}
		for _, v := range e.Hz {
			hz = append(hz, v)
		}
		return object{"why": string(why), "hz": hz, "u": e.U}
	})
}

func heard(h senses.Heard) object {
	rings, refused := list{}, list{}
	for _, r := range h.Rings {
		peaks := list{}
		for _, p := range r.Peaks {
			peaks = append(peaks, object{"hz": p.Hz, "u": p.U, "decay": p.Decay, "level": p.Level})
		}
		rings = append(rings, object{"at": r.At, "peaks": peaks})
	}
	for _, r := range h.Refused {
		refused = append(refused, object{"at": r.At, "why": string(r.Why)})
	}
	return object{"rings": rings, "refused": refused, "level": h.Level}
}

func ringFrom(v js.Value) (r ring.Ring) {
	if v.Type() != js.TypeObject || v.Get("peaks").Type() != js.TypeObject {
		return r
	}
	r.At = numberOf(v.Get("at"))
	peaks := v.Get("peaks")
	for i := range peaks.Length() {
		if p := peaks.Index(i); p.Type() == js.TypeObject {
			r.Peaks = append(r.Peaks, ring.Peak{
				Hz: numberOf(p.Get("hz")), U: numberOf(p.Get("u")), Decay: numberOf(p.Get("decay")), Level: numberOf(p.Get("level")),
			})
		}
	}
	return r
}
