package scaleapi

import (
	"context"
	"encoding/json"
	"errors"
	"io"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"panside/internal/bridge"
	"panside/internal/calibration"
	"panside/internal/device"
	"panside/internal/fault"
	"panside/server/openapitest"
)

var noon = time.Date(2026, 3, 1, 12, 0, 0, 0, time.UTC)

// drawer is checks in memory; the real ones are behind the whole server's tests.
type drawer struct {
	connected ScaleName
	kept      map[ScaleName]Check
	fail      error
}

func (d *drawer) Connected() (ScaleName, bool) { return d.connected, d.connected.Name != "" }

func (d *drawer) Newest(s ScaleName) (Check, bool) {
	c, ok := d.kept[s]
	return c, ok
}

func (d *drawer) Keep(_ context.Context, c Check) (Check, error) {
	c.ID = int64(len(d.kept) + 1)
	if d.kept == nil {
		d.kept = map[ScaleName]Check{}
	}
	if d.fail != nil {
		return c, d.fail
	}
	var err error
	if c.Result, err = bridge.ScaleCheck(c.Record); err != nil {
		return c, err
	}
	d.kept[c.Scale] = c
	return c, nil
}

// do asks as package httpapi lets a phone named P.
func (d *drawer) do(t *testing.T, method, path, body string) (status int, out []byte) {
	t.Helper()
	app := openapitest.Serve(New(Options{Checks: d, Now: func() time.Time { return noon }}).Routes(), device.Device{ID: "P"})
	resp, err := app.Test(httptest.NewRequest(method, path, strings.NewReader(body)), -1)
	if err != nil {
		t.Fatal(err)
	}
	defer resp.Body.Close()
	if out, err = io.ReadAll(resp.Body); err != nil {
		t.Fatal(err)
	}
	if problem := openapitest.Read(Description).Answer(method, "/api/v1/scale-check", resp.StatusCode, out); problem != "" {
		t.Errorf("%s %s %s: %s\n%s", method, path, body, problem, out)
	}
	return resp.StatusCode, out
}

type reply struct {
	Scale *ScaleName
	Check *struct {
		ID     int
		Taken  time.Time
		Device *string
		Record struct{ Place, Taken any }
		Result struct {
			Assumed bool
			Age     struct{ Old bool }
		}
	}
	Error struct {
		Code  fault.Code
		Field string
	}
}

func (d *drawer) ask(t *testing.T, method, path, body string) (int, reply) {
	t.Helper()
	status, raw := d.do(t, method, path, body)
	var r reply
	if err := json.Unmarshal(raw, &r); err != nil {
		t.Fatalf("%s: %v", raw, err)
	}
	return status, r
}

const (
	path   = "/api/v1/scale-check"
	record = `{"weights":[{"nominal_g":"20","class":"F2"}],"readings":[{"shown":"20.06"},{"shown":"20.06","zero":"0.00"},{"shown":"20.06"},{"shown":"20.07"},{"shown":"20.06"}],"untouched":[{"after_s":0,"shown":"20.06"},{"after_s":60,"shown":"20.06"}],"temperature_c":21,"place":"kitchen"}`
)

func TestACheckIsKeptForTheConnectedScale(t *testing.T) {
	d := &drawer{}
	if status, r := d.ask(t, "GET", path, ""); status != 200 || r.Scale != nil || r.Check != nil {
		t.Errorf("without a scale: %d %+v", status, r)
	}
	if status, r := d.ask(t, "POST", path, `{"check":`+record+`}`); status != 409 || r.Error.Code != fault.NoScale {
		t.Errorf("without a scale: %d %+v", status, r)
	}
	d.connected = ScaleName{"/dev/ttyUSB0", "status-comma"}
	if status, r := d.ask(t, "GET", path, ""); status != 200 || *r.Scale != d.connected || r.Check != nil {
		t.Errorf("never checked: %d %+v", status, r)
	}
	// The phone's clock, and its idea of today, don't count.
	sent := strings.Replace(record, "{", `{"taken":1,"now":5,"now_place":"cellar","now_temperature_c":3,`, 1)
	status, r := d.ask(t, "POST", path, `{"check":`+sent+`}`)
	if status != 200 || *r.Scale != d.connected || r.Check.ID != 1 || !r.Check.Taken.Equal(noon) || *r.Check.Device != "P" ||
		r.Check.Record.Place != "kitchen" || r.Check.Record.Taken != float64(noon.UnixMilli()) || r.Check.Result.Assumed || r.Check.Result.Age.Old {
		t.Errorf("kept: %d %+v", status, r)
	}
	if status, r = d.ask(t, "GET", path, ""); status != 200 || r.Check.ID != 1 || r.Check.Result.Age.Old {
		t.Errorf("newest: %d %+v", status, r)
	}
	for _, q := range []string{"?place=cellar", "?temperature_c=30"} {
		if status, r = d.ask(t, "GET", path+q, ""); status != 200 || !r.Check.Result.Age.Old {
			t.Errorf("%s: %d %+v", q, status, r)
		}
	}
	if status, r = d.ask(t, "GET", path+"?temperature_c=warm", ""); status != 400 || r.Error.Code != fault.BadNumber {
		t.Errorf("a temperature in words: %d %+v", status, r)
	}
}

