// Package httpapi is the server's HTTP side: the API under /api/v1, the live
// stream's upgrade, the phone app's files, and the page that hands out the
// authority's certificate. openapi.json in this folder describes the API and is
// served with it; a test holds the two together.
//
// # Slow, silent and hostile connections
//
// Three things below HTTP and TLS (sniff.go, paced.go) keep a bad line usable
// and a bad guest harmless:
//
//   - A request or an answer is bounded by progress, not as a whole: each 4 KiB
//     that moved buys the same time again, 30 s to read and 60 s to write. So
//     10 kB/s is enough for anything, and single bytes buy nothing. fasthttp sets
//     its deadlines as ever; paced reads them as “from the last progress”.
//   - The system's send buffer is held to 128 KiB. The system says that there is
//     room only once a third is free. With the megabytes that it would grow to,
//     that takes minutes at 10 kB/s and looks like a peer that takes nothing.
//   - An address may have 32 silent connections, all together 512. The oldest
//     gives way, never the newcomer, so that a flood keeps nobody out.
//
// A stop gives what is under way a second, then cuts the connections.
package httpapi

import (
	"context"
	"crypto/rand"
	"io/fs"
	"log/slog"
	"slices"
	"strings"
	"time"

	"github.com/gofiber/fiber/v2"
	"github.com/gofiber/fiber/v2/middleware/recover"
	"github.com/gorilla/websocket"

	"panside/internal/device"
	"panside/internal/fault"
	"panside/internal/say"
	"panside/server/limit"
	"panside/server/route"
)

// Pairing knows joined devices by their tokens; *pairing.Pairing does. Error:
// fault.NotJoined.
type Pairing interface {
	Who(ctx context.Context, token string) (device.Device, error)
}

// Guards are what this package tells those that answer further routes of a
// request. See joinapi.Guards.
type Guards interface {
	ServedHere(c *fiber.Ctx)
	LogRefusal(what, address string, why *fault.Error)
	Run() string
}

// Live speaks with one socket until it ends, and closes it; *livehub.Hub is
// one. It returns why it refused the token, nil if it didn't.
type Live interface {
	Serve(conn *websocket.Conn, t *say.Tongue) *fault.Error
}

// Origins are those this server has served its app under, ever;
// *pairing.Origins are.
type Origins interface {
	Has(origin string) bool
	Learn(ctx context.Context, origin string)
	All() []string // the latest first
}

// Authority is what the trust page shows of the certificate authority.
type Authority struct {
	Name string
	DER  []byte
}

// Config is what the routes need. Authority.DER is nil when the user brought a
// certificate; the rest is required.
type Config struct {
	Version   string
	Name      string // of this server, as the trust page shows it
	Authority Authority
	// Prove signs that this server, and no other, answers under the host.
	Prove   func(host, nonce string) (key, signature []byte, err error)
	Pairing Pairing
	Origins Origins
	Live    Live
	Core    func(language, method string, in []byte) []byte // internal/bridge
	Files   fs.FS                                           // the built phone app
	Names   []string                                        // further host names this server answers to
	// Addresses are this server's own, "https://HOST:PORT", the one a phone
	// reaches most likely first.
	Addresses func() []string
	Now       func() time.Time
	Log       *slog.Logger
	// Further gives the routes that other adapters answer, nil for none, and
	// Descriptions their parts of the description in the form of openapi.json:
	// "paths", "components" and "x-limits".
	Further      func(Guards) []route.Route
	Descriptions [][]byte
}

type api struct {
	Config
	static      *staticFiles
	upgrader    websocket.Upgrader
	description []byte
	run         string // this run of the server

	byAddress, byDevice, refusals *limit.Limiter
}

const (
	maxBody   = 1 << 20
	maxHeader = 8 << 10

	// idleWithin is how long a connection waits for its next request.
	idleWithin = 2 * time.Minute
)

// New returns the app for HTTPS and the one for plain HTTP, which serves the
// trust page and nothing else.
func New(cfg Config) (secure, plain *fiber.App, err error) {
	s, err := newAPI(cfg)
	if err != nil {
		return nil, nil, err
	}
	return s.secureApp(), s.plainApp(), nil
}

