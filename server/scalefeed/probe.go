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
	// listenTime is how long a line is listened to that says nothing. Scales that
	// speak by themselves leave up to 1.8 s between lines (recorded streams).
	listenTime = 2 * time.Second
	// noiseLeast is how long noise is listened to at least.
	noiseLeast = 1200 * time.Millisecond
	// noiseTime is how long noise may come, and noiseBytes how much of it is
	// enough to know it by: text at a wrong speed.
	noiseTime  = 2500 * time.Millisecond
	noiseBytes = 16
	// textTime is how long text in lines is listened to, which at one line a
	// second is what a format of little evidence takes, and textPause how long
	// it may pause.
	textTime  = 15 * time.Second
	textPause = 3 * time.Second
	// strangeLines is how many lines of no known format are enough, if they
	// outnumber the others.
	strangeLines = 4
	// quietTime is how long a line must be quiet before a command is sent.
	quietTime = 150 * time.Millisecond
	// replyTime is how long the answer to a command may take. 22 characters at
	// 1200 bits a second take 0.2 s, and a converter's next value as long.
	replyTime = 400 * time.Millisecond
	// endTime is how long what is said to the end of a line is waited for.
	endTime = 100 * time.Millisecond
	// A device counts as a scale after so many readings, more of them good than
	// bad, of a format that is so certain.
	claimReadings = 2
	claimSure     = 0.99
	// mostAnswers is how many answers a command may need until the format is
	// certain.
	mostAnswers = 8
	// mostFed is how much of what was heard is handed on, in bytes: fast talkers
	// are known again at once.
	mostFed = 2048
)

// speeds are the line speeds that are tried, the most usual first (common
// practice).
var speeds = []int{9600, 2400, 4800, 1200, 19200, 38400, 57600, 115200}

// listening are the settings under which a line is listened to: seven data bits with a parity bit or a
// second stop bit, read as eight, come out right but for their highest bit,
// which is taken off again. So two framings hear all the usual ones.
var listening = settings(speeds, "8N1", "8E1")

// usual are the settings that scales with a read command usually have. There
// framing and parity must be right, since the scale has to understand.
var usual = func() (all []dialect.Settings) {
	for _, c := range harmless {
		all = append(all, c.at...)
	}
	return unique(all)
}()

// asking is what commands are sent under when the usual settings gave nothing.
// Scales that are asked at the highest speeds are new and have eight data bits
// (common practice).
var asking = unique(slices.Concat(usual, settings(speeds, "8N1"), settings(speeds[:6], "7E1", "7O1", "8E1", "7N2")))

func settings(speeds []int, framings ...string) (all []dialect.Settings) {
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
	scale bool
	// asks reports whether it is a scale once the person says its unit.
	asks    bool
	spoke   bool // bytes came, whatever they were
	unasked bool // and came without a command
	// strange reports whether it spoke in lines of text and of no known format, so
	// that under other settings there is nothing to hear.
	strange bool
	line    dialect.Settings
	dialect string
	command []byte // that it answered; nil if it spoke by itself
	// heard is a sample of what came, under the line settings under which it
	// looks most like text; these are line if it isn't a scale.
	heard sample
	// fed is what made it certain, so that it isn't to be recognised twice.
	fed []byte
}

// done reports whether there is nothing more to look for on the line.
func (f finding) done() bool { return f.scale || f.asks }

// probe looks for a scale on one open line.
type probe struct {
	tap  *tap
	opts dialect.Options
	stop <-chan struct{}
	slow func() // called when it takes longer
	// thorough reports whether every command is sent under every setting, and not
	// only where it is usual.
	thorough bool
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
	open      int // lines whose unit only the person knows
	spoke     bool
	parity    string // framing that the highest bits speak for; "" if none
	plain     bool   // some highest bit was not set
	heard     sample
	fed       []byte // all that the decoder was given, unless longer than mostFed
}

func (p *probe) newEar() *ear { return &ear{decoder: dialect.NewDecoder(p.opts)} }

// hear takes bytes and reports whether it is known now what is on the line.
func (e *ear) hear(data []byte) bool {
	e.spoke = e.spoke || len(data) > 0
	data = e.withoutStopBits(data)
	e.heard.add(data)
	if len(e.fed) <= mostFed {
		e.fed = append(e.fed, data...)
	}
	for _, r := range e.decoder.Feed(data, time.Now()) {
		ask, _ := e.decoder.NeedsUnit()
		switch {
		case refusal(r.Raw):
			e.bad++
		case understood(r):
			e.good++
			e.parity = parityOf(r.Raw)
		case r.Problem.Code == fault.Recognising: // nothing is wrong yet
		case ask != dialect.AskNothing && lacksUnit(r):
			e.open++
		default:
			e.bad++
		}
	}
	return e.scale() || e.asks()
}

func (e *ear) sure() bool {
	_, sure, _ := e.decoder.Evidence()
	return sure >= claimSure
}

func (e *ear) scale() bool { return e.good >= claimReadings && e.good > e.bad && e.sure() }

// asks reports whether lines came that are a scale's but for their unit.
func (e *ear) asks() bool {
	ask, _ := e.decoder.NeedsUnit()
	return ask != dialect.AskNothing && e.open >= claimReadings && e.open > e.bad && e.sure()
}

// lacksUnit reports whether a reading only lacks a unit, which the person can say.
func lacksUnit(r mass.Reading) bool {
	return r.Problem != nil && (r.Problem.Code == fault.UnknownUnit || r.Problem.Code == fault.AmbiguousUnit)
}

