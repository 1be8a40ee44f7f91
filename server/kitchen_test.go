package main

import (
	"bytes"
	"context"
	"crypto/tls"
	"crypto/x509"
	"encoding/json"
	"errors"
	"io"
	"log/slog"
	"net"
	"net/http"
	"net/url"
	"sync"
	"testing"
	"time"

	"github.com/gorilla/websocket"

	"panside/internal/device"
	"panside/internal/fault"
	"panside/internal/mass"
	"panside/server/config"
	"panside/server/livehub"
	"panside/server/mdns"
	"panside/server/scale"
)

// patience bounds a wait for something that must come; nothing waits longer
// than needed.
const patience = 30 * time.Second

// fakeScale is a scale in memory: a test puts states on it.
type fakeScale chan livehub.State

func (p fakeScale) scale() scale.Scale {
	return scale.Scale{Run: func(ctx context.Context, publish func(livehub.State)) {
		for {
			select {
			case s := <-p:
				publish(s)
			case <-ctx.Done():
				return
			}
		}
	}}
}

func cent(g mass.Grams) livehub.State {
	return livehub.State{
		Estimate: mass.Estimate{Phase: mass.PhaseSettled, Mean: g, U: 0.008, Resolution: 0.01, Placement: 1},
		Scale:    livehub.Scale{Name: "memory", Kind: "virtual"},
		At:       time.Now(),
	}
}

// kitchen is a running server and what a phone in the room has.
type kitchen struct {
	*App
	t      *testing.T
	pan    fakeScale
	log    *logText
	client *http.Client
	clock  *clock
}

// logText is a log that can be read while it is written.
type logText struct {
	mu   sync.Mutex
	text bytes.Buffer
}

func (l *logText) Write(b []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.text.Write(b)
}

func (l *logText) String() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.text.String()
}

// clock can be set forward.
type clock struct {
	mu   sync.Mutex
	skip time.Duration
}

func (c *clock) now() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	return time.Now().Add(c.skip)
}

func (c *clock) forward(d time.Duration) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.skip += d
}

// silent answers for no .local name: tests talk to loopback only.
func silent(mdns.Options) (io.Closer, error) { return nil, errors.New("not in a test") }

func open(t *testing.T, cfg config.Config) *kitchen {
	t.Helper()
	p := make(fakeScale)
	k := openWith(t, cfg, p.scale())
	k.pan = p
	return k
}

func openWith(t *testing.T, cfg config.Config, sc scale.Scale) *kitchen {
	t.Helper()
	k := prepare(t, cfg, sc)
	k.begin()
	return k
}

// prepare makes a server that isn't started, so that a test can change it.
func prepare(t *testing.T, cfg config.Config, sc scale.Scale) *kitchen {
	t.Helper()
	if cfg.Data == "" {
		cfg.Data = t.TempDir()
	}
	if cfg.Listen == "" {
		cfg.Listen = "127.0.0.1:0"
	}
	k := &kitchen{t: t, log: &logText{}, clock: &clock{}}
	k.App = New(cfg, sc, slog.New(slog.NewTextHandler(k.log, &slog.HandlerOptions{Level: slog.LevelDebug})))
	k.App.now = k.clock.now
	k.App.network.announce = silent
	return k
}

// begin starts it until the test ends.
func (k *kitchen) begin() {
	t := k.t
	t.Helper()
	if err := k.Start(t.Context()); err != nil {
		t.Fatal(err)
	}
	roots := x509.NewCertPool()
	ca, err := x509.ParseCertificate(k.authority.DER())
	if err != nil {
		t.Fatal(err)
	}
	roots.AddCert(ca)
	transport := &http.Transport{TLSClientConfig: &tls.Config{RootCAs: roots}}
	k.client = &http.Client{Transport: transport, Timeout: patience}
	t.Cleanup(func() {
		transport.CloseIdleConnections()
		if k.App == nil {
			return
		}
		if err := k.Stop(); err != nil {
			t.Errorf("stopping: %v", err)
		}
	})
}

// close stops the server within the test.
func (k *kitchen) close() {
	k.t.Helper()
	if err := k.Stop(); err != nil {
		k.t.Errorf("stopping: %v", err)
	}
	k.App = nil
}

func (k *kitchen) url(path string) string { return "https://" + k.Addr().String() + path }

