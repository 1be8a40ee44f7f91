package httpapi

import (
	"bufio"
	"crypto/tls"
	"crypto/x509"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"net/netip"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/gorilla/websocket"

	"panside/internal/fault"
)

func readWire(t *testing.T, name string) []byte {
	t.Helper()
	raw, err := os.ReadFile("../../testdata/wire/" + name)
	if err != nil {
		t.Fatal(err)
	}
	return raw
}

// serve runs both apps on one loopback port and returns its address and a TLS
// setting that trusts it.
func serve(t *testing.T, f *fixture) (addr string, trust *tls.Config) {
	t.Helper()
	ln, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	return serveOn(t, f, ln)
}

// serveOn does so on a listener of loopback.
func serveOn(t *testing.T, f *fixture, ln net.Listener) (addr string, trust *tls.Config) {
	t.Helper()
	cert := selfSigned(t, netip.MustParseAddr("127.0.0.1"))
	port := OnePort(ln, &tls.Config{Certificates: []tls.Certificate{cert}})
	done := make(chan error, 2)
	go func() { done <- f.secure.Listener(port.Secure) }()
	go func() { done <- f.plain.Listener(port.Plain) }()
	t.Cleanup(func() {
		if err := f.secure.ShutdownWithTimeout(5 * time.Second); err != nil {
			t.Error(err)
		}
		if err := f.plain.ShutdownWithTimeout(5 * time.Second); err != nil {
			t.Error(err)
		}
		for range 2 {
			if err := <-done; err != nil {
				t.Error(err)
			}
		}
	})
	roots := x509.NewCertPool()
	roots.AddCert(cert.Leaf)
	return ln.Addr().String(), &tls.Config{RootCAs: roots}
}

// TestHandshake proves that the WebSocket library's upgrade works through
// fiber, over TLS, which depends on fasthttp's adaptor offering Hijack.
func TestHandshake(t *testing.T) {
	f := newFixture(t, func(c *Config) { c.Log = slog.New(slog.DiscardHandler) })
	addr, trust := serve(t, f)
	dialer := websocket.Dialer{TLSClientConfig: trust, HandshakeTimeout: 10 * time.Second}
	conn, resp, err := dialer.Dial("wss://"+addr+"/api/v1/live", http.Header{"Origin": {"https://" + addr}})
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close()
	if resp.StatusCode != http.StatusSwitchingProtocols {
		t.Errorf("status %d", resp.StatusCode)
	}
	if err := conn.WriteMessage(websocket.TextMessage, []byte("over the pan")); err != nil {
		t.Fatal(err)
	}
	if _, data, err := conn.ReadMessage(); err != nil || string(data) != "over the pan" {
		t.Errorf("echoed %q, %v", data, err)
	}
	if _, _, err := conn.ReadMessage(); err == nil {
		t.Error("the socket is open after Serve returned")
	}
}

func TestSocketsOfOtherPagesAreRefused(t *testing.T) {
	f := newFixture(t, func(c *Config) { c.Log = slog.New(slog.DiscardHandler) })
	addr, trust := serve(t, f)
	dialer := websocket.Dialer{TLSClientConfig: trust, HandshakeTimeout: 10 * time.Second}
	for what, header := range map[string]http.Header{
		"foreign origin": {"Origin": {"https://evil.example"}},
		"no origin":      {"Origin": {"null"}},
		"foreign host":   {"Host": {"evil.example"}, "Origin": {"https://evil.example"}},
	} {
		conn, resp, err := dialer.Dial("wss://"+addr+"/api/v1/live", header)
		if err == nil {
			conn.Close()
			t.Errorf("%s: the socket was opened", what)
			continue
		}
		if resp == nil || resp.StatusCode != http.StatusForbidden {
			t.Errorf("%s: %v", what, err)
			continue
		}
		body, _ := io.ReadAll(resp.Body)
		if !strings.Contains(string(body), string(fault.WrongOrigin)) {
			t.Errorf("%s: %s", what, body)
		}
	}
}

// TestTooMuchAtOnceIsRefused sends more than the server takes before any
// route sees it.
func TestTooMuchAtOnceIsRefused(t *testing.T) {
	f := newFixture(t, func(c *Config) { c.Log = slog.New(slog.DiscardHandler) })
	addr, trust := serve(t, f)
	conn, err := tls.Dial("tcp", addr, trust)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close()
	// Only the header: the server answers before the body comes.
	if _, err := fmt.Fprintf(conn, "POST /api/v1/join HTTP/1.1\r\nHost: %s\r\nContent-Length: %d\r\n\r\n", addr, maxBody+1); err != nil {
		t.Fatal(err)
	}
	resp, err := http.ReadResponse(bufio.NewReader(conn), nil)
	if err != nil {
		t.Fatal(err)
	}
	defer resp.Body.Close()
	body, err := io.ReadAll(resp.Body)
	if err != nil || resp.StatusCode != http.StatusRequestEntityTooLarge || !strings.Contains(string(body), `"bad-input"`) {
		t.Errorf("%d %s %v", resp.StatusCode, body, err)
	}
}

// TestTheConnectionBelowIsFound, whose send buffer is set: the TCP connection below
// the paces, TLS and the sniffed byte.
func TestTheConnectionBelowIsFound(t *testing.T) {
	ln, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer ln.Close()
	conn, err := net.Dial("tcp", ln.Addr().String())
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close()
	if tcpUnder(newPacedTLS(tls.Server(&sniffedConn{Conn: conn}, &tls.Config{}))) != conn {
		t.Error("the TCP connection is not found")
	}
	near, far := net.Pipe()
	defer near.Close()
	defer far.Close()
	if tcpUnder(near) != nil {
		t.Error("found a TCP connection in a pipe")
	}
}
