package httpapi

import (
	"path/filepath"
	"strings"
	"testing"

	"github.com/gofiber/fiber/v2"

	"panside/internal/device"
	"panside/server/joinapi"
	"panside/server/openapitest"
	"panside/server/route"
)

// TestLimitsAreAsDescribed holds the figures to the code's. Those of joining, of
// the live stream and of the printed codes are held beside their code.
func TestLimitsAreAsDescribed(t *testing.T) {
	if problem := openapitest.Read(description).Limited(map[string]float64{
		"body_bytes": maxBody, "header_bytes": maxHeader,
		"requests_at_once_an_address": addressBurst, "requests_a_second_an_address": addressRate,
		"requests_at_once_a_device": deviceBurst, "requests_a_second_a_device": deviceRate,
		"progress_bytes": enough, "read_seconds": readWithin.Seconds(), "write_seconds": writeWithin.Seconds(), "slowest_answer_bytes_a_second": slowestAnswer, "idle_seconds": idleWithin.Seconds(),
		"connections_an_address": maxAnAddress, "silent_connections_an_address": maxSilentAnAddress, "first_byte_seconds": firstByteWithin.Seconds(),
	}); problem != "" {
		t.Error(problem)
	}
	for _, app := range []*fiber.App{newFixture(t).secure, newFixture(t).plain} {
		if s := app.Server(); s.ReadTimeout != readWithin || s.WriteTimeout != writeWithin || s.IdleTimeout != idleWithin || s.ReadBufferSize != maxHeader {
			t.Errorf("the server has %v, %v, %v and %d", s.ReadTimeout, s.WriteTimeout, s.IdleTimeout, s.ReadBufferSize)
		}
	}
}

// TestVerbsAreAsDescribed: HEAD is answered like GET without a body, also on the
// routes of other parts; what isn't described gets 405 and what is allowed.
func TestVerbsAreAsDescribed(t *testing.T) {
	f := newFixture(t, func(c *Config) {
		c.Further = func(Guards) []route.Route {
			return []route.Route{route.Get("/things", func(c *fiber.Ctx, _ device.Device) error { return route.Answer(c, "thing") })}
		}
	})
	doc := openapitest.Read(description, joinapi.Description)
	for _, r := range append(doc.Routes(), "GET /api/v1/things") {
		method, path, _ := strings.Cut(r, " ")
		if method != "GET" || path == "/api/v1/live" {
			continue
		}
		get, head := f.do(f.secure, "GET", path, "", asDesk), f.do(f.secure, "HEAD", path, "", asDesk)
		if head.status != get.status || head.body != "" || head.header.Get("Content-Type") != get.header.Get("Content-Type") {
			t.Errorf("HEAD %s: %d %q, GET %d", path, head.status, head.body, get.status)
		}
	}
	for _, r := range append(doc.Routes(), "GET /api/v1/things") {
		_, path, _ := strings.Cut(r, " ")
		for _, method := range []string{"PATCH", "OPTIONS"} {
			if a := f.do(f.secure, method, path, "", asDesk); a.status != 405 || a.header.Get("Allow") == "" || a.code(t) != "not-found" {
				t.Errorf("%s %s: %d %s, Allow %q", method, path, a.status, a.body, a.header.Get("Allow"))
			}
		}
	}
}

// TestMessagesAreAsDescribed holds all agreed messages of the live stream to the
// description.
func TestMessagesAreAsDescribed(t *testing.T) {
	doc := openapitest.Read(description)
	files, err := filepath.Glob("../../testdata/wire/*.json")
	if err != nil || len(files) < 8 {
		t.Fatalf("%d messages, %v", len(files), err)
	}
	for _, file := range files {
		name := filepath.Base(file)
		if problem := doc.Check(readWire(t, name), "paths", "/api/v1/live", "get", "responses", "101", "content", "application/json", "schema"); problem != "" {
			t.Errorf("%s: %s", name, problem)
		}
	}
}

// TestAsksAreAsDescribed holds the agreed messages about the pan to their schema.
func TestAsksAreAsDescribed(t *testing.T) {
	doc := openapitest.Read(description)
	for _, name := range []string{"pan.json", "pan-free.json"} {
		if problem := doc.Schema("Pan", readWire(t, name)); problem != "" {
			t.Errorf("%s: %s", name, problem)
		}
	}
	for word, good := range map[string]bool{
		`{"type":"pan","do":"take","if_free":true,"asks":{"country":"US","denomination":"cent","year":0,"mint":"","evidence":{"magnetic":"no"}}}`: true,
		`{"type":"pan","do":"leave"}`: true,
		`{"type":"pan","do":"ask","asks":{"country":"US","denomination":"","year":0,"mint":""}}`: false,
		`{"type":"pan","do":"throw"}`: false,
	} {
		if problem := doc.Schema("PanWord", []byte(word)); (problem == "") != good {
			t.Errorf("%s: %s", word, problem)
		}
	}
}

// TestTheWholeDocumentHasEveryPart in one, as clients read it.
func TestTheWholeDocumentHasEveryPart(t *testing.T) {
	f := newFixture(t, func(c *Config) {
		c.Descriptions = [][]byte{[]byte(`{"paths":{"/more":{"get":{}}},"components":{"schemas":{"More":{"type":"string"}}},"x-limits":{"more":5}}`)}
	})
	doc := openapitest.Read([]byte(f.do(f.secure, "GET", "/api/v1/openapi.json", "").body))
	if doc.At("paths", "/more") == nil || doc.At("paths", corePath+"judge") == nil || doc.Limits()["more"] != 5 || doc.Limits()["body_bytes"] != maxBody {
		t.Error("a part is missing")
	}
	if problem := doc.Schema("More", []byte(`5`)); problem == "" {
		t.Error("a schema of a part isn't there")
	}
}
