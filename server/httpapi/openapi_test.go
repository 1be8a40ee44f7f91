package httpapi

import (
	"encoding/json"
	"fmt"
	"maps"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"
)

func readDescription(t *testing.T) map[string]any {
	t.Helper()
	var doc map[string]any
	if err := json.Unmarshal(description, &doc); err != nil {
		t.Fatal(err)
	}
	return doc
}

// TestEveryRouteIsDescribed compares the routes with the description, both
// ways.
func TestEveryRouteIsDescribed(t *testing.T) {
	described := map[string]bool{}
	for path, item := range readDescription(t)["paths"].(map[string]any) {
		for method := range item.(map[string]any) {
			described[strings.ToUpper(method)+" "+path] = true
		}
	}
	routed := map[string]bool{}
	parameter := regexp.MustCompile(`:(\w+)`)
	for _, r := range newFixture(t).secure.GetRoutes(true) {
		if r.Method == "HEAD" || r.Path == "/*" { // beside each GET; the app's files
			continue
		}
		routed[r.Method+" "+parameter.ReplaceAllString(r.Path, "{$1}")] = true
	}
	for _, missing := range slices.Sorted(maps.Keys(routed)) {
		if !described[missing] {
			t.Errorf("%s is served and not described", missing)
		}
	}
	for _, missing := range slices.Sorted(maps.Keys(described)) {
		if !routed[missing] {
			t.Errorf("%s is described and not served", missing)
		}
	}
}

// TestAnswersAreAsDescribed holds real answers to their schemas: every
// property is there, none is undescribed.
func TestAnswersAreAsDescribed(t *testing.T) {
	f := newFixture(t, func(c *Config) { c.Virtual = &fakeVirtual{} })
	doc := readDescription(t)
	for _, tc := range []struct{ method, path, url, body string }{
		{"get", "/healthz", "", ""},
		{"post", "/api/v1/join", "", `{"secret":"good","name":"x"}`},
		{"post", "/api/v1/join", "", `{"secret":"wrong"}`},
		{"get", "/api/v1/me", "", ""},
		{"put", "/api/v1/me", "", `{"name":"x"}`},
		{"get", "/api/v1/offer", "", ""},
		{"get", "/api/v1/devices", "", ""},
		{"delete", "/api/v1/devices/{id}", "/api/v1/devices/Q", ""},
		{"post", "/api/v1/core/{method}", "/api/v1/core/judge", "{}"},
		{"post", "/api/v1/core/{method}", "/api/v1/core/nothing", "{}"},
		{"get", "/api/v1/virtual", "", ""},
		{"post", "/api/v1/virtual", "", `{"do":"clear"}`},
		{"get", "/api/v1/openapi.json", "", ""},
		{"get", "/api/v1/live", "", ""},
	} {
		url := tc.url
		if url == "" {
			url = tc.path
		}
		a := f.do(f.secure, strings.ToUpper(tc.method), url, tc.body, asDesk)
		name := fmt.Sprintf("%s %s: %d", tc.method, url, a.status)
		answer, ok := at(doc, "paths", tc.path, tc.method, "responses", fmt.Sprint(a.status)).(map[string]any)
		if !ok {
			t.Errorf("%s is not described", name)
			continue
		}
		var value any
		if err := json.Unmarshal([]byte(a.body), &value); err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if problem := conforms(doc, at(answer, "content", "application/json", "schema"), value); problem != "" {
			t.Errorf("%s: %s\n%s", name, problem, a.body)
		}
	}
}

// TestWireFilesAreAsDescribed holds the agreed live messages to the schema.
func TestWireFilesAreAsDescribed(t *testing.T) {
	doc := readDescription(t)
	for _, name := range []string{"weight.json", "weight-checked.json", "weight-problem.json"} {
		var value any
		if err := json.Unmarshal(readWire(t, name), &value); err != nil {
			t.Fatal(err)
		}
		if problem := conforms(doc, at(doc, "components", "schemas", "Weight"), value); problem != "" {
			t.Errorf("%s: %s", name, problem)
		}
	}
	var bad any
	if err := json.Unmarshal([]byte(`{"type":"weight","v":1}`), &bad); err != nil {
		t.Fatal(err)
	}
	if conforms(doc, at(doc, "components", "schemas", "Weight"), bad) == "" {
		t.Error("the check finds nothing wrong with half a message")
	}
}

func at(v any, keys ...string) any {
	for _, k := range keys {
		m, _ := v.(map[string]any)
		v = m[k]
	}
	return v
}

// conforms checks a value against the few schema words the description uses
// and says what is wrong, empty if nothing.
func conforms(doc map[string]any, schema, value any) string {
	s, ok := schema.(map[string]any)
	if !ok {
		return "no schema"
	}
	if ref, ok := s["$ref"].(string); ok {
		return conforms(doc, at(doc, strings.Split(strings.TrimPrefix(ref, "#/"), "/")...), value)
	}
	if c, ok := s["const"]; ok && !reflect.DeepEqual(c, value) {
		return fmt.Sprintf("%v instead of %v", value, c)
	}
	if enum, ok := s["enum"].([]any); ok && !slices.Contains(enum, value) {
		return fmt.Sprintf("%v is none of %v", value, enum)
	}
	if one, ok := s["oneOf"].([]any); ok {
		for _, option := range one {
			if conforms(doc, option, value) == "" {
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
			if problem := conforms(doc, s["items"], v); problem != "" {
				return problem
			}
		}
	}
	object, isObject := value.(map[string]any)
	properties, described := s["properties"].(map[string]any)
	if !isObject || !described {
		return ""
	}
	for _, name := range s["required"].([]any) {
		if _, ok := object[name.(string)]; !ok {
			return fmt.Sprintf("%v is missing", name)
		}
	}
	for name, v := range object {
		p, ok := properties[name]
		if !ok {
			return name + " is not described"
		}
		if problem := conforms(doc, p, v); problem != "" {
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
