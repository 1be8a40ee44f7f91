package scaleapi

import (
	"encoding/json"

	"github.com/gofiber/fiber/v2"

	"panside/internal/device"
	"panside/internal/fault"
	"panside/internal/mass"
	"panside/internal/say"
	"panside/server/route"
)

// PracticeScale is a scale whose coins are moved from the page instead of by
// hand.
type PracticeScale interface {
	Show() PracticeTray
	// Do carries out one move; coin is empty for moves without one. Errors:
	// fault.BadInput for an unknown move, fault.NotFound for a coin that isn't
	// there.
	Do(move, coin string) error
}

// PracticeTray is what lies where at the practice scale.
type PracticeTray struct {
	PluggedIn bool        `json:"plugged_in"`
	Pan       []PanCoin   `json:"pan"`
	Tray      []TrayCoin  `json:"tray"`
	Script    *ScriptStep `json:"script"` // null if none was started
}

// PanCoin is a coin on the pan.
type PanCoin struct {
	ID    string     `json:"id"`
	Name  string     `json:"name"`
	Grams mass.Grams `json:"grams"` // its true mass
}

// TrayCoin is a coin beside the scale.
type TrayCoin struct {
	ID   string `json:"id"`
	Name string `json:"name"`
	Note string `json:"note"` // what it is
}

// ScriptStep tells how far the script is that moves the coins.
type ScriptStep struct {
	Name    string `json:"name"`
	Running bool   `json:"running"`
	Step    int    `json:"step"` // 1 to Of
	Of      int    `json:"of"`
	Next    string `json:"next"`
}

var notVirtual = fault.New(fault.NotVirtual, say.New("practice-real-scale"))

func (a *API) tray(c *fiber.Ctx, _ device.Device) error {
	if a.Practice == nil {
		return notVirtual
	}
	return route.Answer(c, a.Practice.Show())
}

func (a *API) move(c *fiber.Ctx, _ device.Device) error {
	if a.Practice == nil {
		return notVirtual
	}
	var in struct{ Do, Coin string }
	if err := json.Unmarshal(c.Body(), &in); err != nil {
		return fault.Wrap(fault.BadInput, say.New("http-page-not-understood"), err)
	}
	if err := a.Practice.Do(in.Do, in.Coin); err != nil {
		return err
	}
	return route.Answer(c, a.Practice.Show())
}
