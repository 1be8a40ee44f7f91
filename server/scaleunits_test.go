package main

import (
	"context"
	"log/slog"
	"strings"
	"testing"
	"testing/fstest"

	"panside/internal/device"
	"panside/internal/fault"
	"panside/internal/mass"
	"panside/internal/say"
	"panside/server/config"
	"panside/server/livehub"
	"panside/server/pseudoport"
	"panside/server/scale"
	"panside/server/scaleapi"
)

// speaks is a scale behind a pseudo-terminal that says a line ten times a
// second.
func speaks(t *testing.T, line string) *pseudoport.Port {
	t.Helper()
	far, err := pseudoport.Open()
	if err != nil {
		t.Skip(err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	done := make(chan struct{})
	go func() { far.Repeat(ctx, line); close(done) }()
	t.Cleanup(func() { cancel(); <-done; far.Close() })
	return far
}

// TestAUnitIsAskedForAnsweredAndRemembered, by a real port and a phone.
func TestAUnitIsAskedForAnsweredAndRemembered(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	s := speaks(t, "15.55\r\n")
	start := func(t *testing.T) *kitchen {
		sc, err := scale.Open(scale.Settings{Port: s.Name()}, scale.Options{Folder: dir, Log: slog.New(slog.DiscardHandler)})
		if err != nil {
			t.Fatal(err)
		}
		return openWith(t, config.Config{Data: dir}, sc)
	}
	answer := scaleapi.Answer{Scale: s.Name(), Of: "unit", Unit: "ct"}
	var v scaleapi.View
	t.Run("asked", func(t *testing.T) {
		k := start(t)
		phone := k.join(device.Phone).Token
		conn := k.socket(phone)
		m := until(t, conn, "the question", func(m live) bool { return m.Ask.Of != "" })
		if m.Problem.Code != fault.UnknownUnit || m.MeanG != nil || m.Shown != "" || m.Ask.Digits != "15.55" || len(m.Ask.Units) < 6 {
			t.Errorf("%+v", m)
		}
		if k.ask("GET", "/api/v1/scale", phone, nil, &v); v.Now.Asks == nil || v.Now.Asks.Digits != "15.55" || v.Now.Name != s.Name() {
			t.Errorf("%+v", v.Now)
		}
		for field, wrong := range map[string]scaleapi.Answer{
			"scale": {Scale: "/dev/other", Of: "unit", Unit: "ct"},
			"of":    {Scale: s.Name(), Of: "weight", Unit: "ct"},
			"unit":  {Scale: s.Name(), Of: "unit", Unit: "tael"},
		} {
			var e struct {
				Error struct{ Field, Sentence string }
			}
			if status := k.ask("PUT", "/api/v1/scale/unit", phone, wrong, &e); status != 400 || e.Error.Field != field || e.Error.Sentence == "" {
				t.Errorf("%+v: %d %+v", wrong, status, e)
			}
		}
		if status := k.ask("PUT", "/api/v1/scale/unit", phone, answer, &v); status != 200 || v.Now.Said.Unit != "ct" {
			t.Fatalf("%d %+v", status, v.Now)
		}
		until(t, conn, "the weight", func(m live) bool { return m.Shown == "15.55" && m.Unit == "ct" && m.Problem.Code == "" })
	})
	t.Run("started again", func(t *testing.T) {
		k := start(t)
		phone := k.join(device.Phone).Token
		conn := k.socket(phone)
		until(t, conn, "the weight without a question", func(m live) bool {
			if m.Ask.Of != "" {
				t.Error("it is asked again")
			}
			return m.Shown == "15.55" && m.Unit == "ct"
		})
		answer.Unit = "g" // it was the wrong one
		k.ask("PUT", "/api/v1/scale/unit", phone, answer, &v)
		until(t, conn, "the weight in grams", func(m live) bool { return m.Shown == "15.55" && m.Unit == "g" })
		answer.Unit = ""
		k.ask("PUT", "/api/v1/scale/unit", phone, answer, &v)
		until(t, conn, "the question again", func(m live) bool { return m.Ask.Of == "unit" })
	})
}

func TestTheTerminalAsksToo(t *testing.T) {
	var out strings.Builder
	desk := &terminal{out: &out, keys: true}
	s := livehub.State{
		Problem: fault.New(fault.UnknownUnit, say.New("scale-no-unit")),
		Ask:     &livehub.Ask{Of: "unit", Digits: "3.11", Units: []mass.Unit{mass.Gram, mass.Carat}},
	}
	desk.showScale(s)
	s.Ask = &livehub.Ask{Of: "unit", Digits: "3.12", Units: s.Ask.Units}
	desk.showScale(s) // other digits are no news
	if got := out.String(); strings.Count(got, "Which unit does its display show?") != 1 || !strings.Contains(got, "type g, ct and press Enter") {
		t.Error(got)
	}
}

func TestAProgramWithoutThePhoneAppKnowsIt(t *testing.T) {
	if appBuilt(fstest.MapFS{"README": {}}) || !appBuilt(fstest.MapFS{"index.html": {}}) {
		t.Error("the app lies in index.html")
	}
}
