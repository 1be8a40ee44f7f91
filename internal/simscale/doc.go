// Package simscale is a deterministic model of a cheap laboratory scale with
// 0.01 g steps: what a coin, a finger and a draught do to a load cell, and
// what the scale's firmware makes of it. It has no clock and no I/O: the
// caller advances time with Step. The same seed and the same calls give the
// same lines.
//
// The chain, each part after a textbook and with values that are assumed, not
// measured on any product:
//
//	force on the pan      coins, fingers, bounces, knocks (load.go)
//	mechanics             y'' = ω²(F − y) − 2ζω·y', the load cell with its pan
//	conversion            means over 1/SampleRate, with white noise, a draught
//	                      (Ornstein–Uhlenbeck), flicker, creep and thermal
//	                      drift added (drift.go)
//	digital filter        moving average, exponential, two in a row, or one
//	                      that is let go while the load changes
//	zero, tare            zero set when switched on, zero tracking, tare key
//	display               rounded to the step d, with the stable sign by one of
//	                      the rules of Sign (firmware.go)
//	lines                 LineRate a second, each display Repeat times
//
// Rules for zero tracking (at most half a step each second, near zero only)
// and for the overload limit (capacity + 9 steps) follow OIML R 76-1, from
// memory.
package simscale
