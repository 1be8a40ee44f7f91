package httpapi

import (
	_ "embed" // for the description
	"encoding/json"
	"maps"

	"github.com/gofiber/fiber/v2"

	"panside/server/route"
)

//go:embed openapi.json
var description []byte

// coreDescription is the part about the core's methods.
//
//go:embed core.json
var coreDescription []byte

func (s *api) openapi(c *fiber.Ctx) error { return route.AnswerJSON(c, s.description) }

// combined adds the paths, components and limits of a second description to the first.
func combined(first, second []byte) ([]byte, error) {
	var doc map[string]json.RawMessage
	if err := json.Unmarshal(first, &doc); err != nil {
		return nil, err
	}
	type part struct {
		Limits     map[string]json.RawMessage            `json:"x-limits"`
		Paths      map[string]json.RawMessage            `json:"paths"`
		Components map[string]map[string]json.RawMessage `json:"components"`
	}
	var whole, more part
	if err := json.Unmarshal(first, &whole); err != nil {
		return nil, err
	}
	if err := json.Unmarshal(second, &more); err != nil {
		return nil, err
	}
	maps.Copy(whole.Paths, more.Paths)
	maps.Copy(whole.Limits, more.Limits)
	for kind, list := range more.Components {
		maps.Copy(whole.Components[kind], list)
	}
	var err error
	if doc["paths"], err = json.Marshal(whole.Paths); err != nil {
		return nil, err
	}
	if doc["x-limits"], err = json.Marshal(whole.Limits); err != nil {
		return nil, err
	}
	if doc["components"], err = json.Marshal(whole.Components); err != nil {
		return nil, err
	}
	return json.Marshal(doc)
}