// withoutStopBits takes off the highest bits as long as all are set: seven data
// bits and two stop bits, read as eight and one.
func (e *ear) withoutStopBits(data []byte) []byte {
	e.plain = e.plain || slices.ContainsFunc(data, func(b byte) bool { return b < 0x80 })
	if e.plain {
		return data
	}
	out := make([]byte, len(data))
	for i, b := range data {
		out[i] = b & 0x7f
	}
	return out
}

// understood reports whether a reading is one of a scale, be it one without a
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

// finding is what an ear heard under some settings.
func (e *ear) finding(line dialect.Settings) finding {
	f := finding{scale: e.scale(), spoke: e.spoke, line: line, heard: e.heard}
	if len(e.fed) <= mostFed {
		f.fed = e.fed
	}
	f.asks = !f.scale && e.asks()
	f.strange = e.heard.text() && e.strange()
	if f.done() {
		f.dialect, _, _ = e.decoder.Evidence()
		switch {
		case line.Framing != "8N1":
		case !e.plain:
			f.line.Framing = "7N2"
		case e.parity != "":
			f.line.Framing = e.parity
		}
	}
	return f
}

// strange reports whether the device sends lines, but of no known format.
func (e *ear) strange() bool { return e.bad >= strangeLines && e.bad > e.good+e.open }

// patience is how much longer an ear listens. heardFor is how long it has listened
// already, quiet how long ago its newest byte came.
func (e *ear) patience(heardFor, quiet time.Duration) time.Duration {
	switch {
	case !e.spoke:
		return listenTime - heardFor
	case e.strange():
		return noiseTime - heardFor // the person may want to see its lines
	case e.heard.text():
		return min(textTime-heardFor, textPause-quiet)
	case len(e.heard) >= noiseBytes:
		return noiseLeast - heardFor
	}
	return noiseTime - heardFor
}

// under listens under one setting, which is set already.
func (p *probe) under(line dialect.Settings) (finding, error) {
	e := p.newEar()
	begun := time.Now()
	last := begun
	for {
		now := time.Now()
		left := e.patience(now.Sub(begun), now.Sub(last))
		if left <= 0 || p.stopped() {
			return e.finding(line), nil
		}
		data, err := p.tap.next(p.stop, left)
		if err != nil {
			return finding{}, err
		}
		if len(data) > 0 {
			last = time.Now()
		}
		if e.hear(data) {
			return e.finding(line), nil
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
		if err != nil || f.done() || p.stopped() {
			return p.settled(f, line, err)
		}
		all.spoke = all.spoke || f.spoke
		if f.heard.legible() > all.heard.legible() {
			all.heard, all.line = f.heard, f.line
		}
		if !all.spoke || f.strange {
			break
		}
	}
	return all, nil
}

// settled sets the line to what was found.
func (p *probe) settled(f finding, line dialect.Settings, err error) (finding, error) {
	if f.done() && f.line != line {
		if p.tap.set(f.line) != nil {
			f.line = line
			err = p.tap.set(line)
		}
		// What arrived meanwhile is lost: the next line may lack its beginning,
		// and a byte that is no text says so to the decoder.
		f.fed = append(f.fed, 0)
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
		f, err := p.askUnder(line)
		if err != nil || f.done() || p.stopped() {
			return f, err
		}
		spoke = spoke || f.spoke
	}
	return finding{spoke: spoke}, nil
}

// askUnder sends the commands under one setting.
func (p *probe) askUnder(line dialect.Settings) (all finding, err error) {
	answered, refused := false, false
	if err := p.endLine(); err != nil { // what another setting made of the commands
		return finding{}, err
	}
	for _, c := range commands(p.opts) {
		if !p.thorough && !slices.Contains(c.at, line) || c.onlyUnanswered && answered {
			continue
		}
		f, err := p.askFor(c.send, line)
		if err != nil || f.done() || p.stopped() {
			return f, err
		}
		refused = refused || bytes.Equal(c.send, lineCommand) && lineRefused(f.heard)
		answered = answered || f.spoke && !refusal(f.heard)
		all.spoke = all.spoke || f.spoke
		if open := c.send[len(c.send)-1] != '\n'; open {
			if err := p.endLine(); err != nil {
				return finding{}, err
			}
		}
	}
	if refused {
		return p.askFor(afterRefusal.send, line)
	}
	return all, nil
}

// endLine ends what a scale may have taken for the beginning of a line, and
// hears away what it says to that.
func (p *probe) endLine() error {
	if err := p.tap.send(lineEnd); err != nil {
		return err
	}
	_, err := p.tap.next(p.stop, endTime)
	return err
}

// askFor sends one command, and again as long as the answers make sense.
func (p *probe) askFor(command []byte, line dialect.Settings) (finding, error) {
	e := p.newEar()
	for range mostAnswers {
		before, heard := e.good+e.open, len(e.heard)
		if err := p.tap.send(command); err != nil {
			return finding{}, err
		}
		begun := time.Now()
		for left := replyTime; left > 0 && !p.stopped(); left = replyTime - time.Since(begun) {
			data, err := p.tap.next(p.stop, left)
			if err != nil {
				return finding{}, err
			}
			if e.hear(withoutAck(command, data)) {
				f := e.finding(line)
				f.command = command
				return f, nil
			}
			if e.good+e.open > before {
				break
			}
		}
		// Lines of little evidence stay open for some answers, and the end of some
		// shows in the next one only.
		if e.good+e.open == before && (len(e.heard) == heard || e.bad > 0 || !e.heard.text()) || p.stopped() {
			break
		}
	}
	return finding{spoke: e.spoke, heard: e.heard}, nil
}
