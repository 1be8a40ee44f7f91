package calibration

import (
	"errors"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"panside/internal/fault"
	"panside/internal/mass"
	"panside/internal/plain"
)

// Guide leads a person through the check of a scale: everything off, a weight on,
// off again, and so on, each display taken by itself once it rests. It has no clock
// and does no I/O: Take tells it what happened, Ask says what the person is to do.
// A display that can't be right is refused while the weight is still in hand.
//
//	asked  what comes                     then
//	empty  the empty pan rests            put, its display is the zero
//	lift   the empty pan rests            put, likewise; choose after the last weight
//	put    the empty pan rests            put, its display is the zero
//	put    a load rests, and can be right lift, taken
//	put    a load rests, and can't be     lift, refused: value, unit, step or scale
//	put    a load that can't be told      lift, withheld
//	any    the scale goes away            empty: its zero may be another now
//	leave  a load rests                   watch
//	watch  the time is up                 lift, then choose
//	watch  touched, lifted, gone away     leave, disturbed
//
// Its fields are its whole state, so that it can be kept as JSON: Draft for days,
// Moment for as long as the clock goes on. Make one with NewGuide or ResumeGuide.
type Guide struct {
	Draft  Draft `json:"draft"`
	Moment Now   `json:"moment"`
	pace   Pace
}

// Pace is how long a guide waits.
type Pace struct {
	// Rests is how long a display must show the same, with no sign of motion, to be
	// read. Where two values take turns, five times as long is enough, and either
	// is as good.
	Rests time.Duration
	// Watch is how long the scale is left alone.
	Watch time.Duration
}

// UsualPace is that of a person with tweezers: 1.5 s, and three minutes alone.
var UsualPace = Pace{Rests: 1500 * time.Millisecond, Watch: 3 * time.Minute}

const (
	readAnyway = 5  // times Pace.Rests
	looks      = 18 // how often an untouched scale is read
	maxTimes   = 50 // how often a weight is put on at most
	usualTimes = 5
)

// Stage is a part of a check.
type Stage string

// The stages. From Further the person chooses among the last three.
const (
	Kit     Stage = "kit"     // the weights are named
	Middle  Stage = "middle"  // each is weighed in the middle of the pan
	Further Stage = "further" // what else may be measured
	Edges   Stage = "edges"   // the heaviest weight is weighed near the edges
	Alone   Stage = "alone"   // the scale is left alone with it, to see its drift
	Found   Stage = "result"
)

// Draft is a check under way, as far as it outlives a pause.
type Draft struct {
	At    Stage     `json:"at"`
	Times int       `json:"times"` // how often each weight is put on, 1 to 50
	Scale ScaleName `json:"scale"` // of the first reading; zero before and for typed ones
	Sheet
}

// ScaleName is a scale as the live stream names it.
type ScaleName struct {
	Name    string `json:"name"`
	Dialect string `json:"dialect"`
}

// Now is the part of a guide that a pause ends.
type Now struct {
	Do      Do     `json:"do"`
	Said    *Said  `json:"said"`    // nil if there is nothing to say
	ByHand  bool   `json:"by_hand"` // displays are typed, and the live ones left alone
	Trouble string `json:"trouble"` // why there is no weight, as a sentence; "" while there is
	Zero    string `json:"zero"`    // what the empty pan showed before the weight that comes now
	Unit    string `json:"unit"`    // Zero's
	Rest    rest   `json:"rest"`
	Watch   watch  `json:"watch"`
}

// rest is a display that may come to rest; times in ms.
type rest struct {
	Scale ScaleName  `json:"scale"`
	Phase mass.Phase `json:"phase"`
	Shown string     `json:"shown"`
	Unit  string     `json:"unit"`
	From  int64      `json:"from"`  // since when it has this phase
	Since int64      `json:"since"` // since when it shows this, without a sign of motion
}

// watch is an untouched scale.
type watch struct {
	On        bool    `json:"on"`
	Since     int64   `json:"since"` // ms
	Seconds   float64 `json:"seconds"`
	Placement uint64  `json:"placement"`
}

