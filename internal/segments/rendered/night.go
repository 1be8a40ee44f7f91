package rendered

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"

	"panside/internal/mass"
	"panside/internal/moment"
	"panside/internal/segments"
)

// Tally counts what a reader did with displays.
type Tally struct {
	Displays, Taught int
	Rests, Read      int
	Shown            int // rests in all units
	Wrong, WrongUnit int
	Refused          map[segments.Why]int // rests not read, by the last reason
	Untaught         map[segments.Why]int
	Examples         []string
}

// Add sums two.
func (t *Tally) Add(o Tally) {
	t.Displays += o.Displays
	t.Taught += o.Taught
	t.Rests += o.Rests
	t.Shown += o.Shown
	t.Read += o.Read
	t.Wrong += o.Wrong
	t.WrongUnit += o.WrongUnit
	if t.Refused == nil {
		t.Refused, t.Untaught = map[segments.Why]int{}, map[segments.Why]int{}
	}
	for w, n := range o.Refused {
		t.Refused[w] += n
	}
	for w, n := range o.Untaught {
		t.Untaught[w] += n
	}
	t.Examples = append(t.Examples, o.Examples...)
}

// String is the line of a table.
func (t *Tally) String() string {
	whole := t.Rests
	if t.Taught > 0 {
		whole += (t.Displays - t.Taught) * t.Rests / t.Taught
	}
	return fmt.Sprintf("taught %d of %d %v; read %d of %d (%.0f%%; %.0f%% with the untaught) %v; wrong %d, wrong units %d of %d shown",
		t.Taught, t.Displays, t.Untaught, t.Read, t.Rests, 100*float64(t.Read)/float64(max(t.Rests, 1)), 100*float64(t.Read)/float64(max(whole, 1)), t.Refused, t.Wrong, t.WrongUnit, t.Shown)
}

// Sit drives one display with so many rests.
func Sit(l Look, rests int) Tally {
	s := NewSitting(l)
	t := Tally{Displays: 1}
	r, why := s.Teach()
	if why != "" {
		t.Untaught = map[segments.Why]int{why: 1}
		return t
	}
	t.Taught = 1
	t.Add(s.Weigh(r, rests))
	return t
}

// Sitting drives one display, teaching and then rests, as a phone does.
type Sitting struct {
	scene  *Scene
	rng    *rand.Rand
	at     float64 // s
	unit   string
	weight float64
	fps    float64
	tare   bool
	taught bool
	late   lateness
	window segments.Window
}

// NewSitting sets a display before the phone.
func NewSitting(l Look) *Sitting {
	s := &Sitting{scene: New(l), rng: rand.New(rand.NewPCG(l.Seed, 9)), unit: l.units()[0], fps: 12}
	if l.FPS > 0 {
		s.fps = l.FPS
	}
	s.window = s.scene.Window()
	return s
}

// Text is a weight as the display shows it.
func (s *Sitting) Text(w float64) string {
	text := strconv.FormatFloat(w, 'f', s.scene.Places, 64)
	if strings.Trim(text, "-0.") == "" {
		text = strings.TrimPrefix(text, "-")
	}
	return text
}

// Most is the largest weight that has room.
func (s *Sitting) Most() float64 {
	return math.Pow(10, float64(s.scene.Cells-s.scene.Places)) - math.Pow(10, -float64(s.scene.Places))
}

func (s *Sitting) next(sh Shown) (segments.Frame, moment.Time) {
	s.at += 1 / s.fps
	return s.scene.Frame(sh, s.at, Hand{}, 0), moment.UnixMilli(1e9 + int64(1000*s.at))
}

// course is the display's states from one weight to another, at the display's own pace.
func (s *Sitting) course(to float64, each func(Shown)) {
	tau := 0.08 + 0.15*s.rng.Float64()
	every := 2 / s.fps
	if s.scene.Refresh > 0 {
		every = 1 / s.scene.Refresh
	}
	if s.scene.TareMark && s.rng.Float64() < 0.1 {
		s.tare = !s.tare
	}
	from, n := s.weight, int(s.fps*(0.4+0.6*s.rng.Float64()))
	if s.scene.Swing > 0 {
		tau *= 2
		n = int(s.fps * s.swings(from, to, tau))
	}
	for k := range n {
		step := math.Floor(float64(k)/s.fps/every) * every
		w := to + (from-to)*math.Exp(-step/tau)
		if s.scene.Swing > 0 {
			w = s.swinging(from, to, tau, step)
		}
		s.scene.Dim(s.scene.HandDims * math.Sin(math.Pi*float64(k)/float64(n)))
		each(Shown{Text: s.Text(max(min(w, s.Most()), min(to, 0))), Unit: s.unit, Tare: s.tare, Late: s.lateNow()})
	}
	s.scene.Dim(0)
	s.weight = to
}

