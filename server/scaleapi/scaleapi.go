// Package scaleapi has the routes about the scale: how it was found and is read,
// and what a person fixes of that by hand; its check with weights; and the
// practice scale, whose coins the page moves. openapi.json in this folder
// describes them.
package scaleapi

import (
	_ "embed" // for the description
	"encoding/json"
	"errors"
	"time"

	"github.com/gofiber/fiber/v2"

	"panside/internal/bridge"
	"panside/internal/device"
	"panside/internal/fault"
	"panside/internal/say"
	"panside/server/route"
	"panside/server/spoken"
)

// Description is this package's part of the API's description.
//
//go:embed openapi.json
var Description []byte

// Settings are what a person can fix. What is empty is found by the program.
type Settings struct {
	Port    string `json:"port"`    // as listed, or tcp://HOST:PORT, or a device
	Baud    int    `json:"baud"`    // bits per second
	Framing string `json:"framing"` // as in "8N1"
	Format  string `json:"format"`  // a name from the list; not with Pattern
	Pattern string `json:"pattern"` // package dialect's language
	Unit    string `json:"unit"`    // of lines that carry none
	// Resolution is the smallest difference that the scale tells apart, in
	// ResolutionUnit, for a scale that shows finer digits than that.
	Resolution     string `json:"resolution"`
	ResolutionUnit string `json:"resolution_unit"`
	KeepAwake      bool   `json:"keep_awake"`
}

// Virtual is the port of the practice scale.
const Virtual = "virtual"

// Bluetooth is the port of scales that speak Bluetooth's weight service.
const Bluetooth = "bluetooth"

// Camera is the port of a scale whose display a phone's camera reads.
const Camera = "camera"

// Now is how things stand.
type Now struct {
	Name         string         `json:"name"` // "" while it is looked for
	Kind         string         `json:"kind"`
	PortSettings string         `json:"port_settings"` // as in "9600 8N1"; "" where there are none
	Format       string         `json:"format"`        // "" while nothing speaks for any
	Probability  float64        `json:"probability"`   // of the format, 0 to 1
	LineCount    int            `json:"line_count"`    // of the lines from which that was learnt
	Unit         string         `json:"unit"`          // "" without a weight
	Resolution   string         `json:"resolution"`    // in Unit, that counts now
	Problem      *ProblemOfPort `json:"problem"`
	// Asks is what the person must say before there is a weight; null if nothing.
	Asks *Asks `json:"asks"`
	// Said is what the person said of this scale's units.
	Said Said `json:"said"`
}

// Asks is a question that only the person can answer by looking at the display.
type Asks struct {
	Of     string   `json:"of"`     // unit: of lines that carry none; gr: gram or grain
	Digits string   `json:"digits"` // as the scale sent them; no weight
	Units  []string `json:"units"`  // answers worth a button, the likeliest first
}

// Said are the person's answers; "" is not said.
type Said struct {
	Unit string `json:"unit"`
	Gr   string `json:"gr"`
}

// Answer is the person's word on a unit of the scale of that name. An empty unit
// takes it back.
type Answer struct {
	Scale string `json:"scale"`
	Of    string `json:"of"` // as in Asks
	Unit  string `json:"unit"`
}

// ProblemOfPort is what is wrong.
type ProblemOfPort struct {
	Code     fault.Code `json:"code"`
	Sentence string     `json:"sentence"`
}

// Port is a place where a scale could be.
type Port struct {
	Port string `json:"port"` // as Settings take it
	Kind string `json:"kind"`
	Node string `json:"node"` // the device behind a name that stays; "" if the same
	// Found is what a search found there last: scale, silent, speaks, not-opened;
	// "" if it hasn't looked.
	Found        string `json:"found"`
	PortSettings string `json:"port_settings"` // under which it was heard
	Reason       string `json:"reason"`
	Heard        []Line `json:"heard"`
}

