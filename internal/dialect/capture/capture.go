// Package capture reads and writes files of bytes as a scale sent them, with
// their timing, so that they can be replayed.
//
// A capture is plain text: a header of six fixed lines, an empty line, and one
// line for each piece of data as it arrived.
//
//	shape: status-comma
//	firmware: invented
//	date: 2025-01-31
//	port: 9600 8N1
//	unit: -
//	notes: a coin laid down and taken off
//
//	0s "ST,GS,+   0.00  g\r\n"
//	100ms "US,GS,+   2.87"
//	15ms "  g\r\n"
//	# lines like this one are remarks
//
// shape is the format's name, or "unknown"; unit is the unit the scale's
// display showed if its lines carry none, "-" otherwise. A data line has the
// time since the line before it, as in 100ms or 1.5s, and the bytes in double
// quotes: printable ASCII as it is, \r, \n, \t, \" and \\ for themselves, and
// \x with two hexadecimal digits for any byte.
package capture

import (
	"bytes"
	"strconv"
	"strings"
	"time"

	"panside/internal/fault"
	"panside/internal/say"
)

// Header says where a capture comes from.
type Header struct {
	Shape    string // name of the format, or "unknown"
	Firmware string // what the scale says of itself; "invented" if made by hand
	Date     string // YYYY-MM-DD
	Port     string // line settings, as in "9600 8N1"
	Unit     string // unit of lines that carry none; "-" if they carry one
	Notes    string
}

// Chunk is a piece of data as it arrived.
type Chunk struct {
	After time.Duration // since the chunk before; since the start for the first
	Bytes []byte
}

// Capture is a whole file.
type Capture struct {
	Header Header
	Chunks []Chunk
}

// maxPause bounds the wait before one chunk.
const maxPause = time.Hour

func (h *Header) lines() [6]struct {
	key   string
	value *string
} {
	return [...]struct {
		key   string
		value *string
	}{
		{"shape", &h.Shape}, {"firmware", &h.Firmware}, {"date", &h.Date},
		{"port", &h.Port}, {"unit", &h.Unit}, {"notes", &h.Notes},
	}
}

// Parse reads a capture. Every line must be understood; otherwise it returns
// fault.Damaged with the line's number and no part of the capture.
func Parse(text []byte) (Capture, error) {
	var c Capture
	header := c.Header.lines()
	number := 0
	for rest := string(text); rest != ""; {
		number++
		var line string
		line, rest, _ = strings.Cut(rest, "\n")
		line = strings.TrimSuffix(line, "\r")
		switch {
		case number <= len(header):
			h := header[number-1]
			value, ok := strings.CutPrefix(line, h.key+": ")
			if !ok || value == "" || strings.TrimSpace(value) != value {
				return Capture{}, damaged(number, say.New("capture-header", say.Text("key", h.key)))
			}
			*h.value = value
		case number == len(header)+1:
			if line != "" {
				return Capture{}, damaged(number, say.New("capture-empty-line"))
			}
		case line == "" || line[0] == '#':
		default:
			chunk, why := parseChunk(line)
			if !why.None() {
				return Capture{}, damaged(number, why)
			}
			c.Chunks = append(c.Chunks, chunk)
		}
	}
	if number < len(header)+1 {
		return Capture{}, damaged(number, say.New("capture-ends"))
	}
	return c, nil
}

func damaged(line int, why say.Line) error {
	return fault.New(fault.Damaged, say.New("capture-line", say.Count("line", line), say.Of("why", why)))
}

// parseChunk reads one data line; why says nothing if that succeeds.
func parseChunk(line string) (c Chunk, why say.Line) {
	pause, quoted, ok := strings.Cut(line, " ")
	if !ok {
		return Chunk{}, say.New("capture-chunk")
	}
	after, err := time.ParseDuration(pause)
	if err != nil || after < 0 || after > maxPause {
		return Chunk{}, say.New("capture-time")
	}
	data, ok := unquote(quoted)
	if !ok {
		return Chunk{}, say.New("capture-bytes")
	}
	return Chunk{after, data}, say.Line{}
}

func unquote(s string) (data []byte, ok bool) {
	if len(s) < 2 || s[0] != '"' || s[len(s)-1] != '"' {
		return nil, false
	}
	s = s[1 : len(s)-1]
	for i := 0; i < len(s); i++ {
		c := s[i]
		switch {
		case c < ' ' || c > '~' || c == '"':
			return nil, false
		case c != '\\':
			data = append(data, c)
			continue
		}
		if i++; i == len(s) {
			return nil, false
		}
		switch s[i] {
		case 'r':
			data = append(data, '\r')
		case 'n':
			data = append(data, '\n')
		case 't':
			data = append(data, '\t')
		case '"', '\\':
			data = append(data, s[i])
		case 'x':
			if i+2 >= len(s) {
				return nil, false
			}
			b, err := strconv.ParseUint(s[i+1:i+3], 16, 8)
			if err != nil {
				return nil, false
			}
			data = append(data, byte(b))
			i += 2
		default:
			return nil, false
		}
	}
	return data, true
}

// Bytes writes the capture in the form that Parse reads. Line breaks in the
// header become blanks; an empty header field becomes "-".
func (c Capture) Bytes() []byte {
	var b bytes.Buffer
	for _, h := range c.Header.lines() {
		value := strings.Join(strings.Fields(*h.value), " ")
		if value == "" {
			value = "-"
		}
		b.WriteString(h.key + ": " + value + "\n")
	}
	b.WriteByte('\n')
	for _, chunk := range c.Chunks {
		b.WriteString(chunk.After.String() + " " + quote(chunk.Bytes) + "\n")
	}
	return b.Bytes()
}

func quote(data []byte) string {
	const hex = "0123456789abcdef"
	out := []byte{'"'}
	for _, c := range data {
		switch {
		case c == '\r':
			out = append(out, '\\', 'r')
		case c == '\n':
			out = append(out, '\\', 'n')
		case c == '\t':
			out = append(out, '\\', 't')
		case c == '"' || c == '\\':
			out = append(out, '\\', c)
		case c < ' ' || c > '~':
			out = append(out, '\\', 'x', hex[c>>4], hex[c&15])
		default:
			out = append(out, c)
		}
	}
	return string(append(out, '"'))
}
