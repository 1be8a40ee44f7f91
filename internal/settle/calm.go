package settle

import "math"

// calm keeps the newest readings, to see a display that no longer moves.
type calm struct {
	n  int
	at [64]sample // the newest last
}

func (c *calm) push(s sample) {
	if c.n == len(c.at) {
		copy(c.at[:], c.at[1:])
		c.n--
	}
	c.at[c.n] = s
	c.n++
}

// level tells whether all readings of the last moments lie within a step of one
// another, or within the wobble seen at rest, and gives their mean.
func (c *calm) level(d, spread float64) (mean float64, ok bool) {
	if c.n == 0 {
		return 0, false
	}
	newest := c.at[c.n-1]
	low, high, sum, lines := newest.z, newest.z, 0.0, 0
	for i := c.n - 1; i >= 0; i-- {
		s := c.at[i]
		low, high = math.Min(low, s.z), math.Max(high, s.z)
		sum += s.z
		lines++
		if high-low > math.Max(1.1*d, 4*math.Sqrt(spread)) {
			return 0, false
		}
		if newest.t-s.t >= calmFor && lines >= calmLines {
			return sum / float64(lines), true
		}
	}
	return 0, false
}
