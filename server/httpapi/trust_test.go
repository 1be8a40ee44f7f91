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
		for _, forbidden := range []string{"<script", "style=", "<style", " onclick", "href=\"javascript"} {
			if strings.Contains(a.body, forbidden) {
				t.Errorf("the page has %s, which its policy forbids", forbidden)
			}
		}
		// How to take the trust back, for each system.
		if n := strings.Count(a.body, "To take it back"); n != 5 {
			t.Errorf("%d of 5 systems say how to remove it", n)
		}
	}
	a := f.do(f.plain, "GET", "/panside-authority.crt", "")
	if a.body != "certificate bytes" || a.header.Get("Content-Type") != "application/x-x509-ca-cert" {
		t.Errorf("%d %v %q", a.status, a.header, a.body)
	}
}

// TestTrustPageOpensTheStepsOfTheSystem by what browsers say of themselves.
func TestTrustPageOpensTheStepsOfTheSystem(t *testing.T) {
	f := newFixture(t)
	for agent, want := range map[string]struct{ summary, word string }{
		"Mozilla/5.0 (Linux; Android 14; K) AppleWebKit/537.36":             {"Android phone or tablet", "phone"},
		"Mozilla/5.0 (iPhone; CPU iPhone OS 18_0 like Mac OS X)":            {"iPhone or iPad", "phone"},
		"Mozilla/5.0 (Windows NT 10.0; Win64; x64) AppleWebKit/537.36":      {"Windows", "computer"},
		"Mozilla/5.0 (Macintosh; Intel Mac OS X 10_15_7) AppleWebKit/605.1": {"macOS", "computer"},
		"Mozilla/5.0 (X11; Linux x86_64; rv:140.0)":                         {"Linux", "computer"},
		"something else": {"", "phone"},
		"":               {"", "phone"},
	} {
		a := f.do(f.plain, "GET", "/", "", "User-Agent: "+agent)
		opened := ""
		if _, after, ok := strings.Cut(a.body, "<details open>\n<summary>"); ok {
			opened, _, _ = strings.Cut(after, "</summary>")
		}
		if opened != want.summary || strings.Count(a.body, "<details open>") > 1 || !strings.Contains(a.body, "Let this "+want.word+" trust") {
			t.Errorf("%q: opened %q, want %+v", agent, opened, want)
		}
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
