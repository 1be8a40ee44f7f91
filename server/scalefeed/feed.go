// Package scalefeed keeps one scale flowing for as long as the program runs:
// it opens a source, decodes what arrives, follows the load, and publishes the
// newest state. Whatever goes wrong becomes a sentence in that state, never a
// number, and the feed goes on by itself when the scale is back.
package scalefeed

import (
	"context"
	"io"
	"log/slog"
	"maps"
	"slices"
	"sync"
	"time"

	"panside/internal/calibration"
	"panside/internal/dialect"
	"panside/internal/fault"
	"panside/internal/mass"
	"panside/internal/settle"
)

// Kind says what a source is.
type Kind string

// The kinds, as they go over the wire.
const (
	Virtual Kind = "virtual"
	Serial  Kind = "serial"
	TCP     Kind = "tcp"
	Replay  Kind = "replay"
	HID     Kind = "hid"
	Radio   Kind = "radio"  // Bluetooth's weight service
	Camera  Kind = "camera" // a phone reads the display
)

// Info describes the scale behind a source.
type Info struct {
	Name         string // what a person knows it by: a device, an address, a file
	Kind         Kind
	PortSettings string // as in "9600 8N1"; "" where there are none
}

// Source is one way to a scale.
type Source interface {
	// Open connects, waiting no longer than ctx; it limits its own waiting
	// besides. If the scale has another name by now, the source finds it. Info
	// counts even with an error. The error has a fault for the person.
	//
	// The stream's Read gives a fault when the connection is lost. A stream that
	// is a Decoder as well decodes its own bytes, one Read at a time; one with a
	// method Now() time.Time says itself when the last bytes arrived.
	Open(ctx context.Context) (io.ReadWriteCloser, Info, error)
}

// Decoder turns bytes into readings; *dialect.Decoder is the usual one.
type Decoder interface {
	Feed(p []byte, at time.Time) []mass.Reading
	Evidence() (name string, sure float64, lines int)
}

// Snapshot is the newest state.
type Snapshot struct {
	// Estimate has PhaseNone whenever Problem says that there is no weight.
	Estimate mass.Estimate
	// Reading is the newest reading that counts; a single broken line between
	// good ones doesn't replace it. Zero before the first and after a problem.
	Reading mass.Reading
	// At is when Reading arrived.
	At   time.Time
	Info Info
	// Dialect is the line format, "" while there is none; Sure how certain it
	// is, 0 to 1.
	Dialect string
	Sure    float64
	// Assumed reports whether the scale's own errors were not all measured with check
	// weights, for this load. Checked is when they were; zero if never.
	Assumed bool
	Checked time.Time
	Problem *fault.Error // nil while all is well
	// Ask is what the person must say before there is a weight; nil if nothing.
	// Problem says so in a sentence.
	Ask *Ask
}

// StaleAfter is the age from which a weight may not be used any more.
const StaleAfter = time.Second

// Options choose how a feed works. The zero value finds the format by itself
// and counts the scale as unproven.
type Options struct {
	Decode dialect.Options
	Scale  settle.Properties
	// Check, if set, gives the newest check of a scale, nil if there is none. Its
	// error is then taken out of every weight and its terms stand in u, instead of
	// Scale. It is called with every reading, on the feed's goroutine, and must
	// return soon.
	Check func(info Info, dialect string) *calibration.Result
	// Answers, if set, is what the person said of the units of a scale, by its
	// name. Decode comes first. It must return soon.
	Answers func(scale string) Answers
	// KeepAwake sends a read command every 45 s to scales of a format that take
	// it as use, so that they don't switch themselves off.
	KeepAwake bool
	// Resolution, if its value is set, is the scale's in that unit, as far as its
	// digits don't show a coarser one: some scales show more digits than they tell
	// apart.
	Resolution mass.Quantity
	// OnBytes gets what arrives, as it came, from scales that send lines. It is
	// called on the feed's goroutine and must return soon.
	OnBytes func([]byte)
	// OnLine gets every line, also the broken ones, and every new problem of the
	// connection as a reading of its own without bytes. It is called on the
	// feed's goroutine and must return soon.
	OnLine func(mass.Reading)
	Log    *slog.Logger
}

