package httpapi

import (
	"encoding/json"

	"github.com/gofiber/fiber/v2"

	"panside/internal/fault"
	"panside/server/route"
	"panside/server/spoken"
)

// core answers for a phone that can't load the rules itself: same JSON in and
// out, in the language of the request, with a status that fits the error inside.
func (s *api) core(c *fiber.Ctx) error {
	language := spoken.Language(c.Get(fiber.HeaderAcceptLanguage))
	out := s.Core(language, c.Params("method"), c.Body())
	c.Set(fiber.HeaderContentLanguage, language)
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
