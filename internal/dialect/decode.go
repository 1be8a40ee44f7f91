package dialect

import (
	"bytes"
	"slices"
	"strings"
	"time"

	"panside/internal/fault"
	"panside/internal/mass"
	"panside/internal/say"
)

// partialLife is how long the beginning of a line may wait for its rest. At
// 1200 bits a second a line of 22 characters takes 0.2 s; a radio link may
// stall for longer.
const partialLife = 2 * time.Second

// wholeAfter is the silence that no line goes through: at 1200 bits a second one
// of 22 characters takes 0.2 s.
const wholeAfter = 250 * time.Millisecond

// manyStrange is how many lines in a row that no format reads say that this is
// no scale. The first line after opening is often cut, and a reply of several
// lines is whole only at its end.
const manyStrange = 3

// longQuiet is how many bytes may pass without a reading before the Decoder
// says that it can't make anything of them.
const longQuiet = 1024

// Options choose how a Decoder reads. The zero value detects the format.
type Options struct {
	// Dialect fixes the format by its name; "" detects it. With an unknown name
	// nothing is read and every reading says so: check with ByName before.
	Dialect string
	// Pattern describes lines of a format nobody knows; it comes before
	// Dialect.
	Pattern *Pattern
	// Unit is the unit of lines that carry none. "" refuses such lines in
	// words: a number without a unit is no weight.
	Unit mass.Unit
	// Gr is what this scale means by "gr": mass.Gram or mass.Grain. Scales
	// print it for either. "" refuses such lines in words, unless the same
	// scale has shown another word for one of the two.
	Gr mass.Unit
	// Opened is when the port was opened, by the clock of Feed; zero if that
	// isn't known. If nothing comes for a quarter of a second after, the first
	// line is whole and counts.
	Opened time.Time
}

// Decoder turns bytes into readings. It is not safe for concurrent use. Make a
// new one for each time a port is opened: the first line after that may have
// lost its beginning.
type Decoder struct {
	opts    Options
	formats []Dialect
	fixed   bool
	unknown *fault.Error // the named format doesn't exist

	lines    lineFramer
	blocks   blockFramer
	replies  replyFramer
	lastByte time.Time

	evidence evidence
	settled  int // index into formats; -1 while not sure
	frames   int
	strange  int // frames in a row that no format reads
	shapes   map[likeness]shapes
	ask      Ask    // what the newest lines leave open; see NeedsUnit
	asked    string // the digits of the newest of them
	sitting  sitting
	counter  counter
	still    still
	checked  bool     // a check character was seen before ETX
	stray    string   // shape of the newest line that only the general reader read
	strays   []string // such shapes that came twice

	results    []Result // scratch, parallel to formats
	considered []bool
	quiet      int // bytes since the last reading
	now        time.Time
	out        []mass.Reading
}

// NewDecoder returns a Decoder for one opened port.
func NewDecoder(opts Options) *Decoder {
	d := &Decoder{opts: opts, formats: all, settled: -1, shapes: map[likeness]shapes{}}
	switch {
	case opts.Pattern != nil:
		d.formats, d.fixed = []Dialect{opts.Pattern.dialect()}, true
	case opts.Dialect != "":
		format, ok := ByName(opts.Dialect)
		if !ok {
			d.unknown = fault.New(fault.BadInput, say.New("format-unknown"))
		}
		d.formats, d.fixed = []Dialect{format}, true
	}
	if d.fixed {
		d.settled = 0
	}
	d.evidence = make(evidence, len(d.formats))
	d.results = make([]Result, len(d.formats))
	d.considered = make([]bool, len(d.formats))
	return d
}

