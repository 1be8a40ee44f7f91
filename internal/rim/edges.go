package rim

import "panside/internal/picture"

// soft reports whether nowhere in the picture there is a sharp edge, though it has bright and dark
// parts: everything is out of focus, or the hand moved.
func soft(e picture.Edges) bool {
	return e.Reach > 0.08 && e.Reach > e.Steep()*softest*float64(min(e.Right.W, e.Right.H))
}

// softest is the width over which the steepest slopes take the whole reach of a picture, in shorter
// sides, beyond which nothing in it is sharp (TestBlurred).
const softest = 0.03
