package httpapi

import (
	"crypto/tls"
	"errors"
	"io"
	"net"
	"slices"
	"sync"
	"time"
)

const (
	// firstByteWithin is how long a connection may stay silent.
	firstByteWithin = 10 * time.Second
	// A browser opens one or two connections ahead. Whoever opens more silent
	// ones than this loses the oldest of their own, so nobody else is kept out.
	maxSilentAnAddress = 32
	maxSilent          = 512  // of all addresses; the oldest gives way
	maxAnAddress       = 512  // connections; a phone has about six
	tlsHandshake       = 0x16 // the first byte of every TLS connection (RFC 8446, 5.1)

	// sendBuffer is what the system may hold of an answer. It says that there
	// is room again only once a third is free, which on a slow link must be
	// before writeWithin: a third of twice this, as Linux counts it, takes 9 s at
	// 10 kB/s. On a home network it is still some 25 MB/s.
	sendBuffer = 128 << 10
)

// Port lets TLS and plain HTTP share a listener by the first byte of each
// connection, so that one address serves both. Closing either listener, or both,
// closes the one below; the connections stay.
type Port struct {
	Secure, Plain net.Listener
	one           *onePort
}

// OnePort takes connections from ln until it is closed.
func OnePort(ln net.Listener, config *tls.Config) *Port {
	p := newOnePort(ln)
	s := &sniffedListener{onePort: p, conns: make(chan net.Conn)}
	h := &sniffedListener{onePort: p, conns: make(chan net.Conn)}
	go p.run(func(c *sniffedConn) {
		if c.first[0] == tlsHandshake {
			s.give(newPacedTLS(tls.Server(c, config)))
		} else {
			h.give(&paced{Conn: c})
		}
	})
	return &Port{Secure: s, Plain: h, one: p}
}

// Close takes no more connections and ends those that haven't spoken yet.
func (p *Port) Close() error { return p.one.Close() }

// CutOff ends every connection that is still open, whatever it is doing.
func (p *Port) CutOff() { p.one.cutOff() }

type onePort struct {
	net.Listener
	done chan struct{}

	mu     sync.Mutex
	closed bool
	silent []*sniffedConn // those that haven't sent their first byte, the oldest first
	conns  map[*sniffedConn]struct{}
	open   map[string]int // how many of them an address has
}

func newOnePort(ln net.Listener) *onePort {
	return &onePort{Listener: ln, done: make(chan struct{}), conns: map[*sniffedConn]struct{}{}, open: map[string]int{}}
}

func (p *onePort) run(sort func(*sniffedConn)) {
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
		if tcp, ok := conn.(*net.TCPConn); ok {
			_ = tcp.SetWriteBuffer(sendBuffer) // a wish, not a need
		}
		c := p.enter(conn)
		if c == nil {
			conn.Close()
			continue
		}
		go func() {
			ok := c.peek()
			p.spoke(c)
			if ok {
				sort(c)
			}
		}()
	}
}

// enter takes a connection among the silent ones, where it may push out an older
// one, unless its address has too many. It gives nil for one that isn't taken.
func (p *onePort) enter(conn net.Conn) *sniffedConn {
	c := &sniffedConn{Conn: conn, port: p, address: addressBehind(conn)}
	p.mu.Lock()
	if p.closed || p.open[c.address] >= maxAnAddress {
		p.mu.Unlock()
		return nil
	}
	p.open[c.address]++
	p.conns[c] = struct{}{}
	p.silent = append(p.silent, c)
	given := p.giveWay(c.address)
	p.mu.Unlock()
	if given != nil {
		given.Close()
	}
	return c
}

// giveWay is the silent connection that has to go, nil if there is room for all.
func (p *onePort) giveWay(address string) *sniffedConn {
	oldest, same := -1, 0
	for i, c := range p.silent {
		if c.address != address {
			continue
		}
		if same++; oldest < 0 {
			oldest = i
		}
	}
	if same <= maxSilentAnAddress {
		if len(p.silent) <= maxSilent {
			return nil
		}
		oldest = 0
	}
	given := p.silent[oldest]
	p.silent = slices.Delete(p.silent, oldest, oldest+1)
	return given
}

// left makes room for another connection from the same address.
func (p *onePort) left(c *sniffedConn) {
	p.mu.Lock()
	defer p.mu.Unlock()
	delete(p.conns, c)
	if p.open[c.address]--; p.open[c.address] <= 0 {
		delete(p.open, c.address)
	}
}

func addressBehind(conn net.Conn) string {
	if tcp, ok := conn.RemoteAddr().(*net.TCPAddr); ok {
		return tcp.IP.String()
	}
	return ""
}

// spoke takes a connection out of the silent ones.
func (p *onePort) spoke(c *sniffedConn) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if i := slices.Index(p.silent, c); i >= 0 {
		p.silent = slices.Delete(p.silent, i, i+1)
	}
}

func (p *onePort) Close() error {
	p.mu.Lock()
	if p.closed {
		p.mu.Unlock()
		return nil
	}
	p.closed = true
	close(p.done)
	silent := slices.Clone(p.silent)
	p.mu.Unlock()
	for _, c := range silent {
		c.Close()
	}
	return p.Listener.Close()
}

func (p *onePort) cutOff() {
	p.mu.Lock()
	all := make([]*sniffedConn, 0, len(p.conns))
	for c := range p.conns {
		all = append(all, c)
	}
	p.mu.Unlock()
	for _, c := range all {
		c.Close()
	}
}

// sniffedListener is the listener of one kind.
type sniffedListener struct {
	*onePort
	conns chan net.Conn
}

func (h *sniffedListener) give(conn net.Conn) {
	select {
	case h.conns <- conn:
	case <-h.done:
		conn.Close()
	}
}

// Accept waits for the next connection. After Close it returns io.EOF, by
// which fasthttp ends quietly.
func (h *sniffedListener) Accept() (net.Conn, error) {
	select {
	case conn := <-h.conns:
		return conn, nil
	case <-h.done:
		return nil, io.EOF
	}
}

// sniffedConn is a connection whose first byte was read to look at it.
type sniffedConn struct {
	net.Conn
	port    *onePort
	address string
	first   [1]byte
	taken   bool
	once    sync.Once
}

// Close closes the connection below.
func (c *sniffedConn) Close() error {
	c.once.Do(func() { c.port.left(c) })
	return c.Conn.Close()
}

func (c *sniffedConn) peek() bool {
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
func (c *sniffedConn) Read(b []byte) (int, error) {
	if c.taken || len(b) == 0 {
		return c.Conn.Read(b)
	}
	c.taken = true
	b[0] = c.first[0]
	return 1, nil
}

// NetConn gives the connection below.
func (c *sniffedConn) NetConn() net.Conn { return c.Conn }
