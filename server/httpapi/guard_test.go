package httpapi

import (
	"net"
	"strings"
	"testing"

	"panside/internal/fault"
)

func TestOwnHost(t *testing.T) {
	s := &api{Config: Config{Names: []string{"kitchen.local"}}}
	local := &net.TCPAddr{IP: net.ParseIP("203.0.113.7"), Port: 8311} // documentation range (RFC 5737)
	for host, want := range map[string]bool{
		"localhost":            true,
		"localhost:8311":       true,
		"kitchen.local:8311":   true,
		"kitchen.local":        true,
		"127.0.0.1:8311":       true,
		"192.168.1.5":          true,
		"10.1.2.3:1":           true,
		"[::1]:8311":           true,
		"[::1]":                true,
		"[fd00::5]:8311":       true,
		"203.0.113.7:8311":     true, // where the connection really arrived
		"203.0.113.8:8311":     false,
		"":                     false,
		"evil.example":         false,
		"evil.example:8311":    false,
		"localhost.example":    false,
		"kitchen.local.":       false,
		"127.0.0.1.example":    false,
		"localhost:8311; x":    false,
		"localhost:80 x":       false,
		"[fe80::1%25eth0]":     false,
		"localhost, evil":      false,
		"kitchen.local; *":     false,
		"kitchen.local:80;:80": false,
	} {
		if got := s.ownHost(host, local); got != want {
			t.Errorf("%q: %v, want %v", host, got, want)
		}
	}
}

func TestForeignHostsAndOriginsAreRefused(t *testing.T) {
	f := newFixture(t)
	for _, tc := range []struct {
		headers []string
		status  int
	}{
		{nil, 200},
		{[]string{"Origin: https://localhost:8311"}, 200},
		{[]string{"Host: 192.168.1.5:8311", "Origin: https://192.168.1.5:8311"}, 200},
		{[]string{"Host: LocalHost:8311", "Origin: https://localhost:8311"}, 200},
		{[]string{"Origin: https://evil.example"}, 403},
		{[]string{"Origin: http://localhost:8311"}, 403}, // plain HTTP is another origin
		{[]string{"Origin: https://localhost:9999"}, 403},
		{[]string{"Origin: https://localhost"}, 403},
		{[]string{"Origin: null"}, 403},
		{[]string{"Host: evil.example"}, 403},
		{[]string{"Host: evil.example", "Origin: https://evil.example"}, 403}, // DNS rebinding
		{[]string{"Host: evil.example", "X-Forwarded-Host: localhost"}, 403},
	} {
		for _, path := range []string{"/healthz", "/api/v1/me", "/api/v1/openapi.json"} {
			a := f.do(f.secure, "GET", path, "", append([]string{asPhone}, tc.headers...)...)
			if a.status != tc.status {
				t.Errorf("%s %v: %d, want %d", path, tc.headers, a.status, tc.status)
			}
			if a.status == 403 && a.code(t) != fault.WrongOrigin {
				t.Errorf("%s %v: %s", path, tc.headers, a.body)
			}
		}
	}
	a := f.do(f.plain, "GET", "/", "", "Host: evil.example")
	if a.status != 403 {
		t.Errorf("plain HTTP answers a foreign host with %d", a.status)
	}
	// A refused join must not even count as a try.
	a = f.do(f.secure, "POST", "/api/v1/join", `{"secret":"good"}`, "Origin: https://evil.example")
	if a.status != 403 || a.code(t) != fault.WrongOrigin {
		t.Errorf("a foreign page's join: %d %s", a.status, a.body)
	}
}

func TestSecurityHeaders(t *testing.T) {
	f := newFixture(t)
	for _, path := range []string{"/", "/api/v1/me", "/api/v1/nothing", "/healthz", "/trust"} {
		a := f.do(f.secure, "GET", path, "", "Host: 192.168.1.5:8311")
		policy := a.header.Get("Content-Security-Policy")
		for _, part := range []string{"default-src 'none'", "frame-ancestors 'none'", "base-uri 'none'", "form-action 'none'"} {
			if !strings.Contains(policy, part) {
				t.Errorf("%s: the policy %q lacks %s", path, policy, part)
			}
		}
		if strings.Contains(policy, "unsafe-inline") || strings.Contains(policy, "'unsafe-eval'") {
			t.Errorf("%s: the policy %q is loose", path, policy)
		}
		for name, want := range map[string]string{
			"X-Content-Type-Options": "nosniff", "Referrer-Policy": "no-referrer",
			"Permissions-Policy":         "camera=(self), microphone=(self), geolocation=(), payment=(), usb=()",
			"Cross-Origin-Opener-Policy": "same-origin", "Cross-Origin-Resource-Policy": "same-origin",
			"Strict-Transport-Security": "", "Access-Control-Allow-Origin": "", "Server": "",
		} {
			if got := a.header.Get(name); got != want {
				t.Errorf("%s: %s is %q, want %q", path, name, got, want)
			}
		}
	}
	policy := f.do(f.secure, "GET", "/healthz", "", "Host: 192.168.1.5:8311").header.Get("Content-Security-Policy")
	for _, part := range []string{
		"script-src 'self' 'wasm-unsafe-eval';", "worker-src 'self';",
		"connect-src 'self' wss://192.168.1.5:8311 https://*:8311 wss://*:8311 https://*.local:8311 wss://*.local:8311;",
	} {
		if !strings.Contains(policy, part) {
			t.Errorf("the policy %q lacks %s", policy, part)
		}
	}
}

func TestConnectSources(t *testing.T) {
	for host, want := range map[string]string{
		"[fd00::5]:8311": "'self' https://*:8311 wss://*:8311 https://*.local:8311 wss://*.local:8311",
		// The standard port: a star would be the whole web.
		"kitchen.local": "'self' wss://kitchen.local https://*.local wss://*.local",
		"[fd00::5]":     "'self' https://*.local wss://*.local",
	} {
		if got := connectSources(host); got != want {
			t.Errorf("%s: %s", host, got)
		}
	}
}