// Feed takes bytes as they arrive, in pieces of any size, and returns the
// readings they complete, oldest first. at is when the bytes arrived; it
// becomes the time of the readings completed by them. The same bytes in other
// pieces give the same readings.
//
// A line that waits for its rest for more than two seconds is given up.
//
// Readings without a value are of these kinds, by the code of Problem:
// fault.Overload and fault.Underload; fault.Recognising while the format is not
// certain; fault.NotAScale for bytes in no known format; fault.Garbled for
// broken frames of the settled format; fault.RefusedUnit, fault.UnknownUnit
// and fault.AmbiguousUnit;
// fault.NotTheLoad for a tare, limit or total; fault.ScaleFault.
func (d *Decoder) Feed(p []byte, at time.Time) []mass.Reading {
	d.out, d.now = nil, at
	if len(p) == 0 {
		return nil
	}
	if !d.lastByte.IsZero() && at.Sub(d.lastByte) > partialLife {
		d.lines.silence(d.take)
		d.blocks = blockFramer{buf: d.blocks.buf[:0]}
		d.replies = replyFramer{buf: d.replies.buf[:0]}
	}
	if d.lastByte.IsZero() && !d.opts.Opened.IsZero() && at.Sub(d.opts.Opened) >= wholeAfter {
		d.lines.begun = true
	}
	switch quiet := at.Sub(d.lastByte); {
	case quiet > sittingGap:
		// A walking display stays one: the scale is likely the same.
		d.sitting = sitting{walked: d.sitting.walked, ticket: d.sitting.ticket}
	case quiet > heldGap:
		d.sitting.held = held{}
	}
	d.lastByte = at
	for _, b := range p {
		d.lines.feed(b, d.take)
		d.blocks.feed(b, d.take)
		d.replies.feed(b, d.take)
		if d.quiet++; d.quiet >= longQuiet {
			d.noise()
		}
	}
	return d.out
}

// Evidence tells which format the scale seems to speak, how probable that is
// (0 to 1, see evidence.go), and from how many frames that was learnt. A fixed
// format is sure. The name is "" while nothing speaks for any format.
func (d *Decoder) Evidence() (name string, sure float64, lines int) {
	if d.unknown != nil {
		return "", 0, d.frames
	}
	if d.fixed {
		return d.formats[0].Name, 1, d.frames
	}
	k := d.settled
	if k < 0 {
		k = d.evidence.surest(d.formats)
	}
	if d.evidence[k] == 0 {
		return "", 0, d.frames
	}
	return d.formats[k].Name, d.evidence.probability(d.formats, k), d.frames
}

// take handles one frame: meaning, evidence, reading.
func (d *Decoder) take(f frame) {
	if f.kind == lineFraming {
		d.still.take(f.data, d.now)
	}
	known := false // some format uses this framing
	for i := range d.formats {
		d.considered[i] = d.formats[i].framing == f.kind
		if d.considered[i] {
			known = true
			d.results[i] = d.meaning(&d.formats[i], f)
			d.sitting.comma = d.sitting.comma || d.results[i].Outcome == Read && d.results[i].comma == commaDecimal
		}
	}
	if !known || f.doubtful && !d.anyRead() {
		return
	}
	if f.kind == lineFraming || d.anyRead() {
		d.frames++
	}
	if d.unknown != nil {
		d.give(f, withoutWeight(d.unknown), "")
		return
	}
	if !d.fixed {
		if f.kind == lineFraming || d.anyRead() {
			d.evidence.weigh(d.formats, d.results, d.considered)
		}
		d.settle()
	}
	if d.settled >= 0 {
		if d.considered[d.settled] {
			r, name := d.results[d.settled], d.formats[d.settled].Name
			if r.Outcome == Read {
				d.stray = ""
			} else if general, ok := d.instead(f, r); ok {
				r, name = general, wordedLine.Name
			}
			d.finish(f, r, name)
		}
		return
	}
	d.unsettled(f)
}

