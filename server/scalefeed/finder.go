package scalefeed

import (
	"context"
	"errors"
	"io"
	"log/slog"
	"slices"
	"sync"
	"time"

	"panside/internal/dialect"
	"panside/internal/fault"
	"panside/internal/say"
)

// A silent port is left alone for askAgain before it is sent commands again, and
// each time for as much longer, up to askSeldom.
const (
	askAgain  = time.Minute
	askSeldom = 5 * time.Minute
)

// Candidate is a place where a scale could be.
type Candidate struct {
	Info Info
	// Certain reports whether the device says of itself that it is a scale.
	Certain bool
	// Open opens it under line settings, which don't matter where there are
	// none. A stream with a method Set(dialect.Settings) error can be changed to
	// others without opening it again.
	Open func(context.Context, dialect.Settings) (io.ReadWriteCloser, error)
}

// Remembered is the scale that was used last.
type Remembered struct {
	Name         string
	Kind         Kind
	PortSettings dialect.Settings
	Format       string
}

// Memory keeps the scale that was used last.
type Memory interface {
	// Recall returns it; ok is false if there is none.
	Recall() (r Remembered, ok bool)
	Remember(Remembered) error
}

// Finder is a source that looks for a scale by itself: it listens at every
// candidate under the usual line settings, then asks the silent ones with
// harmless read commands, and takes the first that speaks like a scale over
// several lines. The scale used last comes first, and is waited for if it is
// there but silent, because it may be asleep. A candidate that appears during
// the search is looked at before it goes on.
type Finder struct {
	Candidates func() []Candidate
	Memory     Memory // may be nil
	Decode     dialect.Options
	// Answers, if set, is what the person said of the units of a scale, by name.
	Answers func(scale string) Answers
	// PortSettings, if set, are the only ones that are tried.
	PortSettings dialect.Settings
	// Insist reports whether the person named the one candidate: a silent one is
	// waited for.
	Insist bool
	Log    *slog.Logger

	searching func(Info, *fault.Error)
	asked     map[string]askedBefore

	mu     sync.Mutex
	looked map[string]Look
}

type askedBefore struct {
	at    time.Time // when that ended
	times int
}

// OnSearch sets whom to tell when a search takes longer; the feed calls it.
func (f *Finder) OnSearch(tell func(Info, *fault.Error)) { f.searching = tell }

// searched is a candidate being looked at.
type searched struct {
	Candidate
	line       dialect.Settings // what it is open under
	tap        *tap
	remembered bool
	finding    finding
	err        error
}

func (s *searched) close() {
	if s.tap != nil {
		s.tap.Close()
	}
}

// found is the stream of a scale that was found.
type found struct {
	*tap
	rivals   bool
	command  []byte
	newcomer func() bool
	heard    []byte
}

// Command is the read command that the scale answers; nil if it speaks by
// itself, or isn't known to answer any.
func (f found) Command() []byte { return f.command }

// Rivals reports whether there were other candidates, so that it pays to look
// there when nothing comes.
func (f found) Rivals() bool { return f.rivals }

// Heard is what made the scale certain; what is read next follows on it.
func (f found) Heard() []byte { return f.heard }

// Newcomer reports whether a candidate has appeared since the search.
func (f found) Newcomer() bool { return f.newcomer() }

// decoding is a stream that decodes by itself.
type decoding struct {
	found
	Decoder
}

// Open searches. Errors: fault.NoScale; of a single candidate whatever stands
// in its way, such as fault.PortPermission or fault.NotAScale.
func (f *Finder) Open(ctx context.Context) (io.ReadWriteCloser, Info, error) {
	places, taken := f.searchAnew(ctx)
	if ctx.Err() != nil {
		if taken != nil {
			taken.close()
		}
		return nil, Info{}, ctx.Err()
	}
	if taken == nil {
		info, err := f.nothing(places)
		return nil, info, err
	}
	info := taken.Info
	if !taken.Certain {
		info.PortSettings = taken.line.String()
	}
	if taken.finding.scale {
		f.remember(taken)
	}
	stream := found{taken.tap, len(places) > 1, taken.finding.command, f.newcomer(places), taken.finding.fed}
	if own, ok := taken.tap.stream.(Decoder); ok {
		return decoding{stream, own}, info, nil
	}
	return stream, info, nil
}

