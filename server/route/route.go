// Package route is what the parts of the API share, below the adapters that
// answer them: a route, and an answer in JSON.
package route

import (
	"encoding/json"

	"github.com/gofiber/fiber/v2"

	"panside/internal/device"
)

// Route is one route, below /api/v1, for joined devices only.
type Route struct {
	Method string
	Path   string // as the router writes it: "/photos/:sha256"
	Handle Handler
}

// Handler answers a request of a joined device. Errors are for the person.
type Handler func(c *fiber.Ctx, by device.Device) error

// Get is a route that shows something.
func Get(path string, h Handler) Route { return Route{fiber.MethodGet, path, h} }

// Head is a route that tells what Get would show, without showing it.
func Head(path string, h Handler) Route { return Route{fiber.MethodHead, path, h} }

// Post is a route that adds or asks something.
func Post(path string, h Handler) Route { return Route{fiber.MethodPost, path, h} }

// Put is a route that sets something.
func Put(path string, h Handler) Route { return Route{fiber.MethodPut, path, h} }

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
