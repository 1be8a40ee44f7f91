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
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/gofiber/fiber/v2"

	"panside/internal/device"
	"panside/server/route"
)

// brief is how long the tests' servers wait for progress, in place of half a
// minute; enough for a handshake on a busy machine.
const brief = 2 * time.Second

// slowFixture serves a route that takes a body and one that gives a long answer.
func slowFixture(t *testing.T, answer []byte) (addr string, trust *tls.Config) {
	t.Helper()
	f := newFixture(t, func(c *Config) {
		c.Log = slog.New(slog.DiscardHandler)
		c.Further = func(Guards) []route.Route {
			return []route.Route{
				route.Post("/sink", func(c *fiber.Ctx, _ device.Device) error { return c.SendString(fmt.Sprint(len(c.Body()))) }),
				route.Get("/long", func(c *fiber.Ctx, _ device.Device) error { return c.Send(answer) }),
			}
		}
	})
	for _, app := range []*fiber.App{f.secure, f.plain} {
		app.Server().ReadTimeout, app.Server().WriteTimeout = brief, brief
	}
	return serve(t, f)
}

// TestASlowBodyArrives: a body that takes three times the time a server waits is
// taken, as long as it moves.
func TestASlowBodyArrives(t *testing.T) {
	t.Parallel()
	addr, trust := slowFixture(t, nil)
	conn, err := tls.Dial("tcp", addr, trust)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close()
	const parts = 30
	part := bytes.Repeat([]byte("a"), enough/2) // 10 kB/s
	head := fmt.Sprintf("POST /api/v1/sink HTTP/1.1\r\nHost: %s\r\n%s\r\nContent-Length: %d\r\n\r\n", addr, asPhone, parts*len(part))
	if _, err := io.WriteString(conn, head); err != nil {
		t.Fatal(err)
	}
	tick := time.NewTicker(brief / 10)
	defer tick.Stop()
	for range parts {
		<-tick.C
		if _, err := conn.Write(part); err != nil {
			t.Fatalf("the server closed while it was sent: %v", err)
		}
	}
	if got, err := answerOn(t, conn); err != nil || string(got) != fmt.Sprint(parts*len(part)) {
		t.Errorf("%s %v", got, err)
	}
}

// answerOn reads an answer's body.
func answerOn(t *testing.T, conn net.Conn) ([]byte, error) {
	t.Helper()
	if err := conn.SetReadDeadline(time.Now().Add(60 * time.Second)); err != nil {
		t.Fatal(err)
	}
	resp, err := http.ReadResponse(bufio.NewReader(conn), nil)
	if err != nil {
		t.Fatal(err)
	}
	defer resp.Body.Close()
	return io.ReadAll(resp.Body)
}

// TestATricklingBodyIsCut: what comes in by single bytes buys no time.
func TestATricklingBodyIsCut(t *testing.T) {
	t.Parallel()
	addr, trust := slowFixture(t, nil)
	conn, err := tls.Dial("tcp", addr, trust)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close()
	if _, err := fmt.Fprintf(conn, "POST /api/v1/sink HTTP/1.1\r\nHost: %s\r\n%s\r\nContent-Length: 1000000\r\n\r\n", addr, asPhone); err != nil {
		t.Fatal(err)
	}
	tick := time.NewTicker(brief / 10)
	defer tick.Stop()
	for late := time.After(10 * brief); ; {
		select {
		case <-tick.C:
		case <-late:
			t.Fatal("the connection stays open")
		}
		if _, err := conn.Write([]byte("a")); err != nil {
			return
		}
	}
}

// TestASlowReaderGetsAll: a long answer that takes twice the time a server waits
// is sent to its end. The client's window is small, so that what it hasn't read is
// not with it already.
func TestASlowReaderGetsAll(t *testing.T) {
	t.Parallel()
	answer := bytes.Repeat([]byte("0123456789abcdef"), 1<<18)
	addr, trust := slowFixture(t, answer)
	conn, under := dialNarrow(t, addr, trust)
	if _, err := fmt.Fprintf(conn, "GET /api/v1/long HTTP/1.1\r\nHost: %s\r\n%s\r\nConnection: close\r\n\r\n", addr, asPhone); err != nil {
		t.Fatal(err)
	}
	under.step, under.every = len(answer)/40, brief/20
	if got, err := answerOn(t, conn); err != nil || !bytes.Equal(got, answer) {
		t.Errorf("%d bytes of %d, %v", len(got), len(answer), err)
	}
}

// TestAReaderThatStopsIsCut: who takes nothing more of an answer holds the
// connection for a bounded time.
func TestAReaderThatStopsIsCut(t *testing.T) {
	t.Parallel()
	cut := make(chan error, 1)
	near, far := net.Pipe() // no buffer: what isn't read isn't written
	defer far.Close()
	c := &paced{Conn: near}
	if err := c.SetWriteDeadline(time.Now().Add(brief)); err != nil {
		t.Fatal(err)
	}
	go func() {
		_, err := c.Write(bytes.Repeat([]byte("a"), 1<<20))
		cut <- err
	}()
	if _, err := io.ReadFull(far, make([]byte, 3*aWrite)); err != nil {
		t.Fatal(err)
	}
	var late net.Error
	if err := <-cut; !errors.As(err, &late) || !late.Timeout() {
		t.Errorf("the write ended with %v", err)
	}
}

