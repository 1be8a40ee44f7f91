package figures

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
)

// pace is how long readers took until the right alloy stood on the glass, in
// parts of the time to the scale's stable sign; infinite if it never came.
type pace struct {
	change  [4]float64 // from the first display that shows the coin
	release [4]float64 // from the hand's release, or that display if it comes later
}

// readers are whom a pace compares: three that know more than a tracker can, and
// the tracker.
var readers = []string{"hand+filter", "filter", "full", "tracker"}

// pace gives the pace of a coin that counts for the ratio.
func (s *otherScore) pace(t *table, c *laid) (p pace, ok bool) {
	if _, counts := c.ratio(); !s.pacing || !counts || t.cfg.Burst > 0 {
		return p, false
	}
	b := t.bound(c)
	from := math.Max(c.changed, c.free)
	for i, at := range []float64{b.told, b.released, b.full, c.decided} {
		p.change[i], p.release[i] = math.Inf(1), math.Inf(1)
		if at > 0 {
			p.change[i] = (at - c.changed) / (c.settled - c.changed)
			p.release[i] = math.Max(0, at-from) / (c.settled - from)
		}
	}
	return p, true
}

// pacesOf are the groups that a coin's pace is kept under.
func (t *table) pacesOf(c *laid) []string {
	kind := "hands or slow"
	if c.clean && !slow(t.cfg) {
		kind = "clean"
	}
	all := label(t.cfg)
	return append(all[1:3:3], kind, "put "+string(c.way), all[2]+", "+all[1])
}

// paceTable says where time goes: medians by group.
func (s *otherScore) paceTable() string {
	var b strings.Builder
	fmt.Fprintf(&b, "verdict/sign, medians, from the first change (never or after the sign) | from the release\n%-32s %5s", "", "coins")
	for _, r := range readers {
		fmt.Fprintf(&b, " %18s", r)
	}
	for _, r := range readers[1:] {
		fmt.Fprintf(&b, " %7s", r)
	}
	fmt.Fprintln(&b)
	for _, n := range slices.Sorted(maps.Keys(s.paces)) {
		of := s.paces[n]
		fmt.Fprintf(&b, "%-32s %5d", n, len(of))
		column := func(which func(pace) float64) []float64 {
			var c []float64
			for _, p := range of {
				c = append(c, which(p))
			}
			return c
		}
		for i := range readers {
			c := column(func(p pace) float64 { return p.change[i] })
			fmt.Fprintf(&b, "      %5.2f (%4.2f)", median(c), late(c))
		}
		for i := 1; i < len(readers); i++ {
			fmt.Fprintf(&b, " %7.2f", median(column(func(p pace) float64 { return p.release[i] })))
		}
		fmt.Fprintln(&b)
	}
	return b.String()
}
