package scalefeed

import (
	"bytes"
	"math/bits"
	"slices"
	"time"

	"panside/internal/dialect"
	"panside/internal/fault"
	"panside/internal/mass"
)

const (
	// listenTime is how long a line is listened to under one setting. A scale
	// that speaks by itself sends at least a line a second (common practice).
	listenTime = 1200 * time.Millisecond
	// quietTime is how long a line must be quiet before a command is sent.
	quietTime = 150 * time.Millisecond
	// longerTime is how long if it does speak and nothing is certain yet.
	longerTime = 2500 * time.Millisecond
	// replyTime is how long the answer to a command may take. 22 characters at
	// 1200 bits a second take 0.2 s.
	replyTime = 350 * time.Millisecond
	// A device counts as a scale after so many readings, more of them good than
	// bad, of a format that is so certain.
	claimReadings = 2
	claimSure     = 0.99
)

// speeds are the line speeds that are tried, the most usual first (common
// practice).
var speeds = []int{9600, 2400, 4800, 1200, 19200, 38400, 57600, 115200}

// listening is what one listens under: seven data bits with a parity bit, read
// as eight without one, come out right but for their highest bit, which the
// decoder takes off. So two framings hear all the usual ones.
var listening = settings("8N1", "8E1")

// usual are the settings that formats with a read command usually have. There
// the parity must be right, since the scale has to understand.
var usual = func() (all []dialect.Settings) {
	for _, d := range dialect.All() {
		if d.Poll != nil {
			all = append(all, d.Settings...)
		}
	}
	return unique(all)
}()

// asking is what commands are sent under when the usual settings gave nothing.
var asking = unique(append(usual, settings("8N1", "7E1", "7O1", "8E1")...))

func settings(framings ...string) (all []dialect.Settings) {
	for _, framing := range framings {
		for _, baud := range speeds {
			all = append(all, dialect.Settings{Baud: baud, Framing: framing})
		}
	}
	return all
}

func unique(all []dialect.Settings) []dialect.Settings {
	var out []dialect.Settings
	for _, s := range all {
		if !slices.Contains(out, s) {
			out = append(out, s)
		}
	}
	return out
}

// finding is what a probe found out.
type finding struct {
	scale   bool
	spoke   bool // bytes came, whatever they were
	unasked bool // and came without a command
	line    dialect.Settings
	dialect string
	command []byte // that it answered; nil if it spoke by itself
	// heard is a sample of what came, under the line settings under which it
	// looks most like text; these are line if it isn't a scale.
	heard sample
	// problem is set if whole lines came that lack something the person can
	// supply: the unit.
	problem *fault.Error
}

// probe looks for a scale on one open line.
type probe struct {
	tap  *tap
	opts dialect.Options
	stop <-chan struct{}
	slow func() // called when it takes longer
}

func (p *probe) stopped() bool {
	select {
	case <-p.stop:
		return true
	default:
		return false
	}
}

// ear judges what comes in under one setting.
type ear struct {
	decoder   *dialect.Decoder
	good, bad int
	spoke     bool
	parity    string // framing that the highest bits speak for; "" if none
	problem   *fault.Error
	heard     sample
}

func (p *probe) newEar() *ear { return &ear{decoder: dialect.NewDecoder(p.opts)} }

// hear takes bytes and tells whether they make a scale.
func (e *ear) hear(data []byte) bool {
	e.spoke = e.spoke || len(data) > 0
	e.heard.add(data)
	for _, r := range e.decoder.Feed(data, time.Now()) {
		if !understood(r) {
			e.bad++
			if r.Problem.Code == fault.UnknownUnit {
				e.problem = r.Problem
			}
			continue
		}
		e.good++
		e.parity = parityOf(r.Raw)
	}
	_, sure, _ := e.decoder.Evidence()
	return e.good >= claimReadings && e.good > e.bad && sure >= claimSure
}

// understood tells whether a reading is one of a scale, be it one without a
// weight. Numbers without a unit are not: other devices send such, too.
func understood(r mass.Reading) bool {
	if r.Status != mass.StatusError {
		return true
	}
	return r.Problem.Code == fault.RefusedUnit || r.Problem.Code == fault.ScaleFault || r.Problem.Code == fault.NotTheLoad
}

