package dialect

import "math"

// How sure the Decoder is.
//
// Each format k keeps a weight of evidence w_k in bits (base-2 logarithm of
// odds), not below 0. A frame moves it so:
//
//   - k reads the frame: + bits of k. Every format with fixed columns or fixed
//     words counts 12: as many as two letters chosen from sixty-four
//     (2 × 6 bits), and less than what their fixed columns exclude. A check sum
//     adds 4 more; a bare number counts 3, since noise and text contain bare
//     numbers;
//   - another format reads it and k does not: − half of that format's bits;
//   - nobody reads it: − 1.
//
// A frame that k takes for its own and finds broken (cut, wrong length, wrong
// check sum, impossible) counts neither way when another reads it. When the
// best passes 24 bits (sixteen million to one), all are lowered by the excess:
// the differences stay, and a scale that was exchanged can still be noticed.
//
// The probability that the scale speaks k is then
//
//	P(k) = 2^w_k / (2^prior + Σ_j 2^w_j)
//
// with the prior of 6 bits (64 to 1) that it speaks none of these formats. The
// sum over all formats makes two formats that fit equally well share the
// probability, so neither is sure.
//
// A format is settled on at P ≥ sureEnough: after one whole line of a format
// with fixed columns, so that a person pressing the print key needs to press
// it once; after four lines of bare numbers. It stays until another format
// reaches sureEnough by contrary evidence (two to four lines), or until its own
// P falls below one half (long garbage). Before a format is settled on, its
// readings are withheld unless formats that agree on every part of the reading
// reach sureEnough together.
const (
	priorBits   = 6
	maxBits     = 24
	sureEnough  = 0.95
	noLonger    = 0.5
	strangeBits = 1
)

// weigh moves the evidence by one frame. results and considered run parallel
// to e; considered is false for formats of another framing.
func (e evidence) weigh(formats []Dialect, results []Result, considered []bool) {
	against, read := 0.0, false
	for i := range e {
		if considered[i] && results[i].Outcome == Read {
			read = true
			against = math.Max(against, formats[i].bits/2)
		}
	}
	if !read {
		against = strangeBits
	}
	for i := range e {
		switch {
		case considered[i] && results[i].Outcome == Read:
			e[i] += formats[i].bits
		case read && considered[i] && results[i].Outcome != NotMine:
		default:
			e[i] = math.Max(e[i]-against, 0)
		}
	}
	if excess := e[e.best()] - maxBits; excess > 0 {
		for i := range e {
			e[i] = math.Max(e[i]-excess, 0)
		}
	}
}

// evidence is w_k for each format, in bits.
type evidence []float64

// probability is P(k) as above.
func (e evidence) probability(k int) float64 {
	return math.Exp2(e[k]) / e.total()
}

func (e evidence) total() float64 {
	sum := math.Exp2(priorBits)
	for _, w := range e {
		sum += math.Exp2(w)
	}
	return sum
}

// best is the format with the most evidence, the first of equals.
func (e evidence) best() int {
	best := 0
	for i := range e {
		if e[i] > e[best] {
			best = i
		}
	}
	return best
}
