package segments

// trend is the segments' ink in the last frames that show equal digits. Slow displays blend one
// number into the next, and what lies between may look like a third.
type trend struct {
	levels [trendFrames][maxCells][nSegments]float32
	gain   [trendFrames]float32 // of the exposure
	at     [trendFrames]int64
	n      int // frames since the digits last changed
}

const (
	// trendFrames and trendMs are how far the look back goes.
	trendFrames, trendMs = 9, 300
	// mostTrend is how far toward its other state a segment's ink may go from the first third of
	// these frames to the last one, as a share of the way: noise and a multiplexed display's bands go
	// less far, and a segment that changes within 0.5 s twice as far.
	mostTrend = 0.12
)

func (t *trend) reset() { t.n = 0 }

// add takes a frame's ink.
func (t *trend) add(k *ink, in *inked, ms int64) {
	q := t.n % trendFrames
	t.at[q] = ms
	for c := range k.cells {
		for s := range in.v[c] {
			t.levels[q][c][s] = k.level(in, c, s)
		}
	}
	t.gain[q] = gainOf(&t.levels[q], k.cells)
	t.n++
}

// turns reports whether any segment is on its way to its other state, or too few frames tell.
func (t *trend) turns(cells int) bool {
	n := min(t.n, trendFrames)
	if n < equalFrames {
		return true
	}
	last := t.at[(t.n-1)%trendFrames]
	for n > equalFrames && last-t.at[(t.n-n)%trendFrames] > trendMs {
		n--
	}
	third := n / 3
	for c := range cells {
		for s := range nSegments {
			var first, now float32
			for k := range third {
				first += t.levels[(t.n-n+k)%trendFrames][c][s] / float32(third)
				now += t.levels[(t.n-1-k)%trendFrames][c][s] / float32(third)
			}
			way := now - first
			if first+now > 1 {
				way = -way // it is lit
			}
			if way > mostTrend {
				return true
			}
		}
	}
	return t.swings(cells, n)
}
