package ring

import (
	"math"
	"slices"
)

// What one disc's ring is like. world_test.go has a sound for each.
const (
	// clippedAt is how near to full scale a sample is clipped, clippedFor how many are.
	clippedAt  = 0.985
	clippedFor = 4
	// shortest and longest decay of a coin's partial, s.
	shortest = 0.011
	longest  = 1.2
	// stands is by how much the strongest partial stands above the floor, as a power; where
	// there are more, they share it.
	stands = 60.0
	// A low tone that is clean, lasts lowDecay, and is louder than lowLevel against the coin's.
	lowLevel  = -10.0
	lowDecay  = 0.16
	lowSpread = 0.25
	lowHeight = 200.0
	// stays is what low sound must have left a tenth of a second on to be no knock's, as a part
	// of its power in the beginning, over what it was before, and over what the coin has.
	stays      = 0.25
	staysAbove = 5.0
	staysOver  = 0.5
	// In so many steps of the envelope such a part of its highest power must be there.
	earlySteps = 9
	earlyPart  = 0.3
	// again is by how much the power of the partials may rise over what it was in the sixty ms
	// before.
	again = 2.5
	// A second tap: so soon at least, as broad at least, and against the first as strong at
	// least and at most.
	secondAfter = 0.045
	secondBroad = 0.25
	secondPart  = 0.12
	secondMost  = 3.0
	// loudKnock is how much the band must rise for a knock to be spoken of.
	loudKnock = 1.1
)

// nothing is the reason of what isn't worth a word.
const nothing Why = "nothing"

// event is what an onset was.
type event struct {
	peaks []Peak
	hz    []float64 // lines that a coin may have, strongest first
	loud  float64   // amplitude of the strongest line
	why   Why
}

// event judges what follows an onset, and the onsets later that lie too near to be another tap's.
// A line that begins there and dies away is a ring, whatever else the tap did; it is refused
// only for what speaks for something else.
func (l *listener) event(o onset, later []onset) (e event) {
	if l.clipped(o.at) {
		return event{loud: 1, why: Clipped}
	}
	all := l.partials(o.at)
	var coins []partial
	for _, p := range all {
		if p.Hz >= lowest && p.Decay >= shortest && p.early < earlier {
			coins = append(coins, p)
			e.hz = append(e.hz, p.Hz)
		}
	}
	if len(coins) > 0 && !beginsHere(coins) {
		return event{why: nothing}
	}
	if len(all) > 0 {
		e.loud = all[0].amplitude
	}
	if e.why = l.lasting(o, later, all, coins); e.why != "" {
		return e
	}
	if len(coins) == 0 {
		if e.why = nothing; o.rise > loudKnock && o.broad > secondBroad {
			e.why = Click
		}
		return e
	}
	e.loud = coins[0].amplitude
	top := coins[0].Level
	for i := range coins {
		coins[i].Level -= top
	}
	kept, one := oneDisc(coins)
	kept = slices.DeleteFunc(kept, func(p partial) bool { return p.lasts(1) })
	switch main := &coins[0]; {
	case heights(coins) < stands:
		e.why = Faint
	case main.lasts(1) && main.spread < lowSpread:
		e.why = Glass
	case main.lasts(1):
		e.why = Bounce // held up by what strikes it again
	case !one:
		e.why = TwoCoins
	case risesAgain(kept) || struckAgain(o, later):
		e.why = Bounce
	case heights(kept) < stands:
		e.why = Faint
	}
	if e.why != "" {
		return e
	}
	for _, p := range kept {
		e.peaks = append(e.peaks, p.Peak)
	}
	byHz(e.peaks)
	return e
}

func heights(list []partial) (sum float64) {
	for _, p := range list {
		sum += p.height
	}
	return sum
}

// lasts reports whether a partial hardly dies away, so many standard deviations of its slope clear
// of a coin's. A line through n values of spread s over a time T has a slope known to
// s·√12/(T·√n); values of the envelope are independent a window's width apart.
func (p *partial) lasts(clear float64) bool {
	if p.fitted < 0.15 {
		return false
	}
	slope := p.spread * math.Sqrt(12/(p.fitted/envelopeWidth)) / p.fitted
	return 1/p.Decay+clear*slope < 1/longest
}