// Do is what a person is to do.
type Do string

// What there is to do.
const (
	DoName   Do = "name"   // name the weights
	DoEmpty  Do = "empty"  // take everything off
	DoPut    Do = "put"    // put the weight on
	DoLift   Do = "lift"   // take it off
	DoLeave  Do = "leave"  // put the weight on, take the hands off, wait for rest
	DoWatch  Do = "watch"  // don't touch the table
	DoChoose Do = "choose" // edges, alone, or finish
	DoLook   Do = "look"   // the result is there
)

// Edge is a side of the pan; "" is its middle.
type Edge string

// Sides are the edges, in the order in which they are asked for.
var Sides = []Edge{"front", "right", "back", "left"}

// Ask is what the person is asked for.
type Ask struct {
	Do     Do      `json:"do"`
	Weight int     `json:"weight"` // index in Draft.Weights
	Edge   Edge    `json:"edge"`
	Nth    int     `json:"nth"` // the nth time of Of; 0 where nothing is counted
	Of     int     `json:"of"`
	Left   float64 `json:"left_s"` // of the time alone, in seconds
}

// Said is what was made of the last display.
type Said struct {
	Is       string `json:"is"`
	Shown    string `json:"shown,omitempty"` // with SaidTaken
	Unit     string `json:"unit,omitempty"`
	Sentence string `json:"sentence,omitempty"` // why it was refused
}

// What can be said.
const (
	SaidTaken     = "taken"
	SaidRefused   = "refused"   // it can't be right, as Sentence says
	SaidUnit      = "unit"      // the scale shows another unit than before
	SaidStep      = "step"      // or another number of decimals
	SaidScale     = "scale"     // another scale weighs
	SaidWithheld  = "withheld"  // the load's weight can't be told: on once more
	SaidDisturbed = "disturbed" // the scale wasn't left alone; it is watched anew
)

// Event is something that happened. Do says what; the other fields belong to some.
type Event struct {
	Do string `json:"do"`

	// With Shows: a display. No Shown is no weight; At is in ms of a steady clock.
	At         int64       `json:"at,omitempty"`
	Phase      mass.Phase  `json:"phase,omitempty"`
	Shown      string      `json:"shown,omitempty"` // the scale's own digits; also with Types
	Unit       string      `json:"unit,omitempty"`
	Status     mass.Status `json:"status,omitempty"` // the scale's own sign
	Resolution mass.Grams  `json:"resolution_g,omitempty"`
	Placement  uint64      `json:"placement,omitempty"` // 0 if not known
	Scale      ScaleName   `json:"scale,omitzero"`
	Problem    string      `json:"problem,omitempty"` // why there is no weight: a sentence

	Zero        plain.Text    `json:"zero,omitempty"`    // with Types; default 0
	Weights     []SheetWeight `json:"weights,omitempty"` // with Begins
	Times       int           `json:"times,omitempty"`
	Temperature plain.Text    `json:"temperature_c,omitempty"` // with Finishes
	Place       plain.Text    `json:"place,omitempty"`
	ByHand      bool          `json:"by_hand,omitempty"` // with Switches
}

// What can happen. All but Shows are the person's.
const (
	Shows    = "show"
	Begins   = "begin"   // with these weights, each so many times
	Restarts = "restart" // throws the readings away; the weights stay
	Undoes   = "undo"    // takes the last reading back
	Types    = "type"    // a display
	Switches = "by-hand" // between typed and live displays
	ToEdges  = "edges"   // weighs there
	ToAlone  = "alone"   // leaves the scale alone
	Ends     = "end"     // leaves edges or alone, or the result for what else may be measured
	Finishes = "finish"  // wants the result
)

// NewGuide returns a guide that begins with nothing named.
func NewGuide(p Pace) *Guide {
	return &Guide{Draft: Draft{At: Kit, Times: usualTimes}, Moment: Now{Do: DoName}, pace: p}
}

