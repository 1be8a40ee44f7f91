package scalefeed

import (
	"bytes"
	"slices"
	"time"

	"panside/internal/dialect"
)

const (
	// listenFirst is how long a port is listened to before anything is sent.
	listenFirst = 1500 * time.Millisecond
	// answerTime is how long an answer may take to be put down to a command.
	answerTime = 700 * time.Millisecond
	// pollPause lies between an answer and the next command.
	pollPause = 100 * time.Millisecond
	// calmPause lies between commands that nobody answers.
	calmPause = 10 * time.Second
	// awakePause lies between commands that only keep the scale awake. Scales
	// switch themselves off after one minute at the earliest (common practice).
	awakePause = 45 * time.Second
	eagerTurns = 2 // turns through all commands before it becomes calm
	byItself   = 5 // unasked lines after which it counts as speaking by itself
	deafAfter  = 3 // unanswered commands after which the scale no longer counts as answering
)

// poller decides when to send which read command. It listens first, and never
// asks a scale that speaks by itself. Which commands may be sent stands in
// commands.go.
type poller struct {
	commands  []command
	keepAwake bool

	opened    time.Time
	lastHeard time.Time // the newest line
	lastSent  time.Time
	sent      int    // commands since the newest line
	turn      int    // commands that were tried, whether sent or left out
	last      []byte // the newest command
	ended     bool   // and a line end behind it
	refusals  []byte // what was said to it, if that was a refusal
	answered  []byte // the command it answers; nil if it speaks by itself or not at all
	unasked   int    // lines that came without a command, since it began to answer
}

func newPoller(o Options, now time.Time) poller {
	return poller{commands: commands(o.Decode), keepAwake: o.KeepAwake, opened: now}
}

// refused notes that a command wasn't understood.
func (p *poller) refused(answer []byte) { p.refusals = append(p.refusals, answer...) }

// learn takes the command in that may be sent to a scale that reads lines, once
// the whole answer to the newest command is there.
func (p *poller) learn() {
	known := func(c command) bool { return bytes.Equal(c.send, afterRefusal.send) }
	if bytes.Equal(p.last, lineCommand) && lineRefused(p.refusals) && !slices.ContainsFunc(p.commands, known) {
		p.turn = len(p.commands)
		p.commands = append(slices.Clone(p.commands), afterRefusal)
	}
}

// heard notes that a line came.
func (p *poller) heard(now time.Time) {
	switch {
	case p.sent > 0 && now.Sub(p.lastSent) <= answerTime && p.answered == nil:
		p.answered, p.unasked = p.last, 0
	case p.sent == 0 && now.Sub(p.lastHeard) >= pollPause/2:
		// Not the second line of an answer.
		if p.unasked++; p.unasked >= byItself {
			p.answered = nil
		}
	}
	p.lastHeard, p.sent = now, 0
}

// due is the command to send now, nil if there is none. Bytes that make no line
// count as speech too: whoever speaks is not asked.
func (p *poller) due(now, lastByte time.Time, d Decoder) []byte {
	if len(p.commands) == 0 {
		return nil
	}
	switch {
	case p.answered != nil && p.sent >= deafAfter:
		p.answered, p.sent = nil, 0
	case p.answered != nil:
		wait := pollPause
		if p.sent > 0 {
			wait = answerTime
		}
		if now.Sub(later(p.lastHeard, p.lastSent)) < wait {
			return nil
		}
		return p.send(p.answered, now)
	case now.Sub(lastByte) < listenFirst:
		return p.awake(now, d)
	}
	wait := answerTime
	if p.sent >= eagerTurns*len(p.commands) {
		wait = calmPause
	}
	if now.Sub(p.lastSent) < wait {
		return nil
	}
	if !p.ended && len(p.last) > 0 && p.last[len(p.last)-1] != '\n' {
		p.ended = true
		return lineEnd
	}
	p.learn()
	c := p.commands[p.turn%len(p.commands)]
	p.turn++
	if c.onlyUnanswered && lastByte.After(p.opened) {
		return nil
	}
	return p.send(c.send, now)
}

func (p *poller) send(command []byte, now time.Time) []byte {
	p.last, p.lastSent, p.ended, p.refusals = command, now, false, nil
	p.sent++
	return command
}

// awake is the command for a scale that speaks by itself and shall not fall
// asleep.
func (p *poller) awake(now time.Time, d Decoder) []byte {
	if !p.keepAwake || now.Sub(later(p.opened, p.lastSent)) < awakePause {
		return nil
	}
	name, _, _ := d.Evidence()
	if format, ok := dialect.ByName(name); ok && format.KeepAwake && format.Poll != nil {
		p.lastSent = now
		return format.Poll // its own format is known: the scale has spoken
	}
	return nil
}

func later(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}
