package httpapi

import (
	"encoding/json"

	"github.com/gofiber/fiber/v2"

	"panside/internal/fault"
	"panside/server/route"
)

// core answers for a phone that can't load the rules itself: same JSON in and
// out, with a status that fits the error inside.
func (s *api) core(c *fiber.Ctx) error {
	out := s.Core(c.Params("method"), c.Body())
	var failed struct {
		Error *struct {
			Code fault.Code `json:"code"`
		} `json:"error"`
	}
	if err := json.Unmarshal(out, &failed); err != nil {
		return err
	}
	if failed.Error != nil {
		c.Status(statusOf(failed.Error.Code))
	}
	return route.AnswerJSON(c, out)
}

var notVirtual = fault.New(fault.NotVirtual, "The scale is a real one, so coins are moved by hand. Nothing was changed.")

func (s *api) virtual(c *fiber.Ctx) error {
	if s.Virtual == nil {
		return notVirtual
	}
	return route.Answer(c, s.Virtual.Show())
}

func (s *api) moveVirtual(c *fiber.Ctx) error {
	if s.Virtual == nil {
		return notVirtual
	}
	var in struct{ Do, Coin string }
	if err := read(c, &in); err != nil {
		return err
	}
	if err := s.Virtual.Do(in.Do, in.Coin); err != nil {
		return err
	}
	return route.Answer(c, s.Virtual.Show())
}
