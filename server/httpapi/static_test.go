package httpapi

import (
	"strings"
	"testing"
	"testing/fstest"

	"panside/internal/fault"
)

func built(c *Config) {
	text := func(s string) *fstest.MapFile { return &fstest.MapFile{Data: []byte(s)} }
	long := strings.Repeat("console.log(1);", 50)
	c.Files = fstest.MapFS{
		"index.html":                               text("<!doctype html>the app"),
		"assets/index-AbC12_-z.js":                 text(long),
		"assets/index-AbC12_-z.js.br":              text("brotli"),
		"assets/index-AbC12_-z.js.gz":              text("gzipped it"),
		"core/core.wasm":                           text("\x00asm" + long),
		"core/core.wasm.gz":                        text("gz"),
		"sw.js":                                    text("x"),
		"sw.js.gz":                                 text("longer than the plain one"),
		"book/en/us/cent-0123456789abcdef.json":    text(long),
		"book/en/us/cent-0123456789abcdef.json.br": text("brotli"),
		"book/manifest.json":                       text("{}"),
		"assets/plain.css":                         text("a{}"),
		"manifest.webmanifest":                     text("{}"),
		"archive/lonely.gz":                        text("no plain twin"),
		"assets/index-AbC12_-z.js.map":             text("{}"),
	}
}

func TestFiles(t *testing.T) {
	f := newFixture(t, built)
	for _, tc := range []struct {
		path, accept                string
		status                      int
		body, kind, coding, caching string
	}{
		{"/", "", 200, "<!doctype html>the app", "text/html; charset=utf-8", "", "no-cache"},
		{"/weigh", "", 200, "<!doctype html>the app", "text/html; charset=utf-8", "", "no-cache"}, // a screen of the app
		{"/book/en/us/cent-0123456789abcdef.json", "gzip, br", 200, "brotli", "application/json; charset=utf-8", "br", cacheForEver},
		{"/book/en/us/cent-fedcba9876543210.json", "", 404, "", "", "", ""},
		{"/book/manifest.json", "", 200, "{}", "application/json; charset=utf-8", "", cacheAsk},
		{"/assets/index-AbC12_-z.js", "", 200, "console.log", "text/javascript; charset=utf-8", "", cacheForEver},
		{"/assets/index-AbC12_-z.js", "gzip, deflate, br", 200, "brotli", "text/javascript; charset=utf-8", "br", cacheForEver},
		{"/assets/index-AbC12_-z.js", "gzip, br;q=0", 200, "gzipped it", "text/javascript; charset=utf-8", "gzip", cacheForEver},
		{"/assets/index-AbC12_-z.js", "BR ; Q=0.5", 200, "brotli", "text/javascript; charset=utf-8", "br", cacheForEver},
		{"/assets/index-AbC12_-z.js", "zstd, *", 200, "console.log", "text/javascript; charset=utf-8", "", cacheForEver},
		{"/core/core.wasm", "br, gzip", 200, "gz", "application/wasm", "gzip", "no-cache"},
		{"/sw.js", "gzip", 200, "x", "text/javascript; charset=utf-8", "", "no-cache"},
		{"/assets/plain.css", "gzip", 200, "a{}", "text/css; charset=utf-8", "", "no-cache"},
		{"/manifest.webmanifest", "", 200, "{}", "application/manifest+json; charset=utf-8", "", "no-cache"},
		{"/archive/lonely.gz", "", 200, "no plain twin", "application/octet-stream", "", "no-cache"},
		{"/assets/gone-12345678.js", "", 404, "", "", "", ""},
		{"/assets/index-AbC12_-z.js.br", "", 404, "", "", "", ""},
		{"/../httpapi.go", "", 404, "", "", "", ""},
		{"/api/v2/anything", "", 404, "", "", "", ""},
	} {
		a := f.do(f.secure, "GET", tc.path, "", "Accept-Encoding: "+tc.accept)
		name := tc.path + " (" + tc.accept + ")"
		if a.status != tc.status {
			t.Errorf("%s: status %d, want %d", name, a.status, tc.status)
			continue
		}
		if tc.status == 404 {
			if a.code(t) != fault.NotFound {
				t.Errorf("%s: %s", name, a.body)
			}
			continue
		}
		if !strings.HasPrefix(a.body, tc.body) && !strings.Contains(a.body, tc.body) {
			t.Errorf("%s: body %q", name, a.body)
		}
		for header, want := range map[string]string{"Content-Type": tc.kind, "Content-Encoding": tc.coding, "Cache-Control": tc.caching} {
			if got := a.header.Get(header); got != want {
				t.Errorf("%s: %s is %q, want %q", name, header, got, want)
			}
		}
		if a.header.Get("ETag") == "" {
			t.Errorf("%s has no ETag", name)
		}
	}
}

func TestFilesAreAskedForOnlyOnce(t *testing.T) {
	f := newFixture(t, built)
	const path = "/assets/index-AbC12_-z.js"
	plain := f.do(f.secure, "GET", path, "")
	packed := f.do(f.secure, "GET", path, "", "Accept-Encoding: br")
	if plain.header.Get("ETag") == packed.header.Get("ETag") {
		t.Error("two encodings share a strong tag")
	}
	for _, a := range []answered{plain, packed} {
		if a.header.Get("Vary") != "Accept-Encoding" {
			t.Errorf("Vary is %q", a.header.Get("Vary"))
		}
	}
	again := f.do(f.secure, "GET", path, "", "Accept-Encoding: br", "If-None-Match: \"x\", W/"+packed.header.Get("ETag"))
	if again.status != 304 || again.body != "" || again.header.Get("ETag") != packed.header.Get("ETag") || again.header.Get("Content-Encoding") != "" {
		t.Errorf("asked again: %d %q %v", again.status, again.body, again.header)
	}
	if other := f.do(f.secure, "GET", path, "", "If-None-Match: "+packed.header.Get("ETag")); other.status != 200 {
		t.Errorf("the other encoding's tag gives %d", other.status)
	}
	head := f.do(f.secure, "HEAD", path, "")
	if head.status != 200 || head.body != "" || head.header.Get("ETag") != plain.header.Get("ETag") {
		t.Errorf("HEAD: %d %q", head.status, head.body)
	}
}

func TestAppThatIsNotBuiltSaysHow(t *testing.T) {
	f := newFixture(t, func(c *Config) {
		c.Files = fstest.MapFS{"placeholder.txt": {Data: []byte("x")}}
	})
	a := f.do(f.secure, "GET", "/", "")
	if a.status != 200 || !strings.Contains(a.body, "go run ./server/up") {
		t.Errorf("%d %s", a.status, a.body)
	}
	if got := a.header.Get("Cache-Control"); got != "no-store" {
		t.Errorf("a browser may keep this page after the app is built: %q", got)
	}
}
