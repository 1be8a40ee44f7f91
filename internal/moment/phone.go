//go:build phone

package moment

// Time is a point in time.
type Time = plain

// Duration is a time between two.
type Duration = span

// Lengths of time.
const (
	Millisecond = millisecond
	Minute      = minute
	Hour        = hour
)

// UnixMilli is the point in time so many milliseconds after 1970 began.
func UnixMilli(ms int64) Time { return at(ms) }
