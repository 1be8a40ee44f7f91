package main

import (
	"bytes"
	"crypto/rand"
	"crypto/tls"
	"encoding/base64"
	"encoding/json"
	"io"
	"net"
	"net/http"
	"slices"
	"strings"
	"testing"

	"github.com/gorilla/websocket"

	"panside/internal/device"
	"panside/internal/fault"
	"panside/server/certs"
	"panside/server/config"
)

// page is the app in a browser: it has an origin, and sends what a browser
// lets a page of that origin send.
type page struct {
	t      *testing.T
	client *http.Client
	origin string
	token  string
	key    string // the fingerprint from the code
}

// fetch asks first where a browser would (the Fetch standard, CORS preflight),
// then sends, and fails where a browser would keep the answer from the page.
func (p *page) fetch(method, address, path string, in, out any) (status int) {
	p.t.Helper()
	cross := address != p.origin
	if cross {
		r := p.request("OPTIONS", address, path, nil)
		r.Header.Set("Access-Control-Request-Method", method)
		r.Header.Set("Access-Control-Request-Headers", "authorization,content-type")
		resp, _ := p.do(r)
		allowed := strings.Split(resp.Header.Get("Access-Control-Allow-Methods"), ", ")
		if resp.StatusCode/100 != 2 || resp.Header.Get("Access-Control-Allow-Origin") != p.origin || !slices.Contains(allowed, method) ||
			resp.Header.Get("Access-Control-Allow-Headers") != "authorization,content-type" {
			p.t.Fatalf("%s %s%s may not be sent by a page of %s: %d %v", method, address, path, p.origin, resp.StatusCode, resp.Header)
		}
	}
	r := p.request(method, address, path, in)
	r.Header.Set("Authorization", "Bearer "+p.token)
	r.Header.Set("Content-Type", "application/json")
	resp, body := p.do(r)
	if cross && resp.Header.Get("Access-Control-Allow-Origin") != p.origin {
		p.t.Fatalf("a page of %s may not read %s %s%s", p.origin, method, address, path)
	}
	if out != nil {
		if err := json.Unmarshal(body, out); err != nil {
			p.t.Fatalf("%s %s%s: %v in %s", method, address, path, err, body)
		}
	}
	return resp.StatusCode
}

func (p *page) request(method, address, path string, in any) *http.Request {
	p.t.Helper()
	body, err := json.Marshal(in)
	if err != nil {
		p.t.Fatal(err)
	}
	r, err := http.NewRequest(method, address+path, bytes.NewReader(body))
	if err != nil {
		p.t.Fatal(err)
	}
	r.Header.Set("Origin", p.origin)
	return r
}

func (p *page) do(r *http.Request) (*http.Response, []byte) {
	p.t.Helper()
	resp, err := p.client.Do(r)
	if err != nil {
		p.t.Fatal(err)
	}
	defer resp.Body.Close()
	body, err := io.ReadAll(resp.Body)
	if err != nil {
		p.t.Fatal(err)
	}
	return resp, body
}

// knows reports whether the server at an address proves to be the one joined.
func (p *page) knows(address string) (status int, err error) {
	p.t.Helper()
	raw := make([]byte, 16)
	rand.Read(raw)
	nonce := base64.RawURLEncoding.EncodeToString(raw)
	var answer struct{ Key, Signature string }
	status = p.fetch("POST", address, "/api/v1/prove", map[string]string{"nonce": nonce}, &answer)
	return status, p.check(strings.TrimPrefix(address, "https://"), nonce, answer.Key, answer.Signature)
}

func (p *page) check(host, nonce, key, signature string) error {
	p.t.Helper()
	var proof certs.Proof
	var err error
	if proof.Key, err = base64.RawURLEncoding.DecodeString(key); err != nil {
		p.t.Fatal(err)
	}
	if proof.Signature, err = base64.RawURLEncoding.DecodeString(signature); err != nil {
		p.t.Fatal(err)
	}
	return proof.Verify(p.key, host, nonce)
}

// live opens the live stream at an address and says hello.
func (p *page) live(address string) *websocket.Conn {
	p.t.Helper()
	dialer := websocket.Dialer{TLSClientConfig: p.client.Transport.(*http.Transport).TLSClientConfig, HandshakeTimeout: patience}
	conn, _, err := dialer.Dial("wss"+strings.TrimPrefix(address, "https")+"/api/v1/live", http.Header{"Origin": {p.origin}})
	if err != nil {
		p.t.Fatal(err)
	}
	p.t.Cleanup(func() { conn.Close() })
	patiently(p.t, conn)
	if err := conn.WriteJSON(map[string]string{"type": "hello", "token": p.token}); err != nil {
		p.t.Fatal(err)
	}
	return conn
}

