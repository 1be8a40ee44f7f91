package main

import (
	"encoding/json"
	"net/http"
	"strings"
	"testing"

	"github.com/gorilla/websocket"

	"panside/internal/fault"
	"panside/server/config"
)

// TestALaptopSpeaksItsReadersLanguage, to a phone and to a page, by HTTP and by the live
// stream at once; a language that there isn't gives English.
func TestALaptopSpeaksItsReadersLanguage(t *testing.T) {
	k := open(t, config.Config{})
	phone := k.join("phone")
	for language, want := range map[string]struct{ gone, field, refused, bye string }{
		"es": {
			"Esta foto todavía no está en la laptop. Está en el teléfono que la tomó y llega cuando ese esté cerca.",
			"No hay ningún campo “colr”. No se juzgó nada; los campos son country, ",
			"La laptop no puede leer esta anotación, quizá porque la app del teléfono es más nueva. Se queda en el teléfono; actualiza el programa de la laptop.",
			"Este teléfono no ha entrado en esta laptop, o se dio de baja ahí. No se perdió nada de lo que guarda el teléfono; muestra un código nuevo en la laptop y escanéalo para volver a entrar.",
		},
		"xx": {
			"This photo isn’t on the laptop yet. It is on the phone that took it and comes when that one is near.",
			"There is no field “colr”. Nothing was judged; the fields are country, ",
			"The laptop can’t read this entry, perhaps because the phone’s app is newer. It stays on the phone; update the laptop’s program.",
			"This phone has not joined this laptop, or was ended there. Nothing stored on the phone is lost; show a fresh code on the laptop and scan it to join again.",
		},
	} {
		said := func(method, path, body string) (sentence string) {
			_, raw := k.raw(method, path, phone.Token, []byte(body), "Accept-Language", language)
			var a struct {
				Error   struct{ Sentence string }
				Refused []struct{ Sentence string }
			}
			if err := json.Unmarshal(raw, &a); err != nil {
				t.Fatalf("%v in %s", err, raw)
			}
			for _, r := range a.Refused {
				a.Error.Sentence += r.Sentence
			}
			return a.Error.Sentence
		}
		if got := said("GET", "/api/v1/photos/"+strings.Repeat("0", 64), ""); got != want.gone {
			t.Errorf("%s: %q, want %q", language, got, want.gone)
		}
		if got := said("POST", "/api/v1/core/judge", `{"denomination":"cent","value":"3.11","colr":"red"}`); !strings.HasPrefix(got, want.field) {
			t.Errorf("%s: %q, want %q", language, got, want.field)
		}
		if got := said("POST", "/api/v1/journal", `{"v":1,"receipt":"","entries":[{}]}`); got != want.refused {
			t.Errorf("%s: %q, want %q", language, got, want.refused)
		}
		dialer := websocket.Dialer{TLSClientConfig: k.client.Transport.(*http.Transport).TLSClientConfig, HandshakeTimeout: patience}
		conn, _, err := dialer.Dial("wss://"+k.Addr().String()+"/api/v1/live?language="+language, http.Header{"Origin": {k.url("")}, "Accept-Language": {"fr"}})
		if err != nil {
			t.Fatal(err)
		}
		defer conn.Close()
		patiently(t, conn)
		if err := conn.WriteJSON(map[string]string{"type": "hello", "token": "no token"}); err != nil {
			t.Fatal(err)
		}
		var bye struct {
			Type, Sentence string
			Code           fault.Code
		}
		if err := conn.ReadJSON(&bye); err != nil || bye.Code != fault.NotJoined || bye.Sentence != want.bye {
			t.Errorf("%s: %+v, %v; want %q", language, bye, err, want.bye)
		}
	}
}

// TestTheScalesSettingsAreToldInTheReadersLanguage: the formats to pick from, what is
// wrong, and why a setting is refused.
func TestTheScalesSettingsAreToldInTheReadersLanguage(t *testing.T) {
	k := openFixable(t, t.TempDir())
	desk := k.join("desk")
	for language, want := range map[string][2]string{
		"es-CL": {"Números solos, quizá con una unidad: 3.11 g", "“foo” no es un formato de la lista. No cambió nada."},
		"xx":    {"Bare numbers, perhaps with a unit: 3.11 g", "“foo” isn’t a format of the list. Nothing was changed."},
	} {
		if _, raw := k.raw("GET", "/api/v1/scale", desk.Token, nil, "Accept-Language", language); !strings.Contains(string(raw), want[0]) {
			t.Errorf("%s: %s", language, raw)
		}
		if _, raw := k.raw("PUT", "/api/v1/scale", desk.Token, []byte(`{"format":"foo"}`), "Accept-Language", language); !strings.Contains(string(raw), want[1]) || !strings.Contains(string(raw), `"field":"format"`) {
			t.Errorf("%s: %s", language, raw)
		}
	}
}
