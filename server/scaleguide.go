package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"slices"
	"strconv"
	"strings"
	"time"

	"panside/internal/bridge"
	"panside/internal/fault"
	"panside/internal/mass"
	"panside/internal/simscale"
	"panside/server/scalefeed"
	"panside/server/virtualscale"
)

const (
	// restsFor is how long a display must show the same to be read, and
	// readAnyway how many times as long it may take when two values take turns.
	restsFor   = 1500 * time.Millisecond
	readAnyway = 5
	// looks is how often an untouched scale is read.
	looks = 20
)

// hands put weights on and take them off.
type hands interface {
	put(weight int) error
	clear()
}

// person is told what to do, and does it.
type person struct{}

func (person) put(int) error { return nil }
func (person) clear()        {}

// guide leads through the check of a scale. Make one, let it listen, then run.
type guide struct {
	out    io.Writer
	record checkRecord
	times  int
	edges  bool
	watch  time.Duration
	hands  hands
	rests  time.Duration // restsFor; less in tests

	ctx    context.Context
	states chan scalefeed.Snapshot
	told   *fault.Error // the problem the person knows of
}

// listen follows a feed until ctx ends.
func (g *guide) listen(ctx context.Context, feed *scalefeed.Feed) {
	g.ctx, g.states = ctx, make(chan scalefeed.Snapshot, 64)
	feed.Subscribe(func(s scalefeed.Snapshot) {
		select {
		case g.states <- s:
		case <-ctx.Done():
		}
	})
}

// run leads through it all and gives the last state of the scale. Errors:
// context.Canceled, fault.ReplayEnded, faults of values that can't be right.
func (g *guide) run() (scalefeed.Snapshot, error) {
	// What is wrong with the weights is said before anybody weighs.
	for j := range g.record.Weights {
		var e *fault.Field
		if errors.As(g.try(j, placement{Weight: j, Shown: "0"}, nil), &e) && !strings.HasPrefix(e.Name, "readings") {
			return scalefeed.Snapshot{}, e
		}
	}
	g.say("Take everything off the pan.")
	for j, w := range g.record.Weights {
		for i := range g.times {
			if err := g.weigh(j, fmt.Sprintf("Put the %s in the middle of the pan (%d of %d).", w.name(), i+1, g.times), &g.record.Readings); err != nil {
				return scalefeed.Snapshot{}, err
			}
		}
	}
	if g.edges {
		for _, side := range []string{"front", "right", "back", "left"} {
			if err := g.weigh(0, "Put the "+g.record.Weights[0].name()+" half way to the "+side+" edge of the pan.", &g.record.OffCentre); err != nil {
				return scalefeed.Snapshot{}, err
			}
		}
	}
	if g.watch > 0 {
		if err := g.leaveAlone(); err != nil {
			return scalefeed.Snapshot{}, err
		}
	}
	return g.rest(mass.PhaseEmpty)
}

func (g *guide) say(text string) { fmt.Fprintln(g.out, text) }

// weigh takes one placement of weight j. A display that can't be right is told
// and taken again.
func (g *guide) weigh(j int, ask string, into *[]placement) error {
	for {
		zero, err := g.rest(mass.PhaseEmpty)
		if err != nil {
			return err
		}
		g.say(ask)
		if err := g.hands.put(j); err != nil {
			return err
		}
		s, err := g.rest(mass.PhaseSettled)
		if err != nil {
			return err
		}
		shown := s.Reading.Quantity
		if err := g.sameScale(s, zero); err != nil {
			return err
		}
		p := placement{Weight: j, Shown: shown.Value.String(), Zero: zero.Reading.Quantity.Value.String()}
		wrong := g.try(j, p, *into)
		if wrong == nil {
			*into = append(*into, p)
			g.say("  " + shown.String() + " — take it off.")
		} else {
			g.say("  " + strings.TrimSuffix(fault.Of(wrong).Sentence, " Nothing was computed.") + " Take it off; this one doesn't count.")
		}
		g.hands.clear()
		if wrong == nil {
			return nil
		}
	}
}

// sameScale makes sure that unit and step stay those of the first reading.
func (g *guide) sameScale(states ...scalefeed.Snapshot) error {
	for _, s := range states {
		unit, step := string(s.Reading.Quantity.Unit), s.Reading.Resolution
		if step.Sign() <= 0 {
			step = s.Reading.Quantity.Value.Step()
		}
		if g.record.Unit == "" {
			g.record.Unit, g.record.Resolution = unit, step.String()
		}
		if first := mass.MustDecimal(g.record.Resolution); unit != g.record.Unit || step.Cmp(first) != 0 {
			return fault.New(fault.BadInput, "The scale's unit or step changed during the check. Nothing was kept; set it to grams and begin again.")
		}
	}
	return nil
}

// try tells whether p can be right beside the earlier placements of its weight.
func (g *guide) try(j int, p placement, earlier []placement) error {
	r := checkRecord{Unit: g.record.Unit, Resolution: g.record.Resolution, Weights: g.record.Weights[j : j+1]}
	r.Temperature, r.Place = g.record.Temperature, g.record.Place
	for _, e := range append(slices.Clone(earlier), p) {
		if e.Weight == j {
			e.Weight = 0
			r.Readings = append(r.Readings, e)
		}
	}
	raw, err := json.Marshal(r)
	if err != nil {
		return err
	}
	_, err = bridge.ScaleCheck(raw)
	return err
}

