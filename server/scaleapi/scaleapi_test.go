package scaleapi

import (
	"encoding/json"
	"errors"
	"io"
	"net/http/httptest"
	"strings"
	"testing"

	"panside/internal/device"
	"panside/internal/fault"
	"panside/internal/say"
	"panside/server/openapitest"
)

// fixable is a scale in memory; the real one is behind the whole server's tests.
type fixable struct {
	view    View
	anyPort bool
	err     error
}

func (b *fixable) View(*say.Tongue) View { return b.view }

func (b *fixable) Set(s Settings, anyPort bool) error {
	b.anyPort = anyPort
	if b.err == nil {
		b.view.Settings, b.view.Kept = s, true
	}
	return b.err
}

func (b *fixable) SetUnit(a Answer) error {
	if b.err == nil {
		b.view.Now.Said.Unit = a.Unit
	}
	return b.err
}

// ask asks as package httpapi lets a device of a role, and holds the answer to
// the description.
func ask(t *testing.T, scale Scale, role device.Role, method, body string) (status int, out []byte) {
	t.Helper()
	app := openapitest.Serve(New(Options{Scale: scale}).Routes(), device.Device{Role: role})
	resp, err := app.Test(httptest.NewRequest(method, "/api/v1/scale", strings.NewReader(body)), -1)
	if err != nil {
		t.Fatal(err)
	}
	defer resp.Body.Close()
	if out, err = io.ReadAll(resp.Body); err != nil {
		t.Fatal(err)
	}
	if problem := openapitest.Read(Description).Answer(method, "/api/v1/scale", resp.StatusCode, out); problem != "" {
		t.Errorf("%s %s: %s\n%s", method, body, problem, out)
	}
	return resp.StatusCode, out
}

func someView() View {
	line := []Line{{Raw: "<b>\u00ff\u0002", Times: 3}}
	return View{
		Now:      Now{Name: "/dev/ttyUSB0", Kind: "serial", Problem: &ProblemOfPort{fault.NotAScale, "No."}},
		Ports:    []Port{{Port: "/dev/ttyUSB0", Found: "speaks", Heard: line}},
		Formats:  []Format{{Format: "print-line", PortSettings: []string{"9600 8N1"}}},
		Received: line,
	}
}

func TestEveryRouteIsDescribed(t *testing.T) {
	if problem := openapitest.Read(Description).Served(New(Options{}).Routes()); problem != "" {
		t.Error(problem)
	}
}

func TestTheScaleIsShownAndSet(t *testing.T) {
	b := &fixable{view: someView()}
	status, raw := ask(t, b, device.Phone, "GET", "")
	var v View
	if err := json.Unmarshal(raw, &v); err != nil || status != 200 || v.Received[0] != (Line{"<b>\u00ff\u0002", 3}) || v.Kept {
		t.Errorf("%d %s", status, raw)
	}
	// A page takes the answer for JSON only, but the line must not be a tag even so.
	if strings.Contains(string(raw), "<b>") {
		t.Errorf("a raw line stands in the answer as it is: %s", raw)
	}
	status, raw = ask(t, b, device.Desk, "PUT", `{"port":"/dev/ttyUSB0","baud":2400,"framing":"7E1","unit":"ct"}`)
	if err := json.Unmarshal(raw, &v); err != nil || status != 200 || !v.Kept || v.Settings != (Settings{Port: "/dev/ttyUSB0", Baud: 2400, Framing: "7E1", Unit: "ct"}) || !b.anyPort {
		t.Errorf("%d %s", status, raw)
	}
	if _, _ = ask(t, b, device.Phone, "PUT", `{}`); b.anyPort || b.view.Settings != (Settings{}) {
		t.Error("a phone may name any port")
	}
}

func TestWhatCanNotBeIsRefusedByItsField(t *testing.T) {
	b := &fixable{view: someView()}
	for _, tc := range []struct {
		err    error
		status int
		want   string
	}{
		{&fault.Field{Name: "baud", Fault: fault.New(fault.BadInput, say.New("No."))}, 400, `{"error":{"code":"bad-input","sentence":"No.","field":"baud"}}`},
		{&fault.Field{Name: "port", Fault: fault.New(fault.DeskOnly, say.New("No."))}, 403, `{"error":{"code":"desk-only","sentence":"No.","field":"port"}}`},
		{errors.New("disk"), 409, ""}, // 500 behind package httpapi
	} {
		b.err = tc.err
		if status, raw := ask(t, b, device.Desk, "PUT", `{}`); status != tc.status || tc.want != "" && string(raw) != tc.want {
			t.Errorf("%v: %d %s", tc.err, status, raw)
		}
	}
	for _, body := range []string{"", "[]", `{"baud":"fast"}`} {
		if status, raw := ask(t, &fixable{}, device.Desk, "PUT", body); status != 409 || !strings.Contains(string(raw), "bad-input") { // 400 behind package httpapi
			t.Errorf("%q: %d %s", body, status, raw)
		}
	}
}

func TestWithoutAScaleNothingCanBeSet(t *testing.T) {
	for _, method := range []string{"GET", "PUT"} {
		if status, raw := ask(t, nil, device.Desk, method, "{}"); status != 409 || !strings.Contains(string(raw), "no-scale") {
			t.Errorf("%s: %d %s", method, status, raw)
		}
	}
}
