package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"net"
	"net/http"
	"strings"
	"testing"

	"github.com/gorilla/websocket"

	"panside/internal/device"
	"panside/internal/fault"
	"panside/server/config"
)

// from is a client that comes from another address of this computer.
func (k *kitchen) from(address string) *http.Client {
	k.t.Helper()
	dialer := net.Dialer{LocalAddr: &net.TCPAddr{IP: net.ParseIP(address)}}
	transport := &http.Transport{
		TLSClientConfig: k.client.Transport.(*http.Transport).TLSClientConfig,
		DialContext: func(ctx context.Context, _, addr string) (net.Conn, error) {
			return dialer.DialContext(ctx, "tcp", addr)
		},
	}
	k.t.Cleanup(transport.CloseIdleConnections)
	return &http.Client{Transport: transport, Timeout: patience}
}

// as does something with another client.
func (k *kitchen) as(client *http.Client, do func()) {
	own := k.client
	k.client = client
	defer func() { k.client = own }()
	do()
}

// guess tries wrong secrets from an address and counts the answers by code.
func (k *kitchen) guess(n int, address string) map[fault.Code]int {
	k.t.Helper()
	codes := map[fault.Code]int{}
	k.as(k.from(address), func() {
		for i := range n {
			status, j := k.tryJoin(fmt.Sprintf("%022d", i))
			if status == 200 || j.Token != "" {
				k.t.Fatalf("guess %d joined", i)
			}
			codes[j.Error.Code]++
		}
	})
	return codes
}

// TestAThousandGuessesFromOneAddress: five are looked at, the rest is sent
// away, and everybody else can join meanwhile.
func TestAThousandGuessesFromOneAddress(t *testing.T) {
	t.Parallel()
	k := open(t, config.Config{})
	right := secretOf(t, k.Invite(device.Phone))
	codes := k.guess(1000, "127.0.0.7")
	// One more for every twenty seconds that a slow machine takes.
	if n := codes[fault.SecretExpired]; n < 5 || n > 8 || n+codes[fault.SlowDown] != 1000 {
		t.Errorf("answered %v", codes)
	}
	if status, j := k.tryJoin(right); status != 200 {
		t.Errorf("the right code from elsewhere: %d %+v", status, j)
	}
}

// TestAThousandGuessesFromManyAddresses: ten close joining for all, also for
// the right secret, until a person asks for a fresh code.
func TestAThousandGuessesFromManyAddresses(t *testing.T) {
	t.Parallel()
	k := open(t, config.Config{})
	desk := k.join(device.Desk)
	right := secretOf(t, k.Invite(device.Phone))
	codes := map[fault.Code]int{}
	for i := range 50 {
		for code, n := range k.guess(20, fmt.Sprintf("127.0.1.%d", i+1)) {
			codes[code] += n
		}
	}
	if codes[fault.SecretExpired] != 10 || codes[fault.SecretExpired]+codes[fault.SlowDown]+codes[fault.TooManyTries] != 1000 {
		t.Errorf("answered %v", codes)
	}
	if status, j := k.tryJoin(right); status != 429 || j.Error.Code != fault.TooManyTries {
		t.Errorf("the right code behind a closed window: %d %+v", status, j)
	}
	if !strings.Contains(k.log.String(), "joining is closed") {
		t.Error("the log says nothing of it")
	}
	if status := k.ask("GET", "/api/v1/offer", desk.Token, nil, nil); status != 429 {
		t.Errorf("a desk that renews its code by itself: %d", status)
	}
	if status, j := k.tryJoin(right); status != 429 {
		t.Errorf("afterwards: %d %+v", status, j)
	}
	k.join(device.Phone)
	if status, j := k.tryJoin(right); status != 403 || j.Error.Code != fault.SecretExpired {
		t.Errorf("a code from before the window closed: %d %+v", status, j)
	}
}

// TestForeignHostsAndOriginsGetNoSocket: at the upgrade, before any token.
func TestForeignHostsAndOriginsGetNoSocket(t *testing.T) {
	t.Parallel()
	k := open(t, config.Config{})
	k.join(device.Phone) // the server's own origin is known now
	own := k.url("")
	for what, header := range map[string]http.Header{
		"foreign origin":         {"Origin": {"https://evil.example"}},
		"no origin of its own":   {"Origin": {"null"}},
		"plain HTTP":             {"Origin": {strings.Replace(own, "https:", "http:", 1)}},
		"another port":           {"Origin": {"https://127.0.0.1:1"}},
		"an address never had":   {"Origin": {strings.Replace(own, "127.0.0.1", "127.0.0.3", 1)}},
		"own origin as a prefix": {"Origin": {own + ".evil.example"}},
		"foreign host":           {"Host": {"evil.example"}, "Origin": {"https://evil.example"}},
		"foreign host, own page": {"Host": {"evil.example"}, "Origin": {own}},
	} {
		dialer := websocket.Dialer{TLSClientConfig: k.client.Transport.(*http.Transport).TLSClientConfig, HandshakeTimeout: patience}
		conn, resp, err := dialer.Dial("wss://"+k.Addr().String()+"/api/v1/live", header)
		if err == nil {
			conn.Close()
			t.Errorf("%s: the socket opens", what)
		} else if resp == nil || resp.StatusCode != 403 {
			t.Errorf("%s: %v", what, err)
		}
	}
}

