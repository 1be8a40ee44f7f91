package scalefeed

import (
	"io"
	"os"
	"sync"
	"time"

	"panside/internal/dialect"
)

// tap reads a stream in a goroutine of its own, so that listening can have a
// limit, and afterwards hands the bytes on as a stream again. One goroutine
// uses it at a time, except that Close may come from another.
type tap struct {
	stream io.ReadWriteCloser
	chunks chan chunk
	done   chan struct{}
	once   sync.Once
	rest   []byte
	err    error // why reading ended
}

func newTap(stream io.ReadWriteCloser) *tap {
	t := &tap{stream: stream, chunks: make(chan chunk, 16), done: make(chan struct{})}
	go pump(stream, t.chunks, t.done)
	return t
}

// next waits up to limit for bytes; nil if none came. It fails with the stream.
func (t *tap) next(stop <-chan struct{}, limit time.Duration) ([]byte, error) {
	if t.err != nil {
		return nil, t.err
	}
	timer := time.NewTimer(limit)
	defer timer.Stop()
	select {
	case c := <-t.chunks:
		t.err = c.err
		return c.data, nil
	case <-timer.C:
	case <-stop:
	}
	return nil, nil
}

// drain throws away what has been read already.
func (t *tap) drain() {
	for {
		select {
		case c := <-t.chunks:
			t.err = c.err
		default:
			return
		}
	}
}

// set changes the line settings of a stream that has any.
func (t *tap) set(s dialect.Settings) error {
	line, ok := t.stream.(interface{ Set(dialect.Settings) error })
	if !ok {
		return nil
	}
	if err := line.Set(s); err != nil {
		return err
	}
	t.drain()
	return nil
}

// Read hands on what was read.
func (t *tap) Read(b []byte) (int, error) {
	for len(t.rest) == 0 {
		if t.err != nil {
			return 0, t.err
		}
		select {
		case c := <-t.chunks:
			t.rest, t.err = c.data, c.err
		case <-t.done:
			return 0, os.ErrClosed
		}
	}
	n := copy(b, t.rest)
	t.rest = t.rest[n:]
	return n, nil
}

// send sends a command, but doesn't wait long for a port that hangs.
func (t *tap) send(command []byte) error {
	sent := make(chan error, 1)
	go func() {
		_, err := t.stream.Write(command)
		sent <- err
	}()
	timer := time.NewTimer(replyTime)
	defer timer.Stop()
	select {
	case err := <-sent:
		return err
	case <-timer.C:
		return os.ErrDeadlineExceeded
	}
}

// Write sends to the stream.
func (t *tap) Write(b []byte) (int, error) { return t.stream.Write(b) }

// Close closes the stream.
func (t *tap) Close() error {
	var err error
	t.once.Do(func() {
		close(t.done)
		err = t.stream.Close()
	})
	return err
}