// ask sends a request and decodes the answer into out, if any.
func (k *kitchen) ask(method, path, token string, in, out any) (status int) {
	k.t.Helper()
	body, err := json.Marshal(in)
	if err != nil {
		k.t.Fatal(err)
	}
	r, err := http.NewRequest(method, k.url(path), bytes.NewReader(body))
	if err != nil {
		k.t.Fatal(err)
	}
	r.Header.Set("Authorization", "Bearer "+token)
	resp, err := k.client.Do(r)
	if err != nil {
		k.t.Fatal(err)
	}
	defer resp.Body.Close()
	raw, err := io.ReadAll(resp.Body)
	if err != nil {
		k.t.Fatal(err)
	}
	if out != nil {
		if err := json.Unmarshal(raw, out); err != nil {
			k.t.Fatalf("%s %s: %v in %s", method, path, err, raw)
		}
	}
	return resp.StatusCode
}

// secretOf reads the secret out of an address to join by, as a phone does.
func secretOf(t *testing.T, link string) string {
	t.Helper()
	u, err := url.Parse(link)
	if err != nil {
		t.Fatal(err)
	}
	values, err := url.ParseQuery(u.Fragment)
	if err != nil || values.Get("join") == "" || values.Get("key") == "" {
		t.Fatalf("no secret and key in %q", link)
	}
	return values.Get("join")
}

type joinedAs struct {
	Token  string
	Device struct{ ID, Name, Role string }
	Server struct{ Name, Fingerprint string }
	Error  struct{ Code fault.Code }
}

func (k *kitchen) tryJoin(secret string) (status int, j joinedAs) {
	k.t.Helper()
	status = k.ask("POST", "/api/v1/join", "", map[string]string{"secret": secret, "name": "Kitchen phone"}, &j)
	return status, j
}

func (k *kitchen) join(role device.Role) joinedAs {
	k.t.Helper()
	status, j := k.tryJoin(secretOf(k.t, k.Invite(role)))
	if status != 200 || j.Token == "" || j.Device.Role != string(role) {
		k.t.Fatalf("joining as %s: %d %+v", role, status, j)
	}
	return j
}

// socket opens the live stream with a token.
func (k *kitchen) socket(token string) *websocket.Conn {
	k.t.Helper()
	conn := k.rawSocket()
	if err := conn.WriteJSON(map[string]string{"type": "hello", "token": token}); err != nil {
		k.t.Fatal(err)
	}
	return conn
}

// rawSocket opens the live stream and says nothing.
func (k *kitchen) rawSocket() *websocket.Conn {
	k.t.Helper()
	dialer := websocket.Dialer{
		TLSClientConfig:  k.client.Transport.(*http.Transport).TLSClientConfig,
		HandshakeTimeout: patience,
	}
	conn, _, err := dialer.Dial("wss://"+k.Addr().String()+"/api/v1/live", http.Header{"Origin": {k.url("")}})
	if err != nil {
		k.t.Fatal(err)
	}
	k.t.Cleanup(func() { conn.Close() })
	patiently(k.t, conn)
	return conn
}

// live is any message; null leaves a field empty.
type live struct {
	Type, Phase, Shown, Unit, Status string

	Seq     uint64
	MeanG   *float64 `json:"mean_g"`
	UG      *float64 `json:"u_g"`
	Code    fault.Code
	Problem struct{ Code fault.Code }

	Placement   uint64
	Unconfirmed bool
	Ask         struct {
		Of, Digits string
		Units      []string
	}
	Scale struct {
		Name, Kind, Format string
		Assumed            bool
		Checked            time.Time
	}
}

// patiently gives what is read from now on its time.
func patiently(t *testing.T, conn *websocket.Conn) {
	t.Helper()
	if err := conn.SetReadDeadline(time.Now().Add(patience)); err != nil {
		t.Fatal(err)
	}
}

// timedOut reports whether nothing came in time. It isn't os.ErrDeadlineExceeded
// any more: the WebSocket library gives an error of its own for it.
func timedOut(err error) bool {
	var n net.Error
	return errors.As(err, &n) && n.Timeout()
}

// until reads messages up to one that is wanted.
func until(t *testing.T, conn *websocket.Conn, what string, wanted func(live) bool) live {
	t.Helper()
	patiently(t, conn)
	for last := uint64(0); ; {
		var m live
		if err := conn.ReadJSON(&m); err != nil {
			t.Fatalf("waiting for %s: %v", what, err)
		}
		if m.Type == "weight" {
			if m.Seq <= last {
				t.Fatalf("message %d after %d", m.Seq, last)
			}
			last = m.Seq
		}
		if wanted(m) {
			return m
		}
	}
}

func weighs(g float64) func(live) bool {
	return func(m live) bool { return m.MeanG != nil && *m.MeanG == g }
}

func isBye(m live) bool { return m.Type == "bye" }