// ResumeGuide returns a guide that goes on with a draft after a pause. Of one that
// can't be, what can is kept.
func ResumeGuide(p Pace, d Draft) *Guide {
	g := &Guide{Draft: d, pace: p}
	if g.Draft.At == Alone { // time went on meanwhile
		g.Draft.At, g.Draft.Untouched = Further, nil
	}
	g.Mend()
	g.calm()
	if _, err := g.Result(); err != nil && len(g.Draft.Readings) > 0 {
		g.refuse(err)
	}
	return g
}

// Mend makes a state that came from outside one that a guide can be in.
func (g *Guide) Mend() {
	d := &g.Draft
	if d.Times < 1 || d.Times > maxTimes {
		d.Times = usualTimes
	}
	if !slices.Contains([]Stage{Kit, Middle, Further, Edges, Alone, Found}, d.At) || len(d.Weights) == 0 {
		d.At, d.Readings, d.OffCentre, d.Untouched = Kit, nil, nil, nil
	}
	stranger := func(s SheetShown) bool { i := s.index(); return i < 0 || i >= len(d.Weights) }
	d.Readings = slices.DeleteFunc(d.Readings, stranger)
	d.OffCentre = slices.DeleteFunc(d.OffCentre, stranger)
	if g.pace == (Pace{}) {
		g.pace = UsualPace
	}
}

// index is the weight's, -1 if it is none.
func (s SheetShown) index() int {
	if s.Weight == "" {
		return 0
	}
	i, err := strconv.Atoi(string(s.Weight))
	if err != nil {
		return -1
	}
	return i
}

// Take takes in what happened. Errors are *fault.Field, for Begins only: a weight
// that can't be what it is said to be.
func (g *Guide) Take(e Event) error {
	switch e.Do {
	case Shows:
		g.show(e)
	case Begins:
		return g.begin(e.Weights, e.Times)
	case Restarts:
		g.restart()
	case Undoes:
		g.undo()
	case Types:
		if _, ok := g.Draft.next(); ok {
			zero := e.Zero
			if zero == "" {
				zero = "0"
			}
			g.place(SheetShown{Shown: plain.Text(e.Shown), Zero: zero}, nil)
		}
	case Switches:
		g.Moment.ByHand = e.ByHand
		g.calm()
	case ToEdges, ToAlone, Ends:
		g.goTo(e.Do)
	case Finishes:
		g.finish(e.Temperature, e.Place)
	}
	return nil
}

// Ask says what the person is to do now.
func (g *Guide) Ask() Ask {
	a := Ask{Do: g.Moment.Do}
	if n, ok := g.Draft.next(); ok {
		a.Weight, a.Edge, a.Nth, a.Of = n.weight, n.edge, n.nth, n.of
	}
	if g.Draft.At == Alone {
		a.Weight, a.Left = g.Draft.heaviest(), math.Max(0, g.pace.Watch.Seconds()-g.Moment.Watch.Seconds)
	}
	return a
}

// Result computes what the readings so far tell. Errors as of Sheet.Evaluate.
func (g *Guide) Result() (Result, error) { return g.Draft.Check().Evaluate() }

// Check is the sheet of what was weighed so far, as it is kept: without the weights
// that weren't.
func (d Draft) Check() Sheet {
	s := d.Sheet
	s.Weights, s.Readings, s.OffCentre = []SheetWeight{}, []SheetShown{}, nil
	number := make([]int, len(d.Weights))
	for i, w := range d.Weights {
		number[i] = len(s.Weights)
		if count(d.Readings, i) > 0 {
			s.Weights = append(s.Weights, w)
		}
	}
	renumber := func(to, from []SheetShown) []SheetShown {
		for _, r := range from {
			r.Weight = plain.Text(strconv.Itoa(number[r.index()]))
			to = append(to, r)
		}
		return to
	}
	s.Readings, s.OffCentre = renumber(s.Readings, d.Readings), renumber(s.OffCentre, d.OffCentre)
	if len(s.Untouched) < 2 {
		s.Untouched = nil
	}
	return s
}

func count(of []SheetShown, weight int) int {
	n := 0
	for _, r := range of {
		if r.index() == weight {
			n++
		}
	}
	return n
}