// TestTheLaptopMovesAndThePhoneStays: the server comes back at another address
// while the phone's page stays on the origin where its records are. Everything
// it did before, it does across.
func TestTheLaptopMovesAndThePhoneStays(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	k := open(t, config.Config{Data: dir})
	joined := k.join(device.Phone)
	phone := &page{t: t, client: k.client, origin: k.url(""), token: joined.Token, key: joined.Server.Fingerprint}
	if status, err := phone.knows(phone.origin); err != nil {
		t.Fatalf("at home: %d %v", status, err)
	}
	until(t, phone.live(phone.origin), "its first message", func(m live) bool { return m.Type == "weight" })
	k.close()

	k = open(t, config.Config{Data: dir, Listen: "127.0.0.2:0"})
	now := k.url("")
	if status, err := phone.knows(now); err != nil {
		t.Fatalf("at the new address: %d %v", status, err)
	}
	var me struct {
		Device joinedAsDevice
		Server struct {
			Addresses []string
			Earlier   []string `json:"earlier_addresses"`
		}
	}
	if status := phone.fetch("GET", now, "/api/v1/me", nil, &me); status != 200 || me.Device.ID != joined.Device.ID {
		t.Errorf("me: %d %+v", status, me)
	}
	if !slices.Equal(me.Server.Addresses, []string{now}) || !slices.Equal(me.Server.Earlier, []string{phone.origin}) {
		t.Errorf("addresses %+v", me.Server)
	}
	if status := phone.fetch("PUT", now, "/api/v1/me", map[string]string{"name": "Moved"}, &me); status != 200 || me.Device.Name != "Moved" {
		t.Errorf("renaming: %d %+v", status, me)
	}
	if status := phone.fetch("POST", now, "/api/v1/core/book", map[string]string{}, nil); status != 200 {
		t.Errorf("the core: %d", status)
	}
	conn := phone.live(now)
	k.pan <- cent(3.11)
	until(t, conn, "the cent", weighs(3.11))

	// The page at the old address is as powerless as any without its token.
	stranger := *phone
	stranger.token = "AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA"
	if status := stranger.fetch("GET", now, "/api/v1/me", nil, nil); status != 401 {
		t.Errorf("an old page without a token: %d", status)
	}
	r := phone.request("GET", now, "/api/v1/me", nil)
	r.Header.Set("Origin", "https://127.0.0.3"+phone.origin[strings.LastIndex(phone.origin, ":"):])
	r.Header.Set("Authorization", "Bearer "+phone.token)
	if resp, _ := phone.do(r); resp.StatusCode != 403 || resp.Header.Get("Access-Control-Allow-Origin") != "" {
		t.Errorf("an address the server never had: %d %v", resp.StatusCode, resp.Header)
	}
}

type joinedAsDevice struct{ ID, Name, Role string }

// TestAnotherServerAtTheOldAddressIsRefused: it has no key to prove itself by,
// and can't borrow the right server's word for it either.
func TestAnotherServerAtTheOldAddressIsRefused(t *testing.T) {
	t.Parallel()
	k := open(t, config.Config{Listen: "127.0.0.2:0"})
	joined := k.join(device.Phone)

	// Another household's laptop got the address; the phone doesn't mind its
	// certificate, as after a warning that was clicked away.
	other := open(t, config.Config{})
	careless := &http.Client{Transport: &http.Transport{TLSClientConfig: &tls.Config{InsecureSkipVerify: true}}, Timeout: patience}
	t.Cleanup(careless.CloseIdleConnections)
	phone := &page{t: t, client: careless, origin: other.url(""), token: joined.Token, key: joined.Server.Fingerprint}
	if status, err := phone.knows(other.url("")); err == nil || status != 200 {
		t.Errorf("another key is believed: %d", status)
	}

	// A stranger at the old address passes the question on, under each host it
	// can name.
	nonce := "AAAAAAAAAAAAAAAAAAAAAA"
	ask := func(host string) (status int, answer struct {
		Key, Signature string
		Error          struct{ Code fault.Code }
	}) {
		r := phone.request("POST", k.url(""), "/api/v1/prove", map[string]string{"nonce": nonce})
		r.Header.Del("Origin")
		r.Host = host
		resp, body := phone.do(r)
		if err := json.Unmarshal(body, &answer); err != nil {
			t.Fatalf("%v in %s", err, body)
		}
		return resp.StatusCode, answer
	}
	oldHost := other.Addr().String()
	if status, answer := ask(oldHost); status != 403 || answer.Error.Code != fault.WrongOrigin || answer.Signature != "" {
		t.Errorf("the server vouches for an address it doesn't have: %d %+v", status, answer)
	}
	status, answer := ask(k.Addr().String())
	if status != 200 {
		t.Fatalf("its own address: %d %+v", status, answer)
	}
	if err := phone.check(oldHost, nonce, answer.Key, answer.Signature); err == nil {
		t.Error("a proof for the new address is good for the old one")
	}
	if err := phone.check(k.Addr().String(), nonce, answer.Key, answer.Signature); err != nil {
		t.Errorf("the proof isn't even good for its own address: %v", err)
	}
	if _, port, err := net.SplitHostPort(oldHost); err != nil || port == "" {
		t.Fatal(err)
	}
}
