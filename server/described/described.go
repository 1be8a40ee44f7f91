// Package described helps tests to hold an API to its OpenAPI description: the
// routes that are served, and the answers they give. It knows the few words of
// JSON Schema that the descriptions here use.
package described

import (
	"encoding/json"
	"fmt"
	"reflect"
	"regexp"
	"slices"
	"strings"
)

// Document is a description.
type Document map[string]any

// Read reads a description. It panics if that is no JSON, which a test may.
func Read(raw []byte) Document {
	var d Document
	if err := json.Unmarshal(raw, &d); err != nil {
		panic(err)
	}
	return d
}

// Routes lists what is described, as "GET /path/{parameter}", in order.
func (d Document) Routes() (routes []string) {
	paths, _ := d["paths"].(map[string]any)
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
	answer := at(map[string]any(d), "paths", path, strings.ToLower(method), "responses", fmt.Sprint(status))
	if answer == nil {
		return fmt.Sprintf("%s %s answering %d is not described", method, path, status)
	}
	var value any
	if err := json.Unmarshal(body, &value); err != nil {
		return err.Error()
	}
	return d.conforms(at(answer, "content", "application/json", "schema"), value)
}

// Schema says what is wrong with a value of a named schema.
func (d Document) Schema(name string, raw []byte) string {
	var value any
	if err := json.Unmarshal(raw, &value); err != nil {
		return err.Error()
	}
	return d.conforms(at(map[string]any(d), "components", "schemas", name), value)
}

func at(v any, keys ...string) any {
	for _, k := range keys {
		m, _ := v.(map[string]any)
		v = m[k]
	}
	return v
}

func (d Document) conforms(schema, value any) string {
	s, ok := schema.(map[string]any)
	if !ok {
		return "no schema"
	}
	if ref, ok := s["$ref"].(string); ok {
		return d.conforms(at(map[string]any(d), strings.Split(strings.TrimPrefix(ref, "#/"), "/")...), value)
	}
	if c, ok := s["const"]; ok && !reflect.DeepEqual(c, value) {
		return fmt.Sprintf("%v instead of %v", value, c)
	}
	if enum, ok := s["enum"].([]any); ok && !slices.Contains(enum, value) {
		return fmt.Sprintf("%v is none of %v", value, enum)
	}
	if one, ok := s["oneOf"].([]any); ok {
		for _, option := range one {
			if d.conforms(option, value) == "" {
				return ""
			}
		}
		return fmt.Sprintf("%v fits no option", value)
	}
	kinds, ok := s["type"].([]any)
	if kind, single := s["type"].(string); single {
		kinds, ok = []any{kind}, true
	}
	if ok && !slices.ContainsFunc(kinds, func(k any) bool { return isKind(k, value) }) {
		return fmt.Sprintf("%v is no %v", value, kinds)
	}
	if list, ok := value.([]any); ok && s["items"] != nil {
		for _, v := range list {
			if problem := d.conforms(s["items"], v); problem != "" {
				return problem
			}
		}
	}
	return d.properties(s, value)
}

// properties wants every required property of an object, and none that isn't
// described.
func (d Document) properties(s map[string]any, value any) string {
	object, isObject := value.(map[string]any)
	properties, described := s["properties"].(map[string]any)
	if !isObject || !described {
		return ""
	}
	required, _ := s["required"].([]any)
	for _, name := range required {
		if _, ok := object[name.(string)]; !ok {
			return fmt.Sprintf("%v is missing", name)
		}
	}
	for name, v := range object {
		p, ok := properties[name]
		if !ok {
			return name + " is not described"
		}
		if problem := d.conforms(p, v); problem != "" {
			return name + ": " + problem
		}
	}
	return ""
}

func isKind(kind, value any) bool {
	switch v := value.(type) {
	case nil:
		return kind == "null"
	case bool:
		return kind == "boolean"
	case string:
		return kind == "string"
	case float64:
		return kind == "number" || kind == "integer" && v == float64(int64(v))
	case []any:
		return kind == "array"
	case map[string]any:
		return kind == "object"
	}
	return false
}
