package dialect

import "strings"

// A line of words, numbers and marks, cut into tokens for worded.go. Nothing is
// understood here.

type tokenKind uint8

const (
	tokenWord   tokenKind = iota // letters, also joined by a stroke: "G/W"
	tokenNumber                  // digits with points, commas, a digit set off
	tokenClock                   // a date or a time of day
	tokenMark                    // one of any other characters
)

type token struct {
	kind  tokenKind
	text  string
	blank bool // blanks, or the line's beginning, stand before it
	wide  bool // two blanks or more do
}

// tokens cuts a line. Tabs count as blanks.
func tokens(line string) []token {
	var out []token
	blank, wide := true, false
	for i := 0; i < len(line); {
		c, n, kind := line[i], 1, tokenMark
		switch {
		case c == ' ' || c == '\t':
			blank, wide = true, i > 0 && (line[i-1] == ' ' || line[i-1] == '\t')
			i++
			continue
		case isDigit(c), c == '.' && i+1 < len(line) && isDigit(line[i+1]) && (blank || signBefore(out)):
			if n = clock(line[i:]); n > 0 {
				kind = tokenClock
			} else {
				n, kind = numberLength(line[i:]), tokenNumber
			}
		case isLetter(c):
			n, kind = wordLength(line[i:]), tokenWord
		}
		out = append(out, token{kind, line[i : i+n], blank, wide})
		blank, wide = false, false
		i += n
	}
	return out
}

// signBefore reports whether a sign is the newest token: "-.50".
func signBefore(all []token) bool {
	return len(all) > 0 && (all[len(all)-1].text == "-" || all[len(all)-1].text == "+")
}

func isDigit(c byte) bool  { return c >= '0' && c <= '9' }
func isLetter(c byte) bool { c |= 0x20; return c >= 'a' && c <= 'z' }

// digitsAt counts the digits at the beginning of s.
func digitsAt(s string) int { return len(s) - len(strings.TrimLeft(s, "0123456789")) }

// lettersAt counts the letters at the beginning of s.
func lettersAt(s string) (n int) {
	for n < len(s) && isLetter(s[n]) {
		n++
	}
	return n
}

// wordLength is the length of the word that s begins with.
func wordLength(s string) int {
	n := lettersAt(s)
	if n+1 < len(s) && s[n] == '/' && isLetter(s[n+1]) {
		n += 1 + lettersAt(s[n+1:])
	}
	return n
}

// numberLength is the length of the number that s begins with: digits, points
// and commas between digits, and at the end a digit that the scale sets off
// because it is finer than what is verified: "3.1[1]", "3.1/1".
func numberLength(s string) int {
	n := digitsAt(s)
	for n+1 < len(s) && strings.IndexByte(".,", s[n]) >= 0 && isDigit(s[n+1]) {
		n += 1 + digitsAt(s[n+1:])
	}
	rest := s[n:]
	if len(rest) > 1 && rest[0] == '.' && (rest[1] == ' ' || isLetter(rest[1])) && isDigits(s[:n]) {
		return n + 1 // "311. g", a point without decimals
	}
	switch k := fineLength(rest); {
	case k > 0:
		return n + k
	case len(rest) > 1 && rest[0] == '.' && rest[1] == '[' && fineLength(rest[1:]) > 0: // "3.[11]"
		return n + 1 + fineLength(rest[1:])
	}
	return n
}

// fineLength is the length of the digits set off at the beginning of s.
func fineLength(s string) int {
	if len(s) < 2 {
		return 0
	}
	n := digitsAt(s[1:])
	switch {
	case s[0] == '[' && n > 0 && 1+n < len(s) && s[1+n] == ']':
		return n + 2
	case s[0] == '/' && n == 1:
		return 2
	}
	return 0
}

// clock is the length of the date or time of day that s begins with, 0 if it
// begins with neither. Dates are year, month and day in any usual order, with
// two or four digits for the year.
func clock(s string) int {
	var parts [3]int
	var widths [3]int
	n, count := 0, 0
	var mark byte
	for count < 3 {
		k := digitsAt(s[n:])
		if k == 0 || k > 4 {
			return 0
		}
		for _, c := range s[n : n+k] {
			parts[count] = parts[count]*10 + int(c-'0')
		}
		widths[count] = k
		n += k
		count++
		if n+1 >= len(s) || count == 3 || !isDigit(s[n+1]) || strings.IndexByte(":-/.", s[n]) < 0 || mark != 0 && s[n] != mark {
			break
		}
		mark = s[n]
		n++
	}
	if n < len(s) && (isDigit(s[n]) || isLetter(s[n]) || strings.IndexByte(".:/-[", s[n]) >= 0 && n+1 < len(s) && isDigit(s[n+1])) {
		return 0
	}
	switch {
	case mark == ':' && count >= 2:
		if widths[0] > 2 || widths[1] != 2 || parts[0] > 24 || parts[1] > 59 || count == 3 && (widths[2] != 2 || parts[2] > 60) {
			return 0
		}
		if rest := strings.ToUpper(s[n:min(n+3, len(s))]); rest == " AM" || rest == " PM" {
			n += 3
		}
		return n
	case mark != 0 && count == 3 && isDate(parts, widths):
		return n
	}
	return 0
}

func isDate(parts, widths [3]int) bool {
	year, a, b := 2, 0, 1
	if widths[0] == 4 {
		year, a, b = 0, 1, 2
	}
	if widths[year] != 4 && widths[year] != 2 || widths[a] > 2 || widths[b] > 2 {
		return false
	}
	day, month := max(parts[a], parts[b]), min(parts[a], parts[b])
	return month >= 1 && month <= 12 && day <= 31
}
