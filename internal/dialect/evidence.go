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
//     adds 4 more. A number with a unit in no columns counts 6, with words or
//     marks that say more 9; a bare number counts 3, since noise and text
//     contain bare numbers. A date or a counter counts nothing;
//   - another format reads a weight in it and k does not: − half of that
//     format's bits;
//   - nobody reads it: − 1.
//
// A frame that k takes for its own and finds broken (cut, wrong length, wrong
// check sum, impossible) counts neither way when another reads it. When the
// best passes 24 bits (sixteen million to one), all are lowered by the excess:
// the differences stay, and a scale that was exchanged can still be noticed.
// The general reader has its own ceiling there.
//
// The probability that the scale speaks k is then
//
//	P(k) = 2^w_k / (2^prior + 2^w_k + Σ_j 2^w_j)   over all other j but the nested
//
// with the prior of 6 bits (64 to 1) that it speaks none of these formats. The
// sum over all formats makes two formats that fit equally well share the
// probability, so neither is sure. The general reader (nested) reads nearly all
// that the others read: it doesn't speak against them, and is settled on only
// when none of them is.
//
// A format is settled on at P ≥ sureEnough: after one whole line of a format
// with fixed columns, so that a person pressing the print key needs to press
// it once; after two lines of numbers with a unit; after four lines of bare
// numbers (not counting the first, whose beginning wasn't seen). At one line a
// second that is three and five seconds. It stays until another format
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

	bitsBare  = 3
	bitsUnit  = 6
	bitsWords = 9
)

// weigh moves the evidence by one frame. results and considered run parallel
// to e; considered is false for formats of another framing.
func (e evidence) weigh(formats []Dialect, results []Result, considered []bool) {
	against, read := 0.0, false
	for i := range e {
		if considered[i] && results[i].Outcome == Read {
			read = true
			if !formats[i].nested || results[i].HasValue || results[i].ask != AskNothing {
				against = math.Max(against, results[i].weight(&formats[i])/2)
			}
		}
	}
	if !read {
		against = strangeBits
	}
	for i := range e {
		switch {
		case considered[i] && results[i].Outcome == Read:
			e[i] += results[i].weight(&formats[i])
		case read && considered[i] && results[i].Outcome != NotMine:
		default:
			e[i] = math.Max(e[i]-against, 0)
		}
	}
	excess := 0.0
	for i := range e {
		if formats[i].nested {
			e[i] = math.Min(e[i], maxBits)
		} else {
			excess = math.Max(excess, e[i]-maxBits)
		}
	}
	for i := range e {
		if !formats[i].nested {
			e[i] = math.Max(e[i]-excess, 0)
		}
	}
}

// evidence is w_k for each format, in bits.
type evidence []float64

// weight is the evidence in one line.
func (r Result) weight(format *Dialect) float64 {
	switch {
	case r.heading:
		return 0
	case r.bits != 0:
		return r.bits
	}
	return format.bits
}

// probability is P(k) as above.
func (e evidence) probability(formats []Dialect, k int) float64 {
	sum := math.Exp2(priorBits)
	for i, w := range e {
		if i == k || !formats[i].nested {
			sum += math.Exp2(w)
		}
	}
	return math.Exp2(e[k]) / sum
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

// surest is the format with the highest probability: the nested one only if it
// stands alone.
func (e evidence) surest(formats []Dialect) int {
	best := -1
	for i := range e {
		if !formats[i].nested && (best < 0 || e[i] > e[best]) {
			best = i
		}
	}
	if best >= 0 && e.probability(formats, best) >= noLonger {
		return best
	}
	return e.best()
}