// Line is a line as it came, each byte the character of that number
// (ISO 8859-1), and how many there were of its shape.
type Line struct {
	Raw   string `json:"raw"`
	Times int    `json:"times"`
}

// Format is a line format that can be picked.
type Format struct {
	Format       string   `json:"format"`
	Summary      string   `json:"summary"`
	PortSettings []string `json:"port_settings"` // the usual ones
	KeepAwake    bool     `json:"keep_awake"`
}

// View is all of it.
type View struct {
	Settings Settings `json:"settings"`
	// Kept reports whether they were set by hand and hold at the next start too;
	// otherwise they are those of the command line.
	Kept     bool     `json:"kept"`
	Now      Now      `json:"now"`
	Ports    []Port   `json:"ports"`
	Formats  []Format `json:"formats"`
	Received []Line   `json:"received"` // of the port in use, the newest first
}

// Scale is the scale that can be fixed.
type Scale interface {
	// View shows it; what is wrong is said in a tongue.
	View(t *say.Tongue) View
	// Set makes settings count at once and keeps them. anyPort lets a port be
	// named that isn't listed. Errors: *fault.Field, and those of the data folder.
	Set(s Settings, anyPort bool) error
	// SetUnit makes an answer count at once and keeps it for that scale. Errors as
	// of Set.
	SetUnit(a Answer) error
}

// Options are what the routes need. Scale is nil where there is no scale that
// could be fixed, Practice where the scale is a real one; the rest is required.
type Options struct {
	Scale    Scale
	Checks   Checks
	Practice PracticeScale
	Now      func() time.Time
}

// API answers the routes.
type API struct{ Options }

// New returns the API.
func New(o Options) *API { return &API{o} }

// Routes lists them.
func (a *API) Routes() []route.Route {
	return []route.Route{
		route.Get("/scale", a.show),
		route.Put("/scale", a.set),
		route.Put("/scale/unit", a.setUnit),
		route.Get("/scale-check", a.newestCheck),
		route.Post("/scale-check", a.keepCheck),
		route.Get("/virtual", a.tray),
		route.Post("/virtual", a.move),
	}
}

var nothingToFix = fault.New(fault.NoScale, say.New("settings-no-scale"))

func (a *API) show(c *fiber.Ctx, _ device.Device) error {
	if a.Scale == nil {
		return nothingToFix
	}
	return route.Answer(c, a.Scale.View(spoken.To(c)))
}

func (a *API) set(c *fiber.Ctx, by device.Device) error {
	if a.Scale == nil {
		return nothingToFix
	}
	var s Settings
	if err := json.Unmarshal(c.Body(), &s); err != nil {
		return fault.Wrap(fault.BadInput, say.New("settings-not-understood"), err)
	}
	return a.changed(c, a.Scale.Set(s, by.Role == device.Desk))
}

func (a *API) setUnit(c *fiber.Ctx, _ device.Device) error {
	if a.Scale == nil {
		return nothingToFix
	}
	var said Answer
	if err := json.Unmarshal(c.Body(), &said); err != nil {
		return fault.Wrap(fault.BadInput, say.New("settings-answer-not-understood"), err)
	}
	return a.changed(c, a.Scale.SetUnit(said))
}

// changed answers with how things stand now, or with what can't be.
func (a *API) changed(c *fiber.Ctx, err error) error {
	if err != nil {
		return refused(c, err)
	}
	return route.Answer(c, a.Scale.View(spoken.To(c)))
}

// refused says which value can't be, as the core's own answer would; other errors
// stay.
func refused(c *fiber.Ctx, err error) error {
	var wrong *fault.Field
	if !errors.As(err, &wrong) {
		return err
	}
	status := fiber.StatusBadRequest
	if wrong.Fault.Code == fault.DeskOnly {
		status = fiber.StatusForbidden
	}
	c.Status(status)
	return route.AnswerJSON(c, bridge.Refusal(spoken.To(c), wrong))
}
