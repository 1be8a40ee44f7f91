package scalefeed

import (
	"bytes"
	"maps"
	"math/bits"
	"slices"
	"strings"

	"panside/internal/fault"
)

// Outcome is what a search found at one place.
type Outcome string

// The outcomes.
const (
	IsScale   Outcome = "scale"
	IsSilent  Outcome = "silent"
	Speaks    Outcome = "speaks" // but not like a scale
	NotOpened Outcome = "not-opened"
)

// Look is what a search found at one place when it looked there last.
type Look struct {
	Info    Info
	Outcome Outcome
	Dialect string       // of a scale
	Problem *fault.Error // with NotOpened
	// Heard are lines that came, and Line in Info the settings under which they
	// look most like text.
	Heard []TailLine
}

// Looked is what the search found so far, by name. It may be called while the
// search goes on.
func (f *Finder) Looked() []Look {
	f.mu.Lock()
	defer f.mu.Unlock()
	return slices.SortedFunc(maps.Values(f.looked), func(a, b Look) int { return strings.Compare(a.Info.Name, b.Info.Name) })
}

// saw keeps what was found at a site.
func (f *Finder) saw(s *site, what Outcome) {
	l := Look{Info: s.Info, Outcome: what, Dialect: s.finding.dialect, Heard: s.finding.heard.lines()}
	if what == NotOpened {
		l.Problem = fault.Of(s.err)
	}
	if s.finding.line.Baud != 0 {
		l.Info.Line = s.finding.line.String()
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.looked == nil {
		f.looked = map[string]Look{}
	}
	f.looked[s.Info.Name] = l
}

// sampleSize is how much of what is heard is kept, in bytes.
const sampleSize = 400

// sample is the beginning of what was heard under one setting.
type sample []byte

func (s *sample) add(p []byte) {
	*s = append(*s, p[:min(len(p), sampleSize-len(*s))]...)
}

func (s sample) lines() []TailLine {
	var t Tail
	t.Add(s)
	return t.Lines()
}

// legible is the share of a sample that is text in lines: near 0 for what a
// wrong line speed makes of text.
func (s sample) legible() float64 {
	if len(s) == 0 {
		return 0
	}
	text := 0
	for _, l := range s.lines() {
		for _, b := range l.Raw {
			if b >= ' ' && b <= '~' {
				text += l.Times
			}
		}
	}
	return float64(text) / float64(len(s))
}

// text reports whether what was heard is text in lines, be it with parity bits: of
// noise two bytes in five look so, and few like the end of a line.
func (s sample) text() bool {
	const enough, most = 4, 0.8
	plain, even, odd, ends := 0, 0, 0, 0
	for _, b := range s {
		c := b & 0x7f
		if c == '\r' || c == '\n' || c == 0x03 {
			ends++
		}
		if (c < ' ' || c > '~') && !bytes.ContainsRune([]byte("\r\n\x02\x03"), rune(c)) {
			continue
		}
		if b == c {
			plain++
		}
		if bits.OnesCount8(b)%2 == 0 {
			even++
		} else {
			odd++
		}
	}
	return len(s) >= enough && ends*tailWidth >= len(s) && float64(max(plain, even, odd)) >= most*float64(len(s))
}
