package main

import (
	"bytes"
	"crypto/tls"
	"crypto/x509"
	"io"
	"log/slog"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/gorilla/websocket"

	"panside/internal/device"
	"panside/internal/fault"
	"panside/internal/mass"
	"panside/server/config"
)

func TestAScannedPhoneSeesTheWeight(t *testing.T) {
	t.Parallel()
	k := open(t, config.Config{Name: "kitchen"})
	link := k.Invite(device.Phone)
	if !strings.HasPrefix(link, k.url("/#join=")) {
		t.Errorf("the code leads to %s", link)
	}
	status, j := k.tryJoin(secretOf(t, link))
	if status != 200 || j.Device.Name != "Kitchen phone" || j.Server.Name != "kitchen" || !strings.HasSuffix(link, "&key="+j.Server.Fingerprint) {
		t.Fatalf("joined: %d %+v by %s", status, j, link)
	}
	conn := k.socket(j.Token)
	k.pan <- cent(3.11)
	until(t, conn, "the cent", weighs(3.11))
	k.pan <- cent(2.5)
	until(t, conn, "the other cent", weighs(2.5))

	var me joinedAs
	if status := k.ask("GET", "/api/v1/me", j.Token, nil, &me); status != 200 || me.Device != j.Device {
		t.Errorf("me: %d %+v", status, me)
	}
}

func TestADeskOffersACodeToAPhone(t *testing.T) {
	t.Parallel()
	k := open(t, config.Config{})
	desk := k.join(device.Desk)
	var offer struct {
		URL       string
		QR        string `json:"qr_svg"`
		ExpiresIn int    `json:"expires_in_s"`
	}
	if status := k.ask("GET", "/api/v1/offer", desk.Token, nil, &offer); status != 200 || !strings.HasPrefix(offer.QR, "<svg") || offer.ExpiresIn <= 0 {
		t.Fatalf("offer: %d %+v", status, offer)
	}
	if status, j := k.tryJoin(secretOf(t, offer.URL)); status != 200 || j.Device.Role != "phone" {
		t.Errorf("joined: %d %+v", status, j)
	}
}

// TestADeskFromElsewhere: tests talk to loopback only, so what the HTTP side says
// of the place is given here.
func TestADeskFromElsewhere(t *testing.T) {
	t.Parallel()
	for anywhere, want := range map[bool]fault.Code{false: fault.DeskOnly, true: ""} {
		k := open(t, config.Config{DeskAnywhere: anywhere})
		_, _, err := k.pairing.Join(t.Context(), secretOf(t, k.Invite(device.Desk)), "", false)
		if (err == nil) != anywhere || err != nil && fault.Of(err).Code != want {
			t.Errorf("with --desk-anywhere %v: %v", anywhere, err)
		}
	}
}

// TestAWrongTokenOnTheLiveStreamIsLogged, and a stream that never said whose it is
// isn't.
func TestAWrongTokenOnTheLiveStreamIsLogged(t *testing.T) {
	t.Parallel()
	k := open(t, config.Config{})
	const line = `msg="a live stream was refused" address=127.0.0.1 code=not-joined`
	mute := k.rawSocket()
	if err := mute.WriteMessage(websocket.TextMessage, []byte("{}")); err != nil {
		t.Fatal(err)
	}
	until(t, mute, "the goodbye", isBye)
	mute.Close()
	wrong := k.socket("wrong")
	until(t, wrong, "the goodbye", isBye)
	wrong.Close() // the server waits for that, to have its goodbye read
	for began := time.Now(); !strings.Contains(k.log.String(), line); runtime.Gosched() {
		if time.Since(began) > patience {
			t.Fatalf("the log has %s", k.log)
		}
	}
	if n := strings.Count(k.log.String(), line); n != 1 {
		t.Errorf("%d lines", n)
	}
}

