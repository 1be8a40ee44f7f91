package httpapi

import (
	"fmt"
	"log/slog"
	"net"
	"strings"
	"testing"
	"time"

	"github.com/gorilla/websocket"
	"github.com/valyala/fasthttp"

	"panside/internal/fault"
	"panside/internal/say"
)

// doFrom sends a request as if it came from an address and arrived at another.
func (f *fixture) doFrom(from, at, method, path, body string, headers ...string) (status int) {
	f.t.Helper()
	near, far := net.Pipe()
	defer near.Close()
	defer far.Close()
	var c fasthttp.RequestCtx
	c.Init2(placed{near, &net.TCPAddr{IP: net.ParseIP(from), Port: 40000}, &net.TCPAddr{IP: net.ParseIP(at), Port: 8311}}, nil, false)
	c.Request.Header.SetMethod(method)
	c.Request.SetRequestURI(path)
	c.Request.Header.SetHost("localhost:8311")
	for _, h := range headers {
		name, value, _ := strings.Cut(h, ": ")
		c.Request.Header.Set(name, value)
	}
	c.Request.SetBodyString(body)
	f.secure.Handler()(&c)
	return c.Response.StatusCode()
}

// placed is a connection between two addresses.
type placed struct {
	net.Conn
	from, at net.Addr
}

func (p placed) RemoteAddr() net.Addr { return p.from }
func (p placed) LocalAddr() net.Addr  { return p.at }

func TestWhichJoiningIsThisComputers(t *testing.T) {
	f := newFixture(t)
	for _, tc := range []struct {
		from, at string
		here     bool
	}{
		{"127.0.0.1", "127.0.0.1", true},
		{"::1", "::1", true},
		{"192.168.1.5", "192.168.1.5", true},
		{"::ffff:192.168.1.5", "192.168.1.5", true},
		{"192.168.1.9", "192.168.1.5", false},
		{"fe80::9", "fe80::5", false},
	} {
		status := f.doFrom(tc.from, tc.at, "POST", "/api/v1/join", `{"secret":"good"}`, "X-Forwarded-For: 127.0.0.1")
		if status != 200 || f.pairing.here != tc.here {
			t.Errorf("from %s at %s: %d, this computer's: %v", tc.from, tc.at, status, f.pairing.here)
		}
	}
}

// TestRefusalsAndJoinsAreLogged with the address they came from and without what
// was sent.
func TestRefusalsAndJoinsAreLogged(t *testing.T) {
	f := newFixture(t)
	const stranger = "192.168.1.66"
	for _, tc := range []struct {
		body, header, path, logged string
		status                     int
	}{
		{`{"secret":"guessed-code"}`, "", "/api/v1/join", `msg="a code was refused" address=192.168.1.66 code=secret-expired`, 403},
		{`{"secret":"closed"}`, "", "/api/v1/join", `msg="a code was refused" address=192.168.1.66 code=too-many-tries`, 429},
		{`{"secret":"good"}`, "", "/api/v1/join", `msg="a device joined" id=P role=phone address=192.168.1.66`, 200},
		{`{}`, "Authorization: Bearer guessed-token", "/api/v1/core/judge", `msg="a token was refused" address=192.168.1.66 code=not-joined`, 401},
		{`{}`, "Authorization: guessed-token", "/api/v1/core/judge", `msg="a token was refused" address=192.168.1.66 code=not-joined`, 401},
		{`{}`, "X-Nothing: 1", "/api/v1/core/judge", "", 401}, // no token is no refused one
	} {
		f.log.Reset()
		if status := f.doFrom(stranger, "192.168.1.5", "POST", tc.path, tc.body, tc.header); status != tc.status {
			t.Errorf("%s %s: %d", tc.path, tc.body, status)
		}
		if log := f.log.String(); !strings.Contains(log, tc.logged) || tc.logged == "" && strings.Contains(log, stranger) || strings.Contains(log, "guessed") {
			t.Errorf("%s %s %s: the log says %s", tc.path, tc.body, tc.header, log)
		}
	}
}

// TestAFloodOfRefusalsFillsNoDisk, and hides nobody else's.
func TestAFloodOfRefusalsFillsNoDisk(t *testing.T) {
	f := newFixture(t)
	for range 500 {
		f.doFrom("192.168.1.66", "192.168.1.5", "GET", "/api/v1/me", "", "Authorization: Bearer x")
	}
	f.doFrom("192.168.1.67", "192.168.1.5", "GET", "/api/v1/me", "", "Authorization: Bearer x")
	if n := strings.Count(f.log.String(), "address=192.168.1.66"); n != refusalBurst {
		t.Errorf("%d lines", n)
	}
	if !strings.Contains(f.log.String(), "address=192.168.1.67") {
		t.Error("another address isn't in the log")
	}
}

// refusing refuses every socket.
type refusing struct{}

func (refusing) Serve(conn *websocket.Conn, _ *say.Tongue) *fault.Error {
	conn.Close()
	return fault.New(fault.NotJoined, say.New("join-not-joined"))
}

func TestARefusedStreamIsLogged(t *testing.T) {
	lines := make(logLines, 100)
	f := newFixture(t, func(c *Config) { c.Live, c.Log = refusing{}, lines.logger() })
	addr, trust := serve(t, f)
	dialer := websocket.Dialer{TLSClientConfig: trust}
	conn, _, err := dialer.Dial(fmt.Sprintf("wss://%s/api/v1/live", addr), nil)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close()
	for late := time.After(20 * time.Second); ; {
		select {
		case line := <-lines:
			if strings.Contains(line, `msg="a live stream was refused" address=127.0.0.1 code=not-joined`) {
				return
			}
		case <-late:
			t.Fatal("nothing in the log")
		}
	}
}

// logLines is a log that hands over its lines.
type logLines chan string

func (l logLines) Write(b []byte) (int, error) {
	l <- string(b)
	return len(b), nil
}

func (l logLines) logger() *slog.Logger {
	return slog.New(slog.NewTextHandler(l, nil))
}