// beginsHere reports whether the lines are up to a good part when they should be: where they only
// rise later, another onset is theirs.
func beginsHere(coins []partial) bool {
	early, most, noise := 0.0, 0.0, 0.0
	for _, p := range coins[:min(len(coins), 3)] {
		noise += p.noise * p.noise
	}
	for i := range coins[0].envelope {
		sum := 0.0
		for _, p := range coins[:min(len(coins), 3)] {
			if i < len(p.envelope) {
				sum += p.envelope[i] * p.envelope[i]
			}
		}
		if i <= earlySteps {
			early = math.Max(early, sum)
		}
		most = math.Max(most, sum)
	}
	return early-noise > earlyPart*(most-noise)
}

// clipped reports whether samples around the onset stand at full scale.
func (l *listener) clipped(at float64) bool {
	from := max(int((at-0.005)*l.rate), 0)
	n := 0
	for i := from; i < min(from+int(0.06*l.rate), len(l.x)); i++ {
		if math.Abs(l.x[i]) >= clippedAt {
			n++
		}
	}
	return n > clippedFor
}

// lasting is why there is sound below a coin's that goes on, when wood's would have died
// away: words, notes, a glass.
func (l *listener) lasting(o onset, later []onset, all, coins []partial) Why {
	for _, p := range all {
		if p.Hz >= lowest || p.early > 0.3 || p.height < lowHeight || p.fitted < 0.1 {
			continue
		}
		if len(coins) > 0 && p.Level < coins[0].Level+lowLevel {
			continue
		}
		switch {
		case p.lasts(0) && p.spread < lowSpread:
			return Music
		case p.Decay > lowDecay && p.spread < lowSpread:
			return Glass
		}
	}
	before, _ := l.low(o.at-0.08, o.at-0.008)
	early, _ := l.low(o.at, o.at+0.03)
	until := o.at + 0.2
	if len(later) > 0 {
		until = min(until, later[0].at-0.008)
	}
	late, ok := l.low(o.at+0.09, until)
	if !ok || late < staysAbove*before || late-before < stays*(early-before) {
		return ""
	}
	// The power that a line of amplitude a has in a frame's bins: a²/4 times the sum of the
	// window's squares, times the frame's length over two.
	line := 0.0
	for _, p := range coins {
		line += p.amplitude * p.amplitude / 4 * frameLength * frameLength * 3 / 16
	}
	if late-before < staysOver*line {
		return ""
	}
	return Voice
}

// low is the mean power below a coin's lowest partial from one time to another.
func (l *listener) low(from, to float64) (mean float64, ok bool) {
	first, last := max(int(from*l.rate)/hop, 0), min((int(to*l.rate)-frameLength)/hop, len(l.frames)-1)
	bin := l.rate / frameLength
	n := 0.0
	for t := first; t <= last; t++ {
		for k := 1; k < int(lowest/bin); k++ {
			mean += l.frames[t][k]
		}
		n++
	}
	if n == 0 {
		return 0, false
	}
	return mean/n + hush, true
}

// risesAgain reports whether the partials were struck anew: their common envelope jumps
// over all of the sixty ms before it. Two near modes that beat never do.
func risesAgain(coins []partial) bool {
	coins = coins[:min(len(coins), 3)]
	n := len(coins[0].envelope)
	sum := make([]float64, n)
	noise := 0.0
	for _, p := range coins {
		for i := range min(n, len(p.envelope)) {
			sum[i] += p.envelope[i] * p.envelope[i]
		}
		noise += p.noise * p.noise
	}
	const gap, look, width = 4, 24, 4 // steps of the envelope
	for i := 16; i+width <= n; i++ {
		most := 0.0
		for j := max(i-look, 2); j <= i-gap; j++ {
			most = math.Max(most, sum[j])
		}
		least := math.Inf(1)
		for j := i; j < i+width; j++ {
			least = math.Min(least, sum[j])
		}
		// The noise adds to a power by twice its amplitude times the line's.
		if least > again*most+4*math.Sqrt(most*noise)+20*noise {
			return true
		}
	}
	return false
}

// struckAgain reports whether there is a second tap while the ring lasts, as where a coin meets
// the table again: the whole band jumps, by not much less than the first time.
func struckAgain(o onset, later []onset) bool {
	for _, x := range later {
		if x.at-o.at > secondAfter && x.broad > secondBroad && x.power > secondPart*o.power && x.power < secondMost*o.power {
			return true
		}
	}
	return false
}
