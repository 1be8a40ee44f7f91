//go:build !js

package json

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
)

// RawMessage is a value as it is written.
type RawMessage = json.RawMessage

// Marshal writes v.
func Marshal(v any) ([]byte, error) { return json.Marshal(v) }

// Unmarshal reads data into what v points to. Fields it doesn't know are passed
// over.
func Unmarshal(data []byte, v any) error { return json.Unmarshal(data, v) }

// Strict is Unmarshal that refuses a field it doesn't know.
func Strict(data []byte, v any) error {
	dec := json.NewDecoder(bytes.NewReader(data))
	dec.DisallowUnknownFields()
	if err := dec.Decode(v); err != nil {
		return err
	}
	if _, err := dec.Token(); !errors.Is(err, io.EOF) {
		return errors.New("more after the value")
	}
	return nil
}

// Valid reports whether data is one value.
func Valid(data []byte) bool { return json.Valid(data) }