// parityOf is the seven-bit framing by which a line read as 8N1 was sent; ""
// if no highest bit is set.
func parityOf(raw []byte) string {
	if !slices.ContainsFunc(raw, func(b byte) bool { return b >= 0x80 }) {
		return ""
	}
	if bits.OnesCount8(raw[0])%2 == 0 {
		return "7E1"
	}
	return "7O1"
}

// found is the finding of an ear that heard a scale under some settings.
func (e *ear) found(line dialect.Settings) finding {
	name, _, _ := e.decoder.Evidence()
	if e.parity != "" && line.Framing == "8N1" {
		line.Framing = e.parity
	}
	return finding{scale: true, spoke: true, line: line, dialect: name, heard: e.heard}
}

// under listens under one setting, which is set already.
func (p *probe) under(line dialect.Settings) (finding, error) {
	e := p.newEar()
	begun := time.Now()
	for {
		limit := listenTime
		if e.spoke {
			limit = longerTime
		}
		left := limit - time.Since(begun)
		if left <= 0 || p.stopped() {
			return finding{spoke: e.spoke, problem: e.problem, line: line, heard: e.heard}, nil
		}
		data, err := p.tap.next(p.stop, left)
		if err != nil {
			return finding{}, err
		}
		if e.hear(data) {
			return e.found(line), nil
		}
	}
}

// listen tries one setting after another until a scale is heard. The line is
// open under the first. A line that is silent under the first is silent under
// all: a wrong speed garbles, it doesn't mute.
func (p *probe) listen(lines []dialect.Settings) (finding, error) {
	var all finding
	for i, line := range lines {
		if i == 1 {
			p.slow()
		}
		if i > 0 {
			if err := p.tap.set(line); err != nil {
				continue // this port can't; the next setting may do
			}
		}
		f, err := p.under(line)
		if err != nil || f.scale || p.stopped() {
			return p.settled(f, line, err)
		}
		all.spoke = all.spoke || f.spoke
		if f.heard.legible() > all.heard.legible() {
			all.heard, all.line = f.heard, f.line
		}
		if all.problem == nil {
			all.problem = f.problem
		}
		if !all.spoke {
			break
		}
	}
	return all, nil
}

// settled sets the line to what was found.
func (p *probe) settled(f finding, line dialect.Settings, err error) (finding, error) {
	if f.scale && f.line != line && p.tap.set(f.line) != nil {
		f.line = line
		err = p.tap.set(line)
	}
	return f, err
}

// ask sends the read commands under each setting until a scale answers, or
// somebody speaks without being asked.
func (p *probe) ask(lines []dialect.Settings) (finding, error) {
	p.slow()
	spoke := false
	for _, line := range lines {
		if p.tap.set(line) != nil {
			continue
		}
		data, err := p.tap.next(p.stop, quietTime)
		if err != nil || len(data) > 0 {
			return finding{spoke: true, unasked: true}, err
		}
		for _, command := range commands(p.opts) {
			f, err := p.askFor(command, line)
			if err != nil || f.scale || p.stopped() {
				return f, err
			}
			spoke = spoke || f.spoke
		}
	}
	return finding{spoke: spoke}, nil
}

// askFor sends one command, and again as long as the answers make sense.
func (p *probe) askFor(command []byte, line dialect.Settings) (finding, error) {
	e := p.newEar()
	for range claimReadings + 1 {
		before := e.good
		if err := p.tap.send(command); err != nil {
			return finding{}, err
		}
		begun := time.Now()
		for left := replyTime; left > 0 && !p.stopped(); left = replyTime - time.Since(begun) {
			data, err := p.tap.next(p.stop, left)
			if err != nil {
				return finding{}, err
			}
			if e.hear(data) {
				f := e.found(line)
				f.command = command
				return f, nil
			}
			if e.good > before {
				break
			}
		}
		if e.good == before || p.stopped() {
			break
		}
	}
	return finding{spoke: e.spoke}, nil
}

// commands are the read commands of the formats that come into question, each
// once. Only such commands stand in the formats as change nothing on a scale.
func commands(o dialect.Options) (all [][]byte) {
	if o.Pattern != nil {
		return nil
	}
	for _, d := range dialect.All() {
		if d.Poll == nil || o.Dialect != "" && o.Dialect != d.Name {
			continue
		}
		if !slices.ContainsFunc(all, func(c []byte) bool { return bytes.Equal(c, d.Poll) }) {
			all = append(all, d.Poll)
		}
	}
	return all
}
