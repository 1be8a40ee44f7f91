package httpapi

import (
	"encoding/json"
	"slices"
	"strings"
	"time"

	"github.com/gofiber/fiber/v2"

	"panside/internal/device"
	"panside/internal/fault"
	"panside/server/route"
)

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

func (s *api) server() wireServer {
	now := s.Addresses()
	earlier := []string{}
	for _, o := range s.Origins.All() {
		if len(earlier) < maxEarlier && !slices.Contains(now, o) {
			earlier = append(earlier, o)
		}
	}
	return wireServer{s.Name, s.Fingerprint, now, earlier}
}

// servedHere notes the origin when a joined device uses the app under it.
func (s *api) servedHere(c *fiber.Ctx) {
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
			s.logRefusal("a token was refused", addressOf(c), f)
		}
		return err
	}
	if err := s.limitDevice(c, d.ID); err != nil {
		return err
	}
	s.servedHere(c)
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

// logRefusal notes who was refused, with nothing of what was sent.
func (s *api) logRefusal(what, address string, why *fault.Error) {
	if s.refusals.take(address) == 0 {
		s.Log.Warn(what, "address", address, "code", why.Code)
	}
}

func deskOnly(c *fiber.Ctx) error {
	if caller(c).Role != device.Desk {
		return fault.New(fault.DeskOnly, "Only the page on the laptop itself may do this. Nothing was changed; do it there.")
	}
	return c.Next()
}

// read decodes the body.
func read(c *fiber.Ctx, into any) error {
	if err := json.Unmarshal(c.Body(), into); err != nil {
		return fault.Wrap(fault.BadInput, "The laptop didn't understand what the page sent. Nothing was changed; reload the page.", err)
	}
	return nil
}

func (s *api) join(c *fiber.Ctx) error {
	var in struct{ Secret, Name string }
	if err := read(c, &in); err != nil {
		return err
	}
	// Only wrong codes count, so that a whole club may join.
	if wait := s.wrongCodes.take(addressOf(c)); wait > 0 {
		retryAfter(c, wait)
		return fault.New(fault.SlowDown, "Several wrong codes came from this device. Nothing is lost; wait a minute, then scan a fresh code from the laptop.")
	}
	token, d, err := s.Pairing.Join(c.UserContext(), in.Secret, in.Name, sameComputer(c))
	if err == nil || fault.Of(err).Code != fault.SecretExpired {
		s.wrongCodes.giveBack(addressOf(c))
	}
	if err != nil {
		if f := fault.Of(err); f.Cause == nil {
			s.logRefusal("a code was refused", addressOf(c), f)
		}
		return err
	}
	s.Log.Info("a device joined", "id", d.ID, "role", d.Role, "address", addressOf(c))
	s.servedHere(c)
	return route.Answer(c, struct {
		Token  string     `json:"token"`
		Device wireDevice `json:"device"`
		Server wireServer `json:"server"`
	}{token, toWire(d), s.server()})
}

func (s *api) me(c *fiber.Ctx) error { return s.answerMe(c, caller(c)) }

func (s *api) answerMe(c *fiber.Ctx, d device.Device) error {
	return route.Answer(c, struct {
		Device    wireDevice `json:"device"`
		Server    wireServer `json:"server"`
		CanRename bool       `json:"can_rename"`
	}{toWire(d), s.server(), true})
}

func (s *api) rename(c *fiber.Ctx) error {
	var in struct{ Name string }
	if err := read(c, &in); err != nil {
		return err
	}
	d, err := s.Pairing.Rename(c.UserContext(), caller(c), in.Name)
	if err != nil {
		return err
	}
	return s.answerMe(c, d)
}

// leave ends the device that asks for it.
func (s *api) leave(c *fiber.Ctx) error { return s.end(c, caller(c).ID) }

// JoinURL is the address with which a device joins: secret and fingerprint
// stand behind the #, which no browser sends and no log sees.
func JoinURL(address, secret, fingerprint string) string {
	return address + "/#join=" + secret + "&key=" + fingerprint // both base64url
}

// joining is what the desk shows beside a code.
func (s *api) joining(c *fiber.Ctx) error {
	lines := []string{}
	if s.Authority.DER != nil {
		lines = FingerprintLines(s.Authority.DER)
	}
	return route.Answer(c, struct {
		Closed         bool     `json:"closed"`
		AuthorityLines []string `json:"authority_lines"`
		Run            string   `json:"run"`
	}{s.Pairing.Closed(), lines, s.run})
}

// renewOffer makes a fresh one-time secret for a phone while joining is open.
func (s *api) renewOffer(c *fiber.Ctx) error {
	return s.answerOffer(c, func() (string, error) { return s.Pairing.OfferWhileOpen(device.Phone, phoneSecretLife) })
}

// offer makes a fresh one-time secret because a person asked for it, and opens
// joining again if wrong secrets had closed it.
func (s *api) offer(c *fiber.Ctx) error {
	return s.answerOffer(c, func() (string, error) { return s.Pairing.Offer(device.Phone, phoneSecretLife), nil })
}

// answerOffer offers a secret at the address the desk chose among the laptop's,
// since a phone reaches only those of its own network; without a choice at the
// likeliest.
func (s *api) answerOffer(c *fiber.Ctx, makeSecret func() (string, error)) error {
	addresses := s.Addresses()
	address := c.Query("address")
	switch {
	case address == "" && len(addresses) > 0:
		address = addresses[0]
	case !slices.Contains(addresses, address):
		return fault.New(fault.BadInput, "The laptop doesn't have this address any more. Nothing was changed; choose another one.")
	}
	secret, err := makeSecret()
	if err != nil {
		return err
	}
	link := JoinURL(address, secret, s.Fingerprint)
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
	}{link, code, int(phoneSecretLife / time.Second), addresses, s.run})
}

type wireListed struct {
	wireDevice
	Created  time.Time `json:"created"`
	LastSeen time.Time `json:"last_seen"`
}

func (s *api) devices(c *fiber.Ctx) error {
	all, err := s.Pairing.Devices(c.UserContext())
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

func (s *api) endDevice(c *fiber.Ctx) error { return s.end(c, c.Params("id")) }

func (s *api) end(c *fiber.Ctx, id string) error {
	if err := s.Pairing.End(c.UserContext(), id); err != nil {
		return err
	}
	c.Set(fiber.HeaderCacheControl, "no-store")
	return c.SendStatus(fiber.StatusNoContent)
}
