package rendered

import (
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
)

// Late is what comes only after the teaching; the zero value is nothing.
type Late struct {
	Marks   int     // that never lit while teaching
	Flicker float64 // odds that one of them flickers
	Step    float64 // by how much at most the exposure is another, as a share
	Edge    float64 // depth of a shadow's soft edge that comes over the glass
	Pale    float64 // by how much marks are paler than digits, as a share
	Shiver  float64 // of the exposure from frame to frame, as a share
	Wait    float64 // s that the stable mark keeps one waiting, beyond 0.4
	Near    bool    // the stable mark stands right beside the unit
	// How the phone has settled since the teaching: pixels, as a share of size, radians.
	Slip, Grow, Twist float64
}

// drawLate makes up what comes late.
func drawLate(l *Look, r *rand.Rand) {
	u := func(a, b float64) float64 { return a + (b-a)*r.Float64() }
	odds := func(p float64) bool { return r.Float64() < p }
	if odds(0.6) {
		l.Marks, l.Flicker = 1+r.IntN(3), u(0, 0.6)
	}
	if odds(0.4) {
		l.Step = u(0, 0.3)
	}
	if odds(0.3) && l.Kind == LCD {
		l.Edge = u(0.1, 0.45)
	}
	l.Wait, l.Near = u(0, 1), odds(0.3)
	if odds(0.3) {
		l.Pale = u(0, 0.4)
	}
	if odds(0.3) {
		l.Shiver = u(0, 0.06)
	}
	if odds(0.3) {
		l.Slip, l.Grow, l.Twist = u(-4, 4), u(-0.015, 0.015), u(-0.01, 0.01)
	}
}

// pool are the units of the trade that a scale may switch to.
var pool = []string{"g", "oz", "ct", "dwt", "gn", "ozt", "gr", "lb"}

// grows are units that another one has more letters than.
var grows = map[string][]string{"g": {"gn", "gr"}, "oz": {"ozt"}, "ozt": {"oz"}, "gn": {"g"}, "gr": {"g"}}

// drawLettering makes up the units and how they are written. Mostly grams are taught, since that is
// how coins are weighed.
func drawLettering(l *Look) {
	r := rand.New(rand.NewPCG(l.Seed, 0xface))
	u := func(a, b float64) float64 { return a + (b-a)*r.Float64() }
	taught := "g"
	if r.Float64() < 0.3 {
		taught = pool[1+r.IntN(len(pool)-1)]
	}
	l.Set = append([]string{taught}, grows[taught]...)
	for _, k := range r.Perm(len(pool)) {
		if len(l.Set) < 6 && !slices.Contains(l.Set, pool[k]) {
			l.Set = append(l.Set, pool[k])
		}
	}
	l.Lettering = Lettering{Weight: u(0.7, 1.6), Spacing: u(0.7, 1.4), Aspect: u(0.75, 1.1), Lean: u(0, 0.2), NoTail: r.Float64() < 0.3}
	if l.Style != OneWord {
		l.Spacing, l.Aspect = min(l.Spacing, 1.2), min(l.Aspect, 1) // there is no more room
	}
}

// lateMarks adds marks of a mark's sizes where nothing else is, every second one near the unit.
func (s *Scene) lateMarks() {
	r := rand.New(rand.NewPCG(s.Seed, 0x1a7e))
	u := func(a, b float64) float64 { return a + (b-a)*r.Float64() }
	for k := range s.Marks {
		for range 80 {
			x, y := u(0.1, s.wide()-0.3), u(s.top()+0.1, s.bottom()-0.15)
			if g := s.units[s.Look.units()[0]]; k%2 == 0 && len(g) > 0 {
				b := bounds(s.shapes[g[0]])
				x, y = u(b[0]-0.4, b[1]+0.4), u(b[2]-0.4, b[3]+0.4)
			}
			var sh shape
			switch r.IntN(4) {
			case 0:
				sh = disc{x, y, u(0.05, 0.08)}
			case 1:
				sh = polygon{{x - 0.08, y + 0.07}, {x, y - 0.08}, {x + 0.08, y + 0.07}}
			case 2:
				sh = strokes{[][4]float64{{x, y, x + 0.2, y}}, 0.03}
			default:
				sh = word([]string{"net", "tare", "lo"}[r.IntN(3)], x, y, u(0.14, 0.22))
			}
			if s.isFree(bounds(sh)) {
				s.add("late"+strconv.Itoa(k), sh)
				break
			}
		}
	}
}

// isFree reports whether a box lies on the glass, clear of all other shapes.
func (s *Scene) isFree(b [4]float64) bool {
	const clear = 0.1
	if b[0] < 0.06 || b[1] > s.wide()-0.06 || b[2] < s.top()+0.06 || b[3] > s.bottom()-0.06 {
		return false
	}
	hits := func(o [4]float64) bool {
		return b[0] < o[1]+clear && o[0] < b[1]+clear && b[2] < o[3]+clear && o[2] < b[3]+clear
	}
	for _, sh := range s.shapes {
		if hits(bounds(sh)) {
			return false
		}
	}
	for _, w := range s.logo {
		if hits(bounds(w)) {
			return false
		}
	}
	return true
}

// Light sets the exposure and where a shadow's edge stands, as a share of the frame's width, from the
// next frame on; 0 is no shadow.
func (s *Scene) Light(gain, edge float64) { s.gain, s.edge = gain, edge }

// shadow lays the edge's shade on the light of a frame.
func (s *Scene) shadow(pix []float32) {
	if s.edge == 0 || s.Edge == 0 {
		return
	}
	w := s.FrameW
	for i := range w {
		x := (float64(i) - s.edge*float64(w)) / (0.3 * s.Zoom)
		k := float32(1 - s.Edge/(1+math.Exp(x)))
		for p := i; p < len(pix); p += w {
			pix[p] *= k
		}
	}
}

// lateness is what came late, of one rest.
type lateness struct{ on, flickers [3]bool }

// drawLateness makes up another rest's light and late marks.
func (s *Sitting) drawLateness() {
	l := s.scene.Look
	if l.Late == (Late{}) {
		return
	}
	for k := range l.Marks {
		if s.rng.Float64() < 0.4 {
			s.late.on[k] = !s.late.on[k]
		}
		s.late.flickers[k] = s.rng.Float64() < l.Flicker
	}
	gain, edge := 1.0, 0.0
	if s.rng.Float64() < 0.5 {
		gain = 1 + l.Step*(2*s.rng.Float64()-1)
	}
	if s.rng.Float64() < 0.5 {
		edge = s.rng.Float64()
	}
	s.scene.Light(gain, edge)
}

// lateNow is which late marks a frame shows.
func (s *Sitting) lateNow() (on [3]bool) {
	for k := range on {
		on[k] = s.late.on[k] && !(s.late.flickers[k] && s.rng.Float64() < 0.4)
	}
	return on
}
