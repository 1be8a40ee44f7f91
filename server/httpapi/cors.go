package httpapi

import (
	"github.com/gofiber/fiber/v2"
)

// crossOrigin answers a page of an origin this server once had, at one it has
// now (the Fetch standard's CORS protocol). Nothing travels by itself: there
// are no cookies, so such a page can do what its token lets it and no more.
func crossOrigin(c *fiber.Ctx, origin string) error {
	c.Set(fiber.HeaderAccessControlAllowOrigin, origin)
	c.Vary(fiber.HeaderOrigin)
	asked := c.Get(fiber.HeaderAccessControlRequestMethod)
	if c.Method() != fiber.MethodOptions || asked == "" {
		c.Set(fiber.HeaderAccessControlExposeHeaders, "Content-Range, ETag, Location, Retry-After, Upload-Offset")
		return c.Next()
	}
	c.Set(fiber.HeaderAccessControlAllowMethods, "GET, HEAD, POST, PUT, PATCH, DELETE")
	// A page of ours may send what it could send at home.
	if headers := c.Get(fiber.HeaderAccessControlRequestHeaders); headers != "" {
		c.Set(fiber.HeaderAccessControlAllowHeaders, headers)
		c.Vary(fiber.HeaderAccessControlRequestHeaders)
	}
	// Browsers that fence home networks off from the rest ask this too.
	if c.Get("Access-Control-Request-Private-Network") == "true" {
		c.Set("Access-Control-Allow-Private-Network", "true")
	}
	c.Set(fiber.HeaderAccessControlMaxAge, "600")
	c.Set(fiber.HeaderCacheControl, "no-store")
	return c.SendStatus(fiber.StatusNoContent)
}