// Feed is a scale that flows. Make one with New and let it Run.
type Feed struct {
	src  Source
	opts Options
	log  *slog.Logger

	tracker *settle.Tracker
	name    string              // the scale the tracker belongs to
	format  string              // by which name its format is called
	base    uint64              // placements counted by earlier trackers
	away    bool                // the scale was, since the tracker's newest reading
	shift   time.Duration       // by which the tracker's time runs ahead; see track
	check   *calibration.Result // of the scale the tracker belongs to; nil if there is none

	turn     sync.Mutex // held while watchers are called, so that each sees every state in order
	mu       sync.Mutex
	now      Snapshot
	watchers map[int]func(Snapshot)
	nextID   int
	evidence Evidence
	change   *change
	leave    context.CancelFunc // ends what is under way; nil while nothing is
	answered chan struct{}
}

// Evidence is which format a scale seems to speak, how probable that is (0 to
// 1), and from how many lines that was learnt.
type Evidence struct {
	Dialect string
	Sure    float64
	Lines   int
}

// New returns a feed of a source.
func New(src Source, opts Options) *Feed {
	f := &Feed{src: src, opts: opts, log: opts.Log, watchers: map[int]func(Snapshot){}, answered: make(chan struct{}, 1)}
	if f.log == nil {
		f.log = slog.New(slog.DiscardHandler)
	}
	if f.opts.OnLine == nil {
		f.opts.OnLine = func(mass.Reading) {}
	}
	if f.opts.OnBytes == nil {
		f.opts.OnBytes = func([]byte) {}
	}
	f.hearSearch()
	f.now = Snapshot{Estimate: mass.Estimate{Phase: mass.PhaseNone}, Assumed: !opts.Scale.Measured}
	return f
}

func (f *Feed) hearSearch() {
	if s, ok := f.src.(interface {
		OnSearch(func(Info, *fault.Error))
	}); ok {
		s.OnSearch(f.search)
	}
}

// Latest is the newest state.
func (f *Feed) Latest() Snapshot {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.now
}

// Subscribe calls watch with every new state, in order, beginning with the
// present one, until cancel is called. watch delays the feed: it must return
// soon, and it must not call Subscribe.
func (f *Feed) Subscribe(watch func(Snapshot)) (cancel func()) {
	f.turn.Lock()
	defer f.turn.Unlock()
	f.mu.Lock()
	id := f.nextID
	f.nextID++
	f.watchers[id] = watch
	f.mu.Unlock()
	watch(f.Latest())
	return func() {
		f.mu.Lock()
		defer f.mu.Unlock()
		delete(f.watchers, id)
	}
}

// publish makes s the newest state and hands it on.
func (f *Feed) publish(s Snapshot) {
	f.turn.Lock()
	defer f.turn.Unlock()
	f.mu.Lock()
	f.now = s
	watchers := slices.Collect(maps.Values(f.watchers))
	f.mu.Unlock()
	for _, watch := range watchers {
		watch(s)
	}
}

// waits are the pauses between attempts to open; the last one goes on for
// ever. They begin again after a reading that counts.
var waits = []time.Duration{500 * time.Millisecond, time.Second, 2 * time.Second, 3 * time.Second}

// Run keeps the scale flowing until ctx ends.
func (f *Feed) Run(ctx context.Context) {
	for attempt := 0; ctx.Err() == nil; attempt++ {
		turn, cancel := context.WithCancel(ctx)
		if f.begin(cancel) {
			attempt = 0
		}
		if f.session(turn) {
			attempt = 0
		}
		pause(turn, waits[min(attempt, len(waits)-1)])
		cancel()
	}
}

func pause(ctx context.Context, d time.Duration) {
	t := time.NewTimer(d)
	defer t.Stop()
	select {
	case <-t.C:
	case <-ctx.Done():
	}
}

// session opens the source and lives with it until it is lost. flowed
// reports whether readings came.
func (f *Feed) session(ctx context.Context) (flowed bool) {
	stream, info, err := f.src.Open(ctx)
	if err != nil {
		if ctx.Err() == nil {
			f.broken(info, fault.Of(err))
		}
		return false
	}
	f.log.Info("scale opened", "name", info.Name, "kind", string(info.Kind), "settings", info.PortSettings)
	f.follow(info)
	s := newSession(f, stream, info)
	err = s.run(ctx)
	if ctx.Err() == nil {
		f.broken(info, fault.Of(err))
	}
	return s.flowed
}

