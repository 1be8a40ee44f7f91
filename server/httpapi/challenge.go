package httpapi

import (
	"encoding/base64"
	"strings"

	"github.com/gofiber/fiber/v2"

	"panside/internal/fault"
	"panside/internal/say"
	"panside/server/route"
)

const minNonce, maxNonce = 16, 64 // bytes

// prove answers a phone that wants to know, before it shows its token, whether
// this is the server it joined (see certs.ProofMessage). It signs for hosts
// only that this server has now: for an old address, a stranger who got that
// address could pass the question on.
func (s *api) prove(c *fiber.Ctx) error {
	var in struct{ Nonce string }
	if err := route.Read(c, &in); err != nil {
		return err
	}
	raw, err := base64.RawURLEncoding.Strict().DecodeString(in.Nonce)
	// The decoder passes over line breaks, which here would make two lines.
	if err != nil || strings.ContainsAny(in.Nonce, "\r\n") || len(raw) < minNonce || len(raw) > maxNonce {
		return fault.Wrap(fault.BadInput, say.New("http-challenge-unreadable"), err)
	}
	if !s.here(c) {
		return fault.New(fault.WrongOrigin, say.New("http-not-this-address"))
	}
	key, signature, err := s.Prove(hostOf(c), in.Nonce)
	if err != nil {
		return err
	}
	return route.Answer(c, struct {
		Key       string   `json:"key"`
		Signature string   `json:"signature"`
		Addresses []string `json:"addresses"`
	}{base64.RawURLEncoding.EncodeToString(key), base64.RawURLEncoding.EncodeToString(signature), s.Addresses()})
}