// next is one placement to come.
type next struct {
	weight, nth, of int
	edge            Edge
}

// next is the placement that comes next; false if this stage is through.
func (d *Draft) next() (next, bool) {
	switch d.At {
	case Middle:
		for i := range d.Weights {
			if n := count(d.Readings, i); n < d.Times {
				return next{weight: i, nth: n + 1, of: d.Times}, true
			}
		}
	case Edges:
		if n := len(d.OffCentre); n < len(Sides) {
			return next{weight: d.heaviest(), nth: n + 1, of: len(Sides), edge: Sides[n]}, true
		}
	}
	return next{}, false
}

// heaviest is the weight for the edges, and for the scale left alone: what pulls
// hardest shows most.
func (d *Draft) heaviest() int {
	best, most := 0, 0.0
	for i, w := range d.Weights {
		marked := w.Nominal
		if marked == "" {
			marked = w.Value
		}
		if g, err := strconv.ParseFloat(string(marked), 64); err == nil && g > most {
			best, most = i, g
		}
	}
	return best
}

// begin looks whether every weight can be what it is said to be, then begins.
func (g *Guide) begin(weights []SheetWeight, times int) error {
	switch {
	case len(weights) == 0 || len(weights) > maxWeights:
		return refuse("weights", "Name from 1 to "+strconv.Itoa(maxWeights)+" weights.")
	case times < 1 || times > maxTimes:
		return refuse("times", "A weight is put on from 1 to "+strconv.Itoa(maxTimes)+" times.")
	}
	for i, w := range weights {
		s := Sheet{Weights: []SheetWeight{w}, Readings: []SheetShown{{Shown: "0"}}, Temperature: g.Draft.Temperature, Place: g.Draft.Place}
		_, err := s.Evaluate()
		var in *fault.Field
		if errors.As(err, &in) && !strings.HasPrefix(in.Name, "readings") {
			name := strings.Replace(in.Name, "weights.0", "weights."+strconv.Itoa(i), 1)
			return &fault.Field{Name: name, Fault: in.Fault}
		}
	}
	g.restart()
	g.Draft.At, g.Draft.Weights, g.Draft.Times = Middle, slices.Clone(weights), times
	g.calm()
	return nil
}

func (g *Guide) restart() {
	d := g.Draft
	g.Draft = Draft{At: Kit, Times: d.Times, Sheet: Sheet{Weights: d.Weights, Temperature: d.Temperature, Place: d.Place}}
	g.calm()
}

// calm forgets what the scale showed last, and asks for what the stage begins with.
func (g *Guide) calm() {
	g.Moment = Now{ByHand: g.Moment.ByHand, Trouble: g.Moment.Trouble}
	switch g.Draft.At {
	case Kit:
		g.Moment.Do = DoName
	case Middle, Edges:
		g.Moment.Do = DoEmpty
		if g.Moment.ByHand {
			g.Moment.Do = DoPut // typed numbers wait for no pan
		}
	case Further:
		g.Moment.Do = DoChoose
	case Alone:
		g.Moment.Do = DoLeave
	case Found:
		g.Moment.Do = DoLook
	}
}

// goTo changes the stage, once every weight was weighed.
func (g *Guide) goTo(what string) {
	d := &g.Draft
	if d.At == Kit || d.At == Middle {
		return
	}
	from := d.At
	switch what {
	case ToEdges:
		if len(d.OffCentre) >= len(Sides) {
			return
		}
		d.At = Edges
	case ToAlone:
		d.At, d.Untouched = Alone, nil
	case Ends:
		if r, err := g.Result(); d.At == Alone && (err != nil || !r.Drift.Measured) {
			d.Untouched = nil // too short a time counts for nothing
		}
		d.At = Further
	}
	g.calm()
	if from == Alone && d.At == Further {
		g.Moment.Do = DoLift
	}
}

