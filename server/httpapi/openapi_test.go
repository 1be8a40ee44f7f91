package httpapi

import (
	"slices"
	"strings"
	"testing"

	"panside/server/joinapi"
	"panside/server/openapitest"
)

// TestEveryRouteIsDescribed compares the routes with the description, both
// ways.
func TestEveryRouteIsDescribed(t *testing.T) {
	var served []string
	for _, r := range newFixture(t).secure.GetRoutes(true) {
		if r.Method == "HEAD" || r.Path == "/*" { // beside each GET; the app's files
			continue
		}
		served = append(served, openapitest.Route(r.Method, r.Path))
	}
	slices.Sort(served)
	if want := openapitest.Read(description, joinapi.Description).Routes(); !slices.Equal(slices.Compact(served), want) {
		t.Errorf("served    %q\ndescribed %q", served, want)
	}
}

// TestAnswersAreAsDescribed holds real answers to their schemas: every
// property is there, none is undescribed.
func TestAnswersAreAsDescribed(t *testing.T) {
	f := newFixture(t)
	doc := openapitest.Read(description, joinapi.Description)
	for _, tc := range []struct{ method, path, url, body string }{
		{"get", "/healthz", "", ""},
		{"post", "/api/v1/join", "", `{"secret":"good","name":"x"}`},
		{"post", "/api/v1/join", "", `{"secret":"wrong"}`},
		{"post", "/api/v1/prove", "", `{"nonce":"AAAAAAAAAAAAAAAAAAAAAA"}`},
		{"post", "/api/v1/prove", "", `{"nonce":""}`},
		{"get", "/api/v1/me", "", ""},
		{"put", "/api/v1/me", "", `{"name":"x"}`},
		{"get", "/api/v1/joining", "", ""},
		{"get", "/api/v1/offer", "", ""},
		{"post", "/api/v1/offer", "", ""},
		{"get", "/api/v1/devices", "", ""},
		{"delete", "/api/v1/devices/{id}", "/api/v1/devices/Q", ""},
		{"post", "/api/v1/core/{method}", "/api/v1/core/judge", "{}"},
		{"post", "/api/v1/core/{method}", "/api/v1/core/nothing", "{}"},
		{"get", "/api/v1/openapi.json", "", ""},
		{"get", "/api/v1/live", "", ""},
	} {
		url := tc.url
		if url == "" {
			url = tc.path
		}
		a := f.do(f.secure, strings.ToUpper(tc.method), url, tc.body, asDesk)
		if problem := doc.Answer(tc.method, tc.path, a.status, []byte(a.body)); problem != "" {
			t.Errorf("%s %s: %s\n%s", tc.method, url, problem, a.body)
		}
	}
}

// TestWireFilesAreAsDescribed holds the agreed live messages to the schema.
func TestWireFilesAreAsDescribed(t *testing.T) {
	doc := openapitest.Read(description)
	for _, name := range []string{"weight.json", "weight-checked.json", "weight-problem.json", "weight-ask.json", "weight-withheld.json", "weight-unconfirmed.json", "weight-half.json"} {
		if problem := doc.Schema("Weight", readWire(t, name)); problem != "" {
			t.Errorf("%s: %s", name, problem)
		}
	}
	if doc.Schema("Weight", []byte(`{"type":"weight","v":1}`)) == "" {
		t.Error("the check finds nothing wrong with half a message")
	}
}
