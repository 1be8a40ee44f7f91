package dialect

import (
	"time"

	"panside/internal/mass"
)

// sittingGap is the longest silence within a sitting. After a longer one the
// unit key may have been pressed, or another scale put on the cable, unseen.
const sittingGap = 10 * time.Second

// sitting is what earlier lines of the same scale say about later ones. It ends
// with a silence of sittingGap and when the format changes.
type sitting struct {
	// gram and grain: the scale has shown a word of its own for it.
	gram, grain bool
}

// note takes a weight that is given out.
func (s *sitting) note(r Result) {
	if r.HasValue && !r.gr && !r.unitless {
		s.gram = s.gram || r.Quantity.Unit == mass.Gram
		s.grain = s.grain || r.Quantity.Unit == mass.Grain
	}
}
