package httpapi

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"errors"
	"io"
	"io/fs"
	"path"
	"regexp"
	"strconv"
	"strings"

	"github.com/gofiber/fiber/v2"
)

// staticFiles are the built phone app. What is sent is read bit by bit each time: kept
// in memory it would be the largest thing there, and phones ask for it once.
type staticFiles struct {
	from  fs.FS
	files map[string]*file // by path without the leading slash
}

type file struct {
	name  string
	kind  string
	etag  string
	cache string
	// variants are the same bytes compressed at build time, smallest first.
	variants []variant
}

type variant struct {
	coding string // as in Accept-Encoding
	name   string
}

const (
	// A name with a hash of its content never changes its content.
	cacheForEver = "public, max-age=31536000, immutable"
	// Kept, but asked for each time: a new version shows at once.
	cacheAsk = "no-cache"

	front = "index.html"
)

// kinds are the media types of what a built page consists of. The system's own
// table differs from machine to machine, and a wrong type for .js or .wasm
// stops the app.
var kinds = map[string]string{
	".html":        "text/html; charset=utf-8",
	".js":          "text/javascript; charset=utf-8",
	".mjs":         "text/javascript; charset=utf-8",
	".css":         "text/css; charset=utf-8",
	".json":        "application/json; charset=utf-8",
	".map":         "application/json; charset=utf-8",
	".webmanifest": "application/manifest+json; charset=utf-8",
	".wasm":        "application/wasm",
	".svg":         "image/svg+xml",
	".png":         "image/png",
	".ico":         "image/x-icon",
	".webp":        "image/webp",
	".woff2":       "font/woff2",
	".mp3":         "audio/mpeg",
	".ogg":         "audio/ogg",
	".wav":         "audio/wav",
	".txt":         "text/plain; charset=utf-8",
}

// codings are the compressed variants looked for, the better one first.
var codings = []struct{ ending, coding string }{{".br", "br"}, {".gz", "gzip"}}

// hashed matches Vite's names, assets/ and a hash of eight before the ending, and
// those of the coin book (book.FileName).
var hashed = regexp.MustCompile(`^(assets/.*-[A-Za-z0-9_-]{8}|book/.*-[0-9a-f]{16})\.[a-z0-9.]+$`)

func loadStatic(files fs.FS) (*staticFiles, error) {
	s := &staticFiles{from: files, files: map[string]*file{}}
	err := fs.WalkDir(files, ".", func(name string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		for _, c := range codings {
			if _, err := fs.Stat(files, strings.TrimSuffix(name, c.ending)); strings.HasSuffix(name, c.ending) && err == nil {
				return nil // comes along with its plain file
			}
		}
		f, err := loadFile(files, name)
		s.files[name] = f
		return err
	})
	return s, err
}

func loadFile(files fs.FS, name string) (*file, error) {
	sum, size, err := hashFile(files, name)
	if err != nil {
		return nil, err
	}
	f := &file{
		name:  name,
		kind:  kinds[path.Ext(name)],
		etag:  base64.RawURLEncoding.EncodeToString(sum[:12]),
		cache: cacheAsk,
	}
	if f.kind == "" {
		f.kind = "application/octet-stream"
	}
	if hashed.MatchString(name) {
		f.cache = cacheForEver
	}
	for _, c := range codings {
		packed, err := fs.Stat(files, name+c.ending)
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err != nil {
			return nil, err
		}
		if packed.Size() < size {
			f.variants = append(f.variants, variant{c.coding, name + c.ending})
		}
	}
	return f, nil
}

func hashFile(files fs.FS, name string) (sum []byte, size int64, err error) {
	f, err := files.Open(name)
	if err != nil {
		return nil, 0, err
	}
	defer f.Close()
	h := sha256.New()
	size, err = io.Copy(h, f)
	return h.Sum(nil), size, err
}

// file serves the phone app. A path without an ending is one of the app's own
// screens and gets the front page.
func (s *api) file(c *fiber.Ctx) error {
	name := strings.TrimPrefix(c.Path(), "/")
	f := s.static.files[name]
	if f == nil && (isAPI(c.Path()) || path.Ext(name) != "") {
		return noSuchPath
	}
	if f == nil {
		f = s.static.files[front]
	}
	if f == nil {
		pageHeaders(c)
		return notBuiltPage(c)
	}
	return s.static.send(c, f)
}

func (s *staticFiles) send(c *fiber.Ctx, f *file) error {
	etag, name := `"`+f.etag+`"`, f.name
	if len(f.variants) > 0 {
		c.Vary(fiber.HeaderAcceptEncoding)
		accepted := c.Get(fiber.HeaderAcceptEncoding)
		for _, v := range f.variants {
			if accepts(accepted, v.coding) {
				// Other bytes, so another strong tag (RFC 9110, 8.8.3.3).
				etag, name = `"`+f.etag+"-"+v.coding+`"`, v.name
				c.Set(fiber.HeaderContentEncoding, v.coding)
				break
			}
		}
	}
	c.Set(fiber.HeaderETag, etag)
	c.Set(fiber.HeaderCacheControl, f.cache)
	if matches(c.Get(fiber.HeaderIfNoneMatch), etag) {
		c.Response().Header.Del(fiber.HeaderContentEncoding)
		return c.SendStatus(fiber.StatusNotModified)
	}
	body, err := s.from.Open(name)
	if err != nil {
		return err
	}
	info, err := body.Stat()
	if err != nil {
		return errors.Join(err, body.Close())
	}
	c.Set(fiber.HeaderContentType, f.kind)
	return c.SendStream(body, int(info.Size())) // closed by whoever sends it
}

// accepts reports whether an Accept-Encoding header allows a coding
// (RFC 9110, 12.5.3). A bare “*” is not taken as a wish for compression.
func accepts(header, coding string) bool {
	for part := range strings.SplitSeq(header, ",") {
		name, weight, _ := strings.Cut(part, ";")
		if !strings.EqualFold(strings.TrimSpace(name), coding) {
			continue
		}
		q, hasQ := strings.CutPrefix(strings.ToLower(strings.TrimSpace(weight)), "q=")
		if !hasQ {
			return true
		}
		value, err := strconv.ParseFloat(q, 64)
		return err == nil && value > 0
	}
	return false
}

// matches reports whether an If-None-Match header names the tag; by weak
// comparison (RFC 9110, 13.1.2).
func matches(header, etag string) bool {
	for part := range strings.SplitSeq(header, ",") {
		part = strings.TrimSpace(part)
		if part == "*" || strings.TrimPrefix(part, "W/") == etag {
			return true
		}
	}
	return false
}

// notBuiltPage stands in for the app in a program that was built without it.
func notBuiltPage(c *fiber.Ctx) error {
	var page bytes.Buffer
	if err := pages.ExecuteTemplate(&page, pageName(c, "notbuilt"), nil); err != nil {
		return err
	}
	c.Vary(fiber.HeaderAcceptLanguage)
	return sendPage(c, page.Bytes())
}

func sendPage(c *fiber.Ctx, page []byte) error {
	c.Set(fiber.HeaderContentType, "text/html; charset=utf-8")
	c.Set(fiber.HeaderCacheControl, "no-store")
	return c.Send(page)
}
