// Package scale puts the parts of a scale together: where it hangs and how it is
// read, what a person sets of that by hand, what was learnt of it earlier, its
// checks with weights, and the practice scale. It is an assembly: it may use
// adapters, and package main uses it.
package scale

import (
	"context"
	"log/slog"

	"panside/server/cameraport"
	"panside/server/livehub"
	"panside/server/replay"
	"panside/server/scaleapi"
	"panside/server/scalefeed"
)

// Scale is what the server needs of one.
type Scale struct {
	// Run publishes every state until ctx ends.
	Run func(ctx context.Context, publish func(livehub.State))
	// Practice is nil unless the coins are moved from the page.
	Practice scaleapi.PracticeScale
	// StandIn reports whether the virtual scale was taken for want of a real one.
	StandIn bool
	// Manual lets a person set how it is found and read; nil where that can't be.
	Manual *Manual
	// Checks are those that the weights are corrected by; nil where there are no
	// readings.
	Checks *Checks

	// Camera hears the phones that read a display; nil where there are no readings.
	Camera *Camera

	feed *scalefeed.Feed // nil where there are no readings
}

// Options say how a scale is opened.
type Options struct {
	// Folder is the data folder, which keeps the port that was found, what was set
	// by hand, and the units of each scale; "" keeps nothing.
	Folder string
	// Practice takes the virtual scale if the settings name none and nothing is
	// plugged in.
	Practice bool
	// Replay is how Choose has a capture played; the server plays it once, as fast
	// as it was.
	Replay replay.Options
	// Camera is where phones say what they read off a display; without it that way isn't there.
	Camera *cameraport.Port
	Log    *slog.Logger
}

// Open makes the scale that settings mean, or the one that was set by hand if
// they leave open how it is read. It opens nothing but files. Errors as of
// Choose.
func Open(s Settings, o Options) (Scale, error) {
	m, c, err := find(s, o)
	if err != nil {
		return Scale{}, err
	}
	made := Flow(c.Source, scalefeed.Options{
		Decode: c.Decode, KeepAwake: c.KeepAwake, Resolution: c.Resolution, Answers: c.Answers, OnBytes: m.tail.Add, Log: o.Log,
	}, c.Start)
	m.feed, made.Manual, made.StandIn = made.feed, m, c.StandIn
	made.Camera.port = m.camera
	if c.Virtual != nil {
		made.Practice = practiceScale{c.Virtual}
	}
	return made, nil
}

// Flow lets a source flow. start is called first, with a context that ends once the scale was
// let go: a scale that ended before would look like one that broke off.
func Flow(src scalefeed.Source, opts scalefeed.Options, start func(context.Context)) Scale {
	checks := &Checks{}
	opts.Check = checks.heard
	feed := scalefeed.New(src, opts)
	camera := &Camera{feed: feed}
	return Scale{Checks: checks, Camera: camera, feed: feed, Run: func(ctx context.Context, publish func(livehub.State)) {
		beside, stop := context.WithCancel(context.WithoutCancel(ctx))
		defer stop()
		start(beside)
		camera.goesTo(publish)
		defer feed.Subscribe(func(s scalefeed.Snapshot) { camera.pass(s) })()
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
			Format:  s.Dialect,
			Assumed: s.Assumed,
			Checked: s.Checked,
		},
		Problem: s.Problem,
		Ask:     ask,
		At:      s.At,
	}
}
