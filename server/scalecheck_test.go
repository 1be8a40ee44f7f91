package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"log/slog"
	"math"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"panside/internal/calibration"
	"panside/internal/device"
	"panside/internal/fault"
	"panside/internal/mass"
	"panside/internal/simscale"
	"panside/server/backup"
	"panside/server/config"
	"panside/server/scale"
	"panside/server/scalefeed"
	"panside/server/sqlite"
	"panside/server/virtualscale"
)

// swift is a scale whose display comes to rest at once, so that tests don't take
// minutes. It shows 0.3 % too much.
func swift() simscale.Config {
	cfg := simscale.DefaultConfig()
	cfg.FilterTime, cfg.LineRate, cfg.StableCount, cfg.AutoOff = 0.04, 25, 4, 0
	// Quiet enough that displays don't flicker by chance.
	cfg.Noise, cfg.Draught, cfg.Placement, cfg.Drift, cfg.WarmUp = 0.001, 0.0003, 0.0005, 0, 0
	cfg.GainError = 0.003
	return cfg
}

func TestWeightsOnTheCommandLine(t *testing.T) {
	for text, want := range map[string]calibration.SheetWeight{
		"50 F2":                     {Nominal: "50", Class: "F2"},
		" 50g  f2 ":                 {Nominal: "50", Class: "F2"},
		"50 F2 50.00012 0.00004":    {Nominal: "50", Class: "F2", Value: "50.00012", U: "0.00004"},
		"50 50.00012 0.00004":       {Nominal: "50", Value: "50.00012", U: "0.00004"},
		"object":                    {},
		"5 nickel":                  {Nominal: "5", Class: "NICKEL"}, // refused with the reason, later
		"50":                        {Nominal: "refused"},
		"":                          {Nominal: "refused"},
		"fifty F2":                  {Nominal: "refused"},
		"50 F2 50.0001":             {Nominal: "refused"},
		"50 F2 50.0001 0.0001 more": {Nominal: "refused"},
		"50 F2 heavy 0.0001":        {Nominal: "refused"},
	} {
		w, err := parseWeight(text)
		if refused := want.Nominal == "refused"; refused != (err != nil) || !refused && w != want {
			t.Errorf("%q: %+v, %v", text, w, err)
		}
	}
}

func TestCheckScaleAsksNobodyWithJSON(t *testing.T) {
	t.Parallel()
	var out, errOut bytes.Buffer
	in := `{"weights":[{"nominal_g":20,"class":"F2"}],"readings":[{"shown":"20.06"},{"shown":"20.06"},{"shown":"20.06"},{"shown":"20.06"},{"shown":"20.06"}]}
{"weights":[{"nominal_g":20,"class":"F2"}],"readings":[{"shown":"2.50"}]}
`
	code := run(t.Context(), []string{"check-scale", "--json"}, &stdio{strings.NewReader(in), &out, &errOut})
	lines := strings.Split(strings.TrimSpace(out.String()), "\n")
	var good struct {
		Assumed     bool
		Calibration struct{ Slope float64 }
	}
	var bad lineError
	if len(lines) != 2 || json.Unmarshal([]byte(lines[0]), &good) != nil || json.Unmarshal([]byte(lines[1]), &bad) != nil {
		t.Fatalf("%s%s", out.String(), errOut.String())
	}
	if code != exitBad || good.Assumed || math.Abs(good.Calibration.Slope-0.003) > 1e-9 || bad.Line != 2 || bad.Field != "readings.0.shown" {
		t.Errorf("code %d, %s", code, out.String())
	}
}

func TestCheckScaleRefusesWhatCanNeverWork(t *testing.T) {
	t.Parallel()
	for args, want := range map[string]struct {
		code int
		says string
	}{
		"check-scale":                                {exitUsage, "--weight"},
		"check-scale --weight 50":                    {exitUsage, "grams and class"},
		"check-scale --weight object --times 0":      {exitUsage, "--times"},
		"check-scale --weight object --watch -1s":    {exitUsage, "--watch"},
		"check-scale --weight object --json":         {exitUsage, "standard input"},
		"check-scale --weight object --scale nobody": {exitUsage, "--scale"},
	} {
		code, out, errOut := call(t, strings.Fields(args)...)
		if code != want.code || out != "" || !strings.Contains(errOut, want.says) {
			t.Errorf("%s: %d\n%s%s", args, code, out, errOut)
		}
	}
	for weight, says := range map[string]string{"5 nickel": "31 U.S.C. 5113", "30 F2": "“30 g”", "50 F2 5.0001 0.0001": "“5.0001 g”"} {
		code, out, errOut := call(t, "check-scale", "--scale", "virtual", "--data", t.TempDir(), "--weight", weight)
		if code != exitBad || out != "" || !strings.Contains(errOut, says) {
			t.Errorf("%s: %d\n%s%s", weight, code, out, errOut)
		}
	}
	code, _, errOut := call(t, "check-scale", "--scale", "virtual", "--data", t.TempDir(), "--weight", "50 F2", "--temperature", "hot")
	if code != exitBad || !strings.Contains(errOut, "“hot”") {
		t.Errorf("%d %s", code, errOut)
	}
}

