package httpapi

import (
	"net"
	"net/http"
	"net/netip"
	"slices"
	"strings"

	"github.com/gofiber/fiber/v2"

	"panside/internal/fault"
)

// checkHost answers only to names and addresses of this server. Without it a
// page from elsewhere could give its own name this server's address and then
// count as the same origin (DNS rebinding). An address literal can't be
// rebound, so every local one is good.
func (s *api) checkHost(c *fiber.Ctx) error {
	if !s.ownHost(hostOf(c), c.Context().LocalAddr()) {
		return fault.New(fault.WrongOrigin, "This laptop doesn't know itself by that name. Nothing was changed; open the address the laptop shows, or start the server with --host and the name.")
	}
	return c.Next()
}

// hostOf is the host the request is for, in small letters. It is not fiber's
// Hostname, which believes a forwarding header.
func hostOf(c *fiber.Ctx) string { return string(c.Context().Host()) }

func (s *api) ownHost(hostPort string, local net.Addr) bool {
	host := hostPort
	if h, port, err := net.SplitHostPort(hostPort); err == nil {
		if strings.Trim(port, "0123456789") != "" {
			return false
		}
		host = h
	} else if h, ok := strings.CutPrefix(hostPort, "["); ok {
		host = strings.TrimSuffix(h, "]")
	}
	if ip, err := netip.ParseAddr(host); err == nil {
		if ip.Zone() != "" {
			return false // never sent by a browser
		}
		ip = ip.Unmap()
		if tcp, ok := local.(*net.TCPAddr); ok && tcp.AddrPort().Addr().Unmap().WithZone("") == ip {
			return true
		}
		return ip.IsLoopback() || ip.IsPrivate() || ip.IsLinkLocalUnicast()
	}
	return host == "localhost" || slices.Contains(s.Names, host)
}

// checkOrigin refuses requests that a page of another origin makes. Programs
// and plain navigation send no Origin.
func checkOrigin(c *fiber.Ctx) error {
	origin := c.Get(fiber.HeaderOrigin)
	if origin == "" || origin == "https://"+hostOf(c) {
		return c.Next()
	}
	return fault.New(fault.WrongOrigin, "Another website tried to talk to this laptop and was refused. Nothing was changed; close that page if you don't know it.")
}

// alreadyChecked leaves the origin to checkOrigin, which ran before.
func alreadyChecked(*http.Request) bool { return true }

// appHeaders keeps the app to what it brings itself. There is no
// Strict-Transport-Security: it would take the trust page away from .local
// names and plain HTTP from everything else on localhost.
func appHeaders(c *fiber.Ctx) error {
	// The Host was checked, so it can't bring anything into the policy. It is
	// named because older phones don't count wss: as 'self'.
	commonHeaders(c, "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; worker-src 'self'; style-src 'self'; "+
		"img-src 'self' data: blob:; media-src 'self' blob:; font-src 'self'; manifest-src 'self'; "+
		"connect-src 'self' wss://"+hostOf(c)+"; "+
		"base-uri 'none'; form-action 'none'; frame-ancestors 'none'")
	return c.Next()
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
	c.Set("Permissions-Policy", "camera=(self), microphone=(), geolocation=(), payment=(), usb=()")
}
