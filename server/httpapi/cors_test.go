package httpapi

import (
	"slices"
	"strings"
	"testing"

	"panside/internal/fault"
)

const fromOld = "Origin: " + oldOrigin

// TestAPageOfAnOldAddressMayUseTheAPI walks through what a browser does for
// such a page: it asks first, then sends, and shows the page the answer only if
// the headers allow it.
func TestAPageOfAnOldAddressMayUseTheAPI(t *testing.T) {
	f := newFixture(t)
	a := f.do(f.secure, "OPTIONS", "/api/v1/me", "", fromOld,
		"Access-Control-Request-Method: PUT", "Access-Control-Request-Headers: authorization,content-type", "Access-Control-Request-Private-Network: true")
	if a.status != 204 || a.body != "" {
		t.Errorf("asked first: %d %s", a.status, a.body)
	}
	for name, want := range map[string]string{
		"Access-Control-Allow-Origin": oldOrigin, "Access-Control-Allow-Headers": "authorization,content-type",
		"Access-Control-Allow-Private-Network": "true", "Access-Control-Allow-Credentials": "", "Cache-Control": "no-store",
	} {
		if got := a.header.Get(name); got != want {
			t.Errorf("%s is %q, want %q", name, got, want)
		}
	}
	for _, method := range []string{"GET", "POST", "PUT", "PATCH", "DELETE"} {
		if !slices.Contains(strings.Split(a.header.Get("Access-Control-Allow-Methods"), ", "), method) {
			t.Errorf("%s is not allowed", method)
		}
	}

	for _, tc := range []struct {
		method, path, body, auth string
		status                   int
	}{
		{"GET", "/api/v1/me", "", asPhone, 200},
		{"PUT", "/api/v1/me", `{"name":"x"}`, asPhone, 200},
		{"POST", "/api/v1/core/judge", "{}", asPhone, 200},
		{"POST", "/api/v1/prove", `{"nonce":"AAAAAAAAAAAAAAAAAAAAAA"}`, "", 200},
		{"POST", "/api/v1/join", `{"secret":"good"}`, "", 200},
		// Refusals must be readable too.
		{"GET", "/api/v1/me", "", "Authorization: Bearer ended", 401},
		{"POST", "/api/v1/join", `{"secret":"old"}`, "", 403},
		{"GET", "/api/v1/nothing", "", asPhone, 404},
		{"GET", "/api/v1/live", "", "", 400},
	} {
		headers := []string{fromOld}
		if tc.auth != "" {
			headers = append(headers, tc.auth)
		}
		a := f.do(f.secure, tc.method, tc.path, tc.body, headers...)
		if a.status != tc.status {
			t.Errorf("%s %s: %d %s", tc.method, tc.path, a.status, a.body)
		}
		if a.header.Get("Access-Control-Allow-Origin") != oldOrigin || !strings.Contains(strings.Join(a.header.Values("Vary"), ","), "Origin") {
			t.Errorf("%s %s: headers %v", tc.method, tc.path, a.header)
		}
		if !strings.Contains(a.header.Get("Access-Control-Expose-Headers"), "Retry-After") {
			t.Errorf("%s %s: the page can't read when to try again", tc.method, tc.path)
		}
	}
	if len(f.origins.learnt) > 0 {
		t.Errorf("a page of another address taught %v", f.origins.learnt)
	}
}

// TestOldOriginsEndAtTheAPI: pages, the app's files and plain HTTP are for
// their own origin.
func TestOldOriginsEndAtTheAPI(t *testing.T) {
	f := newFixture(t, built)
	for _, path := range []string{"/", "/index.html", "/healthz", "/trust", "/panside-authority.crt"} {
		if a := f.do(f.secure, "GET", path, "", fromOld); a.status != 403 || a.header.Get("Access-Control-Allow-Origin") != "" {
			t.Errorf("%s: %d %v", path, a.status, a.header)
		}
	}
	if a := f.do(f.plain, "GET", "/api/v1/me", "", fromOld); a.status != 403 {
		t.Errorf("over plain HTTP: %d", a.status)
	}
}

