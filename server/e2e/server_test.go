package e2e

import (
	"bufio"
	"bytes"
	"crypto/tls"
	"encoding/json"
	"fmt"
	"io"
	"math/rand/v2"
	"net"
	"net/http"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"
)

// server is the built binary, running.
type server struct {
	t   testing.TB
	cmd *exec.Cmd

	desk, phone string // the printed addresses, each good for one device
	api         string // https://HOST:PORT
	token       string // of the test itself, joined as a desk
	client      *http.Client
	exited      chan struct{}

	mu  sync.Mutex
	log bytes.Buffer
}

// serverBinary is the built server.
func serverBinary(t testing.TB) string {
	t.Helper()
	if binary := os.Getenv("PANSIDE_SERVER"); binary != "" {
		return binary
	}
	return buildServer(t)
}

// startServer runs the built server with its own data folder, at a port that
// it gets again if it is started anew there.
func startServer(t testing.TB, dataDir string, args ...string) *server {
	t.Helper()
	s := &server{
		t:      t,
		cmd:    exec.Command(serverBinary(t), append([]string{"serve", "--listen", "127.0.0.1:" + lastingPort(t), "--data", dataDir}, args...)...),
		client: &http.Client{Timeout: patience, Transport: &http.Transport{TLSClientConfig: &tls.Config{InsecureSkipVerify: true}}},
	}
	out, err := s.cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	s.cmd.Stderr = &lockedWriter{s: s}
	if err := s.cmd.Start(); err != nil {
		t.Fatal(err)
	}
	s.exited = make(chan struct{})
	t.Cleanup(func() {
		s.stop()
		if t.Failed() {
			s.mu.Lock()
			said := strings.Split(strings.TrimSpace(regexp.MustCompile(`(?m)^.*[█▀▄].*\n`).ReplaceAllString(s.log.String(), "")), "\n")
			t.Logf("the server said last:\n%s", strings.Join(said[max(0, len(said)-25):], "\n"))
			s.mu.Unlock()
		}
	})
	links := make(chan string, 2)
	go func() {
		defer close(s.exited)
		defer func() { _ = s.cmd.Wait() }()
		defer close(links)
		pattern := regexp.MustCompile(`https://\S+#join=\S+`)
		for lines := bufio.NewScanner(out); lines.Scan(); {
			s.mu.Lock()
			fmt.Fprintln(&s.log, lines.Text())
			s.mu.Unlock()
			if link := pattern.FindString(lines.Text()); link != "" {
				select {
				case links <- link:
				default: // fresh codes, which nobody here asked for
				}
			}
		}
	}()
	for _, into := range []*string{&s.desk, &s.phone} {
		select {
		case link, ok := <-links:
			if !ok {
				t.Fatal("the server ended before it printed its addresses")
			}
			*into = link
		case <-time.After(patience):
			t.Fatal("the server printed no address")
		}
	}
	u, err := url.Parse(s.phone)
	if err != nil {
		t.Fatal(err)
	}
	s.api = "https://" + u.Host
	return s
}

// lastingPort is free on both addresses that the tests use, and below the ports
// that systems give out by themselves: nobody else gets it while a server that
// had it is down.
func lastingPort(t testing.TB) string {
	t.Helper()
	for range 100 {
		port := fmt.Sprint(20_000 + rand.IntN(12_000))
		free := true
		for _, host := range []string{"127.0.0.1", "127.0.0.2"} {
			ln, err := net.Listen("tcp", net.JoinHostPort(host, port))
			if err != nil {
				free = false
				continue
			}
			free = ln.Close() == nil && free
		}
		if free {
			return port
		}
	}
	t.Fatal("no free port")
	return ""
}

// stop asks the server to stop and waits until it has.
func (s *server) stop() {
	_ = s.cmd.Process.Signal(syscall.SIGTERM) // fails if it has stopped already
	select {
	case <-s.exited:
	case <-time.After(patience):
		s.t.Error("the server did not stop when asked")
		_ = s.cmd.Process.Kill()
		<-s.exited
	}
}

type lockedWriter struct{ s *server }

func (w *lockedWriter) Write(p []byte) (int, error) {
	w.s.mu.Lock()
	defer w.s.mu.Unlock()
	return w.s.log.Write(p)
}

func buildServer(t testing.TB) string {
	t.Helper()
	binary := filepath.Join(t.TempDir(), "panside")
	cmd := exec.Command("go", "build", "-o", binary, "../../server")
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("building the server: %v\n%s", err, out)
	}
	return binary
}

// joinAsDesk lets the test itself in, with the desk's address.
func (s *server) joinAsDesk() {
	s.t.Helper()
	u, err := url.Parse(s.desk)
	if err != nil {
		s.t.Fatal(err)
	}
	fragment, err := url.ParseQuery(u.Fragment)
	if err != nil {
		s.t.Fatal(err)
	}
	var answer struct {
		Token string `json:"token"`
	}
	s.call(http.MethodPost, "/api/v1/join", map[string]string{"secret": fragment.Get("join"), "name": "the test"}, &answer)
	s.token = answer.Token
}

// call speaks JSON with the server and fails the test on any refusal.
func (s *server) call(method, path string, in, out any) {
	s.t.Helper()
	body := io.Reader(http.NoBody)
	if in != nil {
		raw, err := json.Marshal(in)
		if err != nil {
			s.t.Fatal(err)
		}
		body = bytes.NewReader(raw)
	}
	req, err := http.NewRequest(method, s.api+path, body)
	if err != nil {
		s.t.Fatal(err)
	}
	req.Header.Set("Content-Type", "application/json")
	req.Header.Set("Origin", s.api)
	if s.token != "" {
		req.Header.Set("Authorization", "Bearer "+s.token)
	}
	resp, err := s.client.Do(req)
	if err != nil {
		s.t.Fatal(err)
	}
	defer resp.Body.Close()
	raw, err := io.ReadAll(resp.Body)
	if err != nil {
		s.t.Fatal(err)
	}
	if resp.StatusCode >= 300 {
		s.t.Fatalf("%s %s: %s: %s", method, path, resp.Status, raw)
	}
	if out != nil {
		if err := json.Unmarshal(raw, out); err != nil {
			s.t.Fatalf("%s %s answered %s: %v", method, path, raw, err)
		}
	}
}

// offer makes a fresh address for one more phone.
func (s *server) offer() string {
	s.t.Helper()
	var answer struct {
		URL string `json:"url"`
	}
	s.call(http.MethodGet, "/api/v1/offer", nil, &answer)
	return answer.URL
}

// pan does something on the virtual scale's pan.
func (s *server) pan(do string, coin ...string) {
	s.t.Helper()
	s.call(http.MethodPost, "/api/v1/virtual", map[string]string{"do": do, "coin": strings.Join(coin, "")}, nil)
}
