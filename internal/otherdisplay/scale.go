package otherdisplay

import (
	"math"
	"strconv"
	"strings"
)

// scale is what weighs: a load that settles and a display that is renewed from time to time.
type scale struct {
	now, from, target, since float64 // s, g
	tau, swing               float64
	refresh, next            float64
	calmFor                  float64
	texts                    []showing
	allLit                   bool
	step                     float64 // g
}

// showing is a text and the time from which it is shown.
type showing struct {
	text string
	at   float64
}

func newScale(d *Display) scale {
	return scale{
		tau: d.between(0.06, 0.3), swing: d.between(0, 12), refresh: 1 / d.between(3, 12), calmFor: d.between(0.4, 1.2),
		step: math.Pow(10, -float64(d.places["g"])), since: -100, texts: []showing{{"", -100}},
	}
}

// load is what lies on the pan as the scale feels it, g.
func (s *scale) load() float64 {
	t := s.now - s.since
	return s.target + (s.from-s.target)*math.Exp(-t/s.tau)*math.Cos(s.swing*t)
}

// show is the text of a load.
func (d *Display) show(grams float64) string {
	places := d.places[d.Unit]
	text := strconv.FormatFloat(grams/unitGrams[d.Unit], 'f', places, 64)
	if strings.Trim(text, "-0.") == "" {
		text = strings.TrimPrefix(text, "-")
	}
	return text
}

// most is the greatest load that the digits hold in every unit shown.
func (d *Display) most() float64 {
	most := math.Inf(1)
	for _, u := range d.units {
		most = math.Min(most, (math.Pow(10, float64(d.Digits-d.places[u]))-2)*unitGrams[u])
	}
	return most
}

// Lay puts another load on the pan, or takes some off: a coin or a few, in whole steps. Now
// and then the pan is emptied, or a tray is lifted and the weight is negative.
func (d *Display) Lay() {
	s := &d.scale
	s.from, s.since = s.load(), s.now
	top := math.Min(d.most(), 40)
	grams := top * d.rng.Float64() * d.rng.Float64()
	switch {
	case d.chance(0.1):
		grams = 0
	case d.chance(0.1) && (d.ownMinus || grams < top/10):
		grams = -math.Min(grams, d.most()/10)
	case d.chance(0.2): // the neighbor in weight, such as a cent of another year
		grams = s.target + d.between(-0.7, 0.7)
	case d.chance(0.1):
		grams = s.target + s.step*float64(1+d.rng.IntN(3))
	}
	grams = math.Min(math.Max(grams, -d.most()/10+0.1), top)
	if !d.ownMinus && grams < 0 && len(d.show(grams)) > d.Digits+1 {
		grams = -grams
	}
	// A load lies well within its step, so that the last digit rests.
	s.target = (math.Round(grams/s.step) + d.between(-0.3, 0.3)) * s.step
}

// Coin lays a coin or a few on the pan instead of what lies there, as who teaches the display
// is asked to.
func (d *Display) Coin() {
	s := &d.scale
	s.from, s.since = s.load(), s.now
	grams := math.Min(d.most(), 40) * d.between(0.04, 0.95)
	s.target = (math.Round(grams/s.step) + d.between(-0.3, 0.3)) * s.step
}

// Switch turns the scale to another unit; false if it has but one.
func (d *Display) Switch() bool {
	if len(d.units) < 2 {
		return false
	}
	for was := d.Unit; d.Unit == was; {
		d.Unit = d.units[d.rng.IntN(len(d.units))]
	}
	d.scale.next = d.scale.now
	return true
}

// AllLit lights all elements, as after switching on, until it is called with false.
func (d *Display) AllLit(on bool) { d.scale.allLit, d.scale.next = on, d.scale.now }

// Text is what is displayed now, with a point.
func (d *Display) Text() string { return d.scale.texts[len(d.scale.texts)-1].text }

// Showed reports whether the text was displayed within the last seconds.
func (d *Display) Showed(text string, seconds float64) bool {
	all := d.scale.texts
	for i := len(all) - 1; i >= 0; i-- {
		if all[i].text == text {
			return true
		}
		if all[i].at < d.scale.now-seconds {
			break
		}
	}
	return false
}

// Resting reports whether the last text is the load's own, for good.
func (d *Display) Resting() bool {
	s := &d.scale
	t := s.now - s.since
	left := math.Abs(s.from-s.target) * math.Exp(-t/s.tau)
	return left < s.step*0.1 && d.Text() == d.show(s.target)
}

// Since is for how long the text has been displayed, s.
func (d *Display) Since() float64 { return d.scale.now - d.scale.texts[len(d.scale.texts)-1].at }

// pass lets dt seconds go by.
func (d *Display) pass(dt float64) {
	s := &d.scale
	s.now += dt
	if s.now >= s.next {
		s.next = s.now + s.refresh
		if text := d.show(s.load()); text != d.Text() {
			s.texts = append(s.texts, showing{text, s.now})
			if len(s.texts) > 40 {
				s.texts = append(s.texts[:0], s.texts[20:]...)
			}
		}
		d.aim()
	}
	o := &d.light
	d.changed = false
	for _, e := range d.all {
		if math.Abs(e.aim-e.state) < 1e-3 {
			continue
		}
		d.changed = true
		tau := o.rise
		if e.aim < e.state {
			tau = o.fall
		}
		e.state += (e.aim - e.state) * (1 - math.Exp(-dt/tau))
	}
}

// aim says which elements the text lights.
func (d *Display) aim() {
	s := &d.scale
	if d.Text() == "" {
		s.texts = []showing{{d.show(s.load()), s.now}}
	}
	off := d.light.ghost
	for _, e := range d.all {
		if e.aim = off; s.allLit {
			e.aim = 1
		}
	}
	if s.allLit {
		return
	}
	digits, c := d.Text(), d.Digits
	for i := len(digits) - 1; i >= 0; i-- {
		switch r := digits[i]; {
		case r == '.':
			if c > 0 {
				d.points[c-1].aim = 1
			}
		case r == '-' && d.ownMinus:
			d.minus.aim = 1
		default:
			if c--; c < 0 {
				return
			}
			lit := d.font.lit(r)
			for k, e := range d.segments[c] {
				if lit>>k&1 == 1 {
					e.aim = 1
				}
			}
		}
	}
	d.marks[d.Unit].aim = 1
	on := func(mark string, yes bool) {
		if e := d.marks[mark]; e != nil && yes {
			e.aim = 1
		}
	}
	on("stable", d.Since() > s.calmFor)
	on("zero", strings.Trim(d.Text(), "0.") == "")
	on("battery", true)
}
