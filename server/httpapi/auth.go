package httpapi

import (
	"strings"

	"github.com/gofiber/fiber/v2"

	"panside/internal/device"
	"panside/internal/fault"
	"panside/internal/say"
	"panside/server/route"
)

// ServedHere notes the origin when a joined device uses the app under it.
func (s *api) ServedHere(c *fiber.Ctx) {
	if sameOrigin(c) && s.here(c) {
		s.Origins.Learn(c.UserContext(), originOf(c))
	}
}

// callerKey holds the device that makes the request.
const callerKey = "device"

func caller(c *fiber.Ctx) device.Device {
	d, _ := c.Locals(callerKey).(device.Device)
	return d
}

// auth lets joined devices pass. Tokens travel in a header and never in a
// cookie, so no other page can make a browser send them.
func (s *api) auth(c *fiber.Ctx) error {
	sent := c.Get(fiber.HeaderAuthorization)
	d, err := s.Pairing.Who(c.UserContext(), bearer(sent))
	if err != nil {
		if f := fault.Of(err); f.Code == fault.NotJoined && sent != "" {
			s.LogRefusal("a token was refused", route.AddressOf(c), f)
		}
		return err
	}
	if err := s.limitDevice(c, d.ID); err != nil {
		return err
	}
	s.ServedHere(c)
	c.Locals(callerKey, d)
	return c.Next()
}

// bearer is the token in an Authorization header (RFC 6750, 2.1), empty if there
// is none. The scheme's case doesn't matter (RFC 9110, 11.1).
func bearer(header string) string {
	scheme, token, ok := strings.Cut(header, " ")
	if !ok || !strings.EqualFold(scheme, "Bearer") {
		return ""
	}
	return token
}

// LogRefusal notes who was refused, with nothing of what was sent.
func (s *api) LogRefusal(what, address string, why *fault.Error) {
	if s.refusals.Take(address) == 0 {
		s.Log.Warn(what, "address", address, "code", why.Code)
	}
}

func deskOnly(c *fiber.Ctx) error {
	if caller(c).Role != device.Desk {
		return fault.New(fault.DeskOnly, say.New("http-desk-only"))
	}
	return c.Next()
}

// Run names this run of the server, so that a page sees that it is another one.
func (s *api) Run() string { return s.run }
