package sync

import (
	"errors"
	"strconv"

	"panside/internal/journal"
)

// pull is what one pull has seen so far.
type pull struct {
	forked  bool            // a push has to follow, which ends in writing again
	restart bool            // a push has to follow: the laptop may have lost what was sent
	seen    map[string]bool // the cursors of its pages
}

func (m *Machine) beginPull(now int64) {
	m.round.pull = pull{seen: map[string]bool{}}
	m.nextPage(now)
}

func (m *Machine) nextPage(int64) { m.look(&Query{What: Marks}, m.askPage) }

func (m *Machine) askPage(_ int64, r *Reply) {
	q := "/journal?after=" + escape(r.Cursor) + "&receipt=" + escape(r.Receipt) + "&v=" + strconv.Itoa(journal.WireVersion)
	if m.limits.Page > 0 {
		q += "&limit=" + strconv.Itoa(m.limits.Page)
	}
	m.ask(&Request{Method: "GET", Path: q}, nil, m.pageAnswered)
}

func (m *Machine) pageAnswered(now int64, body []byte) {
	p := &m.round.pull
	var a journal.Page
	f := read(body, &a)
	if a.Restart {
		p.seen = map[string]bool{}
	}
	// More after nothing, or at a place where it was before, would go on for ever.
	if f == nil && a.More && (len(a.Entries) == 0 || p.seen[a.Cursor]) {
		f = unreadable
	}
	if f != nil {
		m.fail(now, m.refused(f))
		return
	}
	if a.Restart && !m.restarted(now) {
		return
	}
	p.restart = p.restart || a.Restart
	p.seen[a.Cursor] = true
	m.doing = Doing{Is: "entries"}

	change := &Change{Forget: a.Restart, Added: true, Cursor: &a.Cursor}
	unknown := 0
	for _, raw := range a.Entries {
		e, added, err := m.book.Add(raw)
		switch {
		case errors.Is(err, journal.ErrFork):
			p.forked = true
		case err != nil:
			unknown++
		case added:
			row := e.Row()
			row.Raw = string(raw)
			change.Add = append(change.Add, row)
		default:
			change.Sent = append(change.Sent, e.ID.String())
		}
	}
	if p.forked {
		// What this phone sent may be gone there: only a push tells which of it
		// has to be written again under another name.
		m.store(&Change{Forget: a.Restart, Reopen: true}, m.pulled)
		return
	}
	m.store(change, func(now int64) {
		m.counted(unknown, a.Restart)
		if a.More {
			m.nextPage(now)
			return
		}
		m.pulled(now)
	})
}

// counted adds entries that can't be read to those of earlier pages, which the
// laptop doesn't send again unless it begins anew.
func (m *Machine) counted(unknown int, anew bool) {
	n := m.shown.Unreadable + unknown
	if anew {
		n = unknown
	}
	if n != m.shown.Unreadable {
		m.shown.Unreadable, m.told = n, false
	}
}

// escape writes a text into a query (RFC 3986, section 2.1). net/url would be
// more for a phone to load than all of this package.
func escape(s string) string {
	const digits = "0123456789ABCDEF"
	var b []byte
	for i := range len(s) {
		switch c := s[i]; {
		case c >= '0' && c <= '9', c >= 'a' && c <= 'z', c >= 'A' && c <= 'Z', c == '.', c == '-', c == '_', c == '~':
			b = append(b, c)
		default:
			b = append(b, '%', digits[c>>4], digits[c&15])
		}
	}
	return string(b)
}
