package openapitest

import (
	"fmt"
	"slices"

	"github.com/gofiber/fiber/v2"

	"panside/internal/device"
	"panside/internal/fault"
	"panside/server/route"
)

// Refused is the status of every error that Serve hands on; package httpapi,
// which isn't there, would choose one by its code.
const Refused = fiber.StatusConflict

// Serve serves routes as package httpapi does, for one joined device.
func Serve(routes []route.Route, by device.Device) *fiber.App {
	app := fiber.New(fiber.Config{ErrorHandler: func(c *fiber.Ctx, err error) error {
		f := fault.Of(err)
		return c.Status(Refused).JSON(map[string]any{"error": map[string]any{"code": f.Code, "sentence": f.English()}})
	}})
	for _, r := range routes {
		app.Add(r.Method, "/api/v1"+r.Path, func(c *fiber.Ctx) error { return r.Handle(c, by) })
	}
	return app
}

// Served says in what the routes served differ from those described; empty if in
// nothing.
func (d Document) Served(routes []route.Route) string {
	var served []string
	for _, r := range routes {
		served = append(served, Route(r.Method, "/api/v1"+r.Path))
	}
	slices.Sort(served)
	if want := d.Routes(); !slices.Equal(served, want) {
		return fmt.Sprintf("served %q\ndescribed %q", served, want)
	}
	return ""
}
