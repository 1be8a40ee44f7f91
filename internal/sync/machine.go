package sync

import (
	"strconv"

	"panside/internal/fault"
	"panside/internal/journal"
	"panside/internal/json"
	"panside/internal/say"
)

// Book is the notebook that reads what the laptop has; *journal.Notebook is one.
type Book interface {
	// Add takes in an entry; false if it was known. Error: journal.ErrFork, or
	// that it can't be read.
	Add(raw []byte) (journal.Entry, bool, error)
}

// Limits are smaller than the protocol's where a test wants many messages of
// little; 0 leaves one as it is.
type Limits struct {
	Batch int   // entries pushed at once
	Page  int   // entries pulled at once
	Part  int64 // bytes of a photo at once
}

// Machine is the sync of one page of a phone. Not safe for concurrent use.
type Machine struct {
	book   Book
	random func([]byte)
	limits Limits
	tongue func() *say.Tongue

	name  string // begins the ids of this machine's steps
	steps uint64
	step  *Step // that waits for its answer; nil between rounds
	body  []byte
	given int64 // when it was asked for last
	then  func(now int64, r *Reply)

	stopped  bool
	alone    bool   // this page has the round until the next Wait
	due      bool   // a round is to begin
	again    bool   // there was an occasion during this one
	until    int64  // when the next begins by itself; 0 for never
	failures int    // rounds in a row that failed
	waits    int    // rounds in a row after which photos weren't read back
	noticed  string // a cursor to be compared with the stored one
	seen     string // the last cursor that was news
	part     PartSize
	freed    int64 // when photos were last freed

	doing Doing
	shown Shown
	told  bool // shown is as the phone last heard
	round round
}

// New returns a machine that waits for its Start. random fills a slice with
// random bytes; nothing secret depends on them.
func New(book Book, random func([]byte), limits Limits) *Machine {
	m := &Machine{book: book, random: random, limits: limits, stopped: true, tongue: func() *say.Tongue { return say.English }}
	var b [6]byte
	random(b[:])
	for _, c := range b {
		m.name += strconv.FormatUint(uint64(c), 16)
	}
	m.name += "."
	m.part.Most = limits.Part
	m.doing.Is, m.shown.Ended.Is, m.shown.Wanted = "nothing", Never, []Wanted{}
	return m
}

// Speak tells which tongue the machine's own sentences are written in; English before.
func (m *Machine) Speak(tongue func() *say.Tongue) { m.tongue = tongue }

// Limit changes the limits, for the requests to come.
func (m *Machine) Limit(l Limits) { m.limits, m.part = l, PartSize{Most: l.Part} }

// Start lets rounds begin: the phone is joined, and its notebook is open.
func (m *Machine) Start() {
	m.stopped = false
	m.Wake()
}

// Stop lets none begin any more. One that is under way goes to its end.
func (m *Machine) Stop() { m.stopped, m.due, m.again, m.noticed, m.until = true, false, false, "", 0 }

// Wake says that there is an occasion: the page came to the front, the network
// came back, something was written.
func (m *Machine) Wake() {
	if m.stopped {
		return
	}
	m.failures = 0
	if m.step != nil {
		m.again = true
	} else {
		m.due = true
	}
}

// Notice says how far the laptop's journal has grown. That of this phone's own
// push is no news.
func (m *Machine) Notice(cursor string) {
	if m.stopped || cursor == "" || cursor == m.seen {
		return
	}
	if m.step != nil {
		m.again = true // the round may be past its pull; another one costs one request
		m.seen = cursor
		return
	}
	m.noticed = cursor
}

// Next gives the step that is to be done now, with a request's body beside it.
// Asked again before its answer, it gives the same one. now is in ms since 1970;
// it may jump.
func (m *Machine) Next(now int64) (Step, []byte) {
	if m.step == nil {
		m.begin(now)
	}
	s := Step{Do: Wait, Until: m.until}
	if m.step != nil {
		s, m.given = *m.step, now
	} else {
		m.alone = false
	}
	s.Doing = m.doing
	if !m.told {
		shown := m.shown
		s.Shown, m.told = &shown, true
	}
	return s, m.body
}

