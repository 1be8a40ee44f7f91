package httpapi

import (
	"context"
	"encoding/json"
	"errors"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/fstest"
	"time"

	"github.com/gofiber/fiber/v2"
	"github.com/gorilla/websocket"

	"panside/internal/device"
	"panside/internal/fault"
	"panside/internal/say"
	"panside/server/joinapi"
	"panside/server/openapitest"
	"panside/server/route"
)

// fakePairing knows a phone and a desk by fixed tokens; package conformance holds
// it to what the real one does.
type fakePairing struct {
	mu      sync.Mutex
	names   map[string]string
	offered []device.Role
	ended   []string
	closed  bool
	broken  error
	here    bool // what the last joining was said to be
}

var (
	joined   = time.Date(2026, 3, 1, 20, 0, 0, 0, time.UTC)
	aPhone   = device.Device{ID: "P", Name: "Kitchen phone", Role: device.Phone, Created: joined, LastSeen: joined.Add(time.Hour)}
	aDesk    = device.Device{ID: "D", Name: "Laptop", Role: device.Desk, Created: joined, LastSeen: joined}
	byTokens = map[string]device.Device{"phone-token": aPhone, "desk-token": aDesk}
)

func (f *fakePairing) Offer(role device.Role, life time.Duration) string {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.offered = append(f.offered, role)
	f.closed = false
	return "fresh-secret"
}

func (f *fakePairing) OfferWhileOpen(role device.Role, life time.Duration) (string, error) {
	if f.Closed() {
		return "", fault.New(fault.TooManyTries, say.New("Closed."))
	}
	return f.Offer(role, life), nil
}

func (f *fakePairing) Closed() bool {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.closed
}

func (f *fakePairing) Join(_ context.Context, secret, name string, here bool) (string, device.Device, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.here = here
	switch {
	case f.broken != nil:
		return "", device.Device{}, f.broken
	case secret == "closed":
		return "", device.Device{}, fault.New(fault.TooManyTries, say.New("Closed."))
	case secret != "good":
		return "", device.Device{}, fault.New(fault.SecretExpired, say.New("Old."))
	}
	d := aPhone
	d.Name = name
	f.names[d.ID] = name
	return "phone-token", d, nil
}

func (f *fakePairing) Who(_ context.Context, token string) (device.Device, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	d, ok := byTokens[token]
	if !ok || slices.Contains(f.ended, d.ID) {
		return d, fault.New(fault.NotJoined, say.New("Who?"))
	}
	if n, ok := f.names[d.ID]; ok {
		d.Name = n
	}
	return d, nil
}

func (f *fakePairing) Devices(context.Context) ([]device.Device, error) {
	return []device.Device{aDesk, aPhone}, nil
}

func (f *fakePairing) Rename(_ context.Context, d device.Device, typed string) (device.Device, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.names[d.ID] = typed
	d.Name = typed
	return d, nil
}

func (f *fakePairing) End(_ context.Context, id string) error {
	f.mu.Lock()
	defer f.mu.Unlock()
	if id != "P" || slices.Contains(f.ended, id) {
		return fault.New(fault.NotFound, say.New("Gone."))
	}
	f.ended = append(f.ended, id)
	return nil
}

// echo answers each message once and closes.
type echo struct{}

func (echo) Serve(conn *websocket.Conn, _ *say.Tongue) *fault.Error {
	defer conn.Close()
	if kind, data, err := conn.ReadMessage(); err == nil {
		_ = conn.WriteMessage(kind, data)
	}
	return nil
}

// fakeOrigins knows one address that the server had before; package conformance
// holds it to what the real one does.
type fakeOrigins struct {
	mu     sync.Mutex
	learnt []string
}

const oldOrigin = "https://192.168.1.3:8311"

func (f *fakeOrigins) Has(origin string) bool { return slices.Contains(f.All(), origin) }

func (f *fakeOrigins) Learn(_ context.Context, origin string) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.learnt = append(f.learnt, origin)
}

func (f *fakeOrigins) All() []string {
	f.mu.Lock()
	defer f.mu.Unlock()
	all := []string{"https://192.168.1.5:8311", oldOrigin}
	for _, o := range f.learnt {
		all = append([]string{o}, slices.DeleteFunc(all, func(known string) bool { return known == o })...)
	}
	return all
}

type fixture struct {
	t       *testing.T
	api     *api
	secure  *fiber.App
	plain   *fiber.App
	pairing *fakePairing
	origins *fakeOrigins
	now     time.Time
	log     *strings.Builder
}

