package dialect

import (
	"bytes"
	"math/bits"
	"strings"
)

const (
	soh = 0x01
	stx = 0x02
	etx = 0x03
	eot = 0x04
	lf  = '\n'
	cr  = '\r'

	// maxFrame bounds the memory of a framer, in bytes. The longest frame of a
	// known format has 30; a pattern of the person's own may describe more.
	maxFrame = 120
)

// framing is the way frames are cut out of the stream.
type framing uint8

const (
	lineFraming  framing = iota // up to CR or LF
	blockFraming                // STX … ETX and one check byte
	replyFraming                // LF … ETX, with CR LF inside
)

// frame is a piece of the stream, cut out.
type frame struct {
	kind framing
	raw  []byte // as it arrived
	data []byte // without line end and parity bits
	// headless: the beginning was not seen, or noise stood in front.
	headless bool
	// doubtful: but for XON and XOFF nothing in it would count as a line.
	doubtful bool
	// framed: it stood between STX and ETX or a line end.
	framed bool
	// flaw is NotMine (none), Cut or BadLength if the framer itself knows that
	// the frame is broken.
	flaw Outcome
}

// lineFramer cuts lines, and text between STX and ETX or a line end. An empty
// line is nothing, and so are the marks around a frame: SOH, EOT.
//
// Behind ETX a check character may follow, and then the frame is a block and no
// line. So a frame ends with what follows its ETX, until two have shown that
// nothing does.
type lineFramer struct {
	buf    []byte
	begun  bool // the beginning of the line in buf was seen
	long   bool // inside an over-long line, which was reported
	framed bool // buf begins with STX
	closed bool // and ends with ETX; what follows says if it is a line
	plain  int  // frames in a row without a check character
	parity bool // the newest line had parity bits
}

func (l *lineFramer) feed(b byte, emit func(frame)) {
	c := b & 0x7f
	if l.closed {
		l.closed = false
		switch {
		case c == stx, strings.IndexByte("\r\n\x01\x04", c) >= 0 && blockCheck(l.buf[1:]) != b:
			l.plain++
			l.end(emit)
		default:
			l.plain, l.begun, l.framed = 0, false, false
			l.buf = l.buf[:0]
			return
		}
	}
	switch {
	case c == cr || c == lf:
		l.lineEnd(b, emit)
	case c == stx && len(l.buf) <= 1 && !l.long:
		l.buf, l.framed = append(l.buf[:0], b), true
	case c == etx && l.framed && len(l.buf) > 1:
		l.buf = append(l.buf, b)
		switch data, _ := withoutParity(l.buf); {
		case data[0] != stx || data[len(data)-1] != etx:
			l.framed = false // noise that looked like marks with parity bits
		case l.plain >= 2:
			l.end(emit)
		default:
			l.closed = true
		}
	case (c == etx || c == soh || c == eot) && len(l.buf) == 0 && !l.long:
	default:
		l.add(b, emit)
	}
}

// end gives out a frame that is whole in buf.
func (l *lineFramer) end(emit func(frame)) {
	data, _ := withoutParity(l.buf)
	l.give(l.buf, data[:len(data)-1], emit)
	l.buf, l.framed, l.begun = l.buf[:0], false, true
}

func (l *lineFramer) lineEnd(b byte, emit func(frame)) {
	// A line end with its highest bit set is noise, unless all bytes have it as
	// their parity.
	clean := b < 0x80 || l.parity && len(l.buf) == 0
	switch {
	case l.long:
		l.long = false
	case len(l.buf) > 0:
		l.buf = append(l.buf, b)
		var data []byte
		data, l.parity = withoutParity(l.buf)
		clean = clean || l.parity
		l.give(l.buf[:len(l.buf)-1], data[:len(data)-1], emit)
		l.buf = l.buf[:0]
	}
	l.begun, l.framed = clean, false
}

// shortest is how many bytes a frame must have for its highest bits to be
// parity and no chance.
const shortest = 6

// give emits a line if it holds anything.
func (l *lineFramer) give(raw, data []byte, emit func(frame)) {
	f := frame{kind: lineFraming, raw: raw}
	if data[0] == stx && (raw[0] == stx || len(data) >= shortest) {
		f.data, f.framed = withoutFlow(data[bytes.LastIndexByte(data, stx)+1:]), true
	} else {
		rest, _ := afterNoise(data)
		f.doubtful = len(rest) == 0
		var noise bool
		f.data, noise = afterNoise(withoutFlow(data))
		f.headless = !l.begun || noise
	}
	if len(f.data) > 0 {
		emit(f)
	}
}

