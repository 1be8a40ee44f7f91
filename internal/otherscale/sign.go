package otherscale

// SignKind is the rule by which a scale lights its stable sign.
type SignKind string

// The signs.
const (
	NoSign   SignKind = "none"
	Equal    SignKind = "equal"    // after some equal displays
	InBand   SignKind = "band"     // within a band for a time
	Clinging SignKind = "clinging" // once on, it stays on while the display walks a step at a time
	Late     SignKind = "late"     // after a dozen to three dozen equal displays
	Never    SignKind = "never"    // in every line and never lit
)

// Sign is a stable sign. It goes by what is displayed.
type Sign struct {
	Kind     SignKind
	Displays int     // Equal, Late, Clinging: equal displays until it is on
	Band     float64 // InBand: in steps d
	Seconds  float64 // InBand
}

// Works reports whether the sign can be lit at all.
func (s Sign) Works() bool { return s.Kind != NoSign && s.Kind != Never }

// Wait is how long a constant display takes to light the sign.
func (s Sign) Wait(rate float64) float64 {
	if s.Kind == InBand {
		return s.Seconds
	}
	return float64(s.Displays) / rate
}

// lamp is a sign at work.
type lamp struct {
	Sign
	on    bool
	same  int // equal displays in a row
	last  int
	trail []shown
}

// shown is a display value, in steps, with its time.
type shown struct {
	at    float64
	steps float64
}

// see takes the next display: rounded, and as fine as the scale knows it.
func (l *lamp) see(at float64, steps int, fine float64) bool {
	moved := steps - l.last
	if moved == 0 {
		l.same++
	} else {
		l.same = 1
	}
	l.last = steps
	switch l.Kind {
	case Equal, Late:
		l.on = l.same >= l.Displays
	case Clinging:
		switch {
		case moved > 1 || moved < -1:
			l.on = false
		case l.on && moved != 0:
			// A single step puts it out for one display at most.
			l.same = l.Displays - 1
			l.on = false
		default:
			l.on = l.same >= l.Displays
		}
	case InBand:
		l.trail = append(l.trail, shown{at, fine})
		for len(l.trail) > 1 && l.trail[1].at <= at-l.Seconds {
			l.trail = l.trail[1:]
		}
		lo, hi := fine, fine
		for _, t := range l.trail {
			lo, hi = min(lo, t.steps), max(hi, t.steps)
		}
		l.on = l.trail[0].at <= at-l.Seconds && hi-lo <= l.Band
	}
	return l.on
}

func (l *lamp) reset() { *l = lamp{Sign: l.Sign} }
