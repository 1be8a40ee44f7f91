// Package checkapi has the routes for how the scale errs: the newest check
// of the connected scale, and keeping a new one. openapi.json in this folder
// describes them.
package checkapi

import (
	"context"
	_ "embed" // for the description
	"encoding/json"
	"errors"
	"strconv"
	"time"

	"github.com/gofiber/fiber/v2"

	"panside/internal/bridge"
	"panside/internal/calibration"
	"panside/internal/device"
	"panside/internal/fault"
	"panside/server/route"
)

// Description is this package's part of the API's description.
//
//go:embed openapi.json
var Description []byte

// Scale names a scale as the live stream does.
type Scale struct {
	Name    string `json:"name"`
	Dialect string `json:"dialect"`
}

// Check is a kept check.
type Check struct {
	ID     int64
	Scale  Scale
	Taken  time.Time
	Device string          // who sent it; "" for the laptop's own terminal
	Record json.RawMessage // as the core's method scale-check takes it
	Result calibration.Result
}

// Checks keeps checks.
type Checks interface {
	// Connected is the scale that weighs; false if none does.
	Connected() (Scale, bool)
	// Newest is the newest check of a scale; false if there is none.
	Newest(Scale) (Check, bool)
	// Keep keeps a check, which counts at once, and gives it its ID and its result.
	// Errors: *fault.Field as of the core's scale-check.
	Keep(context.Context, Check) (Check, error)
}

// Options are what the routes need; all are required.
type Options struct {
	Checks Checks
	Now    func() time.Time
}

// API answers the routes.
type API struct{ Options }

// New returns the API.
func New(o Options) *API { return &API{o} }

// Routes lists them.
func (a *API) Routes() []route.Route {
	return []route.Route{
		route.Get("/scale-check", a.newest),
		route.Post("/scale-check", a.keep),
	}
}

// shown is the answer of both routes. Null means: none.
type shown struct {
	Scale *Scale `json:"scale"`
	Check *check `json:"check"`
}

type check struct {
	ID     int64           `json:"id"`
	Taken  time.Time       `json:"taken"`
	Device *string         `json:"device"` // null: the laptop's own terminal
	Record json.RawMessage `json:"record"`
	Result json.RawMessage `json:"result"`
}

func (a *API) newest(c *fiber.Ctx, _ device.Device) error {
	scale, ok := a.Checks.Connected()
	if !ok {
		return route.Answer(c, shown{})
	}
	kept, ok := a.Checks.Newest(scale)
	if !ok {
		return route.Answer(c, shown{Scale: &scale})
	}
	return a.show(c, kept)
}

func (a *API) show(c *fiber.Ctx, kept Check) error {
	result, err := bridge.ScaleCheckAnswer(kept.Result, a.Now(), c.Query("temperature_c"), c.Query("place"))
	if err != nil {
		return refused(c, err)
	}
	out := check{ID: kept.ID, Taken: kept.Taken, Record: kept.Record, Result: result}
	if kept.Device != "" {
		out.Device = &kept.Device
	}
	return route.Answer(c, shown{&kept.Scale, &out})
}

func (a *API) keep(c *fiber.Ctx, by device.Device) error {
	var in struct {
		Scale *Scale
		Check map[string]json.RawMessage
	}
	if err := json.Unmarshal(c.Body(), &in); err != nil {
		return fault.Wrap(fault.BadInput, "The laptop didn't understand what the phone sent. Nothing was stored; reload the page and send the check again.", err)
	}
	kept := Check{Taken: a.Now().UTC(), Device: by.ID}
	switch connected, ok := a.Checks.Connected(); {
	case in.Scale != nil && in.Scale.Name != "":
		kept.Scale = *in.Scale
	case ok:
		kept.Scale = connected
	default:
		return fault.New(fault.NoScale, "No scale is connected, so the laptop doesn't know whose check this is. Nothing was stored; connect the scale and send it again.")
	}
	// The laptop's clock counts: it is the one that tells the check's age.
	for _, name := range []string{"now", "now_temperature_c", "now_place"} {
		delete(in.Check, name)
	}
	if in.Check == nil {
		in.Check = map[string]json.RawMessage{}
	}
	in.Check["taken"] = json.RawMessage(strconv.FormatInt(kept.Taken.UnixMilli(), 10))
	record, err := json.Marshal(in.Check)
	if err != nil {
		return err
	}
	kept.Record = record
	if kept, err = a.Checks.Keep(c.UserContext(), kept); err != nil {
		return refused(c, err)
	}
	return a.show(c, kept)
}

// refused says which value can't be, as the core's own answer would.
func refused(c *fiber.Ctx, err error) error {
	var in *fault.Field
	if !errors.As(err, &in) {
		return err
	}
	c.Status(fiber.StatusBadRequest)
	return route.AnswerJSON(c, bridge.Refusal(in))
}
