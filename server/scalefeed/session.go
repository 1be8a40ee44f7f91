package scalefeed

import (
	"context"
	"io"
	"slices"
	"time"

	"panside/internal/dialect"
	"panside/internal/fault"
	"panside/internal/mass"
	"panside/internal/say"
)

const (
	tick = 50 * time.Millisecond // how often silence and polls are looked at
	// silentAfter is how long nothing may arrive. Continuous scales send at
	// least a line or two a second.
	silentAfter = 3 * time.Second
	// brokenAfter is how long broken lines may go without a good one between
	// them before the person is told.
	brokenAfter = time.Second
	// confusedAfter is how long bytes may come without a reading that counts
	// before a finder looks again.
	confusedAfter = 10 * time.Second
	// restlessAfter is how long a scale may be silent before a finder that knows
	// other places looks there.
	restlessAfter = time.Minute
	// closePatience is how long a stream may take to close before it is left
	// to itself.
	closePatience = 2 * time.Second
	// newestBytes is how much of what came is kept, to be read again once the
	// person has said the unit: some twenty lines.
	newestBytes = 512
)

var (
	neverSpoke = fault.New(fault.ScaleSilent, say.New("scale-silent"))
	fellSilent = fault.New(fault.ScaleSilent, say.New("scale-stopped"))
	noLines    = fault.New(fault.NotAScale, say.New("port-no-lines"))
)

// chunk is what one read gave.
type chunk struct {
	data []byte
	at   time.Time
	err  error
}

// session is the life of one opened stream.
type session struct {
	feed    *Feed
	stream  io.ReadWriteCloser
	info    Info
	decoder Decoder
	poll    poller
	onBytes func([]byte)

	newest      []byte // the newest bytes as they came
	asking      bool   // the newest lines lack a unit that the person knows
	flowed      bool   // a reading that counts has come
	opened      time.Time
	lastByte    time.Time // or when it was opened
	lastReading time.Time // of any kind, or when it was opened
	lastGood    time.Time
}

func newSession(f *Feed, stream io.ReadWriteCloser, info Info) *session {
	now := time.Now()
	s := &session{feed: f, stream: stream, info: info, onBytes: f.opts.OnBytes, opened: now, lastByte: now, lastReading: now}
	if own, ok := stream.(Decoder); ok {
		s.decoder, s.onBytes = own, func([]byte) {}
	} else {
		s.decoder = dialect.NewDecoder(f.decode(info))
		s.poll = newPoller(f.opts, now)
		if known, ok := stream.(interface{ Command() []byte }); ok {
			s.poll.answered = known.Command()
		}
		if known, ok := stream.(interface{ Heard() []byte }); ok {
			s.newest = known.Heard()
			s.decoder.Feed(s.newest, now) // old weights: only their format counts
		}
	}
	return s
}

// run reads until the stream or ctx ends, and closes the stream.
func (s *session) run(ctx context.Context) error {
	done := make(chan struct{})
	chunks := make(chan chunk, 16)
	commands := make(chan []byte, 1)
	go pump(s.stream, chunks, done)
	go speak(s.stream, commands, done)
	defer s.close()
	defer close(done)
	ticker := time.NewTicker(tick)
	defer ticker.Stop()
	for {
		select {
		case <-ctx.Done():
			return ctx.Err()
		case c := <-chunks:
			if len(c.data) > 0 {
				s.take(c)
			}
			if c.err != nil {
				return lost(c.err)
			}
		case <-s.feed.answered:
			s.readAgain()
		case <-ticker.C:
			now := time.Now()
			s.listen(now)
			if s.elsewhere(now) {
				return s.feed.Latest().Problem
			}
			if command := s.poll.due(now, s.lastByte, s.decoder); command != nil {
				select {
				case commands <- command:
				default: // the port takes no more; the next one will do
				}
			}
		}
	}
}

// close gives the stream back, but doesn't wait for one that hangs.
func (s *session) close() {
	closed := make(chan struct{})
	go func() {
		if err := s.stream.Close(); err != nil {
			s.feed.log.Debug("closing the scale", "name", s.info.Name, "cause", err)
		}
		close(closed)
	}()
	t := time.NewTimer(closePatience)
	defer t.Stop()
	select {
	case <-closed:
	case <-t.C:
		s.feed.log.Warn("the scale’s port hangs and was abandoned", "name", s.info.Name)
	}
}

