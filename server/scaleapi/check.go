package scaleapi

import (
	"context"
	"encoding/json"
	"strconv"
	"time"

	"github.com/gofiber/fiber/v2"

	"panside/internal/device"
	"panside/internal/fault"
	"panside/server/route"
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
}

// Checks keeps checks.
type Checks interface {
	// Connected is the scale that weighs; false if none does.
	Connected() (ScaleName, bool)
	// Newest is the newest check of a scale; false if there is none.
	Newest(ScaleName) (Check, bool)
	// Keep keeps a check, which counts at once, and gives it its ID. Errors: those
	// of the core's scale-check.
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
	record, err := aged(kept.Record, c.Query("temperature_c"), c.Query("place"), a.Now())
	if err != nil {
		return err
	}
	var result struct{ OK, Error json.RawMessage }
	raw := a.Core("scale-check", record)
	if err := json.Unmarshal(raw, &result); err != nil {
		return err
	}
	if result.Error != nil {
		return refusedByCore(c, raw)
	}
	out := wireCheck{ID: kept.ID, Taken: kept.Taken, Record: kept.Record, Result: result.OK}
	if kept.Device != "" {
		out.Device = &kept.Device
	}
	return route.Answer(c, shownCheck{&kept.Scale, &out})
}

// aged gives a record with the time now, and where and how warm the scale is now:
// by these the core judges how old the check is.
func aged(record json.RawMessage, temperature, place string, now time.Time) ([]byte, error) {
	fields := map[string]json.RawMessage{}
	if err := json.Unmarshal(record, &fields); err != nil {
		return nil, err
	}
	fields["now"] = json.RawMessage(strconv.FormatInt(now.UnixMilli(), 10))
	for name, value := range map[string]string{"now_temperature_c": temperature, "now_place": place} {
		delete(fields, name)
		if value == "" {
			continue
		}
		raw, err := json.Marshal(value)
		if err != nil {
			return nil, err
		}
		fields[name] = raw
	}
	return json.Marshal(fields)
}

func (a *API) keepCheck(c *fiber.Ctx, by device.Device) error {
	var in struct {
		Scale *ScaleName
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
	// The core's own answer names the field that it can't use.
	var result struct{ Error json.RawMessage }
	raw := a.Core("scale-check", record)
	if err := json.Unmarshal(raw, &result); err != nil {
		return err
	}
	if result.Error != nil {
		return refusedByCore(c, raw)
	}
	if kept, err = a.Checks.Keep(c.UserContext(), kept); err != nil {
		return err
	}
	return a.showCheck(c, kept)
}

// refusedByCore hands on what the core refuses.
func refusedByCore(c *fiber.Ctx, raw []byte) error {
	c.Status(fiber.StatusBadRequest)
	return route.AnswerJSON(c, raw)
}
