//go:build js && wasm

package main

import (
	"syscall/js"

	"panside/internal/senses"
)

// setEye puts the camera's part on the door.
func setEye(door js.Value, s *senses.Senses) {
	set(door, "frame", func(args []js.Value) any {
		var corners [8]float64
		for i := range corners {
			corners[i] = number(args, i)
		}
		return looked(s.Frame(corners))
	})
	var rgba []byte
	set(door, "look", func(args []js.Value) any {
		if len(args) != 4 || args[2].Type() != js.TypeObject {
			return looked(s.Look(0, 0, nil, 0))
		}
		if n := args[2].Length(); len(rgba) != n {
			rgba = make([]byte, n)
		}
		js.CopyBytesToGo(rgba, args[2])
		return looked(s.Look(int(number(args, 0)), int(number(args, 1)), rgba, number(args, 3)))
	})
	set(door, "shown", func(args []js.Value) any {
		if len(args) != 1 || args[0].Type() != js.TypeString {
			return looked(s.Shown(""))
		}
		return looked(s.Shown(args[0].String()))
	})
	set(door, "allLit", func(args []js.Value) any { return looked(s.AllLit(int(number(args, 0)))) })
}

func looked(l senses.Looked) object {
	return object{"why": string(l.Why), "text": l.Text, "taught": l.Taught}
}
