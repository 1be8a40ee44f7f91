package dialect

import (
	"slices"
	"time"

	"panside/internal/fault"
	"panside/internal/mass"
)

// partialLife is how long the beginning of a line may wait for its rest. At
// 1200 bits a second a line of 22 characters takes 0.2 s; a radio link may
// stall for longer.
const partialLife = 2 * time.Second

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
	strange  int                // frames in a row that no format reads
	shapes   [framings][2]shape // of lines at rest and in motion
	odd      shape              // of the last line, if it differed
	ask      Ask                // what the newest lines leave open; see NeedsUnit
	asked    string             // the digits of the newest of them
	sitting  sitting

	results    []Result // scratch, parallel to formats
	considered []bool
	quiet      int // bytes since the last reading
	now        time.Time
	out        []mass.Reading
}

// shape is what stays the same from line to line.
type shape struct {
	width  int // of padded lines; 0 if not known
	places int
	unit   mass.Unit
}

// NewDecoder returns a Decoder for one opened port.
func NewDecoder(opts Options) *Decoder {
	d := &Decoder{opts: opts, formats: all, settled: -1}
	switch {
	case opts.Pattern != nil:
		d.formats, d.fixed = []Dialect{opts.Pattern.dialect()}, true
	case opts.Dialect != "":
		format, ok := ByName(opts.Dialect)
		if !ok {
			d.unknown = fault.New(fault.BadInput, "There is no scale format of the name that was picked. No weight is shown; pick one from the list, or let the program find it.")
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
	if at.Sub(d.lastByte) > sittingGap {
		d.sitting = sitting{}
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
		k = d.evidence.best()
	}
	if d.evidence[k] == 0 {
		return "", 0, d.frames
	}
	return d.formats[k].Name, d.evidence.probability(k), d.frames
}

// take handles one frame: meaning, evidence, reading.
func (d *Decoder) take(f frame) {
	known := false // some format uses this framing
	for i := range d.formats {
		d.considered[i] = d.formats[i].framing == f.kind
		if d.considered[i] {
			known = true
			d.results[i] = d.meaning(&d.formats[i], f)
		}
	}
	if !known {
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
			r := d.steady(f, d.results[d.settled])
			d.wonder(r)
			d.give(f, r, d.formats[d.settled].Name)
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
	if format.loose && f.headless && r.Outcome == Read {
		return Result{Outcome: Cut}
	}
	if r.unitless && r.Outcome == Read && r.HasValue {
		switch {
		case d.opts.Unit != "":
			r.Quantity.Unit = d.opts.Unit
		case r.Status == mass.StatusMoving:
			// The format shows its unit at rest only; until then the motion is
			// all there is to tell.
			return Result{Outcome: Read, Status: mass.StatusMoving}
		default:
			return r.unanswered(AskUnit)
		}
	}
	if r.gr && r.HasValue {
		if r.Quantity.Unit = d.gr(); r.Quantity.Unit == "" {
			return r.unanswered(AskGr)
		}
	}
	return r
}

func (d *Decoder) anyRead() bool {
	for i, r := range d.results {
		if d.considered[i] && r.Outcome == Read {
			return true
		}
	}
	return false
}

// settle decides which format the scale speaks, if that is certain.
func (d *Decoder) settle() {
	best, was := d.evidence.best(), d.settled
	defer func() {
		if was >= 0 && d.settled != was {
			d.sitting, d.ask, d.asked = sitting{}, AskNothing, ""
		}
	}()
	switch {
	case d.evidence.probability(best) >= sureEnough:
		d.settled = best
	case d.settled >= 0 && d.evidence.probability(d.settled) < noLonger:
		d.settled = -1
	}
}

// steady refuses a line of another width, or with another number of decimals in
// the same unit, than its neighbours: a lost character leaves a wrong number
// that looks right. The second line of the new shape in a row is believed.
//
// Lines at rest and in motion are kept apart: a mark of motion may lengthen the
// line. Only padded lines have a width to keep.
func (d *Decoder) steady(f frame, r Result) Result {
	if r.Outcome != Read || !r.HasValue {
		return r
	}
	usual := &d.shapes[f.kind][0]
	if r.Status == mass.StatusMoving {
		usual = &d.shapes[f.kind][1]
	}
	now := shape{width: len(f.data), places: r.Quantity.Value.Places(), unit: r.Quantity.Unit}
	other := usual.width != 0 && usual.width != now.width ||
		usual.unit == now.unit && usual.places != now.places
	if other && now != d.odd {
		d.odd = now
		return Result{Outcome: BadLength}
	}
	d.odd = shape{}
	if !r.padded && (other || usual.width == 0) {
		now.width = 0
	}
	*usual = now
	return r
}

// unsettled answers for a frame while no format is certain.
func (d *Decoder) unsettled(f frame) {
	first, together := -1, 0.0
	for i, r := range d.results {
		switch {
		case !d.considered[i] || r.Outcome != Read:
		case first < 0:
			first, together = i, d.evidence.probability(i)
		case r.same(d.results[first]):
			together += d.evidence.probability(i)
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
		d.give(f, d.steady(f, d.results[first]), d.formats[first].Name)
	case d.strange < manyStrange:
		d.give(f, withoutWeight(recognising), "")
	default:
		d.give(f, withoutWeight(notAScale), "")
	}
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
		d.sitting.note(r)
		reading.Quantity, reading.HasValue, reading.Resolution = r.Quantity, true, r.Resolution
	}
	d.out = append(d.out, reading)
}