// meaning asks one format about a frame.
func (d *Decoder) meaning(format *Dialect, f frame) Result {
	if f.flaw != NotMine || format.Parse == nil {
		return Result{Outcome: f.flaw}
	}
	r := format.Parse(f.data)
	if f.framed {
		r = d.framed(format, f.data, r)
	}
	if format.loose && f.headless && r.Outcome == Read {
		return Result{Outcome: Cut}
	}
	if r.Outcome != Read || !r.HasValue {
		return r
	}
	if r.counted != "" && !d.counter.counts(r.counted, d.frames) {
		return Result{Outcome: Read, Status: mass.StatusError, Problem: recognising, bits: bitsBare}
	}
	if r.comma == commaOpen && !d.sitting.comma {
		return withoutWeight(commaUnclear)
	}
	if r.unitless {
		return d.withUnit(r)
	}
	if r.gr {
		if r.Quantity.Unit = d.gr(); r.Quantity.Unit == "" {
			return r.unanswered(AskGr)
		}
	}
	return r
}

// framed reads what stands between STX and ETX. A check character may stand
// before ETX: the exclusive-or of all that precedes it.
func (d *Decoder) framed(format *Dialect, data []byte, r Result) Result {
	if n := len(data) - 1; n > 0 && blockCheck(data[:n]) == data[n] && (d.checked || r.Outcome != Read || data[n] < ' ') {
		if checked := format.Parse(data[:n]); checked.Outcome == Read {
			checked.checked = true
			d.checked, r = true, checked
		}
	}
	if r.loneG && r.Outcome == Read {
		if bytes.HasSuffix(data, []byte("GM")) {
			r.Status = mass.StatusMoving
		}
		r.unitless, r.noSign, r.Quantity.Unit, r.bits = true, r.Status == mass.StatusUnknown, "", bitsBare
	}
	return r
}

// withUnit gives a number without a unit the one that is certain: of the line
// at rest before it, or as the person says.
func (d *Decoder) withUnit(r Result) Result {
	if r.blankUnit && d.still.noUnits {
		r.Status, r.noSign = mass.StatusUnknown, true
		d.sitting.moved = false // what looked like motion was none
	}
	moving := r.Status == mass.StatusMoving
	switch unit := d.sitting.heldUnit(r.Quantity.Value, d.now); {
	case unit != "" && (moving || r.noSign):
		// This scale shows its unit at rest only.
		r.Quantity.Unit, r.Status, r.noSign = unit, mass.StatusMoving, false
	case d.sitting.held.unit != "" && (moving || r.noSign):
		return Result{Outcome: Read, Status: mass.StatusMoving}
	case d.opts.Unit != "" && !(moving && d.still.unit):
		r.Quantity.Unit = d.opts.Unit
	case moving:
		// Until the unit has been seen the motion is all there is to tell.
		return Result{Outcome: Read, Status: mass.StatusMoving}
	default:
		return r.unanswered(AskUnit)
	}
	return r
}

// instead is what the general reader makes of a line that the settled format
// doesn't read. It is taken at once if it holds no weight (over, a fault, a
// date) or if the settled format has no columns itself; otherwise once a line
// of exactly that shape has come twice in a row, since a broken line can look
// whole to it.
func (d *Decoder) instead(f frame, r Result) (general Result, ok bool) {
	if r.Outcome == Read || f.kind != lineFraming || f.headless || f.flaw != NotMine || d.opts.Pattern != nil {
		return Result{}, false
	}
	general = d.meaning(&wordedLine, f)
	weight := general.HasValue || general.ask != AskNothing || general.label != saysNothing
	switch {
	case general.Outcome != Read:
		return Result{}, false
	case !weight && general.Status != mass.StatusMoving:
		return general, true
	case d.formats[d.settled].loose:
		return general, true
	case d.fixed || r.Outcome != NotMine:
		return Result{}, false
	}
	now := skeleton(f.data)
	if now == d.stray || slices.Contains(d.strays, now) {
		if !slices.Contains(d.strays, now) && len(d.strays) < mostStrays {
			d.strays = append(d.strays, now)
		}
		return general, true
	}
	d.stray = now
	return Result{}, false
}

// mostStrays bounds how many shapes beside its settled format a scale may have:
// with each unit and sign, at rest and in motion.
const mostStrays = 16

