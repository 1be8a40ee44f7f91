// Package joinapi has the routes by which devices join this server, are named,
// listed and ended. openapi.json in this folder describes them.
package joinapi

import (
	"context"
	_ "embed" // for the description
	"log/slog"
	"slices"
	"time"

	"github.com/gofiber/fiber/v2"

	"panside/internal/device"
	"panside/internal/fault"
	"panside/internal/say"
	"panside/server/limit"
	"panside/server/route"
)

// Description is this package's part of the API's description.
//
//go:embed openapi.json
var Description []byte

const (
	// phoneSecretLife is how long a code on the desk's page can be scanned.
	phoneSecretLife = 5 * time.Minute

	// Wrong codes from one address: five at once, then one in twenty seconds.
	// Fewer than pairing's ten, so that one stranger on the network can't
	// close joining for everybody; those who change their address still meet
	// the ten.
	wrongBurst, wrongRate = 5, 1.0 / 20
)

// Pairing lets devices in; *pairing.Pairing is one.
type Pairing interface {
	Offer(role device.Role, life time.Duration) (secret string)
	OfferWhileOpen(role device.Role, life time.Duration) (secret string, err error)
	Closed() bool
	Join(ctx context.Context, secret, name string, here bool) (token string, d device.Device, err error)
	Devices(ctx context.Context) ([]device.Device, error)
	Rename(ctx context.Context, d device.Device, typed string) (device.Device, error)
	End(ctx context.Context, id string) error
}

// Guards are what package httpapi knows of a request.
type Guards interface {
	// ServedHere notes the origin under which a joined device uses the app.
	ServedHere(c *fiber.Ctx)
	// LogRefusal notes who was refused, with nothing of what was sent.
	LogRefusal(what, address string, why *fault.Error)
	// Run names this run of the server.
	Run() string
}

// Options are what the routes need; all but AuthorityLines are required.
type Options struct {
	Name        string // of this server, as phones list it
	Fingerprint string // by which a phone knows this server again
	// AuthorityLines are shown beside a code, for whoever compares them with the
	// trust page; none if the user brought a certificate.
	AuthorityLines []string
	Pairing        Pairing
	// Addresses are this server's own, the one a phone reaches most likely first,
	// Origins all that it was ever used under, the latest first.
	Addresses func() []string
	Origins   func() []string
	Guards    Guards
	Now       func() time.Time
	Log       *slog.Logger
}

// API answers the routes.
type API struct {
	Options
	wrongCodes *limit.Limiter
}

// New returns the API.
func New(o Options) *API { return &API{o, limit.New(wrongBurst, wrongRate, o.Now)} }

// Routes lists them.
func (a *API) Routes() []route.Route {
	return []route.Route{
		route.Post("/join", a.join).Only(route.Anyone),
		route.Get("/me", a.answerMe),
		route.Put("/me", a.rename),
		route.Delete("/me", a.leave),
		route.Get("/joining", a.joining).Only(route.Desk),
		route.Get("/offer", a.renewOffer).Only(route.Desk),
		route.Post("/offer", a.openOffer).Only(route.Desk),
		route.Get("/devices", a.devices).Only(route.Desk),
		route.Delete("/devices/:id", a.endDevice).Only(route.Desk),
	}
}

type wireDevice struct {
	ID   string      `json:"id"`
	Name string      `json:"name"`
	Role device.Role `json:"role"`
}

type wireServer struct {
	Name        string   `json:"name"`
	Fingerprint string   `json:"fingerprint"`
	Addresses   []string `json:"addresses"`
	Earlier     []string `json:"earlier_addresses"`
}

// maxEarlier is how many of the addresses a phone is told that the server had
// once. They come back when the laptop does: home, hotspot, home.
const maxEarlier = 20

func toWire(d device.Device) wireDevice { return wireDevice{d.ID, d.Name, d.Role} }

func (a *API) server() wireServer {
	now := a.Addresses()
	earlier := []string{}
	for _, o := range a.Origins() {
		if len(earlier) < maxEarlier && !slices.Contains(now, o) {
			earlier = append(earlier, o)
		}
	}
	return wireServer{a.Name, a.Fingerprint, now, earlier}
}