func newAPI(cfg Config) (*api, error) {
	static, err := loadStatic(cfg.Files)
	if err != nil {
		return nil, err
	}
	s := &api{
		Config:    cfg,
		static:    static,
		run:       rand.Text(),
		byAddress: limit.New(addressBurst, addressRate, cfg.Now),
		byDevice:  limit.New(deviceBurst, deviceRate, cfg.Now),
		refusals:  limit.New(refusalBurst, refusalRate, cfg.Now),
	}
	s.description = description
	for _, more := range append([][]byte{coreDescription}, cfg.Descriptions...) {
		if s.description, err = combined(s.description, more); err != nil {
			return nil, err
		}
	}
	s.upgrader = websocket.Upgrader{
		HandshakeTimeout: 10 * time.Second,
		ReadBufferSize:   1024,
		WriteBufferSize:  1024,
		CheckOrigin:      alreadyChecked,
		Error:            upgradeFailed,
	}
	return s, nil
}

func (s *api) secureApp() *fiber.App {
	secure := s.newApp()
	secure.Use(s.checkHost, s.checkOrigin, s.limitAddress, appHeaders)
	secure.Get("/healthz", s.health)
	secure.Get("/api/v1/openapi.json", s.openapi)
	secure.Get("/api/v1/live", s.live)
	secure.Post("/api/v1/prove", s.prove)
	secure.Post("/api/v1/core/:method", s.auth, s.core)
	if s.Further != nil {
		for _, r := range s.Further(s) {
			if r.Method == fiber.MethodGet { // as the router does for the routes above
				s.add(secure, fiber.MethodHead, r)
			}
			s.add(secure, r.Method, r)
		}
	}
	s.trustRoutes(secure)
	secure.Get("/*", s.file)
	return secure
}

// add lets those use a route whom it is for.
func (s *api) add(app *fiber.App, method string, r route.Route) {
	chain := []fiber.Handler{s.auth, deskOnly, func(c *fiber.Ctx) error { return r.Handle(c, caller(c)) }}
	switch r.For {
	case route.Joined:
		chain = slices.Delete(chain, 1, 2)
	case route.Anyone:
		chain = chain[2:]
	}
	app.Add(method, "/api/v1"+r.Path, chain...)
}

func (s *api) plainApp() *fiber.App {
	plain := s.newApp()
	plain.Use(s.checkHost, noOtherOrigin, s.limitAddress)
	s.trustRoutes(plain)
	plain.Get("/", s.trustPage)
	plain.Use(s.secureOnly)
	return plain
}

func (s *api) newApp() *fiber.App {
	app := fiber.New(fiber.Config{
		AppName:               "Panside",
		DisableStartupMessage: true,
		CaseSensitive:         true,
		StrictRouting:         true,
		Immutable:             true, // strings of a request may outlive it
		BodyLimit:             maxBody,
		ReadTimeout:           readWithin,
		WriteTimeout:          writeWithin,
		IdleTimeout:           idleWithin,
		ReadBufferSize:        maxHeader,
		ErrorHandler:          s.answerError,
	})
	app.Use(s.logRequest, recover.New())
	return app
}

// logRequest notes each request at debug level: no query, no header, no
// address of a file system, and secrets stand in neither path nor log.
func (s *api) logRequest(c *fiber.Ctx) error {
	began := time.Now()
	err := c.Next()
	if err != nil {
		err = s.answerError(c, err)
	}
	s.Log.Debug("request", "method", c.Method(), "path", c.Path(), "status", c.Response().StatusCode(), "took", time.Since(began))
	return err
}

func (s *api) health(c *fiber.Ctx) error {
	return route.Answer(c, struct {
		OK      bool   `json:"ok"`
		Version string `json:"version"`
	}{true, s.Version})
}

// isAPI tells programs' paths from those of pages.
func isAPI(path string) bool { return strings.HasPrefix(path, "/api/") }