func newFixture(t *testing.T, change ...func(*Config)) *fixture {
	t.Helper()
	f := &fixture{t: t, pairing: &fakePairing{names: map[string]string{}}, origins: &fakeOrigins{}, now: joined, log: &strings.Builder{}}
	cfg := Config{
		Version:   "1.2.3",
		Name:      "kitchen",
		Authority: Authority{Name: "Panside home authority, kitchen", DER: []byte("certificate bytes")},
		Prove: func(host, nonce string) (key, signature []byte, err error) {
			return []byte("the key"), []byte("for " + host + " " + nonce), nil
		},
		Pairing: f.pairing,
		Origins: f.origins,
		Live:    echo{},
		Core: func(_, method string, in []byte) []byte {
			if method != "judge" {
				return []byte(`{"error":{"code":"not-found","sentence":"No such method."}}`)
			}
			return append(append([]byte(`{"ok":`), in...), '}')
		},
		Files:     fstest.MapFS{},
		Names:     []string{"kitchen.local", "10.9.8.7"},
		Addresses: func() []string { return []string{"https://192.168.1.5:8311", "https://10.0.0.3:8311"} },
		Now:       func() time.Time { return f.now },
		Log:       slog.New(slog.NewTextHandler(f.log, &slog.HandlerOptions{Level: slog.LevelDebug})),
	}
	for _, c := range change {
		c(&cfg)
	}
	further := cfg.Further
	cfg.Further = func(g Guards) []route.Route {
		o := joinapi.Options{
			Name: cfg.Name, Fingerprint: "FINGER", Pairing: f.pairing, Addresses: cfg.Addresses, Origins: f.origins.All,
			Guards: g, Now: cfg.Now, Log: cfg.Log,
		}
		if cfg.Authority.DER != nil {
			o.AuthorityLines = FingerprintLines(cfg.Authority.DER)
		}
		routes := joinapi.New(o).Routes()
		if further != nil {
			routes = append(routes, further(g)...)
		}
		return routes
	}
	cfg.Descriptions = append(cfg.Descriptions, joinapi.Description)
	var err error
	if f.api, err = newAPI(cfg); err != nil {
		t.Fatal(err)
	}
	f.secure, f.plain = f.api.secureApp(), f.api.plainApp()
	return f
}

// answered is what came back.
type answered struct {
	status int
	header http.Header
	body   string
}

func (a answered) code(t *testing.T) fault.Code {
	t.Helper()
	var e wireError
	if err := json.Unmarshal([]byte(a.body), &e); err != nil {
		t.Fatalf("no error in %q: %v", a.body, err)
	}
	if e.Error.Sentence == "" {
		t.Errorf("no sentence in %q", a.body)
	}
	return e.Error.Code
}

// do sends a request; headers as "Name: value".
func (f *fixture) do(app *fiber.App, method, path, body string, headers ...string) answered {
	f.t.Helper()
	r := httptest.NewRequest(method, path, strings.NewReader(body))
	r.Host = "localhost:8311"
	for _, h := range headers {
		name, value, _ := strings.Cut(h, ": ")
		if name == "Host" {
			r.Host = value
		} else {
			r.Header.Set(name, value)
		}
	}
	resp, err := app.Test(r, -1)
	if err != nil {
		f.t.Fatal(err)
	}
	defer resp.Body.Close()
	raw, err := io.ReadAll(resp.Body)
	if err != nil {
		f.t.Fatal(err)
	}
	return answered{resp.StatusCode, resp.Header, string(raw)}
}

const (
	asPhone = "Authorization: Bearer phone-token"
	asDesk  = "Authorization: Bearer desk-token"
)