// TestForeignOriginsAreAnsweredNothing: the browser of a page from elsewhere
// gets no leave to send, and its request does nothing.
func TestForeignOriginsAreAnsweredNothing(t *testing.T) {
	f := newFixture(t)
	for _, origin := range []string{
		"https://evil.example", "null", "http://192.168.1.3:8311", "https://192.168.1.3", "https://192.168.1.3:8312",
		"https://192.168.1.3:8311.evil.example", "https://192.168.1.4:8311",
	} {
		for _, method := range []string{"OPTIONS", "GET", "DELETE"} {
			a := f.do(f.secure, method, "/api/v1/me", "", "Origin: "+origin, asPhone, "Access-Control-Request-Method: DELETE", "Access-Control-Request-Headers: authorization")
			if a.status != 403 || a.code(t) != fault.WrongOrigin {
				t.Errorf("%s %s: %d", method, origin, a.status)
			}
			for name := range a.header {
				if strings.HasPrefix(name, "Access-Control") {
					t.Errorf("%s %s: %s is answered", method, origin, name)
				}
			}
		}
	}
	if len(f.pairing.ended) > 0 {
		t.Error("a foreign page ended a device")
	}
}

// TestOriginsAreLearntWhereTheAppIsUsed: by a joined device, under a name or
// address the server really has.
func TestOriginsAreLearntWhereTheAppIsUsed(t *testing.T) {
	for _, tc := range []struct {
		method, path, body string
		headers            []string
		learnt             []string
	}{
		{"GET", "/api/v1/me", "", []string{asPhone, "Host: kitchen.local:8311"}, []string{"https://kitchen.local:8311"}},
		{"GET", "/api/v1/me", "", []string{asPhone, "Host: kitchen.local"}, []string{"https://kitchen.local"}},
		{"PUT", "/api/v1/me", "{}", []string{asPhone, "Host: kitchen.local:8311", "Origin: https://kitchen.local:8311"}, []string{"https://kitchen.local:8311"}},
		{"POST", "/api/v1/join", `{"secret":"good"}`, []string{"Host: kitchen.local:8311"}, []string{"https://kitchen.local:8311"}},
		{"POST", "/api/v1/join", `{"secret":"bad"}`, []string{"Host: kitchen.local:8311"}, nil},
		{"GET", "/api/v1/me", "", []string{"Host: kitchen.local:8311"}, nil},
		{"GET", "/", "", []string{"Host: kitchen.local:8311"}, nil},
		{"GET", "/api/v1/me", "", []string{asPhone, "Host: 192.168.1.77:8311"}, nil}, // answered, but not where this connection came in
	} {
		f := newFixture(t)
		f.do(f.secure, tc.method, tc.path, tc.body, tc.headers...)
		if !slices.Equal(f.origins.learnt, tc.learnt) {
			t.Errorf("%s %s %v: learnt %v, want %v", tc.method, tc.path, tc.headers, f.origins.learnt, tc.learnt)
		}
	}
}

// TestTheServerVouchesForWhereItIsOnly: for an address it doesn't have, its
// signature could be passed on by whoever has it.
func TestTheServerVouchesForWhereItIsOnly(t *testing.T) {
	f := newFixture(t)
	for host, status := range map[string]int{
		"kitchen.local:8311": 200, "localhost:8311": 200, "10.9.8.7:8311": 200,
		"192.168.1.3:8311": 403, "127.0.0.9:8311": 403, "evil.example": 403,
	} {
		a := f.do(f.secure, "POST", "/api/v1/prove", `{"nonce":"AAAAAAAAAAAAAAAAAAAAAA"}`, "Host: "+host)
		if a.status != status {
			t.Errorf("%s: %d %s", host, a.status, a.body)
		}
		if status == 403 && a.code(t) != fault.WrongOrigin {
			t.Errorf("%s: %s", host, a.body)
		}
	}
}
