package settle

import "math"

const (
	maxKnots = 12
	none     = -1e9 // no time
)

// A branch is one history of the load: it changed at the knots and nowhere
// else. With a shape s, the display at time t is
//
//	z(t) = base + Σ a_k·s(t − t_k) + ε,   a ~ N(mean, cov)
//
// which is linear in the amplitudes a, so that each reading is one scalar
// update of a Kalman filter. A change anywhere between two readings is written
// as two knots, one at each reading: for a first-order lag that is exact, for
// the others close. A hand at work is a run of such changes.
type branch struct {
	shape int
	logw  float64
	n     int
	seen  float64 // readings that told something of noise.rough,
	off   float64 // and the sum of their squared innovations over S
	blur  float64 // standard deviation of the knots' own times, s
	t     [maxKnots]float64
	began [maxKnots]float64 // where a knot begins a change after a quiet reading, that reading's time; else none
	a     [maxKnots]float64
	cov   [maxKnots][maxKnots]float64
}

// noise is what a reading's error is made of.
type noise struct {
	fixed    float64 // variance of the display in g²: rounding and wobble
	time     float64 // standard deviation of the moment of the reading, s
	mismatch float64 // error of the shape, as a part of the load still to show
	rough    float64 // factor on the variance of both, learned
}

// lastChange is the time of the newest knot.
func (b *branch) lastChange() float64 {
	if b.n == 0 {
		return math.Inf(-1)
	}
	return b.t[b.n-1]
}

// copyTo makes c a copy of b.
func (b *branch) copyTo(c *branch) {
	n := b.n
	c.shape, c.logw, c.n = b.shape, b.logw, n
	c.seen, c.off, c.blur = b.seen, b.off, b.blur
	copy(c.t[:n], b.t[:n])
	copy(c.began[:n], b.began[:n])
	copy(c.a[:n], b.a[:n])
	for i := range n {
		copy(c.cov[i][:n], b.cov[i][:n])
	}
}

// addKnot appends a change of unknown size, a ~ N(0, q²), at time t.
func (b *branch) addKnot(t, q, began float64) {
	if b.n == maxKnots {
		b.mergeOldest()
	}
	k := b.n
	b.n++
	b.t[k], b.began[k], b.a[k] = t, began, 0
	for i := range k {
		b.cov[i][k], b.cov[k][i] = 0, 0
	}
	b.cov[k][k] = q * q
}

// mergeOldest makes one knot of the two oldest that belong to one load: both
// amounts at the later time. Loads that can be told apart stay so, however long
// a hand works at the newest.
func (b *branch) mergeOldest() {
	n, k := b.n, 0
	for k+2 < n && b.gapBefore(k+1) {
		k++
	}
	if b.gapBefore(k + 1) {
		k = 0 // all of them stand alone
	}
	for i := range n {
		b.cov[k+1][i] += b.cov[k][i]
	}
	for i := range n {
		b.cov[i][k+1] += b.cov[i][k]
	}
	b.a[k+1] += b.a[k]
	b.began[k+1] = b.began[k]
	copy(b.t[k:n-1], b.t[k+1:n])
	copy(b.a[k:n-1], b.a[k+1:n])
	copy(b.began[k:n-1], b.began[k+1:n])
	for i := range n {
		copy(b.cov[i][k:n-1], b.cov[i][k+1:n])
	}
	copy(b.cov[k:n-1], b.cov[k+1:n])
	b.n--
}

// gapBefore tells that knot k > 0 began after such a quiet spell that it belongs
// to another load than the knot before.
func (b *branch) gapBefore(k int) bool {
	return b.began[k] != none && b.began[k]-b.t[k-1] >= apart
}

// update takes reading y (above the base) at time t: the scalar Kalman update
//
//	S = h'Ph + R,  a ← a + Ph·e/S,  P ← P − Ph·h'P/S,  log w ← log w + log N(e; 0, S)
//
// where R grows with the slope (uncertain time and speed) and with what is still
// to show (imperfect shape). It returns the innovation in units of √S.
func (b *branch) update(s shape, t, y float64, r noise) float64 {
	var h, ph [maxKnots]float64
	n := b.n
	shown, slope, aged, total := 0.0, 0.0, 0.0, 0.0
	for k := range n {
		v, d := s.at(t - b.t[k])
		h[k] = v
		shown += b.a[k] * v
		slope += b.a[k] * d
		aged += b.a[k] * d * (t - b.t[k])
		total += b.a[k]
	}
	variance := 0.0
	for i := range n {
		row := &b.cov[i]
		sum := 0.0
		for j := range n {
			sum += row[j] * h[j]
		}
		ph[i] = sum
		variance += sum * h[i]
	}
	variance = math.Max(0, variance)
	mis := r.mismatch * (total - shown)
	pace := gridError[s.family] * aged
	rough := r.rough * (pace*pace + (r.time*r.time+b.blur*b.blur)*slope*slope + mis*mis)
	variance += r.fixed + rough
	e := y - shown
	if rough > r.fixed && rough > variance/3 {
		b.seen++
		b.off += e * e / variance
	}
	b.logw -= 0.5 * (e*e/variance + math.Log(variance))
	gain := 1 / variance
	for i := range n {
		g := ph[i] * gain
		if g == 0 {
			continue
		}
		b.a[i] += g * e
		row := &b.cov[i]
		for j := range n {
			row[j] -= g * ph[j]
		}
	}
	return e / math.Sqrt(variance)
}

// sum is the mean and variance of the amplitudes of all knots from ≤ t < to.
func (b *branch) sum(from, to float64) (mean, variance float64) {
	k0 := 0
	for k0 < b.n && b.t[k0] < from {
		k0++
	}
	k1 := k0
	for k1 < b.n && b.t[k1] < to {
		k1++
	}
	for i := k0; i < k1; i++ {
		mean += b.a[i]
		for j := k0; j < k1; j++ {
			variance += b.cov[i][j]
		}
	}
	return mean, math.Max(0, variance)
}

// lowest is how far below the base the load ever surely was: the least partial
// sum of the amplitudes, with two standard deviations added; 0 at most.
func (b *branch) lowest() float64 {
	low := 0.0
	for k := range b.n {
		mean, v := b.sum(math.Inf(-1), b.t[k]+1e-9)
		low = math.Min(low, mean+2*math.Sqrt(v))
	}
	return low
}

// newestLoad is the time at which the newest load began to come on: the last
// change that follows a quiet spell of at least apart seconds, or the first
// change of all; −Inf before any.
func (b *branch) newestLoad() float64 {
	for k := b.n - 1; k > 0; k-- {
		if b.gapBefore(k) {
			return b.began[k]
		}
	}
	if b.n == 0 {
		return math.Inf(-1)
	}
	return b.began[0]
}

// quietBefore is how long nothing had changed at a time.
func (b *branch) quietBefore(at float64) float64 {
	last := none
	for k := 0; k < b.n && b.t[k] < at; k++ {
		last = b.t[k]
	}
	return at - last
}
