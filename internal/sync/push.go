package sync

import (
	"bytes"
	"strconv"

	"panside/internal/fault"
	"panside/internal/journal"
	"panside/internal/json"
	"panside/internal/say"
)

// renewals is how often a push writes forked entries again: each leads to new
// names, so that more than a few in a row are a fault of its own.
const renewals = 3

// push is what one push has seen so far.
type push struct {
	batch    []string        // ids of the entries under way
	taken    map[string]bool // what the laptop has taken of it, by id
	refused  []string        // what could not be placed: it waits for a pull, and for the person to know
	refusing map[string]bool // the same
	sentence string          // why
	forked   []journal.ID
	renewals int
}

func (p *push) left() bool { return len(p.refused) > 0 }

func (p *push) refuse(id, sentence string) {
	p.refused, p.refusing[id], p.sentence = append(p.refused, id), true, sentence
}

func (m *Machine) beginPush(now int64) {
	m.round.push = push{taken: map[string]bool{}, refusing: map[string]bool{}}
	m.nextBatch(now)
}

func (m *Machine) nextBatch(int64) {
	m.look(&Query{What: Entries, LeaveOut: m.round.push.refused, Limit: m.mostEntries(), Bytes: journal.MaxBytes}, m.batchRead)
}

func (m *Machine) mostEntries() int {
	if m.limits.Batch > 0 {
		return m.limits.Batch
	}
	return journal.MaxBatch
}

func (m *Machine) batchRead(now int64, r *Reply) {
	p := &m.round.push
	if len(r.IDs) == 0 {
		m.pushed(now)
		return
	}
	lines := bytes.Split(r.Body, []byte("\n"))
	if len(lines) != len(r.IDs) {
		m.fail(now, m.refused(damaged))
		return
	}
	p.batch = nil
	body := []byte(`{"v":` + strconv.Itoa(journal.WireVersion) + `,"receipt":`)
	body = append(body, inJSON(r.Receipt)...)
	body = append(body, `,"entries":[`...)
	size := 0
	for i, raw := range lines {
		id := r.IDs[i]
		if p.taken[id] || p.refusing[id] {
			// The store doesn't keep what is stored: this would go on for ever.
			m.fail(now, m.refused(unkept))
			return
		}
		if !json.Valid(raw) { // one of them would make the laptop refuse all
			p.refuse(id, damaged.In(m.tongue()))
			continue
		}
		if size += len(raw) + 1; len(p.batch) == m.mostEntries() || size > journal.MaxBytes {
			break
		}
		if len(p.batch) > 0 {
			body = append(body, ',')
		}
		body, p.batch = append(body, raw...), append(p.batch, id)
	}
	if len(p.batch) == 0 {
		m.nextBatch(now)
		return
	}
	m.doing = Doing{Is: "entries"}
	m.ask(&Request{Method: "POST", Path: "/journal"}, append(body, "]}"...), m.batchAnswered)
}

var (
	damaged = fault.New(fault.Damaged, say.New("phone-entry-unreadable"))
	unkept  = fault.New(fault.Internal, say.New("sync-heads-lost"))
)

func (m *Machine) batchAnswered(now int64, body []byte) {
	p := &m.round.push
	var a journal.Receipt
	f := read(body, &a)
	why := make([]*journal.Refusal, len(p.batch))
	said := 0 // about how many entries something is said, each counted once
	for i := range a.Refused {
		if at := a.Refused[i].Index; at >= 0 && at < len(why) && why[at] == nil {
			why[at] = &a.Refused[i]
			said++
		}
	}
	// What an answer neither takes nor refuses is not called sent, and would be
	// asked for ever.
	if f == nil && (said != len(a.Refused) || a.Stored+a.Known+said != len(p.batch)) {
		f = unreadable
	}
	if f != nil {
		m.fail(now, m.refused(f))
		return
	}
	if a.Restart {
		if !m.restarted(now) {
			return
		}
		p.taken, m.round.pull.restart = map[string]bool{}, true
	}
	change := &Change{Forget: a.Restart, Receipt: &a.Cursor}
	// What follows a fork can only be refused as a gap, and is written again with
	// it.
	forked := map[journal.Writer]bool{}
	for i, text := range p.batch {
		r := why[i]
		id, err := journal.ParseID(text)
		switch {
		case r == nil:
			p.taken[text] = true
			change.Sent = append(change.Sent, text)
		case err == nil && (r.Code == fault.Forked || r.Code == fault.Gap && forked[id.Writer]):
			forked[id.Writer] = true
			p.forked = append(p.forked, id)
		default:
			p.refuse(text, r.Sentence)
		}
	}
	m.store(change, func(now int64) {
		if len(p.forked) == 0 {
			m.nextBatch(now)
			return
		}
		// At once: what comes after may name these, and the laptop has others of
		// that name.
		if p.renewals++; p.renewals > renewals {
			m.pushed(now)
			return
		}
		m.look(&Query{What: Entries}, m.renew)
	})
}

// renew writes forked entries, and what hangs on them, again under other names.
func (m *Machine) renew(_ int64, r *Reply) {
	p := &m.round.push
	var unsent []journal.Entry
	for line := range bytes.Lines(r.Body) {
		// One that can't be read stays as it is.
		if e, err := journal.ParseEntry(bytes.TrimSuffix(line, []byte("\n"))); err == nil {
			unsent = append(unsent, e)
		}
	}
	entries, drop := journal.Renew(p.forked, unsent)
	p.forked = nil
	m.store(&Change{Drop: drop, Add: journal.RowsOf(entries), Reopen: true}, m.nextBatch)
}

func inJSON(v any) []byte {
	raw, err := json.Marshal(v)
	if err != nil {
		return []byte("null") // of texts and lists of texts, which always marshal
	}
	return raw
}
