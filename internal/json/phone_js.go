package json

// RawMessage is a value as it is written.
type RawMessage []byte

// MarshalJSON gives it just as it was written; null if there is none.
func (m RawMessage) MarshalJSON() ([]byte, error) {
	if m == nil {
		return []byte("null"), nil
	}
	return m, nil
}

// UnmarshalJSON keeps a copy.
func (m *RawMessage) UnmarshalJSON(data []byte) error {
	*m = append((*m)[:0], data...)
	return nil
}

// Marshal writes v.
func Marshal(v any) ([]byte, error) { return marshal(v) }

// Unmarshal reads data into what v points to. Fields it doesn't know are passed
// over.
func Unmarshal(data []byte, v any) error { return unmarshal(data, v, false) }

// Strict is Unmarshal that refuses a field it doesn't know.
func Strict(data []byte, v any) error { return unmarshal(data, v, true) }

// Valid reports whether data is one value.
func Valid(data []byte) bool { return check(data) == nil }
