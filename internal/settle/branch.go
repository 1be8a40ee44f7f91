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
	shape     int
	logw      float64
	n         int
	gone      int     // knot at which the pan was emptied last; -1 for never
	loads     int     // loads that came on and lay still before that, in this move
	steady    float64 // logarithm of the chance that a trembling hand would show so steady since the last knot
	steadiest float64 // the lowest of that since the pan was emptied last
	seen      float64 // readings that told something of noise.noiseFactor,
	off       float64 // and the sum of their squared innovations over S
	blur      float64 // standard deviation of the knots' own times, s
	t         [maxKnots]float64
	began     [maxKnots]float64 // where a knot begins a change after a quiet reading, that reading's time; else none
	a         [maxKnots]float64
	cov       [maxKnots][maxKnots]float64
}

// noise is what a reading's error is made of.
type noise struct {
	fixed       float64 // variance of the display in g²: rounding and wobble
	time        float64 // standard deviation of the moment of the reading, s
	mismatch    float64 // error of the shape, as a part of the load still to show
	noiseFactor float64 // factor on the variance of both, learned
}

// begin makes b a history without a change.
func (b *branch) begin(shape int, logw float64) {
	b.shape, b.logw, b.n, b.gone, b.loads, b.steady, b.steadiest = shape, logw, 0, -1, 0, 0, 0
	b.seen, b.off, b.blur = 0, 0, 0
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
	c.shape, c.logw, c.n, c.gone, c.loads, c.steady, c.steadiest = b.shape, b.logw, n, b.gone, b.loads, b.steady, b.steadiest
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
	b.steady = 0
	b.t[k], b.began[k], b.a[k] = t, began, 0
	for i := range k {
		b.cov[i][k], b.cov[k][i] = 0, 0
	}
	b.cov[k][k] = q * q
}

// addTied appends a change that brings the sum of all from knot k on to total:
//
//	a_n = total − Σ a_i + N(0, q²)
//
// It is tied to the amounts before it, so that what comes on afterwards is known
// apart from them.
func (b *branch) addTied(t, total, q float64, k int, began float64) {
	b.addKnot(t, q, began)
	n := b.n - 1
	k = min(k, n)
	b.a[n] = total
	for i := range n {
		row := 0.0
		for j := k; j < n; j++ {
			row += b.cov[i][j]
		}
		b.cov[i][n], b.cov[n][i] = -row, -row
		if i >= k {
			b.a[n] -= b.a[i]
			b.cov[n][n] += row
		}
	}
}

// addEmptying appends the change that leaves the pan empty, over having lain on
// it before the first change.
func (b *branch) addEmptying(t, over, began float64) {
	b.addTied(t, -over, emptySD, 0, began)
	b.gone, b.steadiest = b.n-1, 0
}

// addReturn appends the end of a knock or a touch, after which the load is what
// it was before this run of changes.
func (b *branch) addReturn(t float64) { b.addTied(t, 0, returnSD, b.group(), none) }

// group is the first knot of the newest run of changes without a quiet spell.
func (b *branch) group() int {
	for k := b.n - 1; k > 0; k-- {
		if b.gapBefore(k) || k == b.gone+1 {
			return k
		}
	}
	return 0
}

// mergeOldest makes one knot of the two oldest that belong to one load: both
// amounts at the later time. Loads that can be told apart stay so, however long
// a hand works at the newest.
func (b *branch) mergeOldest() {
	n, k := b.n, 0
	for k+2 < n && b.apartAt(k+1) {
		k++
	}
	if b.apartAt(k + 1) {
		k = 0 // all of them stand alone
		if b.gone == 0 {
			b.gone = -1
		}
	}
	if b.gone > k {
		b.gone--
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

// apartAt reports whether knot k > 0 can't be joined with the one before.
func (b *branch) apartAt(k int) bool { return b.gapBefore(k) || k == b.gone || k == b.gone+1 }

// gapBefore reports whether knot k > 0 began after such a quiet spell that it belongs
// to another load than the knot before.
func (b *branch) gapBefore(k int) bool {
	return b.began[k] != none && b.began[k]-b.t[k-1] >= apart
}

// nextLoad reports whether knot k > 0 may be another load's than the knot before: a
// hand that puts one down in two movements seldom rests for so long.
func (b *branch) nextLoad(k int) bool {
	return b.began[k] != none && b.began[k]-b.t[k-1] >= together
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
	rough := r.noiseFactor * (pace*pace + (r.time*r.time+b.blur*b.blur)*slope*slope + mis*mis)
	variance += r.fixed + rough
	e := y - shown
	// A hand that still bears on the load trembles: by how much likelier is this
	// reading without one?
	tremble := sq(handTremble*total) + sq(handShakes)
	b.steady = math.Max(-handSure, b.steady+0.5*(math.Log(variance/(variance+tremble))+e*e/variance-e*e/(variance+tremble)))
	b.steadiest = math.Min(b.steadiest, b.steady)
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

// sum is the mean and variance of the amounts of knots from ≤ k < to together.
func (b *branch) sum(from, to int) (mean, variance float64) {
	for i := from; i < to; i++ {
		mean += b.a[i]
		for j := from; j < to; j++ {
			variance += b.cov[i][j]
		}
	}
	return mean, math.Max(0, variance)
}

// justEmptied reports whether nothing has come on since the pan was emptied.
func (b *branch) justEmptied() bool { return b.gone >= 0 && b.gone == b.n-1 }

// longestRun is how long the longest run of changes without a quiet spell went
// on, s.
func (b *branch) longestRun() float64 {
	longest, began := 0.0, 0
	for k := 1; k < b.n; k++ {
		if b.gapBefore(k) || k == b.gone+1 {
			began = k
		}
		longest = math.Max(longest, b.t[k]-b.t[began])
	}
	return longest
}