// searchAnew searches, and begins again when another candidate appears
// meanwhile: it is listened to before the rest is gone on with. Only the place
// that was taken is left open.
func (f *Finder) searchAnew(ctx context.Context) (places []*searched, taken *searched) {
	known := map[string]bool{} // each name begins the search again at most once
	for {
		places = f.toSearch()
		for _, s := range places {
			known[s.Info.Name] = true
		}
		inner, stop := f.untilPlugged(ctx, known)
		taken = f.search(inner, places)
		cut := taken != nil && inner.Err() != nil && ctx.Err() == nil && !taken.finding.done()
		stop()
		if cut {
			taken = nil
		}
		for _, s := range places {
			if s != taken {
				s.close()
			}
		}
		if !cut {
			return places, taken
		}
	}
}

// toSearch are the candidates in the order in which they are tried.
func (f *Finder) toSearch() []*searched {
	last, known := Remembered{}, false
	if f.Memory != nil {
		last, known = f.Memory.Recall()
	}
	var places []*searched
	for _, c := range f.Candidates() {
		s := &searched{Candidate: c, line: dialect.Settings{Baud: speeds[0], Framing: listening[0].Framing}}
		switch {
		case f.PortSettings.Baud != 0:
			s.line = f.PortSettings
		case known && c.Info.Name == last.Name && c.Info.Kind == last.Kind:
			if last.PortSettings.Baud != 0 {
				s.line = last.PortSettings
			}
		}
		s.remembered = known && c.Info.Name == last.Name && c.Info.Kind == last.Kind
		places = append(places, s)
	}
	rank := func(s *searched) int {
		switch {
		case s.remembered:
			return 0
		case s.Certain:
			return 1
		}
		return 2
	}
	slices.SortStableFunc(places, func(a, b *searched) int { return rank(a) - rank(b) })
	return places
}

// search returns the place of a scale, open; nil if there is none.
func (f *Finder) search(ctx context.Context, places []*searched) *searched {
	for _, s := range places {
		if f.listenAt(ctx, s); s.finding.scale || ctx.Err() != nil {
			return s
		}
	}
	// One that needs a word of the person comes after those that don't.
	for _, s := range places {
		if s.finding.asks {
			return s
		}
	}
	for _, s := range places {
		if s.tap != nil && !s.finding.spoke && f.mayAsk(s) {
			f.askAt(ctx, s)
			f.asked[s.Info.Name] = askedBefore{time.Now(), f.asked[s.Info.Name].times + 1}
			if s.finding.done() || ctx.Err() != nil {
				return s
			}
		}
	}
	for _, s := range places {
		if s.tap != nil && s.err == nil && !s.finding.spoke && (s.remembered || f.Insist) {
			if s.tap.set(s.line) == nil {
				return s // asleep, perhaps
			}
		}
	}
	return nil
}

// listenAt opens a place and listens to it.
func (f *Finder) listenAt(ctx context.Context, s *searched) {
	stream, err := s.Open(ctx, s.line)
	if err != nil {
		s.err = err
		f.note(s, NotOpened)
		return
	}
	s.tap = newTap(stream)
	if s.Certain {
		s.finding = finding{scale: true}
		f.note(s, IsScale)
		return
	}
	p := f.probe(ctx, s)
	f.result(s)(p.listen(f.lines(s, listening)))
}

// probe looks at a place; when that takes longer the person is told.
func (f *Finder) probe(ctx context.Context, s *searched) *probe {
	return &probe{tap: s.tap, opts: answer(f.Decode, f.Answers, s.Info.Name), stop: ctx.Done(), slow: func() {
		if f.searching != nil {
			f.searching(Info{Name: s.Info.Name, Kind: s.Info.Kind}, lookingFor)
		}
	}}
}