// undo takes the last reading back, and with it what was measured after it.
func (g *Guide) undo() {
	d := &g.Draft
	d.Untouched = nil
	switch {
	case len(d.OffCentre) > 0:
		d.At, d.OffCentre = Edges, slices.Clone(d.OffCentre[:len(d.OffCentre)-1])
	case len(d.Readings) > 0:
		d.At, d.Readings = Middle, slices.Clone(d.Readings[:len(d.Readings)-1])
	default:
		return
	}
	if len(d.Readings) == 0 {
		d.Unit, d.Resolution, d.Scale = "", "", ScaleName{}
	}
	g.calm()
}

func (g *Guide) finish(temperature, place plain.Text) {
	if g.Draft.At != Further && g.Draft.At != Found {
		return
	}
	d := g.Draft
	d.Temperature, d.Place = temperature, place
	if _, err := d.Check().Evaluate(); err != nil {
		g.refuse(err)
		return
	}
	d.At = Found
	g.Draft = d
	g.calm()
}

// refuse says why something can't be. The core speaks of a whole computation; here
// one value is refused.
func (g *Guide) refuse(err error) {
	g.Moment.Said = &Said{Is: SaidRefused, Sentence: strings.TrimSuffix(fault.Of(err).Sentence, " Nothing was computed.")}
}

// show takes in what the scale shows.
func (g *Guide) show(e Event) {
	m := &g.Moment
	if e.Problem != "" || e.Shown != "" {
		m.Trouble = e.Problem
	}
	if m.ByHand {
		return
	}
	rests := g.rests(e)
	switch g.Draft.At {
	case Middle, Edges:
		switch {
		case e.Problem != "":
			m.Do = DoEmpty
		case e.Phase == mass.PhaseWithheld && m.Do == DoPut:
			m.Do, m.Said = DoLift, &Said{Is: SaidWithheld}
		case rests:
			g.rested(e)
		}
	case Further:
		if rests && e.Phase == mass.PhaseEmpty && m.Do == DoLift {
			m.Do = DoChoose
		}
	case Alone:
		g.alone(e, rests)
	}
}

// rests reports whether the display has come to rest, so that nobody has to press a
// key with a weight in hand.
func (g *Guide) rests(e Event) bool {
	r := &g.Moment.Rest
	if e.Problem != "" || e.Shown == "" || e.Phase != mass.PhaseEmpty && e.Phase != mass.PhaseSettled {
		*r = rest{}
		return false
	}
	seen := rest{Scale: e.Scale, Phase: e.Phase, Shown: e.Shown, Unit: e.Unit, From: r.From, Since: r.Since}
	if seen.Scale != r.Scale || seen.Phase != r.Phase {
		seen.From, seen.Since = e.At, e.At
	}
	if seen.Shown != r.Shown || seen.Unit != r.Unit || e.Status == mass.StatusMoving {
		seen.Since = e.At
	}
	*r = seen
	need := g.pace.Rests.Milliseconds()
	return e.At-r.Since >= need || e.At-r.From >= readAnyway*need
}

// rested takes a display at rest.
func (g *Guide) rested(e Event) {
	m := &g.Moment
	switch {
	case e.Phase == mass.PhaseEmpty:
		// A refused reading stays explained until the weight is on again.
		m.Zero, m.Unit, m.Do = e.Shown, e.Unit, DoPut
	case m.Do == DoPut:
		if other := g.other(e); other != "" {
			m.Do, m.Said = DoLift, &Said{Is: other}
			return
		}
		g.place(SheetShown{Shown: plain.Text(e.Shown), Zero: plain.Text(m.Zero)}, &e)
	}
}

// other says what isn't as at the first reading, and at the zero before this one.
func (g *Guide) other(e Event) string {
	d := &g.Draft
	if d.Scale != (ScaleName{}) && e.Scale != d.Scale {
		return SaidScale
	}
	if d.Unit != "" && e.Unit != string(d.Unit) || d.At != Alone && e.Unit != g.Moment.Unit {
		return SaidUnit
	}
	if d.Scale != (ScaleName{}) && len(d.Readings) > 0 && decimals(e.Shown) != decimals(string(d.Readings[0].Shown)) {
		return SaidStep
	}
	return ""
}

// decimals is how many a display has, -1 for what is no number.
func decimals(shown string) int {
	x, err := mass.ParseDecimal(shown)
	if err != nil {
		return -1
	}
	return x.Places()
}

