//go:build !phone

package moment

import "time"

// Time is a point in time.
type Time = time.Time

// Duration is a time between two.
type Duration = time.Duration

// Lengths of time.
const (
	Millisecond = time.Millisecond
	Minute      = time.Minute
	Hour        = time.Hour
)

// UnixMilli is the point in time so many milliseconds after 1970 began.
func UnixMilli(ms int64) Time { return time.UnixMilli(ms) }