// follow makes sure the tracker is that of the scale just opened.
func (f *Feed) follow(info Info) {
	if f.tracker != nil && f.name == info.Name {
		return
	}
	f.learnt(Evidence{})
	f.restart(info)
}

// restart forgets what was known of the load; placements go on being counted.
func (f *Feed) restart(info Info) {
	if f.tracker != nil {
		f.base += f.tracker.Estimate().Placement
	}
	f.tracker, f.name, f.format, f.check = settle.New(f.opts.Scale), info.Name, "", nil
}

// called is the name of the scale's format: the first among its kin, so that it
// stays while the lines of one scale fit one format and then another.
func (f *Feed) called(name string) string {
	if dialect.Kin(f.format) != dialect.Kin(name) {
		f.format = name
	}
	return f.format
}

// anythingMayHappen is more than the longest pause after which a tracker takes
// what lies on the pan for the same as before.
const anythingMayHappen = time.Minute

// track gives the tracker a reading. However soon a scale is back that was away,
// a coin may have been exchanged and the scale switched off and on, which sets
// its zero anew: so the tracker is shown a long pause.
func (f *Feed) track(r mass.Reading) {
	if f.away && r.HasValue {
		f.away = false
		f.shift += anythingMayHappen
	}
	r.At = r.At.Add(f.shift)
	f.tracker.Feed(r)
}

// consult looks for a newer check of the scale.
func (f *Feed) consult(info Info, dialect string) {
	if f.opts.Check == nil {
		return
	}
	check := f.opts.Check(info, dialect)
	switch {
	case check == f.check:
		return
	case check == nil:
		f.tracker.SetProperties(f.opts.Scale)
	default:
		f.tracker.SetProperties(settle.Properties{At: check.At})
	}
	f.check = check
}

// trust reports whether anything is assumed in the u of an estimate, and when the
// scale was checked.
func (f *Feed) trust(e mass.Estimate) (assumed bool, checked time.Time) {
	if f.check == nil {
		return !f.opts.Scale.Measured, time.Time{}
	}
	return f.check.Assumes(e), f.check.Taken
}

// estimate is the tracker's, corrected by the scale's check, with placements
// counted over all trackers.
func (f *Feed) estimate() mass.Estimate {
	e := mass.Estimate{Phase: mass.PhaseNone}
	if f.tracker != nil {
		e = f.tracker.Estimate()
	}
	if f.check != nil {
		e = f.check.Correct(e)
	}
	e.Placement += f.base
	return e
}

// broken reports a problem of the connection, which is a line of its own for
// those who listen to lines.
func (f *Feed) broken(info Info, problem *fault.Error) {
	f.away = true
	if f.trouble(info, problem) {
		status := mass.StatusError
		if problem.Code == fault.Recognising || problem.Code == fault.NoScale {
			status = mass.StatusLooking
		}
		f.opts.OnLine(mass.Reading{At: time.Now(), Status: status, Problem: problem})
	}
}

// search reports whether the source looks for a scale, unless the person is being
// told something better.
func (f *Feed) search(info Info, what *fault.Error) {
	if f.Latest().Problem == nil {
		f.broken(info, what)
	}
}

// trouble publishes a state without a weight: what was known of the load no
// longer counts. The same problem again is not news.
func (f *Feed) trouble(info Info, problem *fault.Error) (news bool) {
	now := f.Latest()
	if p := now.Problem; p != nil && p.Code == problem.Code && p.English() == problem.English() && now.Info == info {
		return false
	}
	f.log.Warn("no weight from the scale", "name", info.Name, "code", string(problem.Code), "cause", problem.Cause)
	e := f.estimate()
	f.publish(Snapshot{
		Estimate: mass.Estimate{Phase: mass.PhaseNone, Resolution: e.Resolution, Placement: e.Placement},
		Info:     info,
		Dialect:  now.Dialect,
		Sure:     now.Sure,
		Assumed:  now.Assumed,
		Checked:  now.Checked,
		Problem:  problem,
	})
	return true
}
