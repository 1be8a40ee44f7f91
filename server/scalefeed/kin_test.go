package scalefeed_test

import (
	"slices"
	"testing"
	"testing/synctest"

	"panside/internal/calibration"
	"panside/internal/mass"
	"panside/server/scalefeed"
)

// TestOneScaleKeepsOneFormat while its lines fit one plain format at rest and
// another in motion: the scale wasn't changed, so its check, the load and the
// name on the phone stay.
func TestOneScaleKeepsOneFormat(t *testing.T) {
	const zero, rest, moving = "  0.00 g\r\n", "  3.11 g\r\n", "  3.12 g  ?\r\n"
	check := aCheck(t)
	synctest.Test(t, func(t *testing.T) {
		var asked []string
		s := newStream()
		b := run(t, newSource(s), scalefeed.Options{Check: func(_ scalefeed.Info, format string) *calibration.Result {
			asked = append(asked, format)
			if format != "value-only" {
				return nil
			}
			return check
		}})
		s.send(zero, 30)
		for range 5 {
			s.send(moving, 12)
			s.send(rest, 18)
		}
		now := b.after(0)
		var named []string
		for _, r := range b.lines {
			if r.Dialect != "" && !slices.Contains(named, r.Dialect) {
				named = append(named, r.Dialect)
			}
		}
		if want := []string{"value-only", "worded-line"}; !slices.Equal(named, want) {
			t.Fatalf("the lines are named %q, want %q: nothing is tested", named, want)
		}
		if asked = slices.Compact(asked); len(asked) > 2 || asked[len(asked)-1] != "value-only" {
			t.Errorf("checks were looked for under %q", asked)
		}
		for i, state := range b.states {
			if state.Reading.HasValue && (state.Dialect != "value-only" || state.Assumed || state.Problem != nil) {
				t.Fatalf("state %d: %+v", i, state)
			}
		}
		if e := now.Estimate; e.Phase != mass.PhaseSettled || e.Placement != 1 {
			t.Errorf("%+v", e)
		}
		if e := b.Evidence(); e.Dialect != "value-only" {
			t.Errorf("the evidence names %s", e.Dialect)
		}

		// Another format is another scale.
		s.send(bronze, 30)
		if now := b.after(0); now.Dialect != "status-comma" || !now.Assumed {
			t.Errorf("%+v", now)
		}
	})
}
