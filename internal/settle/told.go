package settle

import "math"

// ground is a level that a load was put on, as the display showed it.
type ground struct {
	level float64
	shown float64 // the display nearest to it in its last moments
	stood float64 // for how long it had rested there, s
	lines int     // and how many lines, while nothing lay there
	still float64 // for how long the display stood still there, s
}

// proven reports whether an empty pan was seen for long enough to weigh from, by the
// clock or, as lines that a busy computer kept waiting come at once, by their number.
func (g ground) proven() bool { return g.stood >= zeroStood || g.lines >= zeroLines }

// lay reports whether a load rested there for longer than one is held half put down,
// and the display stood still.
func (g ground) lay() bool { return g.stood >= layBelow && g.still >= restsFor }

// onDisplay is a level that the display itself vouches for: the zero of a scale that
// was found with a load on it, or that set its zero anew.
func onDisplay(level, shown float64) ground {
	return ground{level: level, shown: shown, stood: math.Inf(1), still: math.Inf(1)}
}

// claim is a weight about to be told as settled, with all that it rests on.
type claim struct {
	weight  float64 // g
	on      ground  // what the load was put on
	rested  bool    // that had rested for long enough
	display float64 // the newest line, g
	now     stand   // how the display has stood since,
	shows   float64 // for so many displays,
	told    bool    // or it was told before
	band    float64 // how far apart readings of one level may lie, g
	d       float64 // step of the display, g
}

// answer is what comes of a claim.
type answer int

const (
	told   answer = iota
	notYet        // later, perhaps
	never         // it must be put on again
)

// judge is the last word before a weight w is told. Over a ground that the display
// showed as b, at rest for s_b seconds, a display z that has stood for s_z seconds
// and n_z displays proves it if
//
//	s_b ≥ layBelow on another load, zeroStood or zeroLines lines on the bare pan
//	s_z ≥ restsFor, n_z ≥ restsDisplays
//	|w − (z − b)| ≤ band + d/2
//
// Where the ground hadn't rested it never will, nor where the display has contradicted
// w for disproved seconds. What is told is the weight nearest to w within
// min(nearPart·band, d) of z − b: one difference between two levels that both rested,
// within a step of the display. Once it is told only the last condition counts, so
// that it isn't taken back as the display flickers.
func (c claim) judge() (weight float64, a answer) {
	shows := c.display - c.on.shown
	switch {
	case c.told:
	case !c.rested:
		return c.weight, never
	case c.now.seconds < restsFor, c.shows < restsDisplays:
		return c.weight, notYet
	}
	if math.Abs(c.weight-shows) > c.band+c.d/2 {
		if c.now.seconds > disproved && !c.told {
			return c.weight, never
		}
		return c.weight, notYet
	}
	near := math.Min(nearPart*c.band, c.d)
	return math.Max(shows-near, math.Min(shows+near, c.weight)), told
}