func TestWrongUsedAndExpiredSecrets(t *testing.T) {
	t.Parallel()
	k := open(t, config.Config{})
	used, old := secretOf(t, k.Invite(device.Phone)), secretOf(t, k.Invite(device.Phone))
	if status, _ := k.tryJoin(used); status != 200 {
		t.Fatalf("joining: %d", status)
	}
	k.clock.forward(startSecretLife)
	for what, secret := range map[string]string{"wrong": "AAAAAAAAAAAAAAAAAAAAAA", "none": "", "used": used, "old": old} {
		if status, j := k.tryJoin(secret); status != 403 || j.Error.Code != fault.SecretExpired || j.Token != "" {
			t.Errorf("%s: %d %+v", what, status, j)
		}
	}
	fresh := secretOf(t, k.Invite(device.Phone))
	// One address alone is stopped before it can close joining for all.
	k.guess(5, "127.0.0.8")
	k.guess(5, "127.0.0.9")
	if status, j := k.tryJoin(fresh); status != 429 || j.Error.Code != fault.TooManyTries {
		t.Errorf("behind a closed window: %d %+v", status, j)
	}
	for _, secret := range []string{used, old, fresh} {
		if strings.Contains(k.log.String(), secret) {
			t.Error("a secret stands in the log")
		}
	}
}

func TestForeignPagesAreRefused(t *testing.T) {
	t.Parallel()
	k := open(t, config.Config{})
	phone := k.join(device.Phone)
	for _, header := range []string{"Origin", "Host"} {
		r, err := http.NewRequest("GET", k.url("/api/v1/me"), nil)
		if err != nil {
			t.Fatal(err)
		}
		r.Header.Set("Authorization", "Bearer "+phone.Token)
		if header == "Host" {
			r.Host = "evil.example"
		} else {
			r.Header.Set("Origin", "https://evil.example")
		}
		resp, err := k.client.Do(r)
		if err != nil {
			t.Fatal(err)
		}
		resp.Body.Close()
		if resp.StatusCode != 403 {
			t.Errorf("foreign %s: %d", header, resp.StatusCode)
		}
	}
}

func TestAnEndedPhoneIsOutAtOnce(t *testing.T) {
	t.Parallel()
	k := open(t, config.Config{})
	desk, phone, other := k.join(device.Desk), k.join(device.Phone), k.join(device.Phone)
	conn, stays := k.socket(phone.Token), k.socket(other.Token)
	k.pan <- cent(3.11)
	until(t, conn, "the cent", weighs(3.11))
	until(t, stays, "the cent", weighs(3.11))

	if status := k.ask("DELETE", "/api/v1/devices/"+phone.Device.ID, desk.Token, nil, nil); status != 204 {
		t.Fatalf("ending: %d", status)
	}
	if bye := until(t, conn, "the goodbye", isBye); bye.Code != fault.NotJoined {
		t.Errorf("goodbye %+v", bye)
	}
	if _, _, err := conn.ReadMessage(); !websocket.IsCloseError(err, websocket.ClosePolicyViolation) {
		t.Errorf("closed by %v", err)
	}
	if status := k.ask("GET", "/api/v1/me", phone.Token, nil, nil); status != 401 {
		t.Errorf("the ended phone's token: %d", status)
	}
	if bye := until(t, k.socket(phone.Token), "the goodbye", isBye); bye.Code != fault.NotJoined {
		t.Errorf("a new socket with the ended token: %+v", bye)
	}
	k.pan <- cent(2.5)
	until(t, stays, "the other phone's weight", weighs(2.5))
	var list struct{ Devices []struct{ ID string } }
	if k.ask("GET", "/api/v1/devices", desk.Token, nil, &list); len(list.Devices) != 2 {
		t.Errorf("listed %+v", list)
	}
}

func TestAnOversizeFrameEndsOneSocketOnly(t *testing.T) {
	t.Parallel()
	k := open(t, config.Config{})
	phone := k.join(device.Phone)
	bad, good := k.socket(phone.Token), k.socket(phone.Token)
	if err := bad.WriteMessage(websocket.TextMessage, bytes.Repeat([]byte(" "), 1<<20)); err != nil {
		t.Logf("the server closed while the frame was sent: %v", err)
	}
	for {
		_, _, err := bad.ReadMessage()
		if err == nil {
			continue
		}
		// Closing may overtake the close frame, since a megabyte is still under
		// way to the server.
		if timedOut(err) {
			t.Fatal("the socket stays open")
		}
		break
	}
	k.pan <- cent(3.11)
	until(t, good, "the cent", weighs(3.11))
}

