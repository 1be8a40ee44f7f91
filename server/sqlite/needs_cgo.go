//go:build !cgo

package sqlite

// Without cgo the SQLite driver would compile to one that fails on first use,
// in front of a person at the table. So the build fails instead, and the name
// below is the message.
var _ = build_with_CGO_ENABLED_1_and_a_C_compiler_because_the_SQLite_driver_is_written_in_C
