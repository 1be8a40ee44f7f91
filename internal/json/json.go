// Package json is what the core needs of encoding/json, with the same rules and
// the same bytes. The server has encoding/json itself. The phone has a codec of
// its own: the library brings fmt and with it files, paths and calendars along,
// which are 150 kB of the phone's download and never run there. Tests hold the
// two to one another, and the core's tests run in WebAssembly too.
//
// Not there: what the core doesn't use, such as options of a tag beside
// omitempty, streams, and embedded pointers.
package json

// Marshaler writes itself.
type Marshaler interface{ MarshalJSON() ([]byte, error) }

// Unmarshaler reads itself. The bytes are whole and right, and not its own.
type Unmarshaler interface{ UnmarshalJSON([]byte) error }

type textMarshaler interface{ MarshalText() ([]byte, error) }

type textUnmarshaler interface{ UnmarshalText([]byte) error }