// TestBadFirstMessages: none of them shows a weight, and each socket ends.
func TestBadFirstMessages(t *testing.T) {
	t.Parallel()
	k := open(t, config.Config{})
	phone := k.join(device.Phone)
	good := k.socket(phone.Token)
	k.pan <- cent(3.11)
	until(t, good, "the cent", weighs(3.11))
	ended := k.join(device.Phone)
	if status := k.ask("DELETE", "/api/v1/me", ended.Token, nil, nil); status != 204 {
		t.Fatalf("leaving: %d", status)
	}
	hello := func(token string) []byte {
		b, err := json.Marshal(map[string]string{"type": "hello", "token": token})
		if err != nil {
			t.Fatal(err)
		}
		return b
	}
	for what, m := range map[string]struct {
		kind int
		data []byte
	}{
		"an ended token":     {websocket.TextMessage, hello(ended.Token)},
		"a wrong token":      {websocket.TextMessage, hello(strings.Repeat("A", 43))},
		"no token":           {websocket.TextMessage, hello("")},
		"half a token":       {websocket.TextMessage, hello(phone.Token[:20])},
		"no JSON":            {websocket.TextMessage, []byte("\x00\xff{")},
		"another type":       {websocket.TextMessage, []byte(`{"type":"goodbye","token":"` + phone.Token + `"}`)},
		"bytes for text":     {websocket.BinaryMessage, hello(phone.Token)},
		"an oversize hello":  {websocket.TextMessage, append(hello(phone.Token), bytes.Repeat([]byte(" "), 1<<20)...)},
		"a device's id":      {websocket.TextMessage, hello(phone.Device.ID)},
		"a JSON bomb":        {websocket.TextMessage, bytes.Repeat([]byte("["), 4000)},
		"two JSON documents": {websocket.TextMessage, append(hello(phone.Token), hello(phone.Token)...)},
	} {
		conn := k.rawSocket()
		if err := conn.WriteMessage(m.kind, m.data); err != nil {
			t.Logf("%s: the server closed while it was sent: %v", what, err)
		}
		for {
			_, data, err := conn.ReadMessage()
			if timedOut(err) {
				t.Fatalf("%s: the socket stays open", what)
			}
			if err != nil {
				break
			}
			if !bytes.Contains(data, []byte(`"bye"`)) {
				t.Errorf("%s: got %s", what, data)
				break
			}
		}
	}
}

// TestAPhoneThatLeaves ends itself: its socket closes, its token is dead.
func TestAPhoneThatLeaves(t *testing.T) {
	t.Parallel()
	k := open(t, config.Config{})
	phone, other := k.join(device.Phone), k.join(device.Phone)
	conn, stays := k.socket(phone.Token), k.socket(other.Token)
	until(t, conn, "its first message", func(m live) bool { return m.Type == "weight" })
	if status := k.ask("DELETE", "/api/v1/me", phone.Token, nil, nil); status != 204 {
		t.Fatalf("leaving: %d", status)
	}
	if bye := until(t, conn, "the goodbye", isBye); bye.Code != fault.NotJoined {
		t.Errorf("goodbye %+v", bye)
	}
	if status := k.ask("GET", "/api/v1/me", phone.Token, nil, nil); status != 401 {
		t.Errorf("its token afterwards: %d", status)
	}
	k.pan <- cent(2.5)
	until(t, stays, "the other phone's weight", weighs(2.5))
}

// TestRefusedTokens: whatever is tried in their place.
func TestRefusedTokens(t *testing.T) {
	t.Parallel()
	k := open(t, config.Config{})
	phone := k.join(device.Phone)
	for _, header := range []string{
		"", "Bearer", "Bearer ", "Bearer  " + phone.Token, "bearer " + phone.Token, "bearer  " + phone.Token, "Basic " + phone.Token, phone.Token[:42],
		"Bearer " + phone.Token + " ", "Bearer " + phone.Token + "\t", "Bearer ' OR 1=1 --", "Bearer " + strings.Repeat("A", 4000),
		"Bearer " + phone.Device.ID, "Bearer " + strings.ToUpper(phone.Token),
	} {
		r, err := http.NewRequest("GET", k.url("/api/v1/me"), nil)
		if err != nil {
			t.Fatal(err)
		}
		// As it is, without the client's own tidying.
		r.Header["Authorization"] = []string{header}
		resp, err := k.client.Do(r)
		if err != nil {
			t.Errorf("%q: %v", header, err)
			continue
		}
		resp.Body.Close()
		// HTTP drops blanks at the end, and a scheme's case doesn't count (RFC 9110, 5.5 and 11.1).
		scheme, rest, _ := strings.Cut(strings.TrimRight(header, " \t"), " ")
		good := strings.EqualFold(scheme, "Bearer") && rest == phone.Token
		if want := map[bool]int{true: 200, false: 401}[good]; resp.StatusCode != want {
			t.Errorf("%q: %d, want %d", header, resp.StatusCode, want)
		}
	}
	for _, path := range []string{"/api/v1/me?token=" + phone.Token, "/api/v1/me?access_token=" + phone.Token} {
		if status := k.ask("GET", path, "", nil, nil); status != 401 {
			t.Errorf("a token in the address: %d", status)
		}
	}
}
