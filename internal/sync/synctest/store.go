// Package synctest is what stands around a sync machine in tests: a phone's
// store that does what steps say, a laptop that answers as the real one does,
// and what both that laptop and the real one are held to.
package synctest

import (
	"bytes"
	"maps"
	"slices"
	"strings"

	"panside/internal/journal"
	"panside/internal/sync"
)

// Phone is a phone's store: what its database holds. It changes as a whole or
// not at all, as a transaction does.
type Phone struct {
	Entries []Entry
	Receipt string
	Cursor  string
	Photos  map[string]Photo
	Used    float64 // of the storage, 0 to 1
	// Renewed counts how often entries were dropped, after which a snapshot of
	// the notebook is of no use.
	Renewed int
}

// Entry is a stored one.
type Entry struct {
	journal.Row
	Sent bool
}

// Photo is a stored one.
type Photo struct {
	Bytes   []byte
	Type    string
	Sent    bool
	SentAt  int64
	Refused string
}

// Clone is a copy that changes by itself.
func (p Phone) Clone() Phone {
	p.Entries, p.Photos = slices.Clone(p.Entries), maps.Clone(p.Photos)
	return p
}

// Unsent counts entries that aren't sent.
func (p *Phone) Unsent() (n int) {
	for _, e := range p.Entries {
		if !e.Sent {
			n++
		}
	}
	return n
}

// Put stores new entries.
func (p *Phone) Put(rows []journal.Row, sent bool) {
	for _, r := range rows {
		p.Entries = append(p.Entries, Entry{r, sent})
	}
}

// Do does a step that is for the store, Read or Store.
func (p *Phone) Do(s sync.Step) sync.Reply {
	r := sync.Reply{Step: s.ID}
	switch {
	case s.Read != nil:
		p.read(*s.Read, &r)
	case s.Store != nil:
		p.change(*s.Store)
	}
	return r
}

func (p *Phone) read(q sync.Query, r *sync.Reply) {
	switch q.What {
	case sync.Marks:
		r.Receipt, r.Cursor = p.Receipt, p.Cursor
	case sync.Entries:
		r.Receipt, r.Cursor = p.Receipt, p.Cursor
		var lines []string
		size := 0
		for _, e := range p.Entries {
			if e.Sent || slices.Contains(q.LeaveOut, e.ID.String()) {
				continue
			}
			if q.Limit > 0 && len(lines) == q.Limit || q.Bytes > 0 && size > q.Bytes {
				break
			}
			r.IDs, lines = append(r.IDs, e.ID.String()), append(lines, e.Raw)
			size += len(e.Raw)
		}
		r.Body = []byte(strings.Join(lines, "\n"))
	case sync.Unsent:
		r.Photos = p.photos(func(_ string, pic Photo) bool { return !pic.Sent && pic.Refused == "" })
	case sync.One:
		pic := p.Photos[q.Photos[0]]
		r.Bytes, r.Type = int64(len(pic.Bytes)), pic.Type
	case sync.Held:
		held := func(sent bool) []string {
			return p.photos(func(sum string, pic Photo) bool {
				return pic.Sent == sent && pic.Refused == "" && slices.Contains(q.Photos, sum)
			})
		}
		r.Photos, r.Waiting = held(true), held(false)
	case sync.Old:
		r.Photos = p.photos(func(_ string, pic Photo) bool { return pic.Sent && pic.SentAt <= q.Before })
		slices.SortStableFunc(r.Photos, func(a, b string) int { return int(p.Photos[a].SentAt - p.Photos[b].SentAt) })
	case sync.Room:
		r.Used = p.Used
	}
}

func (p *Phone) photos(wanted func(string, Photo) bool) (sums []string) {
	for _, sum := range slices.Sorted(maps.Keys(p.Photos)) {
		if wanted(sum, p.Photos[sum]) {
			sums = append(sums, sum)
		}
	}
	return sums
}

func (p *Phone) change(c sync.Change) {
	if c.Forget {
		p.Receipt, p.Cursor = "", ""
		for i := range p.Entries {
			p.Entries[i].Sent = false
		}
		for sum := range p.Photos {
			p.mark(sum, false, 0)
		}
	}
	if len(c.Drop) > 0 {
		p.Renewed++
		p.Entries = slices.DeleteFunc(p.Entries, func(e Entry) bool { return slices.Contains(c.Drop, e.ID) })
	}
	p.Put(c.Add, c.Added)
	sent := map[string]bool{}
	for _, id := range c.Sent {
		sent[id] = true
	}
	for i := range p.Entries {
		p.Entries[i].Sent = p.Entries[i].Sent || sent[p.Entries[i].ID.String()]
	}
	if c.Receipt != nil {
		p.Receipt = *c.Receipt
	}
	if c.Cursor != nil {
		p.Cursor = *c.Cursor
	}
	if ph := c.Photos; ph != nil {
		for _, sum := range ph.Unsent {
			p.mark(sum, false, 0)
		}
		for _, sum := range ph.Sent {
			p.mark(sum, true, ph.At)
		}
		if pic, ok := p.Photos[ph.Refused]; ok {
			pic.Refused = ph.Why
			p.Photos[ph.Refused] = pic
		}
		for _, sum := range ph.Free {
			delete(p.Photos, sum)
		}
	}
}

func (p *Phone) mark(sum string, sent bool, at int64) {
	if pic, ok := p.Photos[sum]; ok {
		pic.Sent, pic.SentAt = sent, at
		p.Photos[sum] = pic
	}
}

// Request is a whole one, as it goes over the line.
type Request struct {
	Method, Path string // with /api/v1
	Headers      map[string]string
	Body         []byte
}

// Request is that of a step, with its body or with the part of a photo.
func (p *Phone) Request(s sync.Step, body []byte) Request {
	q := Request{s.Ask.Method, s.Ask.Path, s.Ask.Headers, body}
	if part := s.Ask.Part; part != nil {
		q.Body = bytes.Clone(p.Photos[part.Photo].Bytes[part.From:part.To])
	}
	return q
}
