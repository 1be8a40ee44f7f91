package httpapi

import (
	"bufio"
	"bytes"
	"crypto/tls"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/gofiber/fiber/v2"
)

// TestConnectionsThatDawdleAreClosed: whoever opens a connection and sends
// nothing, or a little and no more, holds it for a bounded time only. The real
// bounds are half a minute; the test shortens the setting, not the way it works.
// What only took its time is no failure to log.
func TestConnectionsThatDawdleAreClosed(t *testing.T) {
	var log bytes.Buffer
	t.Cleanup(func() { // the last, when nobody writes any more
		if strings.Contains(log.String(), "Request Timeout") {
			t.Errorf("a connection that a browser opened ahead is logged as a failure:\n%s", log.String())
		}
	})
	f := newFixture(t, func(c *Config) { c.Log = slog.New(slog.NewTextHandler(&log, nil)) })
	for _, app := range []*fiber.App{f.secure, f.plain} {
		if s := app.Server(); s.ReadTimeout <= 0 || s.ReadTimeout > time.Minute || s.WriteTimeout <= 0 || s.IdleTimeout <= 0 {
			t.Errorf("bounds of %v, %v and %v", s.ReadTimeout, s.WriteTimeout, s.IdleTimeout)
		}
		app.Server().ReadTimeout = 2 * time.Second // enough for a handshake on a busy machine
	}
	addr, trust := serve(t, f)
	for what, sent := range map[string]string{
		"nothing after the handshake": "",
		"half a request line":         "GET /heal",
		"headers without an end":      "GET /healthz HTTP/1.1\r\nHost: " + addr + "\r\nX-Slow: 1\r\n",
		"half a body":                 "POST /api/v1/join HTTP/1.1\r\nHost: " + addr + "\r\nContent-Length: 100\r\n\r\n{",
		"half a chunk":                "POST /api/v1/join HTTP/1.1\r\nHost: " + addr + "\r\nTransfer-Encoding: chunked\r\n\r\n64\r\n{",
	} {
		t.Run(what, func(t *testing.T) {
			t.Parallel()
			conn, err := tls.Dial("tcp", addr, trust)
			if err != nil {
				t.Fatal(err)
			}
			closedAfter(t, conn, sent)
		})
	}
	for what, sent := range map[string]string{
		"half a TLS handshake": "\x16\x03\x01\x00\xff\x01",
		"half a plain request": "GET / HTTP/1.1\r\nHost: " + addr + "\r\n",
	} {
		t.Run(what, func(t *testing.T) {
			t.Parallel()
			conn, err := net.Dial("tcp", addr)
			if err != nil {
				t.Fatal(err)
			}
			closedAfter(t, conn, sent)
		})
	}
	t.Run("dripping", func(t *testing.T) {
		t.Parallel()
		closedWhileDripping(t, addr, trust)
	})
}

// closedWhileDripping sends a header of many days byte by byte: what comes in
// must not buy more time.
func closedWhileDripping(t *testing.T, addr string, trust *tls.Config) {
	t.Helper()
	conn, err := tls.Dial("tcp", addr, trust)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close()
	if err := conn.SetDeadline(time.Now().Add(20 * time.Second)); err != nil {
		t.Fatal(err)
	}
	if _, err := io.WriteString(conn, "GET /healthz HTTP/1.1\r\nX-Slow: "); err != nil {
		t.Fatal(err)
	}
	tick := time.NewTicker(50 * time.Millisecond)
	defer tick.Stop()
	for range tick.C {
		if _, err := io.WriteString(conn, "a"); errors.Is(err, os.ErrDeadlineExceeded) {
			t.Error("the connection stays open")
		} else if err == nil {
			continue
		}
		return
	}
}

