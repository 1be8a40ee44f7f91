// Package replay plays captures: bytes that a scale once sent, with their
// timing. It plays into any writer, usually the scale's end of a
// pseudo-terminal, so that they come into the program the way they did then.
package replay

import (
	"context"
	"errors"
	"io"
	"io/fs"
	"os"
	"sync"
	"time"

	"panside/internal/dialect/capture"
	"panside/internal/fault"
	"panside/internal/say"
)

// Options say how a capture is played. The zero value plays it once, as fast
// as it is read.
type Options struct {
	// Speed divides the pauses: 1 is as it was, 10 ten times as fast, 0 leaves
	// them out.
	Speed float64
	// Loop begins again at the end.
	Loop bool
	// Start is the time of the capture's beginning for Stream.Now; now if zero.
	Start time.Time
}

// Load reads a capture file. Errors: fault.PortMissing if there is none,
// fault.Damaged, fault.BadInput if it holds no data.
func Load(file string) (capture.Capture, error) {
	raw, err := os.ReadFile(file)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return capture.Capture{}, fault.Wrap(fault.PortMissing, say.New("replay-missing", say.Text("file", file)), err)
	case err != nil:
		return capture.Capture{}, fault.Wrap(fault.BadInput, say.New("replay-unopened", say.Text("file", file)), err)
	}
	c, err := capture.Parse(raw)
	if err != nil {
		return capture.Capture{}, err
	}
	if total(c) == 0 {
		return capture.Capture{}, fault.New(fault.BadInput, say.New("replay-empty", say.Text("file", file)))
	}
	return c, nil
}

func total(c capture.Capture) int {
	sum := 0
	for _, chunk := range c.Chunks {
		sum += len(chunk.Bytes)
	}
	return sum
}

// Ended is the fault of a stream whose capture is over.
func Ended() *fault.Error {
	return fault.New(fault.ReplayEnded, say.New("replay-ended"))
}

// Stream is the near end of a line on which a capture is being played.
type Stream struct {
	far  io.Closer
	near io.ReadWriteCloser
	c    capture.Capture
	o    Options
	stop context.CancelFunc
	done chan struct{} // closed when nothing more is written to far

	mu    sync.Mutex
	now   time.Time // in the capture's time
	chunk int       // the one being read
	read  int       // bytes of it that were read
	ended bool
}

// Play plays c into far and returns the stream to read it back from near, the
// other end of the line. A read never crosses from one piece of the capture
// into the next, so that Now is exact, and after the last byte it gives
// fault.ReplayEnded. Closing the stream ends the play and closes both ends.
func Play(c capture.Capture, o Options, far io.WriteCloser, near io.ReadWriteCloser) *Stream {
	ctx, stop := context.WithCancel(context.Background())
	s := &Stream{far: far, near: near, c: c, o: o, stop: stop, done: make(chan struct{})}
	s.now = o.Start
	if s.now.IsZero() {
		s.now = time.Now()
	}
	go func() {
		defer close(s.done)
		play(ctx, c, o, far)
	}()
	return s
}

func play(ctx context.Context, c capture.Capture, o Options, far io.Writer) {
	for {
		for _, chunk := range c.Chunks {
			if o.Speed > 0 && !pause(ctx, time.Duration(float64(chunk.After)/o.Speed)) {
				return
			}
			if len(chunk.Bytes) == 0 {
				continue // a longer pause
			}
			if _, err := far.Write(chunk.Bytes); err != nil || ctx.Err() != nil {
				return
			}
		}
		if !o.Loop {
			return
		}
	}
}

// pause waits unless ctx ends first.
func pause(ctx context.Context, d time.Duration) bool {
	if d <= 0 {
		return ctx.Err() == nil
	}
	t := time.NewTimer(d)
	defer t.Stop()
	select {
	case <-t.C:
		return true
	case <-ctx.Done():
		return false
	}
}

// Read gives the next bytes of the capture.
func (s *Stream) Read(b []byte) (int, error) {
	left := s.advance()
	if left == 0 {
		return 0, Ended()
	}
	if len(b) > left {
		b = b[:left]
	}
	n, err := s.near.Read(b)
	s.mu.Lock()
	s.read += n
	s.mu.Unlock()
	return n, err
}

// advance goes to the next chunk that has bytes left and returns how many; 0
// at the end of the capture.
func (s *Stream) advance() int {
	s.mu.Lock()
	defer s.mu.Unlock()
	for !s.ended {
		if s.chunk > 0 && s.read < len(s.c.Chunks[s.chunk-1].Bytes) {
			return len(s.c.Chunks[s.chunk-1].Bytes) - s.read
		}
		if s.chunk == len(s.c.Chunks) {
			if !s.o.Loop {
				s.ended = true
				break
			}
			s.chunk = 0
		}
		s.now = s.now.Add(s.c.Chunks[s.chunk].After)
		s.chunk++
		s.read = 0
	}
	return 0
}

// Now is when the bytes read last arrived: in the capture's own time, so that
// a fast replay gives the readings of the slow one, or simply the time of day
// at the speed of life.
func (s *Stream) Now() time.Time {
	if s.o.Speed == 1 {
		return time.Now()
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.now
}

// Ended reports whether the capture was read to its end.
func (s *Stream) Ended() bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.ended
}

// Write takes what is sent to the scale of then, which won't answer.
func (s *Stream) Write(b []byte) (int, error) { return len(b), nil }

// Close ends the play and a Read that waits.
func (s *Stream) Close() error {
	s.stop()
	err := errors.Join(s.far.Close(), s.near.Close())
	<-s.done
	return err
}
