package main

import (
	"context"
	"log/slog"
	"math"

	"panside/internal/mass"
	"panside/server/httpapi"
	"panside/server/livehub"
	"panside/server/scalefeed"
	"panside/server/virtualscale"
)

// scale is what the App needs of one.
type scale struct {
	// run publishes every state until ctx ends.
	run func(ctx context.Context, publish func(livehub.State))
	// virtual is nil unless the coins are moved from the page.
	virtual httpapi.VirtualScale
	// standIn tells that the virtual scale was taken for want of a real one.
	standIn bool
	// hand lets a person fix how it is found and read; nil where that can't be.
	hand *scaleHand
	feed *scalefeed.Feed // nil where there are no readings
	// checks are those that the weights are corrected by; nil where there are no
	// readings.
	checks *scaleChecks
}

// openScale makes the scale that the flags choose. folder, unless empty, keeps
// the one that was found, and what was fixed by hand. Errors as of chooseScale.
func openScale(f ScaleFlags, folder string, log *slog.Logger) (scale, error) {
	var memory scalefeed.Memory
	if folder != "" {
		memory = newScaleMemory(folder, log)
	}
	units := newScaleUnits(folder, log)
	hand, chosen, how, err := openByHand(f, memory, newKeptSettings(folder, log), units, log)
	if err != nil {
		return scale{}, err
	}
	s := feedScale(hand.source, scalefeed.Options{
		Decode: how.Decode, KeepAwake: how.KeepAwake, Step: how.Step, Answers: units.of, OnBytes: hand.tail.Add, Log: log,
	}, chosen.start)
	hand.feed, s.hand, s.standIn = s.feed, hand, chosen.standIn
	if chosen.virtual != nil {
		s.virtual = virtualPan{chosen.virtual}
	}
	return s, nil
}

// feedScale lets a source flow. start is called first, with the context that
// ends when the scale is let go.
func feedScale(src scalefeed.Source, opts scalefeed.Options, start func(context.Context)) scale {
	checks := &scaleChecks{}
	opts.Check = checks.heard
	feed := scalefeed.New(src, opts)
	return scale{checks: checks, feed: feed, run: func(ctx context.Context, publish func(livehub.State)) {
		start(ctx)
		defer feed.Subscribe(func(s scalefeed.Snapshot) { publish(stateOf(s)) })()
		feed.Run(ctx)
	}}
}

func stateOf(s scalefeed.Snapshot) livehub.State {
	var ask *livehub.Ask
	if s.Ask != nil {
		ask = &livehub.Ask{Of: string(s.Ask.What), Digits: s.Ask.Digits, Units: s.Ask.Units}
	}
	return livehub.State{
		Estimate: s.Estimate,
		Reading:  s.Reading,
		Scale: livehub.Scale{
			Name:    s.Info.Name,
			Kind:    string(s.Info.Kind),
			Dialect: s.Dialect,
			Assumed: s.Assumed,
			Checked: s.Checked,
		},
		Problem: s.Problem,
		Ask:     ask,
		At:      s.At,
	}
}

// virtualPan shows and moves the virtual scale's coins for the page.
type virtualPan struct{ scale *virtualscale.Scale }

func (v virtualPan) Show() httpapi.Bench {
	s := v.scale.State()
	b := httpapi.Bench{PluggedIn: s.PluggedIn, Pan: []httpapi.PanCoin{}, Tray: []httpapi.TrayCoin{}}
	for _, c := range s.Pan {
		// Tenths of a milligram, free of what binary subtraction leaves behind.
		g := mass.Grams(math.Round(float64(c.Grams)*1e4) / 1e4)
		b.Pan = append(b.Pan, httpapi.PanCoin{ID: c.ID, Name: c.Name, Grams: g})
	}
	for _, c := range s.Tray {
		b.Tray = append(b.Tray, httpapi.TrayCoin{ID: c.ID, Name: c.Name, Note: c.Note})
	}
	if s.Script != nil {
		step := httpapi.ScriptStep(*s.Script)
		b.Script = &step
	}
	return b
}

func (v virtualPan) Do(move, coin string) error {
	return v.scale.Perform(virtualscale.Step{Do: virtualscale.Action(move), Coin: coin})
}