// pump reads in a goroutine of its own, because a read may hang for ever.
func pump(stream io.Reader, chunks chan<- chunk, done <-chan struct{}) {
	clock := time.Now
	if own, ok := stream.(interface{ Now() time.Time }); ok {
		clock = own.Now
	}
	for {
		buf := make([]byte, 512)
		n, err := stream.Read(buf)
		select {
		case chunks <- chunk{buf[:n], clock(), err}:
		case <-done:
			return
		}
		if err != nil {
			return
		}
	}
}

// speak writes commands in a goroutine of its own, because a write may hang.
// Errors are not looked at: a connection that is lost shows when reading.
func speak(stream io.Writer, commands <-chan []byte, done <-chan struct{}) {
	for {
		select {
		case c := <-commands:
			_, _ = stream.Write(c)
		case <-done:
			return
		}
	}
}

// lost makes sure that the end of a stream has a sentence.
func lost(err error) error {
	if f := fault.Of(err); f.Code != fault.Internal {
		return f
	}
	return fault.Wrap(fault.PortLost, say.New("port-broke-off"), err)
}

// take decodes what arrived.
func (s *session) take(c chunk) {
	now := time.Now()
	s.lastByte = now
	s.onBytes(c.data)
	c.data = withoutAck(s.poll.answered, c.data)
	s.newest = append(s.newest, c.data...)
	s.newest = s.newest[max(0, len(s.newest)-newestBytes):]
	for _, r := range s.decoder.Feed(c.data, c.at) {
		s.lastReading = now
		switch {
		case refusal(r.Raw):
			s.poll.refused(append(slices.Clone(r.Raw), '\n'))
		case r.Status != mass.StatusError || r.Problem.Code == fault.Recognising || lacksUnit(r):
			s.poll.heard(now)
		}
		s.feed.opts.OnLine(r)
		s.reading(r, now)
	}
}

// reading takes one reading into the state.
func (s *session) reading(r mass.Reading, now time.Time) {
	name, sure, lines := s.decoder.Evidence()
	name = s.feed.called(name)
	s.feed.learnt(Evidence{name, sure, lines})
	s.feed.consult(s.info, name)
	r = s.feed.coarsened(r)
	s.feed.track(r)
	if ask := s.asks(); ask != nil && lacksUnit(r) {
		s.asking, s.lastGood = true, now
		s.feed.wonder(s.info, r.Problem, ask)
		return
	}
	if r.Status == mass.StatusError {
		if passing(r.Problem) && now.Sub(s.lastGood) <= brokenAfter {
			return
		}
		s.feed.trouble(s.info, r.Problem)
		return
	}
	if !s.flowed {
		s.flowed = true
		s.feed.log.Info("scale speaks", "name", s.info.Name, "format", name, "sure", sure)
	}
	s.lastGood, s.asking = now, false
	e := s.feed.estimate()
	assumed, checked := s.feed.trust(e)
	s.feed.publish(Snapshot{
		Estimate: e,
		Reading:  r,
		At:       r.At,
		Info:     s.info,
		Dialect:  name,
		Sure:     sure,
		Assumed:  assumed,
		Checked:  checked,
		Problem:  r.Problem, // overload and underload
	})
}

// passing reports whether a problem concerns one line only and not the scale.
func passing(p *fault.Error) bool {
	return p.Code == fault.Garbled || p.Code == fault.NotTheLoad
}

// listen notices what does not arrive.
func (s *session) listen(now time.Time) {
	switch {
	case now.Sub(s.lastByte) > silentAfter && (s.flowed || s.asking):
		s.feed.broken(s.info, fellSilent)
	case now.Sub(s.lastByte) > silentAfter:
		s.feed.broken(s.info, neverSpoke)
	case now.Sub(s.lastReading) > silentAfter:
		s.feed.broken(s.info, noLines)
	}
}

// elsewhere reports whether it is time to search again, on a stream that a search
// found.
func (s *session) elsewhere(now time.Time) bool {
	searched, ok := s.stream.(interface {
		Rivals() bool
		Newcomer() bool
	})
	switch {
	case !ok || s.feed.Latest().Problem == nil:
		return false
	case s.asking && now.Sub(s.lastByte) < silentAfter:
		return searched.Newcomer() // which may be the scale
	case now.Sub(s.lastByte) < silentAfter:
		return now.Sub(later(s.lastGood, s.opened)) > confusedAfter
	}
	return searched.Rivals() && now.Sub(s.lastByte) > restlessAfter
}
