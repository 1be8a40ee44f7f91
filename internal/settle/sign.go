package settle

import (
	"math"

	"panside/internal/mass"
)

// sign watches the scale's own stable sign. It is known to work once the scale
// was seen to call one display stable and another unstable. From then on a
// display that it calls unstable is not at rest, unless it stands still for
// longer than a hand holds a load half put down. How late it is is learnt: of
// some it takes dozens of equal displays.
type sign struct {
	moving, stable bool // it has said so
	works          bool
	now            mass.Status
	came           bool    // it has come on after motion
	late           float64 // the shortest standstill that it waited for then, s
}

// see takes a line's status, and for how long the display has stood still.
func (g *sign) see(status mass.Status, still float64) {
	switch status {
	case mass.StatusMoving:
		g.moving = true
	case mass.StatusStable, mass.StatusZero:
		g.stable = true
	}
	if status == mass.StatusStable && g.now == mass.StatusMoving {
		if !g.came || still < g.late {
			g.came, g.late = true, still
		}
	}
	g.now = status
	g.works = g.moving && g.stable
}

// patience is for how long a display must stand still under an unlit sign before
// that says nothing any more, s. A sign that has never come on sooner couldn't be lit
// before.
func (g *sign) patience() float64 {
	if g.late > stillSlow {
		return stillSlow
	}
	return signLate
}

// allowsRest reports whether a display that has stood still for some seconds may be taken
// as at rest under a status. Within the response of the scale's filter, s, it may stand
// still beside a level after a knock or an exchange.
func (g *sign) allowsRest(status mass.Status, still, response float64) bool {
	if status != mass.StatusMoving || !g.works || still > signLate {
		return true
	}
	return still > math.Max(response, g.patience())
}
