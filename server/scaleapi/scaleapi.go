// Package scaleapi has the routes by which a person sees how the scale was found
// and is read, and fixes by hand what the program got wrong. openapi.json in
// this folder describes them.
package scaleapi

import (
	_ "embed" // for the description
	"encoding/json"
	"errors"

	"github.com/gofiber/fiber/v2"

	"panside/internal/device"
	"panside/internal/fault"
	"panside/server/route"
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
	// Step is the scale's real step in StepUnit, for a scale that shows more digits
	// than it can tell apart. Empty: the step of its last digit.
	Step      string `json:"step"`
	StepUnit  string `json:"step_unit"`
	KeepAwake bool   `json:"keep_awake"`
}

// Virtual is the port of the practice scale.
const Virtual = "virtual"

// Now is how things stand.
type Now struct {
	Name    string         `json:"name"` // "" while it is looked for
	Kind    string         `json:"kind"`
	Line    string         `json:"line"`   // as in "9600 8N1"; "" where there is none
	Format  string         `json:"format"` // "" while nothing speaks for any
	Sure    float64        `json:"sure"`   // 0 to 1
	Lines   int            `json:"lines"`  // from which that was learnt
	Unit    string         `json:"unit"`   // "" without a weight
	Step    string         `json:"step"`   // in Unit, that counts now
	Problem *ProblemOfPort `json:"problem"`
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
	Found  string `json:"found"`
	Line   string `json:"line"` // under which it was heard
	Reason string `json:"reason"`
	Heard  []Line `json:"heard"`
}

// Line is a line as it came, each byte the character of that number
// (ISO 8859-1), and how many there were of its shape.
type Line struct {
	Raw   string `json:"raw"`
	Times int    `json:"times"`
}

// Format is a line format that can be picked.
type Format struct {
	Format    string   `json:"format"`
	Summary   string   `json:"summary"`
	Lines     []string `json:"lines"` // usual line settings
	KeepAwake bool     `json:"keep_awake"`
}

// View is all of it.
type View struct {
	Settings Settings `json:"settings"`
	// Kept tells that they were set by hand and hold at the next start too;
	// otherwise they are those of the command line.
	Kept    bool     `json:"kept"`
	Now     Now      `json:"now"`
	Ports   []Port   `json:"ports"`
	Formats []Format `json:"formats"`
	Lines   []Line   `json:"lines"` // of the port in use, the newest first
}

// FieldError is a setting that can't be. Errors are for the person.
type FieldError struct {
	Field string
	Fault *fault.Error
}

// Error gives the log's text.
func (e *FieldError) Error() string { return e.Field + ": " + e.Fault.Error() }

// Unwrap gives the fault.
func (e *FieldError) Unwrap() error { return e.Fault }

// Scale is the scale that can be fixed.
type Scale interface {
	View() View
	// Set makes settings count at once and keeps them. anyPort lets a port be
	// named that isn't listed. Errors: *FieldError, and those of the data folder.
	Set(s Settings, anyPort bool) error
	// SetUnit makes an answer count at once and keeps it for that scale. Errors as
	// of Set.
	SetUnit(a Answer) error
}

// Options are what the routes need. Scale is nil where there is no scale that
// could be fixed.
type Options struct{ Scale Scale }

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
	}
}

var nothingToFix = fault.New(fault.NoScale, "There is no scale here whose reading could be set. Nothing was changed.")

func (a *API) show(c *fiber.Ctx, _ device.Device) error {
	if a.Scale == nil {
		return nothingToFix
	}
	return route.Answer(c, a.Scale.View())
}

func (a *API) set(c *fiber.Ctx, by device.Device) error {
	if a.Scale == nil {
		return nothingToFix
	}
	var s Settings
	if err := json.Unmarshal(c.Body(), &s); err != nil {
		return fault.Wrap(fault.BadInput, "The laptop didn't understand these settings. Nothing was changed; reload the page and set them again.", err)
	}
	return a.changed(c, a.Scale.Set(s, by.Role == device.Desk))
}

func (a *API) setUnit(c *fiber.Ctx, _ device.Device) error {
	if a.Scale == nil {
		return nothingToFix
	}
	var said Answer
	if err := json.Unmarshal(c.Body(), &said); err != nil {
		return fault.Wrap(fault.BadInput, "The laptop didn't understand this answer. Nothing was changed; reload the page and answer again.", err)
	}
	return a.changed(c, a.Scale.SetUnit(said))
}

// changed answers with how things stand now, or with what can't be.
func (a *API) changed(c *fiber.Ctx, err error) error {
	var wrong *FieldError
	if errors.As(err, &wrong) {
		return refused(c, wrong)
	}
	if err != nil {
		return err
	}
	return route.Answer(c, a.Scale.View())
}

// refused says which setting can't be.
func refused(c *fiber.Ctx, e *FieldError) error {
	var out struct {
		Error struct {
			ProblemOfPort
			Field string `json:"field"`
		} `json:"error"`
	}
	out.Error.ProblemOfPort = ProblemOfPort{e.Fault.Code, e.Fault.Sentence}
	out.Error.Field = e.Field
	status := fiber.StatusBadRequest
	if e.Fault.Code == fault.DeskOnly {
		status = fiber.StatusForbidden
	}
	if err := route.Answer(c, out); err != nil {
		return err
	}
	c.Status(status)
	return nil
}
