package rendered

import (
	"math"
	"math/rand/v2"
)

// Hard is what makes a display easy to read wrongly; the zero value adds nothing.
type Hard struct {
	// Swing is how often a second the pan swings through its rest while it settles. Numbers then
	// alternate between neighbors, and slow segments show the union of both.
	Swing float64
	// Glint is the light of a small reflection that moves with nothing, as a share of white, at a
	// place and of a size in digit heights. The sensor is full in its middle, and what lies there
	// shows nothing.
	Glint, GlintX, GlintY, GlintR float64
	// MinusAt is where a fixed minus stands in the room before the digits, as a share of it.
	MinusAt float64
}

// drawHard makes up a slow display on a pan that swings, and a reflection on the minus's place or on
// a digit.
func drawHard(l *Look) {
	r := rand.New(rand.NewPCG(l.Seed, 0x4a7d))
	u := func(a, b float64) float64 { return a + (b-a)*r.Float64() }
	if r.Float64() < 0.35 {
		l.Swing, l.Lag, l.Fall = u(1.5, 5), u(0.02, 0.08), u(1, 8)
	}
	l.MinusAt = u(0, 0.7)
	if r.Float64() < 0.2 {
		l.Glint, l.GlintR = u(0.3, 1.5), u(0.2, 0.7)
		l.GlintX, l.GlintY = l.minusX()+u(-0.1, 0.4), u(0.3, 0.7)
		if !l.FixedMinus || r.Float64() < 0.4 {
			l.GlintX, l.GlintY = l.MarginX+l.Left+u(0, float64(l.Cells)*(l.Width+l.Gap)), u(0, 1)
		}
	}
}

// minusX is the left edge of a fixed minus.
func (l Look) minusX() float64 { return 0.6*l.MarginX + l.MinusAt*l.Left }

// glint is the reflection's light at a distance from its middle, in digit heights.
func (l Look) glint(d float64) float64 {
	d /= max(l.GlintR, 0.01)
	return l.Glint * math.Exp(-d*d)
}

// swinging is the weight so long after it was laid, and for how long it moves by more than half a
// step of the display.
func (s *Sitting) swinging(from, to, tau, after float64) float64 {
	return to + (from-to)*math.Exp(-after/tau)*math.Cos(2*math.Pi*s.scene.Swing*after)
}

func (s *Sitting) swings(from, to, tau float64) (seconds float64) {
	step := math.Pow(10, -float64(s.scene.Places))
	return min(tau*math.Log(max(math.Abs(from-to)/(step/2), 2)), 3)
}
