package httpapi

import (
	"crypto/tls"
	"errors"
	"io"
	"net"
	"sync"
	"time"
)

const (
	// firstByteWithin is how long a connection may stay silent.
	firstByteWithin = 10 * time.Second
	maxSilent       = 512
	maxAnAddress    = 512  // connections; a phone has about six
	tlsHandshake    = 0x16 // the first byte of every TLS connection (RFC 8446, 5.1)
)

// OnePort lets TLS and plain HTTP share a listener by the first byte of each
// connection, so that one address serves both. Closing either one, or both,
// closes ln.
func OnePort(ln net.Listener, config *tls.Config) (secure, plain net.Listener) {
	p := &onePort{Listener: ln, done: make(chan struct{}), silent: map[net.Conn]struct{}{}, open: map[string]int{}}
	s := &half{onePort: p, conns: make(chan net.Conn)}
	h := &half{onePort: p, conns: make(chan net.Conn)}
	go p.run(func(c *peeked) {
		if c.first[0] == tlsHandshake {
			s.give(tls.Server(c, config))
		} else {
			h.give(c)
		}
	})
	return s, h
}

type onePort struct {
	net.Listener
	done chan struct{}

	mu     sync.Mutex
	closed bool
	silent map[net.Conn]struct{} // those that haven't sent their first byte
	open   map[string]int        // how many an address has
}

func (p *onePort) run(sort func(*peeked)) {
	defer p.Close()
	pause := time.Duration(0)
	for {
		conn, err := p.Accept()
		if err != nil {
			select {
			case <-p.done:
				return
			default:
			}
			if errors.Is(err, net.ErrClosed) {
				return
			}
			// Out of files, or the peer was gone already: go on, calmly.
			pause = min(max(2*pause, 5*time.Millisecond), time.Second)
			select {
			case <-time.After(pause):
			case <-p.done:
				return
			}
			continue
		}
		pause = 0
		if !p.wait(conn) {
			conn.Close()
			continue
		}
		go func() {
			c := &peeked{Conn: conn, closed: func() { p.left(conn) }}
			ok := c.peek()
			p.waited(conn)
			if ok {
				sort(c)
			}
		}()
	}
}

// wait takes a connection among the silent ones, unless there are too many, or
// too many from its address.
func (p *onePort) wait(conn net.Conn) bool {
	address := addressBehind(conn)
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.closed || len(p.silent) >= maxSilent || p.open[address] >= maxAnAddress {
		return false
	}
	p.silent[conn] = struct{}{}
	p.open[address]++
	return true
}

// left makes room for another connection from the same address.
func (p *onePort) left(conn net.Conn) {
	address := addressBehind(conn)
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.open[address]--; p.open[address] <= 0 {
		delete(p.open, address)
	}
}

func addressBehind(conn net.Conn) string {
	if tcp, ok := conn.RemoteAddr().(*net.TCPAddr); ok {
		return tcp.IP.String()
	}
	return ""
}

func (p *onePort) waited(conn net.Conn) {
	p.mu.Lock()
	defer p.mu.Unlock()
	delete(p.silent, conn)
}

// Close ends both halves and the connections that haven't spoken yet.
func (p *onePort) Close() error {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.closed {
		return nil
	}
	p.closed = true
	close(p.done)
	for conn := range p.silent {
		conn.Close()
	}
	return p.Listener.Close()
}

// half is the listener of one kind.
type half struct {
	*onePort
	conns chan net.Conn
}

func (h *half) give(conn net.Conn) {
	select {
	case h.conns <- conn:
	case <-h.done:
		conn.Close()
	}
}

// Accept waits for the next connection. After Close it returns io.EOF, by
// which fasthttp ends quietly.
func (h *half) Accept() (net.Conn, error) {
	select {
	case conn := <-h.conns:
		return conn, nil
	case <-h.done:
		return nil, io.EOF
	}
}

// peeked is a connection whose first byte was read to look at it.
type peeked struct {
	net.Conn
	first  [1]byte
	taken  bool
	once   sync.Once
	closed func() // called once
}

// Close closes the connection below.
func (c *peeked) Close() error {
	c.once.Do(c.closed)
	return c.Conn.Close()
}

func (c *peeked) peek() bool {
	err := c.SetReadDeadline(time.Now().Add(firstByteWithin))
	if err == nil {
		_, err = io.ReadFull(c.Conn, c.first[:])
	}
	if err == nil {
		err = c.SetReadDeadline(time.Time{})
	}
	if err != nil {
		c.Close()
	}
	return err == nil
}

// Read gives the first byte back, then reads on. Only one goroutine reads a
// connection at a time.
func (c *peeked) Read(b []byte) (int, error) {
	if c.taken || len(b) == 0 {
		return c.Conn.Read(b)
	}
	c.taken = true
	b[0] = c.first[0]
	return 1, nil
}

// NetConn gives the connection below.
func (c *peeked) NetConn() net.Conn { return c.Conn }
