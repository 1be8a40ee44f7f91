package scale

import (
	"context"
	"log/slog"
	"math"
	"sync"
	"time"

	"panside/internal/bridge"
	"panside/internal/calibration"
	"panside/internal/dialect"
	"panside/internal/say"
	"panside/server/scaleapi"
	"panside/server/scalefeed"
	"panside/server/sqlite"
)

// Checks knows the newest check of every scale, in memory for the feed and
// on the disk.
type Checks struct {
	mu        sync.Mutex
	db        *sqlite.DB
	newest    map[scaleapi.ScaleName]*scaleapi.Check
	connected scaleapi.ScaleName
}

// Load reads what was kept. A check that this version can't read counts as
// none, and stays.
func (s *Checks) Load(ctx context.Context, db *sqlite.DB, log *slog.Logger) error {
	all, err := db.NewestScaleChecks(ctx)
	if err != nil {
		return err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	s.db, s.newest = db, map[scaleapi.ScaleName]*scaleapi.Check{}
	for _, c := range all {
		scale := scaleapi.ScaleName{Name: c.Scale, Format: c.Dialect}
		r, err := bridge.ScaleCheck(c.Record)
		if err != nil {
			log.Warn("a kept check of the scale can’t be read", "scale", c.Scale, "check", c.ID, "cause", err)
			continue
		}
		r.Taken = c.Taken
		s.newest[oneName(scale)] = &scaleapi.Check{ID: c.ID, Scale: scale, Taken: c.Taken, Device: c.Device, Record: c.Record, Result: r}
	}
	return nil
}

// heard reports whether a scale weighs, and gives its newest check; nil if there is
// none.
//
// What a camera reads has none: it knows the phone, and not which scale that looks at.
func (s *Checks) heard(info scalefeed.Info, format string) *calibration.Result {
	s.mu.Lock()
	defer s.mu.Unlock()
	if info.Kind == scalefeed.Camera {
		s.connected = scaleapi.ScaleName{}
		return nil
	}
	scale := scaleapi.ScaleName{Name: info.Name, Format: format}
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
func (s *Checks) Connected() (scaleapi.ScaleName, bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.connected, s.connected.Name != ""
}

// Newest is the newest check of a scale.
func (s *Checks) Newest(scale scaleapi.ScaleName) (scaleapi.Check, bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	c := s.newest[oneName(scale)]
	if c == nil {
		return scaleapi.Check{Scale: scale}, false
	}
	named := *c
	named.Scale = scale
	return named, true
}

// Keep keeps a check on the disk; from the next reading on it counts.
func (s *Checks) Keep(ctx context.Context, c scaleapi.Check) (scaleapi.Check, error) {
	c, err := s.store(ctx, c)
	if err == nil {
		s.count(c)
	}
	return c, err
}

// store puts a check on the disk and gives it its ID and its result.
func (s *Checks) store(ctx context.Context, c scaleapi.Check) (scaleapi.Check, error) {
	r, err := bridge.ScaleCheck(c.Record)
	if err != nil {
		return c, err
	}
	r.Taken = c.Taken
	c.Result = r
	c.ID, err = s.db.AddScaleCheck(ctx, sqlite.ScaleCheck{
		Scale: c.Scale.Name, Dialect: c.Scale.Format, Taken: c.Taken, Device: c.Device, Record: c.Record,
	})
	return c, err
}

// count makes a stored check the one that counts, unless a newer one does:
// another one may have been stored meanwhile.
func (s *Checks) count(c scaleapi.Check) {
	s.mu.Lock()
	defer s.mu.Unlock()
	key := oneName(c.Scale)
	if old := s.newest[key]; old == nil || old.ID < c.ID {
		s.newest[key] = &c
	}
}

// oneName is the same for all names that the format of one scale may go by: the
// check of a scale counts whichever of them its lines suggest today.
func oneName(s scaleapi.ScaleName) scaleapi.ScaleName {
	s.Format = dialect.Kin(s.Format)
	return s
}

// CheckedWords says for the terminal when a scale was checked; zero is never.
func CheckedWords(at, now time.Time) string {
	if at.IsZero() {
		return "It was never checked with weights: check-scale does that."
	}
	if age := (calibration.Result{Taken: at}).Age(say.English, now, math.NaN(), ""); len(age.Reasons) > 0 {
		return age.Reasons[0]
	}
	return "It was checked with weights on " + at.Local().Format("January 2, 2006") + "."
}
