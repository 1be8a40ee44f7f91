package dialect

import "math/bits"

const (
	stx = 0x02
	etx = 0x03
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
	framings
)

// frame is a piece of the stream, cut out.
type frame struct {
	kind framing
	raw  []byte // as it arrived
	data []byte // without line end and parity bits
	// headless: the beginning was not seen, or noise stood in front.
	headless bool
	// flaw is NotMine (none), Cut or BadLength if the framer itself knows that
	// the frame is broken.
	flaw Outcome
}

// lineFramer cuts lines. An empty line is nothing.
type lineFramer struct {
	buf   []byte
	begun bool // the beginning of the line in buf was seen
	long  bool // inside an over-long line, which was reported
}

func (l *lineFramer) feed(b byte, emit func(frame)) {
	if c := b & 0x7f; c != cr && c != lf {
		l.add(b, emit)
		return
	}
	clean := b < 0x80
	if l.long {
		l.long = false
	} else if len(l.buf) > 0 {
		l.buf = append(l.buf, b)
		data, parity := withoutParity(l.buf)
		clean = clean || parity
		data, noise := afterNoise(data[:len(data)-1])
		if len(data) > 0 {
			emit(frame{kind: lineFraming, raw: l.buf[:len(l.buf)-1], data: data, headless: !l.begun || noise})
		}
		l.buf = l.buf[:0]
	}
	l.begun = clean
}

func (l *lineFramer) add(b byte, emit func(frame)) {
	switch {
	case l.long:
	case len(l.buf) == maxFrame:
		emit(frame{kind: lineFraming, raw: l.buf, flaw: BadLength})
		l.long = true
		l.buf = l.buf[:0]
	default:
		l.buf = append(l.buf, b)
	}
}

// silence tells that nothing came for so long that the rest of a line begun
// won't come any more, and that the next byte begins one.
func (l *lineFramer) silence(emit func(frame)) {
	whole := len(l.buf) == 0 && !l.long
	if len(l.buf) > 0 {
		emit(frame{kind: lineFraming, raw: l.buf, flaw: Cut})
	}
	*l = lineFramer{buf: l.buf[:0], begun: whole}
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
// returned as it is, to be refused. parity tells that bits were taken off.
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
