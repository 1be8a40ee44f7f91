package httpapi

import (
	"time"

	"github.com/gofiber/fiber/v2"

	"panside/internal/fault"
	"panside/internal/say"
	"panside/server/route"
)

// What one address or one device may do. A phone at work asks a few times a
// second and some hundred times when it opens the app or syncs an evening's
// finds; these bounds are far above that and keep a runaway page from taking
// the laptop.
const (
	addressBurst, addressRate = 2000, 400 // requests, and requests a second
	deviceBurst, deviceRate   = 1000, 200

	// Refusals of one address in the log: ten at once, then one in ten seconds,
	// so that nobody fills the disk with them.
	refusalBurst, refusalRate = 10, 1.0 / 10
)

// limitAddress is for every request, limitDevice for those of a joined device.
func (s *api) limitAddress(c *fiber.Ctx) error {
	if wait := s.byAddress.Take(route.AddressOf(c)); wait > 0 {
		return tooFast(c, wait)
	}
	return c.Next()
}

func (s *api) limitDevice(c *fiber.Ctx, id string) error {
	if wait := s.byDevice.Take(id); wait > 0 {
		return tooFast(c, wait)
	}
	return nil
}

func tooFast(c *fiber.Ctx, wait time.Duration) error {
	route.RetryAfter(c, wait)
	return fault.New(fault.SlowDown, say.New("http-slow-down"))
}
