package main

import (
	"context"
	"fmt"
	"io"
	"log/slog"
	"strconv"
	"time"

	"panside/internal/dialect"
	"panside/internal/fault"
	"panside/internal/mass"
	"panside/server/replay"
	"panside/server/scale"
	"panside/server/scalefeed"
)

// ListenCmd prints what the scale says, a line for each reading. A line that
// can't be read, and whatever is wrong with the port, is a line of its own with
// the status “error” and a sentence; while a scale is being looked for it is
// “looking”.
type ListenCmd struct {
	ScaleFlags
	JSON  bool          `help:"Print JSON objects: raw, value, unit, grams, resolution, status, dialect, problem."`
	For   time.Duration `placeholder:"TIME" help:"Stop after this time, such as 30s."`
	Count int           `placeholder:"N" help:"Stop after so many lines."`
	Speed float64       `default:"1" placeholder:"X" help:"Replay speed (default 1; 0 skips the pauses)."`
	Loop  bool          `help:"Begin a replay again at its end."`

	Record    string `placeholder:"FILE" help:"Write what the scale sends into a capture file, with its times, until Ctrl+C."`
	Overwrite bool   `help:"Let --record replace a file that is there already."`
}

// Help is shown under the command's flags.
func (ListenCmd) Help() string {
	return `Example: panside listen --scale virtual --for 20s --json

The exit code is 1 if any line was an error.`
}

// Validate refuses what can never work; the command line calls it.
func (c *ListenCmd) Validate() error {
	switch {
	case c.For < 0:
		return usageError("--for takes a time such as 30s")
	case c.Count < 0:
		return usageError("--count takes a number of lines")
	case !(c.Speed >= 0 && c.Speed <= 1000):
		return usageError("--speed takes a number from 0 to 1000")
	case c.Overwrite && c.Record == "":
		return usageError("--overwrite goes with --record")
	}
	return nil
}

// Run listens until the replay is over, the time or count is reached, or ctx
// ends. The exit code is 1 if any line was an error.
func (c *ListenCmd) Run(ctx context.Context, std *stdio) error {
	log := slog.New(slog.NewTextHandler(std.Err, &slog.HandlerOptions{Level: slog.LevelError}))
	chosen, err := scale.Choose(c.settings(), scale.Options{Practice: c.Practice, Replay: replay.Options{Speed: c.Speed, Loop: c.Loop}, Log: log})
	if err != nil {
		return usageOf(err)
	}
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	if c.For > 0 {
		ctx, stop = context.WithTimeout(ctx, c.For)
		defer stop()
	}
	p := printer{out: std.Out, json: c.JSON, most: c.Count, stop: stop}
	opts := scalefeed.Options{Decode: chosen.Decode, KeepAwake: c.KeepAwake, OnLine: p.line, Log: log}
	var rec *recording
	if c.Record != "" {
		if rec, err = newRecording(c.Record, c.Overwrite, chosen.Decode.Unit, std.Err); err != nil {
			return err
		}
		opts.OnBytes = func(b []byte) {
			if rec.add(b); rec.err != nil {
				stop()
			}
		}
	}
	feed := scalefeed.New(chosen.Source, opts)
	if rec != nil {
		feed.Subscribe(rec.learn)
	}
	chosen.Start(ctx)
	feed.Run(ctx)
	if rec != nil {
		if err := rec.close(); err != nil {
			return err
		}
	}
	switch {
	case p.err != nil:
		return p.err
	case p.bad:
		return exitCode(exitBad)
	}
	return nil
}

// printer prints readings and stops when it has had enough.
type printer struct {
	out  io.Writer
	json bool
	most int // lines to print; 0 is no limit
	stop func()

	printed int
	over    bool
	bad     bool // some line was an error
	err     error
}

func (p *printer) line(r mass.Reading) {
	if p.over {
		return
	}
	if r.Problem != nil && r.Problem.Code == fault.ReplayEnded {
		p.end()
		return
	}
	// While the format is being recognised nothing is wrong yet.
	if r.Status == mass.StatusError && r.Problem.Code != fault.Recognising {
		p.bad = true
	}
	text := dialect.ListenLine(r)
	if !p.json {
		text = plainLine(r)
	}
	if _, p.err = p.out.Write(text); p.err != nil {
		p.end()
		return
	}
	if p.printed++; p.printed == p.most {
		p.end()
	}
}

func (p *printer) end() {
	p.over = true
	p.stop()
}

// plainLine is a reading for the eye, in columns: the value with its unit, the
// status, the format; in place of the format the sentence of a problem.
func plainLine(r mass.Reading) []byte {
	value := "-"
	if r.HasValue {
		value = r.Quantity.String()
	}
	last := r.Dialect
	if r.Problem != nil {
		last = r.Problem.English()
		if r.Problem.Code == fault.AmbiguousUnit || r.Problem.Code == fault.UnknownUnit {
			last += " Here, --unit says it, as in --unit g."
		}
		if len(r.Raw) > 0 {
			last += " [" + strconv.QuoteToASCII(string(r.Raw)) + "]"
		}
	}
	return fmt.Appendf(nil, "%14s  %-7s  %s\n", value, r.Status, last)
}
