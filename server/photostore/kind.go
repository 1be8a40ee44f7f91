package photostore

import (
	"bytes"
	"encoding/binary"
	"image"
	_ "image/jpeg" // for its header
	_ "image/png"  // for its header
	"io"

	"panside/internal/fault"
	"panside/internal/say"
)

// kind is one kind of picture that is taken.
type kind struct {
	ending, mime string
	begins       func(head []byte) bool
}

var kinds = []kind{
	{"jpg", "image/jpeg", func(b []byte) bool { return bytes.HasPrefix(b, []byte("\xff\xd8\xff")) }},
	{"png", "image/png", func(b []byte) bool { return bytes.HasPrefix(b, []byte("\x89PNG\r\n\x1a\n")) }},
	{"webp", "image/webp", func(b []byte) bool {
		return len(b) >= 12 && string(b[:4]) == "RIFF" && string(b[8:12]) == "WEBP"
	}},
}

// headLen is how many bytes tell the kind of a picture, and of WebP its size.
const headLen = 32

// typeOf tells the kind of picture by its first bytes; names and what a phone
// says of it don't count. Error: fault.PhotoRefused.
func typeOf(head []byte) (kind, error) {
	for _, k := range kinds {
		if k.begins(head) {
			return k, nil
		}
	}
	return kind{}, fault.New(fault.PhotoRefused, say.New("photo-type-refused"))
}

// Limits of a picture's size in pixels. The largest pictures of present phones
// have some 50 million; a small file that claims much more is made to fill the
// memory of whoever opens it.
const (
	maxSide   = 20_000
	maxPixels = 64_000_000
)

// check reads a picture's header and returns the ending for its name. Error:
// fault.PhotoRefused.
func check(f io.ReadSeeker) (ending string, err error) {
	if _, err := f.Seek(0, io.SeekStart); err != nil {
		return "", err
	}
	head := make([]byte, headLen)
	n, err := io.ReadFull(f, head)
	if err != nil && err != io.ErrUnexpectedEOF && err != io.EOF {
		return "", err
	}
	k, err := typeOf(head[:n])
	if err != nil {
		return "", err
	}
	if _, err := f.Seek(0, io.SeekStart); err != nil {
		return "", err
	}
	var width, height int
	if k.ending == "webp" {
		width, height = webpSize(head[:n])
	} else if c, _, err := image.DecodeConfig(f); err == nil {
		width, height = c.Width, c.Height
	}
	switch {
	case width <= 0 || height <= 0:
		return "", fault.New(fault.PhotoRefused, say.New("photo-header-unreadable"))
	case width > maxSide || height > maxSide || int64(width)*int64(height) > maxPixels:
		return "", fault.New(fault.PhotoRefused, say.New("photo-too-many-pixels"))
	}
	return k.ending, nil
}

// webpSize reads width and height of a WebP picture from its first 30 bytes,
// 0 if they can't be read. Source: RFC 9649, sections 2.4 to 2.7 (lossy, after
// RFC 6386, section 9.1; lossless, after section 3.4; extended).
func webpSize(b []byte) (width, height int) {
	if len(b) < 30 {
		return 0, 0
	}
	u24 := func(b []byte) int { return int(b[0]) | int(b[1])<<8 | int(b[2])<<16 }
	data := b[20:]
	switch string(b[12:16]) {
	case "VP8 ":
		if data[0]&1 != 0 || data[3] != 0x9d || data[4] != 0x01 || data[5] != 0x2a { // a key frame, its start code
			return 0, 0
		}
		return int(binary.LittleEndian.Uint16(data[6:])) & 0x3fff, int(binary.LittleEndian.Uint16(data[8:])) & 0x3fff
	case "VP8L":
		if data[0] != 0x2f {
			return 0, 0
		}
		bits := binary.LittleEndian.Uint32(data[1:])
		return int(bits&0x3fff) + 1, int(bits>>14&0x3fff) + 1
	case "VP8X":
		return u24(data[4:]) + 1, u24(data[7:]) + 1
	}
	return 0, 0
}
