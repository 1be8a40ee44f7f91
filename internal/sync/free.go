package sync

const (
	dayMs = 24 * 3600 * 1000
	// keepSentMs is how long a photo stays here after the laptop has it, if there
	// is room.
	keepSentMs = 28 * dayMs
	// crowded is the share of the phone's storage past which photos go at once.
	crowded = 0.8
)

// beginFree frees photos that the laptop has had for long, once a day, and on a
// crowded phone all that it has.
func (m *Machine) beginFree(int64) {
	m.look(&Query{What: Room}, func(now int64, r *Reply) {
		full := r.Used > crowded
		if since := now - m.freed; !full && since > -dayMs && since < dayMs {
			m.finish(now)
			return
		}
		m.freed = now
		before := now
		if !full {
			before -= keepSentMs
		}
		m.look(&Query{What: Old, Before: before}, func(now int64, r *Reply) { m.free(now, r.Photos) })
	})
}

// free frees some photos after another. Before any goes, the laptop reads its
// own from the disk once more: it may have been put back from a backup
// meanwhile, or its disk gone bad.
func (m *Machine) free(now int64, sums []string) {
	if len(sums) == 0 {
		m.finish(now)
		return
	}
	some := sums[:min(mostReadNow, len(sums))]
	m.askStanding(now, some, true, func(_ int64, s standing) {
		m.storePhotos(&PhotoChange{Unsent: s.missing, Free: s.verified}, func(now int64) { m.free(now, sums[len(some):]) })
	})
}
