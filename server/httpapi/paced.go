package httpapi

import (
	"crypto/tls"
	"net"
	"sync"
	"time"
)

const (
	// readWithin and writeWithin bound a request and an answer by progress, not
	// as a whole: whoever moves enough bytes gets the same time again. At
	// 10 kB/s a body of 1 MiB takes 105 s and a large photo forty minutes; a
	// request of less than 140 bytes a second is a connection kept open for
	// nothing, as is an answer taken at less than 2 kB/s (see sendBuffer).
	readWithin  = 30 * time.Second
	writeWithin = 60 * time.Second
	enough      = 4 << 10

	// aWrite is the most written at once: one TLS record, so that progress shows
	// within a long answer.
	aWrite = 16 << 10
)

// paced is a connection whose deadlines count from its last progress.
type paced struct {
	net.Conn
	reads, writes pace
}

// pace is the deadline of one direction.
type pace struct {
	mu     sync.Mutex
	within time.Duration // 0 without a deadline
	moved  int           // since the deadline was set
}

// set notes a new deadline and sets it.
func (p *pace) set(t time.Time, set func(time.Time) error) error {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.within, p.moved = 0, 0
	if !t.IsZero() {
		p.within = time.Until(t)
	}
	return set(t)
}

// went notes that n bytes moved, and puts the deadline off once they are enough.
// One that is meant to end a wait at once, in the past, stays.
func (p *pace) went(n int, set func(time.Time) error) error {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.within <= 0 {
		return nil
	}
	if p.moved += n; p.moved < enough {
		return nil
	}
	p.moved = 0
	return set(time.Now().Add(p.within))
}

func (c *paced) SetDeadline(t time.Time) error {
	if err := c.SetReadDeadline(t); err != nil {
		return err
	}
	return c.SetWriteDeadline(t)
}

func (c *paced) SetReadDeadline(t time.Time) error { return c.reads.set(t, c.Conn.SetReadDeadline) }

func (c *paced) SetWriteDeadline(t time.Time) error { return c.writes.set(t, c.Conn.SetWriteDeadline) }

func (c *paced) Read(b []byte) (int, error) {
	n, err := c.Conn.Read(b)
	if err == nil {
		err = c.reads.went(n, c.Conn.SetReadDeadline)
	}
	return n, err
}

func (c *paced) Write(b []byte) (n int, err error) {
	for {
		part := b[n:min(n+aWrite, len(b))]
		m, err := c.Conn.Write(part)
		n += m
		if err == nil {
			err = c.writes.went(m, c.Conn.SetWriteDeadline)
		}
		if err != nil || n == len(b) {
			return n, err
		}
	}
}

// NetConn gives the connection below.
func (c *paced) NetConn() net.Conn { return c.Conn }

// pacedTLS is one with TLS, which the HTTP server must be able to tell.
type pacedTLS struct {
	paced
	tls *tls.Conn
}

func newPacedTLS(c *tls.Conn) *pacedTLS { return &pacedTLS{paced{Conn: c}, c} }

// Handshake runs TLS's handshake; what moves meanwhile buys no time.
func (c *pacedTLS) Handshake() error { return c.tls.Handshake() }

// ConnectionState tells how the connection is encrypted.
func (c *pacedTLS) ConnectionState() tls.ConnectionState { return c.tls.ConnectionState() }