// rest waits until the display rests in a phase, and gives that state.
func (g *guide) rest(phase mass.Phase) (scalefeed.Snapshot, error) {
	var from, since time.Time
	var value mass.Quantity
	again := false // the person was asked to put it on again
	for {
		s, err := g.next()
		if err != nil {
			return s, err
		}
		withheld := s.Estimate.Phase == mass.PhaseWithheld
		if withheld && !again {
			g.say("  Can't tell this one's weight. Lift it and put it on again.")
		}
		again = withheld
		if s.Problem != nil || !s.Reading.HasValue || s.Estimate.Phase != phase {
			from, since = time.Time{}, time.Time{}
			continue
		}
		if from.IsZero() {
			from = s.At
		}
		if since.IsZero() || s.Reading.Quantity != value {
			since, value = s.At, s.Reading.Quantity
		}
		if s.Reading.Status == mass.StatusMoving {
			since = s.At
		}
		if s.At.Sub(since) >= g.rests || s.At.Sub(from) >= readAnyway*g.rests {
			return s, nil
		}
	}
}

// next is the next state. A new problem is told.
func (g *guide) next() (scalefeed.Snapshot, error) {
	select {
	case <-g.ctx.Done():
		return scalefeed.Snapshot{}, g.ctx.Err()
	case s := <-g.states:
		p := s.Problem
		switch {
		case p == nil:
			if s.Reading.HasValue {
				g.told = nil
			}
		case p.Code == fault.ReplayEnded:
			return s, p
		case g.told == nil || g.told.Sentence != p.Sentence:
			g.told = p
			g.say("  " + p.Sentence)
		}
		return s, nil
	}
}

// leaveAlone watches the drift with the first weight on the pan.
func (g *guide) leaveAlone() error {
	if _, err := g.rest(mass.PhaseEmpty); err != nil {
		return err
	}
	g.say("Put the " + g.record.Weights[0].name() + " on once more and leave it there: don't touch the table for " + minutes(g.watch) + ".")
	if err := g.hands.put(0); err != nil {
		return err
	}
	first, err := g.rest(mass.PhaseSettled)
	if err != nil {
		return err
	}
	last := first
	seen := []moment{{0, first.Reading.Quantity.Value.String()}}
	for undisturbed := true; undisturbed && last.At.Sub(first.At) < g.watch; {
		s, err := g.next()
		if err != nil {
			return err
		}
		switch {
		case s.Problem != nil || s.Estimate.Placement != first.Estimate.Placement || s.Estimate.Phase == mass.PhaseEmpty:
			g.say("  The scale was disturbed, so its drift is left out.")
			seen, undisturbed = nil, false
		case s.Reading.HasValue && s.At.Sub(last.At) >= g.watch/looks:
			last = s
			seen = append(seen, moment{s.At.Sub(first.At).Seconds(), s.Reading.Quantity.Value.String()})
		}
	}
	g.record.Untouched = seen
	g.say("Take it off.")
	g.hands.clear()
	return nil
}

func minutes(d time.Duration) string {
	if d < 2*time.Minute {
		return strconv.Itoa(int(d.Seconds())) + " seconds"
	}
	return strconv.Itoa(int(d.Minutes())) + " minutes"
}

// practiceWeights lie beside the virtual scale, so that a check can be tried.
var practiceWeights = []virtualscale.Coin{
	{ID: "weight-50", Name: "Check weight, 50 g", Note: "class F2, for checking the scale", Grams: 50},
	{ID: "weight-20", Name: "Check weight, 20 g", Note: "class F2, for checking the scale", Grams: 20},
}

// practiceHands move the weights of a virtual scale.
type practiceHands struct{ scale *virtualscale.Scale }

func (h practiceHands) put(weight int) error {
	return h.scale.Put(strconv.Itoa(weight), simscale.Gentle)
}
func (h practiceHands) clear() { h.scale.Clear() }

// practise gives the virtual scale exact weights in place of coins, and hands
// that move them.
func practise(scale *chosenScale, weights []checkWeight, log *slog.Logger) (hands, error) {
	cfg := simscale.DefaultConfig()
	cfg.AutoOff = 0
	return practiseOn(cfg, scale, weights, log)
}

func practiseOn(cfg simscale.Config, scale *chosenScale, weights []checkWeight, log *slog.Logger) (hands, error) {
	var tray []virtualscale.Coin
	for j, w := range weights {
		grams := 7.0 // some object
		for _, text := range []string{w.Nominal, w.Value} {
			if g, err := strconv.ParseFloat(text, 64); err == nil {
				grams = g
			}
		}
		tray = append(tray, virtualscale.Coin{ID: strconv.Itoa(j), Name: w.name(), Grams: mass.Grams(grams)})
	}
	v, err := virtualscale.New(virtualscale.Options{Config: cfg, Tray: tray, NewLine: newPseudoLine, Log: log})
	if err != nil {
		return nil, err
	}
	if scale.virtual != nil {
		scale.virtual.Unplug()
	}
	*scale = chosenScale{source: virtualSource{v}, decode: scale.decode, step: scale.step, virtual: v}
	return practiceHands{v}, nil
}
