package sync

const (
	firstRetryMs = 3_000
	lastRetryMs  = 60_000
	// turns is how often a round pushes again after a pull. More than a few in a
	// row would be a fault; the next occasion goes on from there.
	turns = 3
	// restarts is how often a round hears that the laptop knows nothing of it.
	// One that never does would be asked for ever.
	restarts = 3
)

// round is what one round has seen so far.
type round struct {
	turn     int
	restarts int
	push     push
	pull     pull
	photos   photos
}

// rounds begins one, if this page has it for itself.
func (m *Machine) rounds(now int64, r *Reply) {
	if !r.Alone {
		m.later(now, m.failures) // the other page's round may fail
		m.failures++
		return
	}
	m.alone = true
	m.beginPush(now)
}

// pushed decides how a round goes on after a push.
func (m *Machine) pushed(now int64) {
	if m.round.turn == 0 || m.round.pull.restart || m.round.pull.forked {
		m.beginPull(now)
		return
	}
	m.exchanged(now)
}

// pulled decides whether entries go once more: what waited for the pull, what
// the laptop has lost, or what must be written again.
func (m *Machine) pulled(now int64) {
	r := &m.round
	if r.turn < turns && (r.push.left() || r.pull.restart || r.pull.forked) {
		r.turn++
		m.beginPush(now)
		return
	}
	m.exchanged(now)
}

// exchanged goes on with the photos, after the entries.
func (m *Machine) exchanged(now int64) {
	m.shown.LeftOver, m.told = m.round.push.sentence, false
	m.askWanted(now)
}

// restarted counts how often the laptop knew nothing of this phone, and reports
// whether the round may go on.
func (m *Machine) restarted(now int64) bool {
	if m.round.restarts++; m.round.restarts <= restarts {
		return true
	}
	m.fail(now, m.refused(unreadable))
	return false
}

// finish ends a round that went well.
func (m *Machine) finish(now int64) {
	m.failures, m.until = 0, 0
	m.doing = Doing{Is: "nothing"}
	m.shown.Ended, m.told = Ended{Is: Well, At: now}, false
	if m.shown.Unread > 0 {
		m.later(now, m.waits) // the laptop says so too, if a line is open
		m.waits++
	} else {
		m.waits = 0
	}
	m.due, m.again = m.again && !m.stopped, false
}

// fail ends a round that didn't.
func (m *Machine) fail(now int64, how *Ended) {
	m.again = false
	m.doing = Doing{Is: "nothing"}
	m.shown.Ended, m.told = *how, false
	m.later(now, m.failures)
	m.failures++
}

// later sets when the next round begins by itself, after so many that didn't
// help; not all phones of a house at once.
func (m *Machine) later(now int64, times int) {
	if m.stopped {
		m.until = 0
		return
	}
	wait := float64(min(lastRetryMs, firstRetryMs<<min(times, 10)))
	var b [2]byte
	m.random(b[:])
	spread := 0.75 + 0.5*float64(int(b[0])<<8|int(b[1]))/65535
	m.until = now + int64(wait*spread)
}
