package syncapi

import (
	"io"
	"net/http"
	"strconv"
	"strings"
	"time"

	"github.com/gofiber/fiber/v2"

	"panside/internal/bridge"
	"panside/internal/fault"
	"panside/internal/say"
	"panside/server/route"
	"panside/server/spoken"
)

// conditions are the headers by which a part is asked for, or only what changed
// (RFC 9110, sections 13.1 and 14.2).
var conditions = []string{"If-Match", "If-None-Match", "If-Modified-Since", "If-Unmodified-Since", "If-Range", "Range"}

// serveContent answers with a file or parts of it, as net/http does, which knows
// ranges and conditions. fasthttp's own way of serving files keeps them open and
// remembers their size, so it would serve what is set apart by now. The type and
// the tag stand in c's header already. content is closed in the end.
func serveContent(c *fiber.Ctx, content io.ReadSeekCloser) error {
	req := &http.Request{Method: strings.Clone(c.Method()), Header: http.Header{}}
	for _, name := range conditions {
		if v := c.Get(name); v != "" {
			req.Header.Set(name, strings.Clone(v)) // the request's own bytes don't outlive it
		}
	}
	body, in := io.Pipe()
	w := &streamed{in: in, header: http.Header{}, began: make(chan struct{})}
	for _, name := range []string{fiber.HeaderETag, fiber.HeaderContentType} {
		w.header.Set(name, string(c.Response().Header.Peek(name)))
	}
	go func() {
		http.ServeContent(w, req, "", time.Time{}, content)
		_ = in.Close() // always nil
		_ = content.Close()
	}()
	<-w.began
	for name := range w.header {
		if name != fiber.HeaderContentLength {
			c.Set(name, w.header.Get(name))
		}
	}
	c.Status(w.status)
	switch w.status {
	case fiber.StatusOK, fiber.StatusPartialContent:
	case fiber.StatusRequestedRangeNotSatisfiable:
		_ = body.Close() // always nil; it ends the writer
		return route.AnswerJSON(c, bridge.Refusal(spoken.To(c), noSuchBytes))
	default:
		c.Response().Header.Del(fiber.HeaderContentType)
		return body.Close()
	}
	length, err := strconv.Atoi(w.header.Get(fiber.HeaderContentLength))
	if err != nil {
		length = -1 // sent in chunks
	}
	c.Context().SetBodyStream(body, length) // which closes it
	return nil
}

// noSuchBytes is answered here, since package httpapi would choose another status.
var noSuchBytes = fault.New(fault.BadInput, say.New("photo-no-such-bytes"))

// streamed lets the header be read while the body is on its way.
type streamed struct {
	in     *io.PipeWriter
	header http.Header
	status int
	began  chan struct{}
}

func (s *streamed) Header() http.Header { return s.header }

func (s *streamed) WriteHeader(status int) {
	s.status = status
	close(s.began)
}

func (s *streamed) Write(b []byte) (int, error) { return s.in.Write(b) }
