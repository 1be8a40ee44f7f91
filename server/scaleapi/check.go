package scaleapi

import (
	"context"
	"encoding/json"
	"strconv"
	"time"

	"github.com/gofiber/fiber/v2"

	"panside/internal/bridge"
	"panside/internal/calibration"
	"panside/internal/device"
	"panside/internal/fault"
	"panside/internal/say"
	"panside/server/route"
	"panside/server/spoken"
)

// ScaleName names a scale as the live stream does.
type ScaleName struct {
	Name   string `json:"name"`
	Format string `json:"format"`
}

// Check is a kept check.
type Check struct {
	ID     int64
	Scale  ScaleName
	Taken  time.Time
	Device string          // who sent it; "" for the laptop's own terminal
	Record json.RawMessage // as the core's method scale-check takes it
	Result calibration.Result
}

// Checks keeps checks.
type Checks interface {
	// Connected is the scale that weighs; false if none does.
	Connected() (ScaleName, bool)
	// Newest is the newest check of a scale; false if there is none.
	Newest(ScaleName) (Check, bool)
	// Keep keeps a check, which counts at once, and gives it its ID and its result.
	// Errors: *fault.Field as of the core's scale-check.
	Keep(context.Context, Check) (Check, error)
}

// shownCheck is the answer of both routes. Null means: none.
type shownCheck struct {
	Scale *ScaleName `json:"scale"`
	Check *wireCheck `json:"check"`
}

type wireCheck struct {
	ID     int64           `json:"id"`
	Taken  time.Time       `json:"taken"`
	Device *string         `json:"device"` // null: the laptop's own terminal
	Record json.RawMessage `json:"record"`
	Result json.RawMessage `json:"result"`
}

func (a *API) newestCheck(c *fiber.Ctx, _ device.Device) error {
	scale, ok := a.Checks.Connected()
	if !ok {
		return route.Answer(c, shownCheck{})
	}
	kept, ok := a.Checks.Newest(scale)
	if !ok {
		return route.Answer(c, shownCheck{Scale: &scale})
	}
	return a.showCheck(c, kept)
}

func (a *API) showCheck(c *fiber.Ctx, kept Check) error {
	result, err := bridge.ScaleCheckAnswer(spoken.To(c), kept.Result, a.Now(), c.Query("temperature_c"), c.Query("place"))
	if err != nil {
		return refused(c, err)
	}
	out := wireCheck{ID: kept.ID, Taken: kept.Taken, Record: kept.Record, Result: result}
	if kept.Device != "" {
		out.Device = &kept.Device
	}
	return route.Answer(c, shownCheck{&kept.Scale, &out})
}

func (a *API) keepCheck(c *fiber.Ctx, by device.Device) error {
	var in struct {
		Scale *ScaleName
		Check map[string]json.RawMessage
	}
	if err := json.Unmarshal(c.Body(), &in); err != nil {
		return fault.Wrap(fault.BadInput, say.New("check-report-not-understood"), err)
	}
	kept := Check{Taken: a.Now().UTC(), Device: by.ID}
	switch connected, ok := a.Checks.Connected(); {
	case in.Scale != nil && in.Scale.Name != "":
		kept.Scale = *in.Scale
	case ok:
		kept.Scale = connected
	default:
		return fault.New(fault.NoScale, say.New("check-no-scale"))
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
	return a.showCheck(c, kept)
}