// askAt sends commands at a silent place. If it begins to speak by itself
// meanwhile, it is listened to once more.
func (f *Finder) askAt(ctx context.Context, s *searched) {
	p := f.probe(ctx, s)
	lines := usual
	if f.asked[s.Info.Name].times > 0 || f.PortSettings.Baud != 0 {
		lines, p.thorough = asking, true
	}
	f.result(s)(p.ask(f.lines(s, lines)))
	if s.finding.unasked && s.err == nil && ctx.Err() == nil {
		lines := f.lines(s, listening)
		if s.err = p.tap.set(lines[0]); s.err == nil {
			f.result(s)(p.listen(lines))
		}
	}
}

// result takes what a probe says of a place.
func (f *Finder) result(s *searched) func(finding, error) {
	return func(got finding, err error) {
		s.finding, s.err = got, err
		what := IsSilent
		switch {
		case err != nil:
			what = NotOpened
		case got.done():
			what, s.line = IsScale, got.line
		case got.spoke:
			what = Speaks
		}
		f.note(s, what)
	}
}

func (f *Finder) note(s *searched, what Outcome) {
	f.saw(s, what)
	if f.Log != nil {
		f.Log.Debug("looking for a scale", "name", s.Info.Name, "result", string(what), "line", s.line.String(), "format", s.finding.dialect, "cause", s.err)
	}
}

// lines are the settings to try at a place, its own first.
func (f *Finder) lines(s *searched, all []dialect.Settings) []dialect.Settings {
	if f.PortSettings.Baud != 0 {
		return []dialect.Settings{f.PortSettings}
	}
	return unique(append([]dialect.Settings{s.line}, all...))
}

// mayAsk reports whether a place may be sent commands now.
func (f *Finder) mayAsk(s *searched) bool {
	if f.asked == nil {
		f.asked = map[string]askedBefore{}
	}
	before, known := f.asked[s.Info.Name]
	return !known || time.Since(before.at) >= min(askAgain*time.Duration(before.times), askSeldom)
}

// newcomer looks once a second and reports whether a candidate is there that is
// not among the places.
func (f *Finder) newcomer(places []*searched) func() bool {
	known := map[string]bool{}
	for _, s := range places {
		known[s.Info.Name] = true
	}
	looked := time.Now()
	return func() bool {
		if time.Since(looked) < time.Second {
			return false
		}
		looked = time.Now()
		return slices.ContainsFunc(f.Candidates(), func(c Candidate) bool { return !known[c.Info.Name] })
	}
}

func (f *Finder) remember(s *searched) {
	if f.Memory == nil {
		return
	}
	r := Remembered{Name: s.Info.Name, Kind: s.Info.Kind, PortSettings: s.line, Format: s.finding.dialect}
	if last, known := f.Memory.Recall(); known && last == r {
		return
	}
	// It will be looked for next time; that is all there is to lose.
	if err := f.Memory.Remember(r); err != nil && f.Log != nil {
		f.Log.Warn("the scale can’t be remembered", "cause", err)
	}
}

var (
	lookingFor = fault.New(fault.Recognising, say.New("port-looking"))
	noPorts    = fault.New(fault.NoScale, say.New("port-none"))
	notHere    = fault.New(fault.NotAScale, say.New("port-speaks-otherwise"))
)

// nothing says why no scale was found.
func (f *Finder) nothing(places []*searched) (Info, error) {
	if len(places) == 0 {
		return Info{}, noPorts
	}
	if len(places) == 1 && places[0].err != nil {
		return places[0].Info, places[0].err
	}
	if f.Insist {
		return places[0].Info, notHere
	}
	// What the person can mend comes first.
	for _, code := range []fault.Code{fault.PortPermission, fault.PortBusy} {
		for _, s := range places {
			if s.err != nil && fault.Of(s.err).Code == code {
				return s.Info, s.err
			}
		}
	}
	var causes []error
	for _, s := range places {
		causes = append(causes, s.err)
	}
	return Info{}, fault.Wrap(fault.NoScale, say.New("port-none-answers", say.Count("ports", len(places))), errors.Join(causes...))
}
