package sync

const (
	mostPart  = 512 << 10 // the laptop takes at most 1 MiB at once
	firstPart = 64 << 10
	leastPart = 8 << 10
	// goodPartMs is about how long a part is to take: short enough that little is
	// lost when the line breaks.
	goodPartMs = 4000
)

// PartSize is how many bytes of a photo go at once. It begins small and follows
// the line, so that a part arrives in time over a slow one too. At 10 kB/s a
// part takes 4 to 7 s. The zero value is ready for sending.
type PartSize struct {
	Bytes int64 // of the next part; 0 for the first
	Most  int64 // 0 for what the laptop takes
}

// Now is the size of the next part, in bytes.
func (s PartSize) Now() int64 {
	if s.Bytes <= 0 {
		return min(firstPart, s.most())
	}
	return s.Bytes
}

// Went is the size after a part of so many bytes took so many ms: as many bytes
// as go in a good time, at most twice as many as before.
func (s PartSize) Went(bytes, ms int64) PartSize {
	next := 2 * s.Now()
	if ms > 0 {
		next = min(next, int64(float64(bytes)/float64(ms)*goodPartMs+0.5))
	}
	return s.with(next)
}

// Failed is the size after a part that didn't arrive: half of it.
func (s PartSize) Failed() PartSize { return s.with(s.Now() / 2) }

func (s PartSize) with(bytes int64) PartSize {
	s.Bytes = min(max(bytes, min(leastPart, s.most())), s.most())
	return s
}

func (s PartSize) most() int64 {
	if s.Most <= 0 {
		return mostPart
	}
	return s.Most
}