// clumsy hands do something else the first time.
type clumsy struct {
	practiceHands
	first func(practiceHands) error // nil after the first time
}

func (h *clumsy) put(weight int) error {
	if f := h.first; f != nil {
		h.first = nil
		return f(h.practiceHands)
	}
	return h.practiceHands.put(weight)
}

// checkedScale checks a swift scale by its terminal, through a pseudo-terminal,
// into the records of dir. first is what the hands do in place of putting on the
// first weight.
func checkedScale(t *testing.T, ctx context.Context, dir string, first func(practiceHands) error) (out string, err error) {
	t.Helper()
	log := slog.New(slog.DiscardHandler)
	var text bytes.Buffer
	sheet := calibration.Sheet{Weights: []calibration.SheetWeight{{Nominal: "50", Class: "F2"}, {Nominal: "20", Class: "F2"}}, Temperature: "21", Place: "kitchen"}
	var sc scale.Choice
	h, err := practiseOn(swift(), &sc, sheet.Weights, log)
	if fault.Of(err) != nil && fault.Of(err).Code == fault.PortMissing {
		t.Skip(err)
	} else if err != nil {
		t.Fatal(err)
	}
	pace := calibration.Pace{Rests: 200 * time.Millisecond, Watch: 500 * time.Millisecond}
	g, err := newScaleGuide(&text, &clumsy{h.(practiceHands), first}, sheet, 3, false, pace)
	if err != nil {
		t.Fatal(err)
	}
	cmd := CheckScaleCmd{Data: dir}
	err = cmd.check(ctx, &text, sc, g, log)
	return text.String(), err
}

// practiceCoins is a swift virtual scale with coins, as serve has it.
func practiceCoins(t *testing.T) (scale.Scale, *virtualscale.Scale) {
	t.Helper()
	log := slog.New(slog.DiscardHandler)
	v, err := scale.NewVirtual(swift(), []virtualscale.Coin{{ID: "crown", Name: "Crown", Grams: 28}, {ID: "cent", Name: "Cent", Grams: 3.11}}, log)
	if err != nil {
		t.Skip(err)
	}
	c := scale.Choice{}.OnVirtual(v)
	return scale.Flow(c.Source, scalefeed.Options{Log: log}, c.Start), v
}

func atRest(m live) bool { return m.Phase == "settled" && m.Status == "stable" }

// TestACheckByTheTerminalCorrectsTheServer: a scale that shows 0.3 % too much is
// checked, which finds just that; serve then shows the coin's own weight, with
// the measured u.
func TestACheckByTheTerminalCorrectsTheServer(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	out, err := checkedScale(t, t.Context(), dir, func(h practiceHands) error { return h.put(1) })
	if err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	for _, want := range []string{
		"Put the 50 g weight (F2) in the middle of the pan (1 of 3).",
		"g” can’t be the display with 50 g F2 on the pan: another weight, or a finger on it?",
		"Take it off; this one doesn’t count.",
		"g — take it off.",
		"Put the 20 g weight (F2) in the middle of the pan (3 of 3).",
		"leave it there: don’t touch the table for 0 seconds",
		"The scale shows too much: 0.1", "+0.3%. Its weights are corrected by that.",
		"Kept for “virtual scale” (status-comma).",
	} {
		if !strings.Contains(out, want) {
			t.Errorf("nobody says %q in\n%s", want, out)
		}
	}
	db, err := sqlite.Open(t.Context(), filepath.Join(dir, backup.RecordsFile))
	if err != nil {
		t.Fatal(err)
	}
	kept, err := db.NewestScaleChecks(t.Context())
	if err != nil || len(kept) != 1 || kept[0].Scale != "virtual scale" || kept[0].Dialect != "status-comma" || kept[0].Device != "" {
		t.Fatalf("kept %+v, %v", kept, err)
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}

	sc, v := practiceCoins(t)
	k := openWith(t, config.Config{Data: dir}, sc)
	phone := k.join(device.Phone)
	conn := k.socket(phone.Token)
	until(t, conn, "the empty pan", func(m live) bool { return m.Phase == "empty" })
	if err := v.Put("crown", simscale.Gentle); err != nil {
		t.Fatal(err)
	}
	m := until(t, conn, "the crown at rest", atRest)
	unproven := float64(mass.UnprovenScale(0.01, 28).U())
	if m.Scale.Assumed || !m.Scale.Checked.Equal(kept[0].Taken.Truncate(time.Second)) || *m.UG >= unproven || math.Abs(*m.MeanG-28) > 2.5**m.UG {
		t.Errorf("the phone reads %v ± %v (unproven %v), %+v", *m.MeanG, *m.UG, unproven, m)
	}
	if shown := mass.MustDecimal(m.Shown).Float64(); math.Abs(shown-28.08) > 0.025 {
		t.Errorf("the display's own value is sent as %s", m.Shown)
	}
	var got struct {
		Scale struct{ Name string }
		Check struct {
			Device *string
			Record struct{ Place string }
			Result struct {
				Calibration struct {
					Slope  float64
					USlope float64 `json:"u_slope"`
				}
				Age struct{ Old bool }
			}
		}
	}
	status := k.ask("GET", "/api/v1/scale-check", phone.Token, nil, &got)
	c := got.Check.Result.Calibration
	if status != 200 || got.Scale.Name != "virtual scale" || got.Check.Device != nil || got.Check.Record.Place != "kitchen" ||
		math.Abs(c.Slope-0.003) > 2*c.USlope || c.USlope > 0.0002 {
		t.Errorf("%d %+v", status, got)
	}
}