// place takes one placement, if it can be right beside the earlier ones. from is the
// live display, nil for a typed one.
func (g *Guide) place(p SheetShown, from *Event) {
	n, _ := g.Draft.next()
	p.Weight = plain.Text(strconv.Itoa(n.weight))
	d := g.Draft
	if n.edge == "" {
		d.Readings = append(slices.Clone(d.Readings), p)
	} else {
		d.OffCentre = append(slices.Clone(d.OffCentre), p)
	}
	if from != nil && d.Unit == "" {
		d.Unit, d.Scale = plain.Text(from.Unit), from.Scale
		d.Resolution = stepOf(*from)
	}
	m := &g.Moment
	m.Do = DoLift
	if from == nil {
		m.Do = DoPut
	}
	if _, err := d.Check().Evaluate(); err != nil {
		g.refuse(err)
		return
	}
	g.Draft = d
	unit := string(d.Unit)
	if unit == "" {
		unit = string(mass.Gram)
	}
	m.Said = &Said{Is: SaidTaken, Shown: string(p.Shown), Unit: unit}
	if _, more := g.Draft.next(); !more {
		g.Draft.At = Further
		if from == nil {
			m.Do = DoChoose
		}
	}
}

// stepOf is the scale's step in the display's unit: that of its digits, or a coarser
// one that the scale is known to have. "" leaves it to the digits.
func stepOf(e Event) plain.Text {
	f, err := mass.Unit(e.Unit).Factor()
	shown, wrong := mass.ParseDecimal(e.Shown)
	if err != nil || wrong != nil || !(e.Resolution > 0) {
		return ""
	}
	step := float64(e.Resolution) / f.Float64()
	if step < 1.5*shown.Step().Float64() {
		return plain.Text(shown.Step().String())
	}
	return plain.Text(written(step))
}

// alone watches the scale while nobody touches it.
func (g *Guide) alone(e Event, rests bool) {
	m, d := &g.Moment, &g.Draft
	w := &m.Watch
	if !w.On {
		if !rests || e.Phase != mass.PhaseSettled {
			return
		}
		if other := g.other(e); other != "" {
			m.Said = &Said{Is: other}
			return
		}
		*w = watch{On: true, Since: e.At, Placement: e.Placement}
		m.Do = DoWatch
		if m.Said != nil && m.Said.Is != SaidDisturbed { // that it begins anew stays said
			m.Said = nil
		}
		d.Untouched = []SheetMoment{{After: "0", Shown: plain.Text(e.Shown)}}
		return
	}
	moved := e.Placement != 0 && w.Placement != 0 && e.Placement != w.Placement
	if e.Problem != "" || e.Phase == mass.PhaseEmpty || moved || e.Shown != "" && g.other(e) != "" {
		g.disturbed("")
		return
	}
	if e.Shown == "" {
		return
	}
	w.Seconds = float64(e.At-w.Since) / 1000
	last := 0.0
	if n := len(d.Untouched); n > 0 {
		last, _ = strconv.ParseFloat(string(d.Untouched[n-1].After), 64)
	}
	if w.Seconds-last < g.pace.Watch.Seconds()/looks {
		return
	}
	longer := *d
	longer.Untouched = append(slices.Clone(d.Untouched), SheetMoment{
		After: plain.Text(strconv.FormatFloat(w.Seconds, 'f', -1, 64)), Shown: plain.Text(e.Shown),
	})
	if _, err := longer.Check().Evaluate(); err != nil {
		g.disturbed(fault.Of(err).Sentence)
		return
	}
	*d = longer
	if w.Seconds >= g.pace.Watch.Seconds() {
		d.At = Further
		g.calm()
		m.Do = DoLift
	}
}

// disturbed begins to watch anew.
func (g *Guide) disturbed(why string) {
	g.Draft.Untouched = nil
	g.calm()
	g.Moment.Said = &Said{Is: SaidDisturbed, Sentence: strings.TrimSuffix(why, " Nothing was computed.")}
}
