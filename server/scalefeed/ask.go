package scalefeed

import (
	"time"

	"panside/internal/dialect"
	"panside/internal/fault"
	"panside/internal/mass"
)

// Ask is what only the person can say of the scale, by looking at its display.
type Ask struct {
	What dialect.Ask
	// Digits are the newest number as the scale sent it, to be held against the
	// display. They are no weight.
	Digits string
	// Units are the answers worth a button, the likeliest first.
	Units []mass.Unit
}

// Answers are what the person said of a scale's units; "" is not said.
type Answers struct {
	Unit mass.Unit // of lines that carry none
	Gr   mass.Unit // what it means by "gr"
}

// decode is how the lines of a scale are read, with the person's answers where
// nothing else is fixed.
func (f *Feed) decode(info Info) dialect.Options {
	return answer(f.opts.Decode, f.opts.Answers, info.Name)
}

func answer(o dialect.Options, answers func(scale string) Answers, scale string) dialect.Options {
	if answers == nil {
		return o
	}
	a := answers(scale)
	if o.Unit == "" {
		o.Unit = a.Unit
	}
	if o.Gr == "" {
		o.Gr = a.Gr
	}
	return o
}

// Answered tells the feed that Options.Answers says something else now. It
// counts from the newest line on.
func (f *Feed) Answered() {
	select {
	case f.answered <- struct{}{}:
	default: // it will look anyway
	}
}

// asks is the question that the newest line leaves open.
func (s *session) asks() *Ask {
	d, ok := s.decoder.(*dialect.Decoder)
	if !ok {
		return nil
	}
	what, digits := d.NeedsUnit()
	if what == dialect.AskNothing {
		return nil
	}
	return &Ask{what, digits, what.Units()}
}

// readAgain reads the newest bytes with the person's answer, so that it counts
// at once. What was known of the load was in another unit, or in none.
func (s *session) readAgain() {
	if _, ok := s.decoder.(*dialect.Decoder); !ok {
		return
	}
	now := time.Now()
	decoder := dialect.NewDecoder(s.feed.decode(s.info))
	s.decoder = decoder
	readings := decoder.Feed(s.newest, s.lastByte)
	s.feed.restart(s.info)
	if len(readings) > 0 && now.Sub(s.lastByte) < StaleAfter {
		s.reading(readings[len(readings)-1], now)
	}
}

// wonder publishes a question with the digits beside it. There is no weight
// until it is answered.
func (f *Feed) wonder(info Info, problem *fault.Error, ask *Ask) {
	f.trouble(info, problem)
	now := f.Latest()
	if now.Ask != nil && now.Ask.What == ask.What && now.Ask.Digits == ask.Digits {
		return
	}
	now.Ask = ask
	f.publish(now)
}