// TestACheckByThePhoneCountsAtOnce: the weight on the pan is corrected, and its
// u shrinks, while the coin lies there.
func TestACheckByThePhoneCountsAtOnce(t *testing.T) {
	t.Parallel()
	sc, v := practiceCoins(t)
	k := openWith(t, config.Config{}, sc)
	phone := k.join(device.Phone)
	conn := k.socket(phone.Token)
	until(t, conn, "the empty pan", func(m live) bool { return m.Phase == "empty" })
	if err := v.Put("crown", simscale.Gentle); err != nil {
		t.Fatal(err)
	}
	before := until(t, conn, "the crown at rest", atRest)
	if !before.Scale.Assumed || !before.Scale.Checked.IsZero() || math.Abs(*before.MeanG-28.084) > 0.02 {
		t.Errorf("unchecked, the phone reads %v, %+v", *before.MeanG, before)
	}
	type reading struct {
		Weight int    `json:"weight"`
		Shown  string `json:"shown"`
	}
	check := map[string]any{
		"weights":  []map[string]any{{"nominal_g": "50", "class": "F2"}, {"nominal_g": "20", "class": "F2"}},
		"readings": []reading{{0, "50.15"}, {0, "50.15"}, {0, "50.15"}, {0, "50.15"}, {0, "50.15"}, {1, "20.06"}},
	}
	body := map[string]any{"scale": map[string]string{"name": "virtual scale", "format": "status-comma"}, "check": check}
	var kept struct {
		Check struct{ Device string }
		Error struct {
			Code  fault.Code
			Field string
		}
	}
	if status := k.ask("POST", "/api/v1/scale-check", "wrong", body, &kept); status != 401 {
		t.Errorf("a stranger's check: %d", status)
	}
	if status := k.ask("POST", "/api/v1/scale-check", phone.Token, body, &kept); status != 200 || kept.Check.Device != phone.Device.ID {
		t.Fatalf("%d %+v", status, kept)
	}
	after := until(t, conn, "the check to count", func(m live) bool { return atRest(m) && !m.Scale.Assumed })
	if *after.UG >= *before.UG || math.Abs(*after.MeanG-28) > 2.5**after.UG || after.Scale.Checked.IsZero() {
		t.Errorf("checked, the phone reads %v ± %v after %v ± %v", *after.MeanG, *after.UG, *before.MeanG, *before.UG)
	}
	v.Clear()
	until(t, conn, "the empty pan", func(m live) bool { return m.Phase == "empty" && !m.Scale.Assumed })

	// What can't be changes nothing.
	check["readings"] = []reading{{0, "20.06"}}
	if status := k.ask("POST", "/api/v1/scale-check", phone.Token, body, &kept); status != 400 || kept.Error.Field != "readings.0.shown" {
		t.Errorf("%d %+v", status, kept)
	}
}

func TestStoppingACheckKeepsNothing(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	out, err := checkedScale(t, ctx, dir, func(practiceHands) error { cancel(); return nil })
	if !errors.Is(err, exitCode(exitBad)) || !strings.Contains(out, "Stopped. Nothing was kept.") {
		t.Errorf("%v\n%s", err, out)
	}
	db, err := sqlite.Open(t.Context(), filepath.Join(dir, backup.RecordsFile))
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	if kept, err := db.NewestScaleChecks(t.Context()); err != nil || len(kept) != 0 {
		t.Errorf("kept %+v, %v", kept, err)
	}
}

// TestAKeptCheckThatCanNotBeReadIsPassedOver: a later version may write what
// this one doesn't know.
func TestAKeptCheckThatCanNotBeReadIsPassedOver(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	db, err := sqlite.Open(t.Context(), filepath.Join(dir, backup.RecordsFile))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := db.AddScaleCheck(t.Context(), sqlite.ScaleCheck{Scale: "virtual scale", Dialect: "status-comma", Taken: time.Now(), Record: json.RawMessage(`{"new":1}`)}); err != nil {
		t.Fatal(err)
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	k := openWith(t, config.Config{Data: dir}, make(fakeScale).scale())
	if !strings.Contains(k.log.String(), "can’t be read") {
		t.Error("nothing in the log")
	}
}