func TestRoutes(t *testing.T) {
	var ended []string
	var offered []device.Role
	for _, tc := range []struct {
		method, path, body, auth string
		status                   int
		code                     fault.Code // for errors
		holds                    string
	}{
		{"GET", "/healthz", "", "", 200, "", `{"ok":true,"version":"1.2.3"}`},
		{"POST", "/api/v1/join", `{"secret":"good","name":"My phone"}`, "", 200, "", `"token":"phone-token"`},
		{"POST", "/api/v1/join", `{"secret":"good","name":"My phone"}`, "", 200, "", `"server":{"name":"kitchen","fingerprint":"FINGER","addresses":["https://192.168.1.5:8311","https://10.0.0.3:8311"],"earlier_addresses":["https://localhost:8311","https://192.168.1.3:8311"]}`}, // the first is the one it came by
		{"POST", "/api/v1/join", `{"secret":"old"}`, "", 403, fault.SecretExpired, ""},
		{"POST", "/api/v1/join", `{"secret":"closed"}`, "", 429, fault.TooManyTries, ""},
		{"POST", "/api/v1/join", `{"secret":`, "", 400, fault.BadInput, ""},
		{"POST", "/api/v1/join", ``, "", 400, fault.BadInput, ""},
		{"GET", "/api/v1/me", "", asPhone, 200, "", `"device":{"id":"P","name":"Kitchen phone","role":"phone"}`},
		{"GET", "/api/v1/me", "", "", 401, fault.NotJoined, ""},
		{"GET", "/api/v1/me", "", "Authorization: Bearer wrong", 401, fault.NotJoined, ""},
		{"GET", "/api/v1/me", "", "Authorization: Basic phone-token", 401, fault.NotJoined, ""},
		{"GET", "/api/v1/me", "", "Authorization: phone-token", 401, fault.NotJoined, ""},
		{"GET", "/api/v1/me", "", "Authorization: bearer phone-token", 200, "", `"id":"P"`},
		{"PUT", "/api/v1/me", `{"name":"New"}`, asDesk, 200, "", `"name":"New"`},
		{"PUT", "/api/v1/me", `{"name":"New"}`, "", 401, fault.NotJoined, ""},
		{"DELETE", "/api/v1/me", "", asPhone, 204, "", ""},
		{"DELETE", "/api/v1/me", "", "", 401, fault.NotJoined, ""},
		{"POST", "/api/v1/prove", `{"nonce":"AAAAAAAAAAAAAAAAAAAAAA"}`, "", 200, "", `{"key":"dGhlIGtleQ","signature":"Zm9yIGxvY2FsaG9zdDo4MzExIEFBQUFBQUFBQUFBQUFBQUFBQUFBQUE","addresses":["https://192.168.1.5:8311",`},
		{"POST", "/api/v1/prove", `{"nonce":"AAAA"}`, "", 400, fault.BadInput, ""},
		{"POST", "/api/v1/prove", `{"nonce":"` + strings.Repeat("A", 88) + `"}`, "", 400, fault.BadInput, ""},
		{"POST", "/api/v1/prove", `{"nonce":"AAAAAAAAAAA\nAAAAAAAAAAA"}`, "", 400, fault.BadInput, ""},
		{"POST", "/api/v1/prove", `{}`, "", 400, fault.BadInput, ""},
		{"GET", "/api/v1/offer", "", asDesk, 200, "", `"url":"https://192.168.1.5:8311/#join=fresh-secret\u0026key=FINGER"`},
		{"GET", "/api/v1/offer?address=https://10.0.0.3:8311", "", asDesk, 200, "", `"url":"https://10.0.0.3:8311/#join`},
		{"GET", "/api/v1/offer?address=https://evil.example", "", asDesk, 400, fault.BadInput, ""},
		{"GET", "/api/v1/offer", "", asPhone, 403, fault.DeskOnly, ""},
		{"GET", "/api/v1/offer", "", "", 401, fault.NotJoined, ""},
		{"POST", "/api/v1/offer?address=https://10.0.0.3:8311", "", asDesk, 200, "", `"url":"https://10.0.0.3:8311/#join=fresh-secret`},
		{"POST", "/api/v1/offer?address=https://evil.example", "", asDesk, 400, fault.BadInput, ""},
		{"POST", "/api/v1/offer", "", asPhone, 403, fault.DeskOnly, ""},
		{"GET", "/api/v1/joining", "", asDesk, 200, "", `"closed":false`},
		{"GET", "/api/v1/joining", "", asPhone, 403, fault.DeskOnly, ""},
		{"GET", "/api/v1/devices", "", asDesk, 200, "", `"created":"2026-03-01T20:00:00Z","last_seen":"2026-03-01T21:00:00Z"`},
		{"GET", "/api/v1/devices", "", asPhone, 403, fault.DeskOnly, ""},
		{"DELETE", "/api/v1/devices/P", "", asDesk, 204, "", ""},
		{"DELETE", "/api/v1/devices/Q", "", asDesk, 404, fault.NotFound, ""},
		{"DELETE", "/api/v1/devices/P", "", asPhone, 403, fault.DeskOnly, ""},
		{"POST", "/api/v1/core/judge", `{"value":"3.11"}`, asPhone, 200, "", `{"ok":{"value":"3.11"}}`},
		{"POST", "/api/v1/core/nothing", `{}`, asPhone, 404, fault.NotFound, ""},
		{"POST", "/api/v1/core/judge", `{}`, "", 401, fault.NotJoined, ""},
		{"GET", "/api/v1/nothing", "", asPhone, 404, fault.NotFound, ""},
		{"POST", "/api/v1/me", "{}", asPhone, 405, fault.NotFound, ""},
		{"GET", "/api/v1/live", "", "", 400, fault.BadInput, ""},
	} {
		f := newFixture(t)
		headers := []string{}
		if tc.auth != "" {
			headers = append(headers, tc.auth)
		}
		a := f.do(f.secure, tc.method, tc.path, tc.body, headers...)
		name := tc.method + " " + tc.path + " " + tc.auth
		if a.status != tc.status || !strings.Contains(a.body, tc.holds) {
			t.Errorf("%s: %d %s, want %d with %s", name, a.status, a.body, tc.status, tc.holds)
			continue
		}
		if tc.code != "" {
			if got := a.code(t); got != tc.code {
				t.Errorf("%s: code %s, want %s", name, got, tc.code)
			}
		}
		if got := a.header.Get("Cache-Control"); got != "no-store" {
			t.Errorf("%s may be kept by a cache: %q", name, got)
		}
		ended, offered = append(ended, f.pairing.ended...), append(offered, f.pairing.offered...)
	}
	if len(ended) != 2 { // by the desk, and by itself
		t.Errorf("ended %v", ended)
	}
	for _, role := range offered {
		if role != device.Phone {
			t.Errorf("the offer made a secret for a %s", role)
		}
	}
}

