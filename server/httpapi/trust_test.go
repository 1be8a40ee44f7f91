package httpapi

import (
	"crypto/sha256"
	"encoding/hex"
	"strings"
	"testing"
)

// TestPlainHTTPServesTrustAndNothingElse walks over all routes of the secure
// side.
func TestPlainHTTPServesTrustAndNothingElse(t *testing.T) {
	f := newFixture(t, built)
	open := map[string]bool{"/": true, "/trust": true, "/trust.css": true, "/panside-authority.crt": true}
	for _, r := range f.secure.GetRoutes(true) {
		path := strings.ReplaceAll(strings.ReplaceAll(r.Path, ":id", "P"), ":method", "judge")
		if path == "/*" {
			path = "/index.html"
		}
		a := f.do(f.plain, r.Method, path, "{}", asDesk)
		if open[path] {
			if a.status != 200 {
				t.Errorf("%s %s: %d", r.Method, path, a.status)
			}
			continue
		}
		if a.status != 404 || (r.Method != "HEAD" && !strings.Contains(a.body, `href="https://localhost:8311/"`)) {
			t.Errorf("%s %s over plain HTTP: %d %s", r.Method, path, a.status, a.body)
		}
	}
	if len(f.pairing.ended)+len(f.pairing.offered) > 0 {
		t.Error("plain HTTP reached the API")
	}
	if a := f.do(f.plain, "GET", "/", ""); !strings.Contains(a.body, "panside-authority.crt") {
		t.Errorf("the first page over plain HTTP is not the trust page: %s", a.body)
	}
}

func TestTrustPage(t *testing.T) {
	f := newFixture(t)
	for _, a := range []answered{f.do(f.plain, "GET", "/", "", "Host: 192.168.1.5:8311"), f.do(f.secure, "GET", "/trust", "", "Host: 192.168.1.5:8311")} {
		if a.status != 200 || a.header.Get("Content-Type") != "text/html; charset=utf-8" {
			t.Errorf("%d %v", a.status, a.header)
		}
		for _, part := range append([]string{"Android", "iPhone", "Windows", "macOS", "Linux", "Panside home authority, kitchen", "https://192.168.1.5:8311/"},
			FingerprintLines([]byte("certificate bytes"))...) {
			if !strings.Contains(a.body, part) {
				t.Errorf("the page lacks %q", part)
			}
		}
		if strings.Contains(a.body, "<script") || strings.Contains(a.body, "style=") {
			t.Error("the page has what its policy forbids")
		}
	}
	a := f.do(f.plain, "GET", "/panside-authority.crt", "")
	if a.body != "certificate bytes" || a.header.Get("Content-Type") != "application/x-x509-ca-cert" {
		t.Errorf("%d %v %q", a.status, a.header, a.body)
	}
}

func TestTrustPageWithTheUsersOwnCertificate(t *testing.T) {
	f := newFixture(t, func(c *Config) { c.Authority = Authority{} })
	if a := f.do(f.plain, "GET", "/", ""); a.status != 200 || strings.Contains(a.body, "Download") {
		t.Errorf("%d %s", a.status, a.body)
	}
	if a := f.do(f.plain, "GET", "/panside-authority.crt", ""); a.status != 404 {
		t.Errorf("%d %s", a.status, a.body)
	}
}

func TestServerNameIsEscaped(t *testing.T) {
	f := newFixture(t, func(c *Config) { c.Name = `<script>alert(1)</script>` })
	if a := f.do(f.plain, "GET", "/", ""); strings.Contains(a.body, "<script") {
		t.Error("a computer's name can bring a script into the page")
	}
}

func TestFingerprintLines(t *testing.T) {
	sum := sha256.Sum256([]byte("x"))
	got := strings.ToLower(strings.ReplaceAll(strings.Join(FingerprintLines([]byte("x")), ""), ":", ""))
	if got != hex.EncodeToString(sum[:]) {
		t.Errorf("got %s", got)
	}
}
