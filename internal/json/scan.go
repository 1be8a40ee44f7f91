package json

import (
	"errors"
	"strconv"
)

func isBlank(c byte) bool { return c == ' ' || c == '\t' || c == '\n' || c == '\r' }

// check returns why data isn't one value (RFC 8259), nil if it is.
func check(data []byte) error {
	s := scanner{data: data}
	s.blanks()
	if !s.value(0) {
		return s.wrong()
	}
	s.blanks()
	if s.at < len(data) {
		return s.wrong()
	}
	return nil
}

type scanner struct {
	data []byte
	at   int
}

func (s *scanner) wrong() error {
	if s.at >= len(s.data) {
		return errors.New("json: it ends too early")
	}
	return errors.New("json: not right at byte " + strconv.Itoa(s.at))
}

func (s *scanner) blanks() {
	for s.at < len(s.data) && isBlank(s.data[s.at]) {
		s.at++
	}
}

// next takes c if it comes next.
func (s *scanner) next(c byte) bool {
	if s.at < len(s.data) && s.data[s.at] == c {
		s.at++
		return true
	}
	return false
}

func (s *scanner) word(w string) bool {
	for i := range len(w) {
		if !s.next(w[i]) {
			return false
		}
	}
	return true
}

// value passes over one value, without blanks around it.
func (s *scanner) value(depth int) bool {
	if s.at >= len(s.data) {
		return false
	}
	switch s.data[s.at] {
	case '{':
		return s.entries('}', depth, true)
	case '[':
		return s.entries(']', depth, false)
	case '"':
		return s.text()
	case 't':
		return s.word("true")
	case 'f':
		return s.word("false")
	case 'n':
		return s.word("null")
	}
	return s.number()
}

// entries passes over an object or a list.
func (s *scanner) entries(end byte, depth int, named bool) bool {
	if depth >= deepest {
		return false
	}
	s.at++
	s.blanks()
	if s.next(end) {
		return true
	}
	for {
		if named {
			if s.at >= len(s.data) || s.data[s.at] != '"' || !s.text() {
				return false
			}
			s.blanks()
			if !s.next(':') {
				return false
			}
			s.blanks()
		}
		if !s.value(depth + 1) {
			return false
		}
		s.blanks()
		if s.next(end) {
			return true
		}
		if !s.next(',') {
			return false
		}
		s.blanks()
	}
}

func (s *scanner) text() bool {
	s.at++
	for s.at < len(s.data) {
		c := s.data[s.at]
		switch {
		case c == '"':
			s.at++
			return true
		case c < ' ':
			return false
		case c == '\\':
			s.at++
			if s.at >= len(s.data) {
				return false
			}
			switch s.data[s.at] {
			case '"', '\\', '/', 'b', 'f', 'n', 'r', 't':
			case 'u':
				for range 4 {
					s.at++
					if s.at >= len(s.data) || hexValue(s.data[s.at]) < 0 {
						return false
					}
				}
			default:
				return false
			}
		}
		s.at++
	}
	return false
}

func hexValue(c byte) rune {
	switch {
	case '0' <= c && c <= '9':
		return rune(c - '0')
	case 'a' <= c && c <= 'f':
		return rune(c-'a') + 10
	case 'A' <= c && c <= 'F':
		return rune(c-'A') + 10
	}
	return -1
}

func (s *scanner) digits() bool {
	from := s.at
	for s.at < len(s.data) && '0' <= s.data[s.at] && s.data[s.at] <= '9' {
		s.at++
	}
	return s.at > from
}

func (s *scanner) number() bool {
	s.next('-')
	if !s.next('0') && !s.digits() {
		return false
	}
	if s.next('.') && !s.digits() {
		return false
	}
	if s.next('e') || s.next('E') {
		if !s.next('+') {
			s.next('-')
		}
		return s.digits()
	}
	return true
}
