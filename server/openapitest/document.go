// Package openapitest helps tests to hold an API to its OpenAPI description: the
// routes that are served, and the answers they give. OpenAPI 3.1 describes JSON by
// JSON Schema 2020-12, which a library checks, formats too.
package openapitest

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"

	"github.com/santhosh-tekuri/jsonschema/v6"
)

// Document is a description.
type Document struct {
	raw      map[string]any
	compiler *jsonschema.Compiler
}

// where is the name under which the compiler knows a document.
const where = "description.json"

// Read reads a description, and others whose paths and components belong to it.
// It panics if that is no JSON, which a test may, and at a format that nothing
// would be held to.
func Read(raw []byte, more ...[]byte) Document {
	doc := parsed(raw)
	for _, m := range more {
		part := parsed(m)
		for _, kind := range []string{"schemas", "responses", "parameters"} {
			if list, ok := at(part, "components", kind).(map[string]any); ok {
				into, _ := at(doc, "components", kind).(map[string]any)
				maps.Copy(into, list)
			}
		}
		if list, ok := part["paths"].(map[string]any); ok {
			maps.Copy(doc["paths"].(map[string]any), list)
		}
	}
	strict(doc)
	c := jsonschema.NewCompiler()
	c.AssertFormat() // JSON Schema itself lets a format be a mere remark
	if err := c.AddResource(where, doc); err != nil {
		panic(err)
	}
	return Document{doc, c}
}

func parsed(raw []byte) map[string]any {
	v, err := jsonschema.UnmarshalJSON(bytes.NewReader(raw))
	if err != nil {
		panic(err)
	}
	return v.(map[string]any)
}

// formats are those that a description may name. The library knows more of
// JSON Schema's, and passes over any that it doesn't know.
var formats = []string{"date", "date-time", "email", "ipv4", "ipv6", "uri", "uuid"}

// strict forbids in every object what isn't described, where the description
// doesn't say otherwise: a reader may meet more than it knows, but a server must
// not answer more than it tells of.
func strict(v any) {
	switch v := v.(type) {
	case map[string]any:
		_, isSchema := v["properties"].(map[string]any)
		for _, open := range []string{"additionalProperties", "patternProperties", "unevaluatedProperties"} {
			_, said := v[open]
			isSchema = isSchema && !said
		}
		if isSchema {
			v["additionalProperties"] = false
		}
		if format, ok := v["format"].(string); ok && !slices.Contains(formats, format) {
			panic("nothing checks the format " + format)
		}
		for name, part := range v {
			if name != "example" && name != "examples" { // answers, not schemas
				strict(part)
			}
		}
	case []any:
		for _, part := range v {
			strict(part)
		}
	}
}

// Routes lists what is described, as "GET /path/{parameter}", in order.
func (d Document) Routes() (routes []string) {
	paths, _ := d.raw["paths"].(map[string]any)
	for path, item := range paths {
		methods, _ := item.(map[string]any)
		for method := range methods {
			routes = append(routes, strings.ToUpper(method)+" "+path)
		}
	}
	slices.Sort(routes)
	return routes
}

var parameter = regexp.MustCompile(`:(\w+)`)

// Route writes a router's route as Routes does.
func Route(method, path string) string {
	return method + " " + parameter.ReplaceAllString(path, "{$1}")
}

// Answer says what is wrong with an answer's JSON body, empty if nothing. path
// is the described one.
func (d Document) Answer(method, path string, status int, body []byte) string {
	keys := []string{"paths", path, strings.ToLower(method), "responses", fmt.Sprint(status)}
	if d.At(keys...) == nil {
		return fmt.Sprintf("%s %s answering %d is not described", method, path, status)
	}
	return d.Check(body, append(keys, "content", "application/json", "schema")...)
}

// Question says what is wrong with a request's JSON body, likewise.
func (d Document) Question(method, path string, body []byte) string {
	return d.Check(body, "paths", path, strings.ToLower(method), "requestBody", "content", "application/json", "schema")
}

// Schema says what is wrong with a value of a named schema.
func (d Document) Schema(name string, raw []byte) string {
	return d.Check(raw, "components", "schemas", name)
}

// At is the part of the document behind the keys, nil if there is none.
func (d Document) At(keys ...string) any { return at(d.raw, keys...) }

// Check says what is wrong with a value by the schema behind the keys.
func (d Document) Check(raw []byte, keys ...string) string {
	if d.At(keys...) == nil {
		return "no schema at " + strings.Join(keys, " ")
	}
	value, err := jsonschema.UnmarshalJSON(bytes.NewReader(raw))
	if err != nil {
		return err.Error()
	}
	escaped := strings.NewReplacer("~", "~0", "/", "~1", "%", "%25", "{", "%7B", "}", "%7D")
	pointer := where + "#"
	for _, k := range keys {
		pointer += "/" + escaped.Replace(k)
	}
	schema, err := d.compiler.Compile(pointer)
	if err != nil {
		return err.Error()
	}
	if err := schema.Validate(value); err != nil {
		return err.Error()
	}
	return ""
}

func at(v any, keys ...string) any {
	for _, k := range keys {
		m, _ := v.(map[string]any)
		v = m[k]
	}
	return v
}

// Limited says which of some limits are described otherwise; empty if none.
func (d Document) Limited(want map[string]float64) (problem string) {
	got := d.Limits()
	for _, name := range slices.Sorted(maps.Keys(want)) {
		if n, ok := got[name]; !ok || n != want[name] {
			problem += fmt.Sprintf("%s is described as %v, it is %v\n", name, n, want[name])
		}
	}
	return problem
}

// Limits are the figures a description gives under x-limits.
func (d Document) Limits() map[string]float64 {
	limits := map[string]float64{}
	list, _ := d.raw["x-limits"].(map[string]any)
	for name, v := range list {
		if n, ok := v.(json.Number); ok {
			limits[name], _ = n.Float64()
		}
	}
	return limits
}