// TestASlowPhoneDelaysNobody: one phone stops reading. The other gets every
// weight, until the slow one's buffers are full and weights are skipped.
func TestASlowPhoneDelaysNobody(t *testing.T) {
	t.Parallel()
	k := open(t, config.Config{})
	phone := k.join(device.Phone)
	k.socket(phone.Token) // reads nothing
	quick := k.socket(phone.Token)
	until(t, quick, "its first message", func(m live) bool { return m.Type == "weight" })
	for i := 1; k.hub.Stats().Phones < 2 || k.hub.Stats().Dropped == 0; i++ {
		k.pan <- cent(mass.Grams(i))
		until(t, quick, "its weight", weighs(float64(i)))
		if i == 100_000 {
			t.Fatal("nothing is ever skipped for a phone that doesn't read")
		}
	}
}

func TestStoppingTellsThePhones(t *testing.T) {
	t.Parallel()
	k := open(t, config.Config{})
	conn := k.socket(k.join(device.Phone).Token)
	until(t, conn, "its first message", func(m live) bool { return m.Type == "weight" })
	silent, err := net.Dial("tcp", k.Addr().String()) // says nothing
	if err != nil {
		t.Fatal(err)
	}
	defer silent.Close()
	addr, began := k.Addr().String(), time.Now()
	k.close()
	if took := time.Since(began); took > hubCloseWithin+2*appCloseWithin {
		t.Errorf("stopping took %v", took)
	}
	if bye := until(t, conn, "the goodbye", isBye); bye.Code != fault.Stopping {
		t.Errorf("goodbye %+v", bye)
	}
	if _, _, err := conn.ReadMessage(); !websocket.IsCloseError(err, websocket.CloseGoingAway) {
		t.Errorf("closed by %v", err)
	}
	if c, err := net.Dial("tcp", addr); err == nil {
		c.Close()
		t.Error("the port is still open")
	}
}

func TestStopRightAfterStart(t *testing.T) {
	t.Parallel()
	for range 5 {
		open(t, config.Config{}).close()
	}
}

// TestJoinedForYears: token, authority and server certificate outlive a
// restart.
func TestJoinedForYears(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	k := open(t, config.Config{Data: dir})
	phone := k.join(device.Phone)
	shown := func(k *kitchen) *x509.Certificate {
		resp, err := k.client.Get(k.url("/healthz"))
		if err != nil {
			t.Fatal(err)
		}
		resp.Body.Close()
		return resp.TLS.PeerCertificates[0]
	}
	before := shown(k)
	k.close()

	k = open(t, config.Config{Data: dir})
	var me joinedAs
	if status := k.ask("GET", "/api/v1/me", phone.Token, nil, &me); status != 200 || me.Server.Fingerprint != phone.Server.Fingerprint {
		t.Errorf("after a restart: %d %+v", status, me)
	}
	if !shown(k).Equal(before) {
		t.Error("the server certificate changed without need")
	}
}

// TestACertificateForEveryAddress reaches the server by an address of this
// computer that it didn't know when it started.
func TestACertificateForEveryAddress(t *testing.T) {
	t.Parallel()
	k := open(t, config.Config{Listen: "0.0.0.0:0"})
	_, port, err := net.SplitHostPort(k.Addr().String())
	if err != nil {
		t.Fatal(err)
	}
	for _, host := range []string{"127.0.0.1", "localhost", "127.0.0.2", "127.0.0.1"} {
		resp, err := k.client.Get("https://" + net.JoinHostPort(host, port) + "/healthz")
		if err != nil {
			t.Errorf("%s: %v", host, err)
			continue
		}
		resp.Body.Close()
		k.client.CloseIdleConnections()
	}
}

func TestTheDeskIsLedToAnAddressThatAnswers(t *testing.T) {
	t.Parallel()
	for listen, want := range map[string]string{
		"127.0.0.1:0": "https://localhost:", "0.0.0.0:0": "https://localhost:", "127.0.0.2:0": "https://127.0.0.2:",
	} {
		k := open(t, config.Config{Listen: listen})
		link := k.Invite(device.Desk)
		if !strings.HasPrefix(link, want) {
			t.Errorf("listening on %s leads to %s", listen, link)
		}
		address, _, _ := strings.Cut(link, "/#")
		resp, err := k.client.Get(address + "/healthz")
		if err != nil {
			t.Errorf("listening on %s: %v", listen, err)
			continue
		}
		resp.Body.Close()
	}
}

