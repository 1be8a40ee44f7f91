//go:build unix

package httpapi

import (
	"log/slog"
	"net"
	"syscall"
	"testing"
	"time"

	"github.com/gorilla/websocket"
)

// accepting hands over the connections that a listener accepts.
type accepting struct {
	net.Listener
	accepted chan net.Conn
}

func (a accepting) Accept() (net.Conn, error) {
	conn, err := a.Listener.Accept()
	if err == nil {
		a.accepted <- conn
	}
	return conn, err
}

// TestALiveStreamHoldsBackLittle: the system keeps no more for a phone than is
// asked of it. Linux doubles what it is asked for, for its own bookkeeping
// (socket(7)).
func TestALiveStreamHoldsBackLittle(t *testing.T) {
	ln, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	watched := accepting{ln, make(chan net.Conn, 1)}
	f := newFixture(t, func(c *Config) { c.Log = slog.New(slog.DiscardHandler) })
	addr, trust := serveOn(t, f, watched)
	dialer := websocket.Dialer{TLSClientConfig: trust, HandshakeTimeout: 10 * time.Second}
	conn, _, err := dialer.Dial("wss://"+addr+"/api/v1/live", nil)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close()
	raw, err := (<-watched.accepted).(*net.TCPConn).SyscallConn()
	if err != nil {
		t.Fatal(err)
	}
	var size int
	var failed error
	if err := raw.Control(func(fd uintptr) {
		size, failed = syscall.GetsockoptInt(int(fd), syscall.SOL_SOCKET, syscall.SO_SNDBUF)
	}); err != nil || failed != nil {
		t.Fatal(err, failed)
	}
	if size > 2*liveBuffer {
		t.Errorf("the system may hold back %d bytes, asked for were %d", size, liveBuffer)
	}
}
