package settle

import "panside/internal/mass"

// sign watches the scale's own stable sign. It is known to work once the scale
// was seen to call a load unstable and later one stable. From then on a display
// that it calls unstable is not at rest, unless it stands still for longer than
// a hand holds a load half put down: some signs are late by dozens of displays.
type sign struct {
	moving bool // it has said so
	works  bool
}

func (g *sign) see(status mass.Status) {
	switch status {
	case mass.StatusMoving:
		g.moving = true
	case mass.StatusStable, mass.StatusZero:
		g.works = g.works || g.moving
	}
}

// allowsRest tells whether a display that has stood still for some seconds may
// be taken as at rest under a status.
func (g *sign) allowsRest(status mass.Status, still float64) bool {
	return status != mass.StatusMoving || !g.works || still > signLate
}
