package main

import (
	"context"
	"log/slog"
	"math"
	"sync"
	"time"

	"panside/internal/bridge"
	"panside/internal/calibration"
	"panside/internal/dialect"
	"panside/server/checkapi"
	"panside/server/route"
	"panside/server/scalefeed"
	"panside/server/sqlite"
)

// scaleChecks knows the newest check of every scale, in memory for the feed and
// on the disk.
type scaleChecks struct {
	mu        sync.Mutex
	db        *sqlite.DB
	newest    map[checkapi.Scale]*checkapi.Check
	connected checkapi.Scale
}

// load reads what was kept. A check that this version can't read counts as
// none, and stays.
func (s *scaleChecks) load(ctx context.Context, db *sqlite.DB, log *slog.Logger) error {
	all, err := db.NewestScaleChecks(ctx)
	if err != nil {
		return err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	s.db, s.newest = db, map[checkapi.Scale]*checkapi.Check{}
	for _, c := range all {
		scale := checkapi.Scale{Name: c.Scale, Dialect: c.Dialect}
		r, err := bridge.ScaleCheck(c.Record)
		if err != nil {
			log.Warn("a kept check of the scale can't be read", "scale", c.Scale, "check", c.ID, "cause", err)
			continue
		}
		r.Taken = c.Taken
		s.newest[oneName(scale)] = &checkapi.Check{ID: c.ID, Scale: scale, Taken: c.Taken, Device: c.Device, Record: c.Record, Result: r}
	}
	return nil
}

// heard tells that a scale weighs, and gives its newest check; nil if there is
// none.
func (s *scaleChecks) heard(info scalefeed.Info, format string) *calibration.Result {
	s.mu.Lock()
	defer s.mu.Unlock()
	scale := checkapi.Scale{Name: info.Name, Dialect: format}
	if format != "" {
		s.connected = scale
	}
	if c := s.newest[oneName(scale)]; c != nil {
		return &c.Result
	}
	return nil
}

// Connected is the scale heard last. It stays so while the cable is out: the
// check is about the scale, not about the cable.
func (s *scaleChecks) Connected() (checkapi.Scale, bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.connected, s.connected.Name != ""
}

// Newest is the newest check of a scale.
func (s *scaleChecks) Newest(scale checkapi.Scale) (checkapi.Check, bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	c := s.newest[oneName(scale)]
	if c == nil {
		return checkapi.Check{Scale: scale}, false
	}
	named := *c
	named.Scale = scale
	return named, true
}

// Keep keeps a check on the disk; from the next reading on it counts.
func (s *scaleChecks) Keep(ctx context.Context, c checkapi.Check) (checkapi.Check, error) {
	r, err := bridge.ScaleCheck(c.Record)
	if err != nil {
		return c, err
	}
	r.Taken = c.Taken
	c.Result = r
	c.ID, err = s.db.AddScaleCheck(ctx, sqlite.ScaleCheck{
		Scale: c.Scale.Name, Dialect: c.Scale.Dialect, Taken: c.Taken, Device: c.Device, Record: c.Record,
	})
	if err != nil {
		return c, err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	key := oneName(c.Scale)
	if old := s.newest[key]; old == nil || old.ID < c.ID { // another one may have come meanwhile
		s.newest[key] = &c
	}
	return c, nil
}

// oneName is the same for all names that the format of one scale may go by: the
// check of a scale counts whichever of them its lines suggest today.
func oneName(s checkapi.Scale) checkapi.Scale {
	s.Dialect = dialect.Kin(s.Dialect)
	return s
}

// checkRoutes are the routes for how the scale errs.
func (a *App) checkRoutes() []route.Route {
	return checkapi.New(checkapi.Options{Checks: a.scale.checks, Now: a.now}).Routes()
}

// checkedWords says for the terminal when a scale was checked; zero is never.
func checkedWords(at, now time.Time) string {
	if at.IsZero() {
		return "It was never checked with weights: check-scale does that."
	}
	if age := (calibration.Result{Taken: at}).Age(now, math.NaN(), ""); len(age.Reasons) > 0 {
		return age.Reasons[0]
	}
	return "It was checked with weights on " + at.Local().Format("2 January 2006") + "."
}