// TestTrustOverPlainHTTP takes the steps of a phone that trusts nothing yet.
func TestTrustOverPlainHTTP(t *testing.T) {
	t.Parallel()
	k := open(t, config.Config{})
	get := func(client *http.Client, url string) string {
		resp, err := client.Get(url)
		if err != nil {
			t.Fatal(err)
		}
		defer resp.Body.Close()
		body, err := io.ReadAll(resp.Body)
		if err != nil {
			t.Fatal(err)
		}
		return string(body)
	}
	trusting := &http.Transport{}
	stranger := &http.Client{Transport: trusting, Timeout: patience}
	defer stranger.CloseIdleConnections()
	if resp, err := stranger.Get(k.url("/healthz")); err == nil {
		resp.Body.Close()
		t.Fatal("a stranger trusts the server")
	}
	if page := get(stranger, "http://"+k.Addr().String()+"/"); !strings.Contains(page, "/panside-authority.crt") {
		t.Fatalf("the page has no certificate: %s", page)
	}
	ca, err := x509.ParseCertificate([]byte(get(stranger, "http://"+k.Addr().String()+"/panside-authority.crt")))
	if err != nil {
		t.Fatal(err)
	}
	roots := x509.NewCertPool()
	roots.AddCert(ca)
	trusting.CloseIdleConnections()
	trusting = &http.Transport{TLSClientConfig: &tls.Config{RootCAs: roots}}
	defer trusting.CloseIdleConnections()
	if body := get(&http.Client{Transport: trusting, Timeout: patience}, k.url("/healthz")); !strings.Contains(body, `"ok":true`) {
		t.Errorf("with trust: %s", body)
	}
}

func TestTheUsersOwnCertificate(t *testing.T) {
	t.Parallel()
	first := open(t, config.Config{})
	pair := filepath.Join(first.cfg.Data, "server.pem") // a certificate and its key
	k := open(t, config.Config{Cert: pair, Key: pair})
	k.client = first.client // trusts the certificate's authority, not k's own
	if status := k.ask("GET", "/healthz", "", nil, nil); status != 200 {
		t.Errorf("status %d", status)
	}
	if link := k.Invite(device.Phone); !strings.HasPrefix(link, "https://localhost:") {
		t.Errorf("the code leads to %s, which the certificate isn't for", link)
	}
}

func TestStartThatFailsSaysWhyAndLeavesNothingOpen(t *testing.T) {
	t.Parallel()
	running := open(t, config.Config{})
	broken := t.TempDir()
	if err := os.WriteFile(filepath.Join(broken, "panside.db"), []byte(strings.Repeat("garbage", 1000)), 0o600); err != nil {
		t.Fatal(err)
	}
	for what, tc := range map[string]struct {
		cfg  config.Config
		want fault.Code
	}{
		"address taken": {config.Config{Listen: running.Addr().String()}, fault.AddressBusy},
		"damaged file":  {config.Config{Data: broken}, fault.Damaged},
		"no folder":     {config.Config{Data: filepath.Join(broken, "panside.db")}, fault.DataFolder},
		"no cert file":  {config.Config{Cert: filepath.Join(broken, "none.pem"), Key: filepath.Join(broken, "none.pem")}, fault.Certificate},
	} {
		if tc.cfg.Data == "" {
			tc.cfg.Data = t.TempDir()
		}
		if tc.cfg.Listen == "" {
			tc.cfg.Listen = "127.0.0.1:0"
		}
		app := New(tc.cfg, make(fakeScale).scale(), slog.New(slog.DiscardHandler))
		err := app.Start(t.Context())
		if err == nil {
			t.Errorf("%s: started", what)
			_ = app.Stop()
			continue
		}
		if got := fault.Of(err).Code; got != tc.want {
			t.Errorf("%s: %v, want %s", what, err, tc.want)
		}
		if app.ln != nil {
			t.Errorf("%s: still listening", what)
		}
	}
}

// TestThePrintedCodesLiveAsDescribed also finds every limit in the document that
// is served.
func TestThePrintedCodesLiveAsDescribed(t *testing.T) {
	t.Parallel()
	k := open(t, config.Config{})
	var doc struct {
		Limits map[string]float64 `json:"x-limits"`
	}
	if status := k.ask("GET", "/api/v1/openapi.json", "", nil, &doc); status != 200 || doc.Limits["printed_code_seconds"] != startSecretLife.Seconds() {
		t.Errorf("%d, described as %v, it is %v", status, doc.Limits["printed_code_seconds"], startSecretLife)
	}
	if doc.Limits["entries_a_push"] == 0 || doc.Limits["sockets"] == 0 {
		t.Errorf("the document has %v", doc.Limits)
	}
}
