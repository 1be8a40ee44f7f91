package main

import (
	"context"
	"fmt"
	"io"
	"log/slog"
	"strconv"
	"time"

	"panside/internal/calibration"
	"panside/internal/fault"
	"panside/internal/mass"
	"panside/internal/plain"
	"panside/internal/simscale"
	"panside/server/scale"
	"panside/server/scalefeed"
	"panside/server/virtualscale"
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

// scaleGuide leads through the check of a scale at the terminal: calibration.Guide
// says what to ask, and this what that is called. Make one with newScaleGuide, let
// it listen, then run.
type scaleGuide struct {
	*calibration.Guide
	out   io.Writer
	hands hands
	edges bool
	alone bool

	ctx    context.Context
	states chan scalefeed.Snapshot
	begun  time.Time
	last   scalefeed.Snapshot // the newest with a value

	asked   calibration.Ask
	said    *calibration.Said
	trouble string
}

// newScaleGuide begins a check. Errors: faults of weights and of a day that can't be.
func newScaleGuide(out io.Writer, h hands, s calibration.Sheet, times int, edges bool, pace calibration.Pace) (*scaleGuide, error) {
	g := &scaleGuide{Guide: calibration.NewGuide(pace), out: out, hands: h, edges: edges, alone: pace.Watch > 0}
	g.Draft.Temperature, g.Draft.Place = s.Temperature, s.Place
	return g, g.Take(calibration.Event{Do: calibration.Begins, Weights: s.Weights, Times: times})
}

// listen follows a feed until ctx ends.
func (g *scaleGuide) listen(ctx context.Context, feed *scalefeed.Feed) {
	g.ctx, g.states, g.begun = ctx, make(chan scalefeed.Snapshot, 64), time.Now()
	feed.Subscribe(func(s scalefeed.Snapshot) {
		select {
		case g.states <- s:
		case <-ctx.Done():
		}
	})
}

// run leads through it all and gives the last state of the scale with a weight.
// Errors: context.Canceled, fault.ReplayEnded, faults of the result.
func (g *scaleGuide) run() (scalefeed.Snapshot, error) {
	for g.Draft.At != calibration.Found {
		if err := g.tell(); err != nil {
			return g.last, err
		}
		if g.Ask().Do == calibration.DoChoose {
			if err := g.choose(); err != nil {
				return g.last, err
			}
			continue
		}
		select {
		case <-g.ctx.Done():
			return g.last, g.ctx.Err()
		case s := <-g.states:
			if s.Problem != nil && s.Problem.Code == fault.ReplayEnded {
				return s, s.Problem
			}
			if s.Reading.HasValue {
				g.last = s
			}
			if err := g.Take(g.display(s)); err != nil {
				return g.last, err
			}
		}
	}
	return g.last, nil
}

// display is what the scale shows.
func (g *scaleGuide) display(s scalefeed.Snapshot) calibration.Event {
	e := calibration.Event{
		Do: calibration.Shows, At: s.At.Sub(g.begun).Milliseconds(), Phase: s.Estimate.Phase,
		Scale: calibration.ScaleName{Name: s.Info.Name, Format: s.Dialect},
	}
	if s.Problem != nil {
		e.Problem = s.Problem.English()
	} else if s.Reading.HasValue {
		e.Shown, e.Unit, e.Status = s.Reading.Quantity.Value.String(), string(s.Reading.Quantity.Unit), s.Reading.Status
		e.Resolution, e.Placement = s.Estimate.Resolution, s.Estimate.Placement
	}
	return e
}

// choose goes on with what the command line wants besides, then to the result.
func (g *scaleGuide) choose() error {
	next := calibration.Event{Do: calibration.Finishes, Temperature: g.Draft.Temperature, Place: g.Draft.Place}
	switch {
	case g.edges:
		g.edges, next.Do = false, calibration.ToEdges
	case g.alone:
		g.alone, next.Do = false, calibration.ToAlone
	}
	if err := g.Take(next); err != nil {
		return err
	}
	if next.Do == calibration.Finishes && g.Draft.At != calibration.Found {
		_, err := g.Result()
		return err
	}
	return nil
}

func (g *scaleGuide) say(text string) { fmt.Fprintln(g.out, text) }

// tell says what is new, and lets the hands do what is asked.
func (g *scaleGuide) tell() error {
	if t := g.Moment.Trouble; t != g.trouble {
		if g.trouble = t; t != "" {
			g.say("  " + t)
		}
	}
	if s := g.Moment.Said; s != g.said {
		if g.said = s; s != nil {
			g.say("  " + saidWords(*s))
			if s.Is == calibration.SaidDisturbed {
				if err := g.Take(calibration.Event{Do: calibration.Ends}); err != nil {
					return err
				}
			}
		}
	}
	before, a := g.asked, g.Ask()
	a.Left = 0
	if a == before {
		return nil
	}
	g.asked = a
	var weight string
	if a.Weight < len(g.Draft.Weights) {
		weight = weightName(g.Draft.Weights[a.Weight])
	}
	switch a.Do {
	case calibration.DoEmpty:
		if before.Do != calibration.DoChoose { // else the pan was just seen empty
			g.say("Take everything off the pan.")
		}
		g.hands.clear()
	case calibration.DoPut:
		if a.Edge != "" {
			g.say("Put the " + weight + " half way to the " + string(a.Edge) + " edge of the pan.")
		} else {
			g.say(fmt.Sprintf("Put the %s in the middle of the pan (%d of %d).", weight, a.Nth, a.Of))
		}
		return g.hands.put(a.Weight)
	case calibration.DoLeave:
		g.say("Put the " + weight + " on once more and leave it there: don’t touch the table for " + minutes(g.Ask().Left) + ".")
		return g.hands.put(a.Weight)
	case calibration.DoLift:
		if before.Do == calibration.DoWatch {
			g.say("Take it off.")
		}
		g.hands.clear()
	}
	return nil
}

// saidWords is what the terminal says of a display.
func saidWords(s calibration.Said) string {
	switch s.Is {
	case calibration.SaidTaken:
		return s.Shown + " " + s.Unit + " — take it off."
	case calibration.SaidRefused:
		return s.Sentence + " Take it off; this one doesn’t count."
	case calibration.SaidUnit:
		return "The scale shows another unit than before. Take the weight off and set the unit back; this one doesn’t count."
	case calibration.SaidStep:
		return "The scale shows another number of decimals than before. Take the weight off and set its step back; this one doesn’t count."
	case calibration.SaidScale:
		return "Another scale weighs than before. Connect the first one again; this one doesn’t count."
	case calibration.SaidWithheld:
		return "Can’t tell this one’s weight. Lift it and put it on again."
	case calibration.SaidDisturbed:
		return "The scale was disturbed, so its drift is left out."
	}
	return s.Sentence
}

func minutes(seconds float64) string {
	if seconds < 120 {
		return strconv.Itoa(int(seconds)) + " seconds"
	}
	return strconv.Itoa(int(seconds/60)) + " minutes"
}

// practiceHands move the weights of a virtual scale.
type practiceHands struct{ scale *virtualscale.Scale }

func (h practiceHands) put(weight int) error {
	return h.scale.Put(strconv.Itoa(weight), simscale.Gentle)
}
func (h practiceHands) clear() { h.scale.Clear() }

// practise gives the virtual scale exact weights in place of coins, and hands
// that move them.
func practise(chosen *scale.Choice, weights []calibration.SheetWeight, log *slog.Logger) (hands, error) {
	cfg := simscale.DefaultConfig()
	cfg.AutoOff = 0
	return practiseOn(cfg, chosen, weights, log)
}

func practiseOn(cfg simscale.Config, chosen *scale.Choice, weights []calibration.SheetWeight, log *slog.Logger) (hands, error) {
	var tray []virtualscale.Coin
	for j, w := range weights {
		grams := 7.0 // some object
		for _, text := range []plain.Text{w.Nominal, w.Value} {
			if g, err := strconv.ParseFloat(string(text), 64); err == nil {
				grams = g
			}
		}
		tray = append(tray, virtualscale.Coin{ID: strconv.Itoa(j), Name: weightName(w), Grams: mass.Grams(grams)})
	}
	v, err := scale.NewVirtual(cfg, tray, log)
	if err != nil {
		return nil, err
	}
	if chosen.Virtual != nil {
		chosen.Virtual.Unplug()
	}
	*chosen = chosen.OnVirtual(v)
	return practiceHands{v}, nil
}