func TestACheckIsKeptForTheScaleItNames(t *testing.T) {
	d := &drawer{connected: ScaleName{"/dev/ttyUSB0", "status-comma"}}
	other := ScaleName{"tcp://10.0.0.7:4001", "print-line"}
	status, r := d.ask(t, "POST", path, `{"scale":{"name":"tcp://10.0.0.7:4001","format":"print-line"},"check":`+record+`}`)
	if _, ok := d.Newest(other); status != 200 || !ok || *r.Scale != other {
		t.Errorf("%d %+v", status, r)
	}
	if _, ok := d.Newest(d.connected); ok {
		t.Error("it counts for the connected scale too")
	}
}

func TestACheckFromTheTerminalHasNoDevice(t *testing.T) {
	s := ScaleName{"/dev/ttyUSB0", "status-comma"}
	result, err := bridge.ScaleCheck([]byte(record))
	if err != nil {
		t.Fatal(err)
	}
	d := &drawer{connected: s, kept: map[ScaleName]Check{s: {ID: 7, Scale: s, Taken: noon, Record: json.RawMessage(record), Result: result}}}
	if status, r := d.ask(t, "GET", path, ""); status != 200 || r.Check.Device != nil || r.Check.ID != 7 {
		t.Errorf("%d %+v", status, r)
	}
}

// keeper gives a result of its own, as if it had evaluated the check.
type keeper struct {
	drawer
	result calibration.Result
}

func (k *keeper) Keep(_ context.Context, c Check) (Check, error) {
	c.ID, c.Result = 1, k.result
	return c, nil
}

// TestACheckIsEvaluatedOnce: who keeps a check has evaluated it; the routes do so
// neither before nor for the answer.
func TestACheckIsEvaluatedOnce(t *testing.T) {
	result, err := bridge.ScaleCheck([]byte(record))
	if err != nil {
		t.Fatal(err)
	}
	result.Place = "where it was evaluated"
	k := &keeper{drawer{connected: ScaleName{"/dev/ttyUSB0", "status-comma"}}, result}
	app := openapitest.Serve(New(Options{Checks: k, Now: func() time.Time { return noon }}).Routes(), device.Device{ID: "P"})
	resp, err := app.Test(httptest.NewRequest("POST", path, strings.NewReader(`{"check":{"readings":"none that could be evaluated"}}`)), -1)
	if err != nil {
		t.Fatal(err)
	}
	defer resp.Body.Close()
	var got struct {
		Check struct{ Result struct{ Place string } }
	}
	if err := json.NewDecoder(resp.Body).Decode(&got); err != nil || resp.StatusCode != 200 || got.Check.Result.Place != result.Place {
		t.Errorf("%d %+v, %v", resp.StatusCode, got, err)
	}
}

func TestWhatCanNotBeIsNotKept(t *testing.T) {
	d := &drawer{connected: ScaleName{"/dev/ttyUSB0", "status-comma"}}
	for body, field := range map[string]string{
		`{"check":` + strings.Replace(record, `"20.07"`, `"49.99"`, 1) + `}`: "readings.3.shown",
		`{"check":{}}`: "weights",
		`{}`:           "weights",
		`{"check":{"weights":[{"nominal_g":5,"class":"nickel"}],"readings":[{"shown":"5.00"}]}}`: "weights.0.class",
	} {
		if status, r := d.ask(t, "POST", path, body); status != 400 || r.Error.Field != field {
			t.Errorf("%s: %d %+v", body, status, r)
		}
	}
	for _, body := range []string{"", "[]", `{"check":5}`} {
		if status, r := d.ask(t, "POST", path, body); status != 409 || r.Error.Code != fault.BadInput { // 400 behind package httpapi
			t.Errorf("%q: %d %+v", body, status, r)
		}
	}
	if len(d.kept) != 0 {
		t.Errorf("kept %+v", d.kept)
	}
	d.fail = errors.New("disk")
	if status, r := d.ask(t, "POST", path, `{"check":`+record+`}`); status != 409 || r.Error.Code != fault.Internal {
		t.Errorf("the disk fails: %d %+v", status, r)
	}
}
