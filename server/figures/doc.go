// Package figures measures what the whole chain delivers, from a scale's bytes
// to the verdict, with nothing replaced but the scale: the figures that no
// single package can show. It has no code of its own.
package figures
