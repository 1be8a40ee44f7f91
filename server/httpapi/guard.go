package httpapi

import (
	"net"
	"net/http"
	"net/netip"
	"slices"
	"strings"

	"github.com/gofiber/fiber/v2"

	"panside/internal/fault"
	"panside/server/route"
)

// checkHost answers only to names and addresses of this server. Without it a
// page from elsewhere could give its own name this server's address and then
// count as the same origin (DNS rebinding). An address literal can't be
// rebound, so every local one is good.
func (s *api) checkHost(c *fiber.Ctx) error {
	if !s.ownHost(hostOf(c), c.Context().LocalAddr()) {
		return fault.New(fault.WrongOrigin, "This laptop doesn’t know itself by that name. Nothing was changed; open the address the laptop shows, or start the server with --host and the name.")
	}
	return c.Next()
}

// hostOf is the host the request is for, in small letters. It is not fiber's
// Hostname, which believes a forwarding header.
func hostOf(c *fiber.Ctx) string { return string(c.Context().Host()) }

func (s *api) ownHost(hostPort string, local net.Addr) bool {
	host, ok := withoutPort(hostPort)
	if !ok {
		return false
	}
	if ip, err := netip.ParseAddr(host); err == nil {
		ip = ip.Unmap()
		return ip == route.LocalIP(local) || ip.IsLoopback() || ip.IsPrivate() || ip.IsLinkLocalUnicast()
	}
	return s.ownName(host)
}

// here tells, more strictly than ownHost, whether the host asked for is one
// that this server has now: one of its names, or the address the connection
// came in by.
func (s *api) here(c *fiber.Ctx) bool {
	host, _ := withoutPort(hostOf(c)) // checked before
	if ip, err := netip.ParseAddr(host); err == nil {
		// Behind a router or a virtual machine that passes connections on, the
		// address is another one; a person names it with --host.
		return ip.Unmap() == route.LocalIP(c.Context().LocalAddr()) || slices.Contains(s.Names, host)
	}
	return s.ownName(host)
}

func (s *api) ownName(host string) bool { return host == "localhost" || slices.Contains(s.Names, host) }

// withoutPort refuses what no browser sends: a port that isn't one, an address
// with a zone.
func withoutPort(hostPort string) (host string, ok bool) {
	host = hostPort
	if h, port, err := net.SplitHostPort(hostPort); err == nil {
		if strings.Trim(port, "0123456789") != "" {
			return "", false
		}
		host = h
	} else if h, ok := strings.CutPrefix(hostPort, "["); ok {
		host = strings.TrimSuffix(h, "]")
	}
	return host, !strings.Contains(host, "%")
}

// sameOrigin reports whether a request is made by a page of the very origin it
// goes to, or by no page: programs and plain navigation send no Origin.
func sameOrigin(c *fiber.Ctx) bool {
	origin := c.Get(fiber.HeaderOrigin)
	return origin == "" || origin == originOf(c)
}

// originOf is the origin a request goes to.
func originOf(c *fiber.Ctx) string { return "https://" + hostOf(c) }

// checkOrigin refuses requests that a page of another origin makes. Pages of
// origins that this server once had may use the API (crossOrigin).
func (s *api) checkOrigin(c *fiber.Ctx) error {
	if sameOrigin(c) {
		return c.Next()
	}
	if origin := c.Get(fiber.HeaderOrigin); isAPI(c.Path()) && s.Origins.Has(origin) {
		return crossOrigin(c, origin)
	}
	return foreign
}

// noOtherOrigin is checkOrigin for plain HTTP, where there is no API.
func noOtherOrigin(c *fiber.Ctx) error {
	if sameOrigin(c) {
		return c.Next()
	}
	return foreign
}

var foreign = fault.New(fault.WrongOrigin, "Another website tried to talk to this laptop and was refused. Nothing was changed; close that page if you don’t know it.")

// alreadyChecked leaves the origin to checkOrigin, which ran before.
func alreadyChecked(*http.Request) bool { return true }

// appHeaders keeps the app to what it brings itself. There is no
// Strict-Transport-Security: it would take the trust page away from .local
// names and plain HTTP from everything else on localhost.
func appHeaders(c *fiber.Ctx) error {
	commonHeaders(c, "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; worker-src 'self'; style-src 'self'; "+
		"img-src 'self' data: blob:; media-src 'self' blob:; font-src 'self'; manifest-src 'self'; "+
		"connect-src "+connectSources(hostOf(c))+"; "+
		"base-uri 'none'; form-action 'none'; frame-ancestors 'none'")
	return c.Next()
}

// connectSources is where the app may connect to. A phone keeps the page of an
// old address with the policy of that day, and from there must reach the
// laptop at an address nobody knew then; a policy can't name “addresses of a
// home network”, so it names the port, and .local names for older phones that
// don't take a bare star. The page's own host is named because they don't
// count wss: as 'self' either. With the standard port the star would mean
// every website, so there only .local names are added.
func connectSources(host string) string {
	sources := "'self'"
	if !strings.HasPrefix(host, "[") { // a policy has no form for IPv6 addresses (CSP 3, 2.3.1)
		sources += " wss://" + host // checked, so it can't bring anything into the policy
	}
	port := ""
	if i := strings.LastIndexByte(host, ':'); i > strings.LastIndexByte(host, ']') {
		port = host[i:]
		sources += " https://*" + port + " wss://*" + port
	}
	return sources + " https://*.local" + port + " wss://*.local" + port
}

// pageHeaders are for plain pages without scripts.
func pageHeaders(c *fiber.Ctx) {
	commonHeaders(c, "default-src 'none'; style-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'")
}

func commonHeaders(c *fiber.Ctx, policy string) {
	c.Set(fiber.HeaderContentSecurityPolicy, policy)
	c.Set(fiber.HeaderXContentTypeOptions, "nosniff")
	c.Set(fiber.HeaderReferrerPolicy, "no-referrer")
	c.Set("Cross-Origin-Opener-Policy", "same-origin")
	c.Set("Cross-Origin-Resource-Policy", "same-origin")
	c.Set("Permissions-Policy", "camera=(self), microphone=(self), geolocation=(), payment=(), usb=()")
}