// slowestAnswer is what the description promises, in bytes a second. It is more
// than a third of the send buffer in writeWithin.
const slowestAnswer = 2000

// TestTheRealFigures in a time of its own: at 10 kB/s a body of the largest size
// and an answer of a large photo's come whole; one byte a minute doesn't.
func TestTheRealFigures(t *testing.T) {
	const rate = 10_000 // bytes a second
	for _, tc := range []struct {
		what   string
		size   int
		within time.Duration
		begin  func(near *paced, t time.Time) error
		slow   func(near *paced, far net.Conn, size, step int, every time.Duration) int
	}{
		{"body", maxBody, readWithin, (*paced).SetReadDeadline, slowBody},
		{"answer", 24 << 20, writeWithin, (*paced).SetWriteDeadline, slowAnswer},
	} {
		for _, pace := range []struct {
			what  string
			step  int
			every time.Duration
			whole bool
		}{
			{"10 kB/s", rate / 10, time.Second / 10, true},
			{"10 kB/s in bursts", 20 * rate, 20 * time.Second, true},
			{"one byte a minute", 1, time.Minute, false},
			{"the slowest promised", slowestAnswer, time.Second, true},
		} {
			t.Run(tc.what+" at "+pace.what, func(t *testing.T) {
				synctest.Test(t, func(t *testing.T) {
					pipe, far := net.Pipe()
					defer pipe.Close()
					near := &paced{Conn: pipe}
					if err := tc.begin(near, time.Now().Add(tc.within)); err != nil {
						t.Fatal(err)
					}
					if moved := tc.slow(near, far, tc.size, pace.step, pace.every); (moved == tc.size) != pace.whole {
						t.Errorf("%d bytes of %d moved", moved, tc.size)
					}
				})
			})
		}
	}
}

// slowBody writes to near's other end by steps and tells how much near read.
func slowBody(near *paced, far net.Conn, size, step int, every time.Duration) int {
	var sending sync.WaitGroup
	sending.Go(func() {
		defer far.Close()
		for sent := 0; sent < size; sent += step {
			time.Sleep(every)
			if _, err := far.Write(make([]byte, min(step, size-sent))); err != nil {
				return
			}
		}
	})
	n, _ := io.Copy(io.Discard, near) // its error shows in n
	near.Close()
	sending.Wait()
	return int(n)
}

// slowAnswer reads from near's other end by steps and tells how much near wrote.
func slowAnswer(near *paced, far net.Conn, size, step int, every time.Duration) int {
	var reading sync.WaitGroup
	reading.Go(func() {
		defer far.Close()
		for {
			time.Sleep(every)
			if _, err := io.ReadFull(far, make([]byte, step)); err != nil {
				return
			}
		}
	})
	n, _ := near.Write(make([]byte, size)) // likewise
	near.Close()
	reading.Wait()
	return n
}

// narrow is a connection that is read slowly.
type narrow struct {
	net.Conn
	step  int // bytes
	every time.Duration
	read  int // since the last pause
}

func (n *narrow) Read(b []byte) (int, error) {
	if n.every > 0 && n.read >= n.step {
		<-time.After(n.every) // the slowness is what is tested
		n.read = 0
	}
	got, err := n.Conn.Read(b)
	n.read += got
	return got, err
}

func dialNarrow(t *testing.T, addr string, trust *tls.Config) (*tls.Conn, *narrow) {
	t.Helper()
	conn, err := net.Dial("tcp", addr)
	if err != nil {
		t.Fatal(err)
	}
	if err := conn.(*net.TCPConn).SetReadBuffer(128 << 10); err != nil {
		t.Fatal(err)
	}
	under := &narrow{Conn: conn}
	config := trust.Clone()
	config.ServerName, _, _ = strings.Cut(addr, ":")
	c := tls.Client(under, config)
	t.Cleanup(func() { c.Close() })
	if err := c.Handshake(); err != nil {
		t.Fatal(err)
	}
	return c, under
}

// TestOnlyADeadlineAheadIsPutOff: one in the past is how a wait is ended from
// outside, and none means that there is all the time.
func TestOnlyADeadlineAheadIsPutOff(t *testing.T) {
	c := &paced{}
	for what, at := range map[string]time.Time{"in the past": time.Now().Add(-time.Second), "none": {}} {
		if err := c.reads.set(at, func(time.Time) error { return nil }); err != nil {
			t.Fatal(err)
		}
		_ = c.reads.went(enough, func(to time.Time) error {
			t.Errorf("a deadline that was %s is now %v", what, to)
			return nil
		})
	}
}