func (l *lineFramer) add(b byte, emit func(frame)) {
	switch {
	case l.long:
	case len(l.buf) == maxFrame:
		emit(frame{kind: lineFraming, raw: l.buf, flaw: BadLength})
		l.long, l.framed = true, false
		l.buf = l.buf[:0]
	default:
		l.buf = append(l.buf, b)
	}
}

// silence ends a line begun: nothing came for so long that its rest won't come any
// more, and the next byte begins one.
func (l *lineFramer) silence(emit func(frame)) {
	if l.closed {
		l.closed = false
		l.end(emit)
	}
	whole := len(l.buf) == 0 && !l.long
	if len(l.buf) > 0 {
		emit(frame{kind: lineFraming, raw: l.buf, flaw: Cut})
	}
	*l = lineFramer{buf: l.buf[:0], begun: whole, plain: l.plain}
}

// blockFramer cuts blocks from STX to the check byte after ETX.
type blockFramer struct {
	buf   []byte
	check bool // the next byte is the check byte
}

func (f *blockFramer) feed(b byte, emit func(frame)) {
	switch c := b & 0x7f; {
	case f.check:
		f.buf = append(f.buf, b)
		data, _ := withoutParity(f.buf)
		emit(frame{kind: blockFraming, raw: f.buf, data: data})
		f.buf, f.check = f.buf[:0], false
	case c == stx:
		if len(f.buf) > 1 {
			emit(frame{kind: blockFraming, raw: f.buf, flaw: Cut})
		}
		f.buf = append(f.buf[:0], b)
	case len(f.buf) == 0: // between blocks
	case len(f.buf) == 1 && c == etx: // nothing inside
		f.buf = f.buf[:0]
	case len(f.buf) == maxFrame:
		f.buf = f.buf[:0]
	default:
		f.buf = append(f.buf, b)
		f.check = c == etx
	}
}

// replyFramer cuts replies from a line feed to ETX. A reply has at most one
// line feed inside, so it begins at the last but one before its ETX.
type replyFramer struct {
	buf   []byte
	inner int // where the inner LF stands in buf; 0 if there was none
}

func (f *replyFramer) feed(b byte, emit func(frame)) {
	switch c := b & 0x7f; {
	case c == lf && len(f.buf) > 0:
		if f.inner > 0 {
			f.buf = append(f.buf[:0], f.buf[f.inner:]...)
		}
		f.inner = len(f.buf)
		f.buf = append(f.buf, b)
	case c == lf:
		f.buf = append(f.buf, b)
	case len(f.buf) == 0: // between replies
	case c == etx:
		f.buf = append(f.buf, b)
		data, _ := withoutParity(f.buf)
		emit(frame{kind: replyFraming, raw: f.buf, data: data})
		f.buf, f.inner = f.buf[:0], 0
	case len(f.buf) >= maxFrame:
		f.buf, f.inner = f.buf[:0], 0
	default:
		f.buf = append(f.buf, b)
	}
}

// withoutParity takes off the eighth bit if in every byte it is an even, or in
// every byte an odd, parity bit: seven-bit data read through a port set to
// eight. A single wrong bit in the frame breaks that, and then the frame is
// returned as it is, to be refused. parity is true if bits were taken off.
//
// The result aliases raw unless parity is true.
func withoutParity(raw []byte) (data []byte, parity bool) {
	high, even, odd := false, true, true
	for _, b := range raw {
		high = high || b >= 0x80
		if bits.OnesCount8(b)%2 == 0 {
			odd = false
		} else {
			even = false
		}
	}
	if !high || !even && !odd {
		return raw, false
	}
	data = make([]byte, len(raw))
	for i, b := range raw {
		data[i] = b & 0x7f
	}
	return data, true
}

// withoutFlow takes out XON and XOFF, by which two ends hold each other up and
// which are no part of a line.
func withoutFlow(data []byte) []byte {
	const xon, xoff = 0x11, 0x13
	if bytes.IndexByte(data, xon) < 0 && bytes.IndexByte(data, xoff) < 0 {
		return data
	}
	return bytes.Map(func(c rune) rune {
		if c == xon || c == xoff {
			return -1
		}
		return c
	}, data)
}

// afterNoise returns what follows the last byte that is no text, such as the
// glitch that opening a port can leave in front of the first line. A line with
// such a byte inside is too short afterwards, or has lost its beginning, and
// is refused by every format that doesn't bear a cut.
func afterNoise(line []byte) (rest []byte, noise bool) {
	for i := len(line) - 1; i >= 0; i-- {
		if c := line[i]; c != '\t' && (c < ' ' || c > '~') {
			return line[i+1:], true
		}
	}
	return line, false
}