// closedAfter sends and waits until the other side closes.
func closedAfter(t *testing.T, conn net.Conn, sent string) {
	t.Helper()
	defer conn.Close()
	if err := conn.SetDeadline(time.Now().Add(20 * time.Second)); err != nil {
		t.Fatal(err)
	}
	if _, err := io.WriteString(conn, sent); err != nil {
		t.Fatal(err)
	}
	if _, err := io.Copy(io.Discard, conn); errors.Is(err, os.ErrDeadlineExceeded) {
		t.Error("the connection stays open")
	}
}

// raw sends bytes over TLS and reads one answer.
func raw(t *testing.T, addr string, trust *tls.Config, sent string) (status int, body string) {
	t.Helper()
	conn, err := tls.Dial("tcp", addr, trust)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close()
	if err := conn.SetDeadline(time.Now().Add(20 * time.Second)); err != nil {
		t.Fatal(err)
	}
	if _, err := io.WriteString(conn, sent); err != nil {
		t.Logf("the server closed while it was sent: %v", err)
	}
	resp, err := http.ReadResponse(bufio.NewReader(conn), nil)
	if err != nil {
		t.Fatal(err)
	}
	defer resp.Body.Close()
	all, err := io.ReadAll(resp.Body)
	if err != nil {
		t.Fatal(err)
	}
	return resp.StatusCode, string(all)
}

// TestHeadersAndBodiesHaveBounds sends a little more than is taken, so that
// nothing is left unread when the server closes, which would tear its answer
// away.
func TestHeadersAndBodiesHaveBounds(t *testing.T) {
	f := newFixture(t, func(c *Config) { c.Log = slog.New(slog.DiscardHandler) })
	addr, trust := serve(t, f)
	trust.DynamicRecordSizingDisabled = true
	host := "Host: " + addr + "\r\n"
	chunk := fmt.Sprintf("%x\r\n%s\r\n", 1<<16, strings.Repeat(" ", 1<<16))
	for what, tc := range map[string]struct {
		sent   string
		status int
	}{
		"one long header":       {"GET /healthz HTTP/1.1\r\n" + host + "X-Long: " + strings.Repeat("a", 9<<10) + "\r\n\r\n", 431},
		"many headers":          {"GET /healthz HTTP/1.1\r\n" + host + strings.Repeat("X-Many: 1\r\n", 900) + "\r\n", 431},
		"a long address":        {"GET /" + strings.Repeat("a", 9<<10) + " HTTP/1.1\r\n" + host + "\r\n", 431},
		"a body in many chunks": {"POST /api/v1/join HTTP/1.1\r\n" + host + "Transfer-Encoding: chunked\r\n\r\n" + strings.Repeat(chunk, 16) + "10000\r\n", 413},
		"what is no HTTP":       {"\x00\x01\x02\r\n\r\n", 400},
	} {
		status, body := raw(t, addr, trust, tc.sent)
		if status != tc.status || !strings.Contains(body, `"sentence"`) {
			t.Errorf("%s: %d %.200s, want %d", what, status, body, tc.status)
		}
	}
	if status, _ := raw(t, addr, trust, "BREW /healthz HTTP/1.1\r\n"+host+"\r\n"); status != 400 {
		t.Errorf("an unknown method: %d", status)
	}
}

// TestTwoLengthsAreOneRequest: with both ways to say how long a body is, the
// chunks count (RFC 9112, 6.3), so that no second request hides in the first.
func TestTwoLengthsAreOneRequest(t *testing.T) {
	f := newFixture(t, func(c *Config) { c.Log = slog.New(slog.DiscardHandler) })
	addr, trust := serve(t, f)
	body := `{"secret":"good","name":"x"}`
	status, answer := raw(t, addr, trust, fmt.Sprintf("POST /api/v1/join HTTP/1.1\r\nHost: %s\r\nContent-Length: 4\r\nTransfer-Encoding: chunked\r\n\r\n%x\r\n%s\r\n0\r\n\r\n", addr, len(body), body))
	if status != 200 || !strings.Contains(answer, "phone-token") {
		t.Errorf("%d %s", status, answer)
	}
}
