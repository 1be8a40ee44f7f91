package httpapi

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"html/template"
	"slices"
	"strings"

	"github.com/gofiber/fiber/v2"

	"panside/server/spoken"
)

//go:embed pages
var pageFiles embed.FS

var pages = template.Must(template.ParseFS(pageFiles, "pages/*.html"))

const (
	trustPath     = "/trust"
	stylePath     = "/trust.css"
	authorityPath = "/panside-authority.crt"
)

// pageName is that of a page in the language of the request; English has no ending.
func pageName(c *fiber.Ctx, name string) string {
	base, _, _ := strings.Cut(spoken.Language(c.Get(fiber.HeaderAcceptLanguage)), "-")
	if translated := name + "." + base + ".html"; pages.Lookup(translated) != nil {
		return translated
	}
	return name + ".html"
}

// trustRoutes hand out the authority's certificate; on plain HTTP, because a
// phone has no reason to trust the server's HTTPS before, and on HTTPS too, so
// that the app can lead there.
func (s *api) trustRoutes(app *fiber.App) {
	app.Get(trustPath, s.trustPage)
	app.Get(stylePath, trustStyle)
	app.Get(authorityPath, s.authority)
}

func (s *api) trustPage(c *fiber.Ctx) error {
	var page bytes.Buffer
	kind := systemOf(c.Get(fiber.HeaderUserAgent))
	err := pages.ExecuteTemplate(&page, pageName(c, "trust"), struct {
		Server, Authority, Certificate, Style, Secure string
		Kind, Device                                  string
		Fingerprint                                   []string
		Own                                           bool // the user brought a certificate
	}{
		Kind: kind, Device: deviceWord(kind),
		Server: s.Name, Authority: s.Authority.Name, Certificate: authorityPath, Style: stylePath,
		Secure:      "https://" + hostOf(c) + "/", // checked before
		Fingerprint: FingerprintLines(s.Authority.DER),
		Own:         s.Authority.DER == nil,
	})
	if err != nil {
		return err
	}
	pageHeaders(c)
	c.Vary(fiber.HeaderUserAgent, fiber.HeaderAcceptLanguage)
	return sendPage(c, page.Bytes())
}

// systemOf guesses the system from what a browser says of itself, to open the
// right steps; all others are there, too. Empty if it says nothing known.
func systemOf(userAgent string) string {
	for _, s := range []struct{ word, system string }{
		{"iPhone", "ios"}, {"iPad", "ios"}, {"iPod", "ios"},
		{"Android", "android"}, // says Linux as well
		{"Windows", "windows"},
		{"Macintosh", "mac"},
		{"Linux", "linux"}, {"CrOS", "linux"},
	} {
		if strings.Contains(userAgent, s.word) {
			return s.system
		}
	}
	return ""
}

func deviceWord(system string) string {
	switch system {
	case "windows", "mac", "linux":
		return "computer"
	}
	return "phone"
}

// FingerprintLines is the SHA-256 of a certificate as phones and browsers show
// it, in hexadecimal bytes with colons, in four lines to compare by eye on a
// narrow screen.
func FingerprintLines(der []byte) []string {
	sum := sha256.Sum256(der)
	const digits = "0123456789ABCDEF"
	var lines []string
	for part := range slices.Chunk(sum[:], 8) {
		pairs := make([]string, len(part))
		for i, b := range part {
			pairs[i] = string([]byte{digits[b>>4], digits[b&15]})
		}
		lines = append(lines, strings.Join(pairs, ":"))
	}
	return lines
}

func trustStyle(c *fiber.Ctx) error {
	css, err := pageFiles.ReadFile("pages/trust.css")
	if err != nil {
		return err
	}
	pageHeaders(c)
	c.Set(fiber.HeaderContentType, kinds[".css"])
	c.Set(fiber.HeaderCacheControl, cacheAsk)
	return c.Send(css)
}

// authority serves the certificate as bytes (DER), which every system's
// installer takes; its SHA-256 is then that of the file, too.
func (s *api) authority(c *fiber.Ctx) error {
	if s.Authority.DER == nil {
		return noSuchPath
	}
	pageHeaders(c)
	c.Set(fiber.HeaderContentType, "application/x-x509-ca-cert")
	c.Set(fiber.HeaderContentDisposition, `attachment; filename="panside-authority.crt"`)
	c.Set(fiber.HeaderCacheControl, "no-store")
	return c.Send(s.Authority.DER)
}

// secureOnly is what plain HTTP says to everything else.
func (s *api) secureOnly(c *fiber.Ctx) error {
	var page bytes.Buffer
	host := hostOf(c)
	err := pages.ExecuteTemplate(&page, pageName(c, "secureonly"), struct{ Style, Trust, Secure string }{
		stylePath, "http://" + host + "/", "https://" + host + "/",
	})
	if err != nil {
		return err
	}
	pageHeaders(c)
	c.Vary(fiber.HeaderAcceptLanguage)
	c.Status(fiber.StatusNotFound)
	return sendPage(c, page.Bytes())
}
