//go:build js && wasm

package main

import (
	"syscall/js"

	"panside/internal/senses"
)

// setEye puts the camera's part on the door.
func setEye(door js.Value, s *senses.Senses) {
	door.Set("frame", js.FuncOf(func(_ js.Value, args []js.Value) any {
		var corners [8]float64
		for i := range min(len(args), len(corners)) {
			corners[i] = number(args, i)
		}
		return string(s.Frame(corners))
	}))
	var rgba []byte
	door.Set("look", js.FuncOf(func(_ js.Value, args []js.Value) any {
		if len(args) != 4 || args[2].Type() != js.TypeObject {
			return string(s.Look(0, 0, nil, 0))
		}
		if n := args[2].Length(); len(rgba) != n {
			rgba = make([]byte, n)
		}
		js.CopyBytesToGo(rgba, args[2])
		return string(s.Look(int(number(args, 0)), int(number(args, 1)), rgba, number(args, 3)))
	}))
	door.Set("shown", js.FuncOf(func(_ js.Value, args []js.Value) any {
		if len(args) != 1 || args[0].Type() != js.TypeString {
			return string(s.Shown(""))
		}
		return string(s.Shown(args[0].String()))
	}))
	door.Set("allLit", js.FuncOf(func(_ js.Value, args []js.Value) any {
		return string(s.AllLit(int(number(args, 0))))
	}))
}

// number is an argument that is one, else 0.
func number(args []js.Value, i int) float64 {
	if i >= len(args) || args[i].Type() != js.TypeNumber {
		return 0
	}
	return args[i].Float()
}
