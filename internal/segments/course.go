package segments

// course follows the number over time: equal frames, and how it came.
type course struct {
	text     string
	digits   []int
	since    int64
	frames   int
	given    []int // digits of the last number that was given
	passed   bool  // digits moved through other numbers since
	bad      Why
	badSince int64
}

const (
	// equalFrames and equalMs are how long a number must stand.
	equalFrames = 3
	equalMs     = 160
	// doubtMs is how long one must stand that came without the digits moving, as one does when
	// a reflection takes a segment away.
	doubtMs = 1500
	// lostMs is how long nothing can be read until the phone counts as moved.
	lostMs = 4000
)

// refused takes a frame without a number.
func (c *course) refused(why Why, ms int64) Why {
	if c.bad == "" {
		c.badSince = ms
	}
	c.bad = why
	c.frames = 0
	c.text = ""
	if why == Covered && ms-c.badSince > lostMs {
		return Moved
	}
	if why == Moving && ms-c.badSince > lostMs {
		return Doubt
	}
	return why
}

// take a number that a frame shows; "" once it counts, which isn't as long as a segment turns.
func (c *course) take(text string, s *shown, ms int64, turns bool) Why {
	c.bad = ""
	if text != c.text {
		c.text, c.since, c.frames = text, ms, 0
		c.digits = append(c.digits[:0], s.digits...)
	}
	c.frames++
	if turns || c.frames < equalFrames || ms-c.since < equalMs {
		return Moving
	}
	if c.given != nil && !c.passed && oneStroke(c.given, c.digits) && ms-c.since < doubtMs {
		return Moving
	}
	c.passed = false
	c.given = append(c.given[:0], c.digits...)
	return ""
}

// passes takes a number that a single frame shows. One that differs from the last given number in
// two places or more says that the digits move, as they do while a load settles: no reflection
// takes segments from several digits and gives all but one back.
func (c *course) passes(digits []int) {
	n, differ := max(len(c.given), len(digits)), 0
	for i := range n {
		if i >= len(c.given) || i >= len(digits) || c.given[i] != digits[i] {
			differ++
		}
	}
	c.passed = c.passed || differ > 1
}

// oneStroke reports whether two numbers differ as if ink had only gone or only come: in one
// cell, and not by a step of the last digit.
func oneStroke(a, b []int) bool {
	n := max(len(a), len(b))
	at, count := 0, 0
	var x, y glyph
	for i := range n {
		var g, h glyph
		if i < len(a) {
			g = forms[a[i]][0]
		}
		if i < len(b) {
			h = forms[b[i]][0]
		}
		if g != h {
			at, x, y = i, g, h
			count++
		}
	}
	if count != 1 || (x&y != x && x&y != y) {
		return false
	}
	return at > 0
}