// TestClosedJoiningIsOpenedByAPersonOnly: a page that renews its code by itself
// is refused, and told why.
func TestClosedJoiningIsOpenedByAPersonOnly(t *testing.T) {
	f := newFixture(t)
	f.pairing.closed = true
	for range 2 {
		if a := f.do(f.secure, "GET", "/api/v1/offer", "", asDesk); a.status != 429 || a.code(t) != fault.TooManyTries {
			t.Errorf("renewing: %d %s", a.status, a.body)
		}
		if a := f.do(f.secure, "GET", "/api/v1/joining", "", asDesk); a.status != 200 || !strings.Contains(a.body, `"closed":true`) {
			t.Errorf("joining: %d %s", a.status, a.body)
		}
	}
	if problem := openapitest.Read(description, joinapi.Description).Answer("get", "/api/v1/offer", 429, []byte(`{"error":{"code":"too-many-tries","sentence":"x"}}`)); problem != "" {
		t.Error(problem)
	}
	// What can't be offered opens nothing.
	if a := f.do(f.secure, "POST", "/api/v1/offer?address=https://evil.example", "", asDesk); a.status != 400 || !f.pairing.Closed() {
		t.Errorf("a strange address: %d %s", a.status, a.body)
	}
	if a := f.do(f.secure, "POST", "/api/v1/offer", "", asDesk); a.status != 200 || f.pairing.Closed() {
		t.Errorf("asking: %d %s", a.status, a.body)
	}
}

// TestTheDeskShowsTheLinesOfTheTrustPage, and none where there is no such page.
func TestTheDeskShowsTheLinesOfTheTrustPage(t *testing.T) {
	var lines struct {
		AuthorityLines []string `json:"authority_lines"`
	}
	f := newFixture(t)
	if err := json.Unmarshal([]byte(f.do(f.secure, "GET", "/api/v1/joining", "", asDesk).body), &lines); err != nil {
		t.Fatal(err)
	}
	page := f.do(f.plain, "GET", "/trust", "").body
	if len(lines.AuthorityLines) != 4 {
		t.Errorf("%q", lines.AuthorityLines)
	}
	for _, l := range lines.AuthorityLines {
		if !strings.Contains(page, "<code>"+l+"</code>") {
			t.Errorf("the page has no %s", l)
		}
	}
	own := newFixture(t, func(c *Config) { c.Authority = Authority{} })
	if a := own.do(own.secure, "GET", "/api/v1/joining", "", asDesk); !strings.Contains(a.body, `"authority_lines":[]`) {
		t.Errorf("with a certificate of one's own: %s", a.body)
	}
}

func TestCausesAndSecretsStayOutOfAnswersAndLog(t *testing.T) {
	f := newFixture(t)
	f.pairing.broken = errors.New("disk at /private/path failed")
	a := f.do(f.secure, "POST", "/api/v1/join", `{"secret":"the-secret","name":"x"}`, "Referer: https://localhost/?the-secret")
	if a.status != 500 || a.code(t) != fault.Internal || strings.Contains(a.body, "/private/path") {
		t.Errorf("%d %s", a.status, a.body)
	}
	if !strings.Contains(f.log.String(), "/private/path") {
		t.Error("the cause is not in the log")
	}
	f.do(f.secure, "GET", "/api/v1/me?token=phone-token", "", asPhone)
	for _, secret := range []string{"the-secret", "phone-token"} {
		if strings.Contains(f.log.String(), secret) {
			t.Errorf("the log holds %q:\n%s", secret, f.log)
		}
	}
}

func TestAPanicIsAnsweredAndLogged(t *testing.T) {
	f := newFixture(t, func(c *Config) {
		c.Core = func(_, _ string, _ []byte) []byte { panic("index out of range") }
	})
	a := f.do(f.secure, "POST", "/api/v1/core/judge", "{}", asPhone)
	if a.status != 500 || a.code(t) != fault.Internal || strings.Contains(a.body, "index") {
		t.Errorf("%d %s", a.status, a.body)
	}
	if !strings.Contains(f.log.String(), "index out of range") {
		t.Error("the panic is not in the log")
	}
}
