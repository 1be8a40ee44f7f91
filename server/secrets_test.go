package main

import (
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"fmt"
	"net/http"
	"strings"
	"testing"

	"github.com/gorilla/websocket"

	"panside/internal/device"
	"panside/server/config"
)

// TestNoSecretInAnyLog does all that secrets and tokens are for, and what goes
// wrong with them, with the log at its most talkative; then looks for each of
// them, and for the hashes that are stored in their place.
func TestNoSecretInAnyLog(t *testing.T) {
	t.Parallel()
	k := open(t, config.Config{})
	secrets := map[string]string{}
	keep := func(what, text string) string { secrets[what] = text; return text }

	desk := k.join(device.Desk)
	keep("the desk's token", desk.Token)
	used := keep("a used secret", secretOf(t, k.Invite(device.Phone)))
	_, phone := k.tryJoin(used)
	keep("the phone's token", phone.Token)
	keep("an open secret", secretOf(t, k.Invite(device.Phone)))
	var offer struct{ URL string }
	k.ask("GET", "/api/v1/offer", desk.Token, nil, &offer)
	keep("an offered secret", secretOf(t, offer.URL))
	k.tryJoin(used)
	k.tryJoin(keep("a wrong secret", "WrongSecretWrongSecretW"))
	// Not JSON, with a secret in it; and far too much of it.
	for _, body := range []string{`{"secret":"` + keep("a garbled secret", "GarbledSecretGarbledSec") + `"`, strings.Repeat("GarbledSecretGarbledSec", 1<<16)} {
		resp, err := k.client.Post(k.url("/api/v1/join"), "application/json", strings.NewReader(body))
		if err != nil {
			t.Logf("the server closed while it was sent: %v", err)
			continue
		}
		resp.Body.Close()
	}

	// The token where it belongs, and where it doesn't.
	k.ask("GET", "/api/v1/me", phone.Token, nil, nil)
	k.ask("GET", "/api/v1/me?token="+phone.Token, "", nil, nil)
	k.ask("POST", "/api/v1/core/judge", phone.Token, map[string]string{"country": "nowhere"}, nil)
	k.ask("GET", "/api/v1/devices", phone.Token, nil, nil) // desk only
	r, err := http.NewRequest("GET", k.url("/api/v1/me"), nil)
	if err != nil {
		t.Fatal(err)
	}
	r.Header.Set("Origin", "https://evil.example")
	r.Header.Set("Referer", offer.URL)
	r.Header.Set("Authorization", "Bearer "+phone.Token)
	if resp, err := k.client.Do(r); err == nil {
		resp.Body.Close()
	}
	until(t, k.socket(phone.Token), "its first message", func(m live) bool { return m.Type == "weight" })
	until(t, k.socket(keep("a wrong token", "WrongTokenWrongTokenWrongTokenWrongTokenWro")), "the goodbye", isBye)
	garbled := k.rawSocket()
	if err := garbled.WriteMessage(websocket.TextMessage, []byte(`{"type":"hello","token":"`+phone.Token)); err != nil {
		t.Fatal(err)
	}
	until(t, garbled, "the goodbye", isBye)

	// Now the records fail under each of them.
	if err := k.db.Close(); err != nil {
		t.Fatal(err)
	}
	open := secretOf(t, k.Invite(device.Phone))
	keep("a secret that can't be stored", open)
	if status, _ := k.tryJoin(open); status != 500 {
		t.Errorf("joining without records: %d", status)
	}
	if status := k.ask("GET", "/api/v1/me", phone.Token, nil, nil); status != 500 {
		t.Errorf("asking without records: %d", status)
	}
	until(t, k.socket(phone.Token), "the goodbye", isBye)

	log := k.log.String()
	for _, sign := range []string{"a device joined", "a code was refused", "a token was refused", "request failed", "level=DEBUG", "can’t check a token"} {
		if !strings.Contains(log, sign) {
			t.Errorf("the log lacks %q, so this test looks at too little", sign)
		}
	}
	for what, secret := range secrets {
		sum := sha256.Sum256([]byte(secret))
		for form, text := range map[string]string{
			"": secret, " in hexadecimal": hex.EncodeToString([]byte(secret)),
			" as its hash": hex.EncodeToString(sum[:]), " as its hash in base64": base64.RawStdEncoding.EncodeToString(sum[:]),
			" as its hash in decimal": strings.Trim(fmt.Sprint(sum[:8]), "[]"),
		} {
			if strings.Contains(log, text) {
				t.Errorf("the log holds %s%s", what, form)
			}
		}
	}
	if t.Failed() {
		t.Log(log)
	}
}
