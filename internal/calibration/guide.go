package calibration

import (
	"errors"
	"math"
	"slices"
	"strconv"
	"strings"

	"panside/internal/fault"
	"panside/internal/mass"
	"panside/internal/moment"
	"panside/internal/plain"
	"panside/internal/say"
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
	Rests moment.Duration
	// Watch is how long the scale is left alone.
	Watch moment.Duration
}

// UsualPace is that of a person with tweezers: 1.5 s, and three minutes alone.
var UsualPace = Pace{Rests: 1500 * moment.Millisecond, Watch: 3 * moment.Minute}

const (
	readAnyway = 5  // times Pace.Rests; assumed
	looks      = 18 // how often an untouched scale is read
	maxTimes   = 50 // how often a weight is put on at most
	usualTimes = 5
)

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
	Is       string   `json:"is"`
	Shown    string   `json:"shown,omitempty"` // with SaidTaken
	Unit     string   `json:"unit,omitempty"`
	Sentence string   `json:"sentence,omitempty"` // why it was refused
	line     say.Line // the sentence, until it is written
}

// In writes what was said just now in a tongue; before it is English. Nil says nothing.
func (s *Said) In(t *say.Tongue) {
	if s != nil && !s.line.None() {
		s.Sentence = t.Write(s.line)
	}
}

// said is a sentence, in English until In writes it.
func said(is string, l say.Line) *Said {
	return &Said{Is: is, Sentence: say.English.Write(l), line: l}
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

// begin looks whether every weight can be what it is said to be, then begins.
func (g *Guide) begin(weights []SheetWeight, times int) error {
	switch {
	case len(weights) == 0 || len(weights) > maxWeights:
		return refuse("weights", say.New("check-weights-named", say.Count("most", maxWeights)))
	case times < 1 || times > maxTimes:
		return refuse("times", say.New("check-times", say.Count("most", maxTimes)))
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