// skeleton is a line with its digits made alike.
func skeleton(line []byte) string {
	return strings.Map(func(c rune) rune {
		if c >= '0' && c <= '9' {
			return '0'
		}
		return c
	}, string(line))
}

func (d *Decoder) anyRead() bool {
	for i, r := range d.results {
		if d.considered[i] && r.Outcome == Read && !r.heading {
			return true
		}
	}
	return false
}

// settle decides which format the scale speaks, if that is certain.
func (d *Decoder) settle() {
	was, best := d.settled, d.evidence.surest(d.formats)
	switch {
	case d.evidence.probability(d.formats, best) >= sureEnough:
		d.settled = best
	case d.settled >= 0 && d.evidence.probability(d.formats, d.settled) < noLonger:
		d.settled = -1
	}
	if was >= 0 && d.settled != was && !d.akin(was, d.settled) {
		d.sitting, d.ask, d.asked, d.strays = sitting{}, AskNothing, "", nil
	}
}

// akin reports whether two formats may be names for the lines of one scale.
func (d *Decoder) akin(a, b int) bool {
	return b >= 0 && d.formats[a].plain && d.formats[b].plain
}

// unsettled answers for a frame while no format is certain.
func (d *Decoder) unsettled(f frame) {
	first, together := -1, 0.0
	for i, r := range d.results {
		switch {
		case !d.considered[i] || r.Outcome != Read:
		case first < 0:
			first, together = i, d.evidence.probability(d.formats, i)
		case r.same(d.results[first]) && !d.formats[i].nested:
			together += d.evidence.probability(d.formats, i)
		}
	}
	if first < 0 && f.kind != lineFraming {
		return
	}
	d.strange++
	if first >= 0 {
		d.strange = 0
	}
	switch {
	case together >= sureEnough:
		d.finish(f, d.results[first], d.formats[first].Name)
	case d.strange < manyStrange:
		if first >= 0 {
			d.sitting.ticket.overhear(d.results[first], d.now)
		}
		d.give(f, withoutWeight(recognising), "")
	default:
		d.give(f, withoutWeight(notAScale), "")
	}
}

// finish gives out what the settled format says, in the light of the lines
// before.
func (d *Decoder) finish(f frame, r Result, name string) {
	r = d.steady(f, r)
	if r.Outcome == Read {
		if r.heading {
			d.sitting.ticket.heading(d.now)
		} else {
			var released *heldLine
			if r, released = d.sitting.ticket.take(f, r, name, d.now); released != nil {
				d.finish(released.frame, released.r, released.name)
			}
		}
		if r.HasValue {
			r.Status = d.sitting.status(r, d.now)
		}
		d.sitting.note(r, d.now)
		d.still.unit = d.still.unit || r.HasValue && !r.unitless
		if r.Status == mass.StatusError && !r.heading && r.ask == AskNothing && r.label == saysNothing {
			d.sitting.held = held{} // adjusting, a fault, a refused unit
		}
		d.wonder(r)
	}
	d.give(f, r, name)
}

// noise answers for bytes that not even a framer can cut.
func (d *Decoder) noise() {
	switch {
	case d.unknown != nil:
		d.give(frame{}, withoutWeight(d.unknown), "")
	case d.settled >= 0:
		d.give(frame{}, Result{Outcome: NotMine}, d.formats[d.settled].Name)
	default:
		d.give(frame{}, Result{Outcome: NotMine, Problem: notAScale}, "")
	}
}

// give appends the reading of a frame.
func (d *Decoder) give(f frame, r Result, name string) {
	d.quiet = 0
	reading := mass.Reading{Raw: slices.Clone(f.raw), At: d.now, Status: mass.StatusError, Dialect: name, Problem: r.problem()}
	if r.Outcome == Read {
		reading.Status = r.Status
	}
	if r.Outcome == Read && r.HasValue {
		reading.Quantity, reading.HasValue, reading.Resolution = r.Quantity, true, r.Resolution
	}
	d.out = append(d.out, reading)
}
