// Package route is what the parts of the API share, below the adapters that
// answer them: a route and who may use it, what a
// request is, and an answer in JSON.
package route

import (
	"encoding/json"
	"math"
	"net"
	"net/netip"
	"strconv"
	"time"

	"github.com/gofiber/fiber/v2"

	"panside/internal/device"
	"panside/internal/fault"
	"panside/internal/say"
)

// Route is one route, below /api/v1.
type Route struct {
	Method string
	Path   string // as the router writes it: "/photos/:sha256"
	Handle Handler
	For    Who
}

// Who may use a route.
type Who int

// The zero value is the usual one.
const (
	Joined Who = iota // every joined device
	Desk              // the laptop's own page
	Anyone            // also a device that hasn't joined
)

// Handler answers a request of a joined device, which for Anyone is the zero
// value. Errors are for the person.
type Handler func(c *fiber.Ctx, by device.Device) error

// Only lets somebody else use a route than every joined device.
func (r Route) Only(who Who) Route {
	r.For = who
	return r
}

// Get is a route that shows something.
func Get(path string, h Handler) Route { return Route{Method: fiber.MethodGet, Path: path, Handle: h} }

// Head is a route that tells what Get would show, without showing it.
func Head(path string, h Handler) Route {
	return Route{Method: fiber.MethodHead, Path: path, Handle: h}
}

// Post is a route that adds or asks something.
func Post(path string, h Handler) Route {
	return Route{Method: fiber.MethodPost, Path: path, Handle: h}
}

// Put is a route that sets something.
func Put(path string, h Handler) Route { return Route{Method: fiber.MethodPut, Path: path, Handle: h} }

// Delete is a route that ends something.
func Delete(path string, h Handler) Route {
	return Route{Method: fiber.MethodDelete, Path: path, Handle: h}
}

// Read decodes a request's body. Error: fault.BadInput.
func Read(c *fiber.Ctx, into any) error {
	if err := json.Unmarshal(c.Body(), into); err != nil {
		return fault.Wrap(fault.BadInput, say.New("http-page-not-understood"), err)
	}
	return nil
}

// Answer sends v as JSON that no cache may keep.
func Answer(c *fiber.Ctx, v any) error {
	body, err := json.Marshal(v)
	if err != nil {
		return err
	}
	return AnswerJSON(c, body)
}

// AnswerJSON sends what is JSON already, likewise.
func AnswerJSON(c *fiber.Ctx, body []byte) error {
	c.Set(fiber.HeaderContentType, "application/json; charset=utf-8")
	c.Set(fiber.HeaderCacheControl, "no-store")
	return c.Send(body)
}

// AddressOf is where a request really comes from, whatever its headers say.
func AddressOf(c *fiber.Ctx) string { return c.Context().RemoteIP().String() }

// RetryAfter says when to ask again, in whole seconds (RFC 9110, 10.2.3).
func RetryAfter(c *fiber.Ctx, wait time.Duration) {
	c.Set(fiber.HeaderRetryAfter, strconv.Itoa(max(1, int(math.Ceil(wait.Seconds())))))
}

// LocalIP is the address a connection came in by, the zero Addr for what is no
// TCP connection.
func LocalIP(local net.Addr) netip.Addr {
	if tcp, ok := local.(*net.TCPAddr); ok {
		return tcp.AddrPort().Addr().Unmap().WithZone("")
	}
	return netip.Addr{}
}

// SameComputer reports whether a request comes from this computer: over loopback,
// or from the very address it arrived at.
func SameComputer(c *fiber.Ctx) bool {
	from := LocalIP(c.Context().RemoteAddr())
	return from.IsLoopback() || from.IsValid() && from == LocalIP(c.Context().LocalAddr())
}