func (s *Sitting) rest(seconds float64, each func(Shown)) {
	unstable := 0.0
	if s.scene.FPS > 0 {
		unstable = (0.4 + s.scene.Wait) * s.rng.Float64()
	}
	for k := range int(seconds * s.fps) {
		each(Shown{Text: s.Text(s.weight), Unit: s.unit, Stable: float64(k)/s.fps >= unstable, Zero: s.weight == 0, Tare: s.tare, Late: s.lateNow()})
	}
}

// Teach gives up to four weights, to every third display of the wider world after all segments were
// lit.
func (s *Sitting) Teach() (*segments.Reader, segments.Why) {
	t := segments.NewTeacher(s.window, mass.Unit(s.unit))
	see := func(sh Shown) {
		f, at := s.next(sh)
		t.See(f, at)
	}
	if s.scene.FPS > 0 && s.scene.Seed%3 == 0 {
		for range int(s.fps) {
			see(Shown{All: true})
		}
		if why := t.AllLit(s.scene.Cells); why != "" && why != segments.Busy {
			return nil, why
		}
	}
	s.rest(1+s.scene.Wait, see)
	if why := t.Shown(s.Text(0)); why != "" {
		return nil, why
	}
	if r, why := t.Reader(); why == "" {
		return r, ""
	}
	var why segments.Why
	for range 3 {
		s.course(s.draw(), see)
		s.rest(0.7+s.scene.Wait, see)
		if w := t.Shown(s.Text(s.weight)); w != "" {
			why = w
			continue
		}
		var r *segments.Reader
		if r, why = t.Reader(); why == "" {
			return r, ""
		}
	}
	return nil, why
}

// draw a weight: mostly coins.
func (s *Sitting) draw() float64 {
	w := 1 + 12*s.rng.Float64()
	if s.rng.Float64() < 0.3 {
		w = s.Most() * s.rng.Float64()
	}
	step := math.Pow(10, float64(s.scene.Places))
	if s.scene.FPS > 0 && s.taught && s.rng.Float64() < 0.08 && s.scene.Cells > s.scene.Places+1 {
		return -math.Ceil(step*0.9*s.rng.Float64()) / step // a dish was taken off after taring
	}
	return math.Round(min(w, s.Most())*step) / step
}

// Weigh lets a taught reader read rests.
func (s *Sitting) Weigh(r *segments.Reader, rests int) Tally {
	t := Tally{Refused: map[segments.Why]int{}, Untaught: map[segments.Why]int{}}
	s.taught, s.scene.settled = true, true
	all := s.scene.Look.units()
	late := max(int(0.3*s.fps), 3)
	var lately, units []string // of the last frames; a number may be some frames late
	for k := range rests {
		s.drawLateness()
		if k%5 == 4 {
			s.unit = all[1+s.rng.IntN(len(all)-1)]
			if k%10 == 4 {
				s.unit = all[1] // the one most like it
			}
		} else {
			s.unit = all[0]
		}
		read, why := false, segments.Why("")
		told := map[string]bool{} // what is wrong counts once a rest
		wrong := func(n *int, line string) {
			if !told[line] {
				told[line] = true
				*n++
				t.Examples = append(t.Examples, fmt.Sprintf("display %d %s: %s", s.scene.Seed, s.scene.Kind, line))
			}
		}
		judge := func(sh Shown, resting bool, age int) {
			f, at := s.next(sh)
			lately, units = append(lately, sh.Text), append(units, sh.Unit)
			if len(lately) > late {
				lately, units = lately[1:], units[1:]
			}
			got := r.Read(f, at)
			if got.Why != "" {
				if resting {
					why = got.Why
				}
				return
			}
			switch {
			case !slices.Contains(lately, got.Text):
				wrong(&t.Wrong, sh.Text+" read as "+got.Text)
			case !slices.Contains(units, all[0]):
				wrong(&t.WrongUnit, s.unit+" read as "+all[0])
			case resting && age < int(s.fps):
				read = true
			}
		}
		s.course(s.draw(), func(sh Shown) { judge(sh, false, 0) })
		age := 0
		s.rest(1.1, func(sh Shown) { judge(sh, true, age); age++ })
		t.Shown++
		if s.unit != all[0] {
			continue
		}
		t.Rests++
		if read {
			t.Read++
		} else {
			t.Refused[why]++
		}
	}
	return t
}

// Mistaken are the other units that a taught reader gives a number in, each shown for a second.
func (s *Sitting) Mistaken(r *segments.Reader) (all []string) {
	s.taught, s.scene.settled = true, true
	for _, unit := range s.scene.Look.units()[1:] {
		read := false
		for k := range int(1.4 * s.fps) {
			f, at := s.next(Shown{Text: s.Text(s.weight), Unit: unit, Stable: true, Zero: s.weight == 0})
			read = r.Read(f, at).Why == "" && float64(k) > 0.4*s.fps || read
		}
		if read {
			all = append(all, unit)
		}
	}
	return all
}

// Frame is the display as it rests now.
func (s *Sitting) Frame() (segments.Frame, moment.Time) {
	return s.next(Shown{Text: s.Text(s.weight), Unit: s.unit, Stable: true, Zero: s.weight == 0})
}