// Answer takes what came of a step. That of another step is passed over.
func (m *Machine) Answer(now int64, r Reply) {
	if m.step == nil || r.Step != m.step.ID {
		return
	}
	then := m.then
	m.step, m.body, m.then = nil, nil, nil
	if r.Failed != nil {
		m.fail(now, r.Failed)
		return
	}
	then(now, &r)
}

func (m *Machine) begin(now int64) {
	switch {
	case m.stopped:
	case m.noticed != "":
		m.look(&Query{What: Marks}, func(now int64, r *Reply) {
			if m.noticed != r.Cursor {
				m.seen = m.noticed
				m.failures, m.due = 0, true
			}
			m.due = m.due || m.again
			m.noticed, m.again = "", false
			m.begin(now)
		})
	// A clock that was put back would else make a short wait a long one.
	case m.due, m.until != 0 && (now >= m.until || m.until-now > 2*lastRetryMs):
		m.due, m.until = false, 0
		m.round = round{}
		if m.alone { // one right after the other
			m.beginPush(now)
			return
		}
		m.give(&Step{Do: Alone}, m.rounds)
	}
}

func (m *Machine) give(s *Step, then func(int64, *Reply)) {
	m.steps++
	s.ID = m.name + strconv.FormatUint(m.steps, 10)
	m.step, m.then = s, then
}

func (m *Machine) look(q *Query, then func(int64, *Reply)) { m.give(&Step{Do: Read, Read: q}, then) }

func (m *Machine) store(c *Change, then func(now int64)) {
	m.give(&Step{Do: Store, Store: c}, func(now int64, _ *Reply) { then(now) })
}

func (m *Machine) storePhotos(c *PhotoChange, then func(now int64)) {
	m.store(&Change{Photos: c}, then)
}

// ask sends a request; an answer of a status that isn't 2xx ends the round.
func (m *Machine) ask(q *Request, body []byte, then func(now int64, body []byte)) {
	m.askAny(q, body, func(now int64, r *Reply) {
		if refusal := refusalIn(r); refusal != nil {
			m.fail(now, refusal)
			return
		}
		then(now, r.Body)
	})
}

func (m *Machine) askAny(q *Request, body []byte, then func(int64, *Reply)) {
	q.Path = "/api/v1" + q.Path
	m.give(&Step{Do: Ask, Ask: q}, then)
	m.body = body
}

// refusalIn is how a round ends with such an answer; nil if it is a good one.
func refusalIn(r *Reply) *Ended {
	switch {
	case r.Status == 0:
		return &Ended{Is: Away}
	case r.Status >= 200 && r.Status < 300:
		return nil
	}
	// Not the laptop's own words, such as a router's page: nothing of it is shown.
	var said struct {
		Error struct{ Code, Sentence string }
	}
	if json.Unmarshal(r.Body, &said) != nil || said.Error.Code == "" {
		return &Ended{Is: Refused, Code: string(fault.Internal)}
	}
	return &Ended{Is: Refused, Code: said.Error.Code, Sentence: said.Error.Sentence}
}

var unreadable = fault.New(fault.BadInput, say.New("sync-answer-unreadable"))

func (m *Machine) refused(f *fault.Error) *Ended {
	return &Ended{Is: Refused, Code: string(f.Code), Sentence: f.In(m.tongue())}
}

// read reads an answer that carries the wire version; nil if it could.
func read(body []byte, into any) *fault.Error {
	var v struct{ V int }
	err := json.Unmarshal(body, &v)
	if err == nil && v.V != journal.WireVersion {
		return fault.New(fault.WireVersion, say.New("sync-laptop-of-another-version"))
	}
	if err == nil {
		err = json.Unmarshal(body, into)
	}
	if err != nil {
		return unreadable
	}
	return nil
}
