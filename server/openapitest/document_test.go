package openapitest_test

import (
	"io"
	"net/http/httptest"
	"slices"
	"testing"

	"github.com/gofiber/fiber/v2"

	"panside/internal/device"
	"panside/internal/fault"
	"panside/internal/say"
	"panside/server/openapitest"
	"panside/server/route"
)

var doc = openapitest.Read([]byte(`{
	"paths": {"/a/{id}": {"get": {"responses": {"200": {"content": {"application/json": {"schema": {"$ref": "#/components/schemas/A"}}}}}}}},
	"components": {"schemas": {"A": {"type": "object", "required": ["n"], "properties": {
		"n": {"type": "integer"}, "s": {"type": ["string", "null"]}, "c": {"const": 1}, "e": {"enum": ["x", "y"]},
		"l": {"type": "array", "items": {"type": "boolean"}}, "o": {"oneOf": [{"type": "string"}, {"type": "number"}]}}}}}
}`))

func TestRoutes(t *testing.T) {
	if got := doc.Routes(); !slices.Equal(got, []string{"GET /a/{id}"}) || openapitest.Route("GET", "/a/:id") != got[0] {
		t.Errorf("%q", got)
	}
}

func TestAnswers(t *testing.T) {
	for body, good := range map[string]bool{
		`{"n":1}`: true,
		`{"n":1,"s":null,"c":1,"e":"y","l":[true],"o":1.5}`: true,
		`{}`:                     false,
		`{"n":1.5}`:              false,
		`{"n":"1"}`:              false,
		`{"n":1,"s":2}`:          false,
		`{"n":1,"c":2}`:          false,
		`{"n":1,"e":"z"}`:        false,
		`{"n":1,"l":[1]}`:        false,
		`{"n":1,"o":true}`:       false,
		`{"n":1,"more":"words"}`: false,
		`[]`:                     false,
		`x`:                      false,
	} {
		if problem := doc.Answer("GET", "/a/{id}", 200, []byte(body)); (problem == "") != good {
			t.Errorf("%s: %q", body, problem)
		}
		if problem := doc.Schema("A", []byte(body)); (problem == "") != good {
			t.Errorf("%s as schema: %q", body, problem)
		}
	}
	if doc.Answer("GET", "/a/{id}", 404, []byte(`{}`)) == "" || doc.Answer("POST", "/a/{id}", 200, []byte(`{}`)) == "" {
		t.Error("what isn't described is good")
	}
}

// TestMoreThanTypes: the format, the pattern and the bounds of a value are held too.
func TestMoreThanTypes(t *testing.T) {
	doc := openapitest.Read([]byte(`{"components": {"schemas": {"A": {"type": "object", "properties": {
		"at": {"type": "string", "format": "date-time"}, "id": {"type": "string", "format": "uuid"},
		"lot": {"type": "string", "pattern": "^[a-z]{2}$"}, "pin": {"type": "integer", "minimum": 0, "maximum": 9},
		"name": {"type": "string", "minLength": 1, "maxLength": 3}, "list": {"type": "array", "maxItems": 1}}}}}}`))
	for body, good := range map[string]bool{
		`{"at":"2026-11-29T21:04:05.5Z"}`:               true,
		`{"at":"2026-11-29 21:04:05"}`:                  false,
		`{"at":"2026-13-29T21:04:05Z"}`:                 false,
		`{"id":"0190a000-0000-7000-8000-000000000001"}`: true,
		`{"id":"0190a000"}`:                             false,
		`{"lot":"ab"}`:                                  true,
		`{"lot":"ab1"}`:                                 false,
		`{"pin":0}`:                                     true,
		`{"pin":-1}`:                                    false,
		`{"pin":10}`:                                    false,
		`{"name":"x"}`:                                  true,
		`{"name":""}`:                                   false,
		`{"name":"long"}`:                               false,
		`{"list":[1]}`:                                  true,
		`{"list":[1,2]}`:                                false,
	} {
		if problem := doc.Schema("A", []byte(body)); (problem == "") != good {
			t.Errorf("%s: %q", body, problem)
		}
	}
}

// TestAFormatThatNothingChecks: a slip in a format's name would let anything pass.
func TestAFormatThatNothingChecks(t *testing.T) {
	defer func() {
		if recover() == nil {
			t.Error("it is read")
		}
	}()
	openapitest.Read([]byte(`{"components": {"schemas": {"A": {"type": "string", "format": "datetime"}}}}`))
}

func TestLimited(t *testing.T) {
	doc := openapitest.Read([]byte(`{"paths": {}, "x-limits": {"a": 5, "b": 0}}`))
	for _, tc := range []struct {
		want map[string]float64
		good bool
	}{
		{map[string]float64{"a": 5, "b": 0}, true},
		{map[string]float64{"a": 6}, false},
		{map[string]float64{"c": 0}, false},
	} {
		if problem := doc.Limited(tc.want); (problem == "") != tc.good {
			t.Errorf("%v: %q", tc.want, problem)
		}
	}
}

func TestAQuestionIsHeldToItsSchema(t *testing.T) {
	doc := openapitest.Read([]byte(`{"paths": {"/a/{id}": {"post": {"requestBody": {"content": {"application/json": {"schema": {"$ref": "#/components/schemas/A"}}}}}}}, "components": {"schemas": {}}}`),
		[]byte(`{"components": {"schemas": {"A": {"type": "object", "properties": {"n": {"type": "integer"}}}}}}`))
	for body, good := range map[string]bool{`{"n":1}`: true, `{"n":"1"}`: false, `{"m":1}`: false, `{`: false} {
		if problem := doc.Question("POST", "/a/{id}", []byte(body)); (problem == "") != good {
			t.Errorf("%s: %q", body, problem)
		}
	}
}

func TestServedIsWhatIsDescribed(t *testing.T) {
	doc := openapitest.Read([]byte(`{"paths": {"/api/v1/a/{id}": {"get": {}}}}`))
	if problem := doc.Served([]route.Route{route.Get("/a/:id", nil)}); problem != "" {
		t.Error(problem)
	}
	for _, routes := range [][]route.Route{nil, {route.Put("/a/:id", nil)}, {route.Get("/a/:id", nil), route.Get("/b", nil)}} {
		if doc.Served(routes) == "" {
			t.Errorf("%v is all of it", routes)
		}
	}
}

func TestServeHandsOnErrors(t *testing.T) {
	app := openapitest.Serve([]route.Route{route.Get("/a", func(c *fiber.Ctx, by device.Device) error {
		return fault.New(fault.NotFound, say.New(by.ID))
	})}, device.Device{ID: "P"})
	resp, err := app.Test(httptest.NewRequest("GET", "/api/v1/a", nil), -1)
	if err != nil {
		t.Fatal(err)
	}
	defer resp.Body.Close()
	body, err := io.ReadAll(resp.Body)
	if err != nil || resp.StatusCode != openapitest.Refused || string(body) != `{"error":{"code":"not-found","sentence":"P"}}` {
		t.Errorf("%d %s %v", resp.StatusCode, body, err)
	}
}
