// Package httpapi is the server's HTTP side: the API under /api/v1, the live
// stream's upgrade, the phone app's files, and the page that hands out the
// authority's certificate. openapi.json in this folder describes the API and is
// served with it; a test holds the two together.
package httpapi

import (
	"context"
	"crypto/rand"
	"io/fs"
	"log/slog"
	"strings"
	"time"

	"github.com/gofiber/fiber/v2"
	"github.com/gofiber/fiber/v2/middleware/recover"
	"github.com/gorilla/websocket"

	"panside/internal/device"
	"panside/internal/fault"
	"panside/server/route"
)

// Pairing lets devices in; *pairing.Pairing is one.
type Pairing interface {
	Offer(role device.Role, life time.Duration) (secret string)
	OfferWhileOpen(role device.Role, life time.Duration) (secret string, err error)
	Closed() bool
	Join(ctx context.Context, secret, name string, here bool) (token string, d device.Device, err error)
	Who(ctx context.Context, token string) (device.Device, error)
	Devices(ctx context.Context) ([]device.Device, error)
	Rename(ctx context.Context, d device.Device, typed string) (device.Device, error)
	End(ctx context.Context, id string) error
}

// Live speaks with one socket until it ends, and closes it; *livehub.Hub is
// one. It returns why it refused the token, nil if it didn't.
type Live interface {
	Serve(conn *websocket.Conn) *fault.Error
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
	Version     string
	Name        string // of this server, as phones list it
	Fingerprint string // by which a phone knows this server again
	Authority   Authority
	// Prove signs that this server, and no other, answers under the host.
	Prove   func(host, nonce string) (key, signature []byte, err error)
	Pairing Pairing
	Origins Origins
	Live    Live
	Core    func(method string, in []byte) []byte // internal/bridge
	Files   fs.FS                                 // the built phone app
	Names   []string                              // further host names this server answers to
	// Addresses are this server's own, "https://HOST:PORT", the one a phone
	// reaches most likely first.
	Addresses func() []string
	Now       func() time.Time
	Log       *slog.Logger
	// Further routes, which other adapters answer, with their parts of the
	// description in the form of openapi.json: "paths" and "components".
	Further      []route.Route
	Descriptions [][]byte
}

type api struct {
	Config
	site        *site
	upgrader    websocket.Upgrader
	description []byte
	run         string // this run of the server

	byAddress, byDevice, wrongCodes, refusals *limiter
}

const (
	maxBody   = 1 << 20
	maxHeader = 8 << 10

	// idleWithin is how long a connection waits for its next request.
	idleWithin = 2 * time.Minute

	// phoneSecretLife is how long a code on the desk's page can be scanned.
	phoneSecretLife = 5 * time.Minute
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
	site, err := loadSite(cfg.Files)
	if err != nil {
		return nil, err
	}
	s := &api{
		Config:     cfg,
		site:       site,
		run:        rand.Text(),
		byAddress:  newLimiter(addressBurst, addressRate, cfg.Now),
		byDevice:   newLimiter(deviceBurst, deviceRate, cfg.Now),
		wrongCodes: newLimiter(wrongBurst, wrongRate, cfg.Now),
		refusals:   newLimiter(refusalBurst, refusalRate, cfg.Now),
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
	secure.Post("/api/v1/join", s.join)
	secure.Post("/api/v1/prove", s.prove)
	secure.Get("/api/v1/me", s.auth, s.me)
	secure.Put("/api/v1/me", s.auth, s.rename)
	secure.Delete("/api/v1/me", s.auth, s.leave)
	secure.Get("/api/v1/joining", s.auth, deskOnly, s.joining)
	secure.Get("/api/v1/offer", s.auth, deskOnly, s.renewOffer)
	secure.Post("/api/v1/offer", s.auth, deskOnly, s.offer)
	secure.Get("/api/v1/devices", s.auth, deskOnly, s.devices)
	secure.Delete("/api/v1/devices/:id", s.auth, deskOnly, s.endDevice)
	secure.Post("/api/v1/core/:method", s.auth, s.core)
	for _, r := range s.Further {
		if r.Method == fiber.MethodGet { // as the router does for the routes above
			secure.Add(fiber.MethodHead, "/api/v1"+r.Path, s.auth, func(c *fiber.Ctx) error { return r.Handle(c, caller(c)) })
		}
		secure.Add(r.Method, "/api/v1"+r.Path, s.auth, func(c *fiber.Ctx) error { return r.Handle(c, caller(c)) })
	}
	s.trustRoutes(secure)
	secure.Get("/*", s.file)
	return secure
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
