package httpapi

import (
	_ "embed" // for the description

	"github.com/gofiber/fiber/v2"
)

//go:embed openapi.json
var description []byte

func (s *api) openapi(c *fiber.Ctx) error { return sendJSON(c, description) }