func (a *API) join(c *fiber.Ctx, _ device.Device) error {
	var in struct{ Secret, Name string }
	if err := route.Read(c, &in); err != nil {
		return err
	}
	// Only wrong codes count, so that a whole club may join.
	if wait := a.wrongCodes.Take(route.AddressOf(c)); wait > 0 {
		route.RetryAfter(c, wait)
		return fault.New(fault.SlowDown, say.New("join-wrong-codes"))
	}
	token, d, err := a.Pairing.Join(c.UserContext(), in.Secret, in.Name, route.SameComputer(c))
	if err == nil || fault.Of(err).Code != fault.SecretExpired {
		a.wrongCodes.GiveBack(route.AddressOf(c))
	}
	if err != nil {
		if f := fault.Of(err); f.Cause == nil {
			a.Guards.LogRefusal("a code was refused", route.AddressOf(c), f)
		}
		return err
	}
	a.Log.Info("a device joined", "id", d.ID, "role", d.Role, "address", route.AddressOf(c))
	a.Guards.ServedHere(c)
	return route.Answer(c, struct {
		Token  string     `json:"token"`
		Device wireDevice `json:"device"`
		Server wireServer `json:"server"`
	}{token, toWire(d), a.server()})
}

func (a *API) answerMe(c *fiber.Ctx, d device.Device) error {
	return route.Answer(c, struct {
		Device    wireDevice `json:"device"`
		Server    wireServer `json:"server"`
		CanRename bool       `json:"can_rename"`
	}{toWire(d), a.server(), true})
}

func (a *API) rename(c *fiber.Ctx, by device.Device) error {
	var in struct{ Name string }
	if err := route.Read(c, &in); err != nil {
		return err
	}
	d, err := a.Pairing.Rename(c.UserContext(), by, in.Name)
	if err != nil {
		return err
	}
	return a.answerMe(c, d)
}

// leave ends the device that asks for it.
func (a *API) leave(c *fiber.Ctx, by device.Device) error { return a.end(c, by.ID) }

// JoinURL is the address with which a device joins: secret and fingerprint
// stand behind the #, which no browser sends and no log sees.
func JoinURL(address, secret, fingerprint string) string {
	return address + "/#join=" + secret + "&key=" + fingerprint // both base64url
}

// joining is what the desk shows beside a code.
func (a *API) joining(c *fiber.Ctx, _ device.Device) error {
	lines := a.AuthorityLines
	if lines == nil {
		lines = []string{}
	}
	return route.Answer(c, struct {
		Closed         bool     `json:"closed"`
		AuthorityLines []string `json:"authority_lines"`
		Run            string   `json:"run"`
	}{a.Pairing.Closed(), lines, a.Guards.Run()})
}

// renewOffer makes a fresh one-time secret for a phone while joining is open.
func (a *API) renewOffer(c *fiber.Ctx, _ device.Device) error {
	return a.answerOffer(c, func() (string, error) { return a.Pairing.OfferWhileOpen(device.Phone, phoneSecretLife) })
}

// openOffer makes a one-time secret because a person asked for it, and so opens
// joining again if wrong codes had closed it.
func (a *API) openOffer(c *fiber.Ctx, _ device.Device) error {
	return a.answerOffer(c, func() (string, error) { return a.Pairing.Offer(device.Phone, phoneSecretLife), nil })
}

// answerOffer offers a secret at the address the desk chose among the laptop's,
// since a phone reaches only those of its own network; without a choice at the
// likeliest.
func (a *API) answerOffer(c *fiber.Ctx, makeSecret func() (string, error)) error {
	addresses := a.Addresses()
	address := c.Query("address")
	switch {
	case address == "" && len(addresses) > 0:
		address = addresses[0]
	case !slices.Contains(addresses, address):
		return fault.New(fault.BadInput, say.New("join-address-gone"))
	}
	secret, err := makeSecret()
	if err != nil {
		return err
	}
	link := JoinURL(address, secret, a.Fingerprint)
	code, err := qrSVG(link)
	if err != nil {
		return err
	}
	return route.Answer(c, struct {
		URL       string   `json:"url"`
		QR        string   `json:"qr_svg"`
		ExpiresIn int      `json:"expires_in_s"`
		Addresses []string `json:"addresses"`
		Run       string   `json:"run"`
	}{link, code, int(phoneSecretLife / time.Second), addresses, a.Guards.Run()})
}

type wireListed struct {
	wireDevice
	Created  time.Time `json:"created"`
	LastSeen time.Time `json:"last_seen"`
}

func (a *API) devices(c *fiber.Ctx, _ device.Device) error {
	all, err := a.Pairing.Devices(c.UserContext())
	if err != nil {
		return err
	}
	listed := make([]wireListed, len(all))
	for i, d := range all {
		listed[i] = wireListed{toWire(d), d.Created, d.LastSeen}
	}
	return route.Answer(c, struct {
		Devices []wireListed `json:"devices"`
	}{listed})
}

func (a *API) endDevice(c *fiber.Ctx, _ device.Device) error { return a.end(c, c.Params("id")) }

func (a *API) end(c *fiber.Ctx, id string) error {
	if err := a.Pairing.End(c.UserContext(), id); err != nil {
		return err
	}
	c.Set(fiber.HeaderCacheControl, "no-store")
	return c.SendStatus(fiber.StatusNoContent)
}
