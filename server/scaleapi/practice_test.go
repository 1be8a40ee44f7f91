package scaleapi

import (
	"io"
	"net/http/httptest"
	"strings"
	"testing"

	"panside/internal/device"
	"panside/internal/fault"
	"panside/internal/say"
	"panside/server/openapitest"
)

// tray is a practice scale in memory; the real one is behind the whole server's
// tests.
type tray struct{ moves []string }

func (p *tray) Show() PracticeTray {
	return PracticeTray{
		Pan:    []PanCoin{{"zinc", "Cent, 1998", 2.5}},
		Tray:   []TrayCoin{{"bronze", "Cent, 1969", "bronze"}},
		Script: &ScriptStep{Name: "evening", Running: true, Step: 1, Of: 9, Next: "clear"},
	}
}

func (p *tray) Do(move, coin string) error {
	switch {
	case move == "throw":
		return fault.New(fault.BadInput, say.New("No such move."))
	case coin == "nothing":
		return fault.New(fault.NotFound, say.New("No such coin."))
	}
	p.moves = append(p.moves, move+" "+coin)
	return nil
}

// askTray holds every answer that isn't an error to the description.
func askTray(t *testing.T, p PracticeScale, method, body string) (status int, out string) {
	t.Helper()
	app := openapitest.Serve(New(Options{Practice: p}).Routes(), device.Device{Role: device.Phone})
	resp, err := app.Test(httptest.NewRequest(method, "/api/v1/virtual", strings.NewReader(body)), -1)
	if err != nil {
		t.Fatal(err)
	}
	defer resp.Body.Close()
	raw, err := io.ReadAll(resp.Body)
	if err != nil {
		t.Fatal(err)
	}
	if resp.StatusCode == 200 {
		if problem := openapitest.Read(Description).Answer(method, "/api/v1/virtual", 200, raw); problem != "" {
			t.Errorf("%s %s: %s\n%s", method, body, problem, raw)
		}
	}
	return resp.StatusCode, string(raw)
}

func TestCoinsOfThePracticeTray(t *testing.T) {
	p := &tray{}
	for _, tc := range []struct {
		method, body string
		status       int
		holds        string
	}{
		{"GET", "", 200, `"tray":[{"id":"bronze",`},
		{"POST", `{"do":"put","coin":"bronze"}`, 200, `"tray"`},
		{"POST", `{"do":"throw"}`, openapitest.Refused, string(fault.BadInput)},
		{"POST", `{"do":"put","coin":"nothing"}`, openapitest.Refused, string(fault.NotFound)},
		{"POST", `{"do":`, openapitest.Refused, string(fault.BadInput)},
	} {
		if status, out := askTray(t, p, tc.method, tc.body); status != tc.status || !strings.Contains(out, tc.holds) {
			t.Errorf("%s %s: %d %s", tc.method, tc.body, status, out)
		}
	}
	if len(p.moves) != 1 || p.moves[0] != "put bronze" {
		t.Errorf("moved %q", p.moves)
	}
}

func TestARealScaleHasNoTray(t *testing.T) {
	for _, method := range []string{"GET", "POST"} {
		if status, out := askTray(t, nil, method, `{"do":"put"}`); status != openapitest.Refused || !strings.Contains(out, string(fault.NotVirtual)) {
			t.Errorf("%s: %d %s", method, status, out)
		}
	}
}
