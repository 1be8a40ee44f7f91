package simnight

import (
	"fmt"
	"maps"
	"slices"
	"strings"
)

// sync pushes, pulls and sends photos until the network or the app fails.
func (p *phone) sync() (whole bool) {
	return p.push() && p.pull() && p.answerWanted() && p.sendPhotos() && p.freePhotos()
}

func (p *phone) push() bool {
	p.t.Helper()
	refused := map[string]bool{}
	var forked []string
	for {
		var ids, raws []string
		most := 1 + p.rng.IntN(20)
		for _, e := range p.disk.entries {
			if !e.sent && !refused[e.ID] && len(ids) < most {
				ids, raws = append(ids, e.ID), append(raws, e.Raw)
			}
		}
		switch {
		case len(forked) > 0: // at once, since what comes after may name these
			p.renew(forked)
			refused, forked = map[string]bool{}, nil
			continue
		case len(ids) > 0:
		default:
			return true // perhaps with gaps: the pull tells what the laptop lost
		}
		status, body, ok := p.net.send(request{method: "POST", path: "/journal", body: []byte(`{"v":1,"receipt":"` + p.disk.receipt + `","entries":[` + strings.Join(raws, ",") + `]}`)})
		if !ok || status != 200 || p.mayCrash() {
			return false
		}
		var a struct {
			Stored, Forked []string
			Receipt        string
			Restart        bool
		}
		p.ask("journal-pushed", `{"sent":`+inJSON(ids)+"}\n"+string(body), &a)
		if a.Restart {
			p.restart()
		}
		p.mark(a.Stored)
		p.disk.receipt = a.Receipt
		if p.mayCrash() {
			return false
		}
		forked = append(forked, a.Forked...)
		for _, id := range ids {
			refused[id] = !slices.Contains(a.Stored, id)
		}
	}
}

func (p *phone) mark(ids []string) {
	for i := range p.disk.entries {
		if slices.Contains(ids, p.disk.entries[i].ID) {
			p.disk.entries[i].sent = true
		}
	}
}

// renew writes forked entries, and what hangs on them, again.
func (p *phone) renew(forked []string) {
	p.t.Helper()
	var unsent []stored
	for _, e := range p.disk.entries {
		if !e.sent {
			unsent = append(unsent, e)
		}
	}
	var r struct {
		Entries []stored
		Drop    []string
	}
	p.ask("journal-renew", `{"forked":`+inJSON(forked)+"}"+lines(unsent), &r)
	if p.mayCrash() {
		return
	}
	p.disk.entries = slices.DeleteFunc(p.disk.entries, func(e stored) bool { return slices.Contains(r.Drop, e.ID) })
	p.disk.entries = append(p.disk.entries, r.Entries...)
	p.disk.snapshot, p.disk.upto = "", 0
	p.screen.record = "" // its ids may be gone
	p.open()
	p.net.forks++
}

func (p *phone) pull() bool {
	p.t.Helper()
	for {
		status, body, ok := p.net.send(request{method: "GET", path: fmt.Sprintf("/journal?after=%s&receipt=%s&limit=%d", p.disk.cursor, p.disk.receipt, 1+p.rng.IntN(30))})
		if !ok || status != 200 {
			return false
		}
		var a struct {
			Entries       []stored
			Known, Forked []string
			Cursor        string
			More, Restart bool
			Unreadable    int
		}
		p.ask("journal-pulled", "{}\n"+string(body), &a)
		if a.Unreadable > 0 {
			p.t.Fatalf("%s: %d entries can't be read", p.name, a.Unreadable)
		}
		if len(a.Forked) > 0 {
			if a.Restart { // what it had of these may be gone there; a push tells
				p.restart()
			}
			p.open() // and push first, the next time
			return false
		}
		if p.rng.IntN(20) == 0 {
			p.crash() // before the page is stored
			return false
		}
		if a.Restart {
			p.restart()
		}
		for i := range a.Entries {
			a.Entries[i].sent = true
		}
		p.disk.entries = append(p.disk.entries, a.Entries...)
		p.mark(a.Known)
		p.disk.cursor = a.Cursor
		if p.mayCrash() {
			return false
		}
		if !a.More {
			return p.unsent() == 0 || p.push()
		}
	}
}

// restart is for a laptop that was put back from a backup.
func (p *phone) restart() {
	p.disk.cursor, p.disk.receipt = "", ""
	for i := range p.disk.entries {
		p.disk.entries[i].sent = false
	}
	for sum, pic := range p.disk.photos {
		pic.sent = false
		p.disk.photos[sum] = pic
	}
}

func (p *phone) unsent() (n int) {
	for _, e := range p.disk.entries {
		if !e.sent {
			n++
		}
	}
	return n
}

// missing asks which of some photos the laptop lacks, and which it has read back.
func (p *phone) missing(sums []string, readNow bool) (missing, verified []string, ok bool) {
	p.t.Helper()
	if len(sums) == 0 {
		return nil, nil, true
	}
	status, body, ok := p.net.send(request{method: "POST", path: "/photos/missing", body: []byte(fmt.Sprintf(`{"photos":%s,"read_now":%v}`, inJSON(sums), readNow))})
	if !ok || status != 200 {
		return nil, nil, false
	}
	var a struct{ Missing, Verified []string }
	decode(p.t, body, &a)
	return a.Missing, a.Verified, true
}

// held are the photos whose bytes are here, sent ones or others.
func (p *phone) held(sent bool) (sums []string) {
	for _, sum := range slices.Sorted(maps.Keys(p.disk.photos)) {
		if pic := p.disk.photos[sum]; pic.bytes != nil && pic.sent == sent {
			sums = append(sums, sum)
		}
	}
	return sums
}

// change changes what the phone knows of a photo.
func (p *phone) change(sum string, how func(*picture)) {
	pic := p.disk.photos[sum]
	how(&pic)
	p.disk.photos[sum] = pic
}

// sendPhotos sends what the laptop lacks. A photo counts as sent only once the
// laptop has read it back.
func (p *phone) sendPhotos() bool {
	p.t.Helper()
	unsent := p.held(false)
	missing, verified, ok := p.missing(unsent, false)
	if !ok {
		return false
	}
	for _, sum := range unsent {
		if slices.Contains(missing, sum) && !p.sendPhoto(sum) {
			return false
		}
		if slices.Contains(verified, sum) {
			p.change(sum, func(pic *picture) { pic.sent = true })
		}
		if p.mayCrash() {
			return false
		}
	}
	return true
}

func (p *phone) sendPhoto(sum string) bool {
	p.t.Helper()
	whole := p.disk.photos[sum].bytes
	for have := 0; ; {
		end := min(have+1+p.rng.IntN(300), len(whole))
		status, body, ok := p.net.send(request{"PUT", "/photos/" + sum, fmt.Sprintf("bytes %d-%d/%d", have, end-1, len(whole)), whole[have:end]})
		if !ok {
			return false
		}
		var a struct {
			Have     int
			Complete bool
			Error    struct{ Code string }
		}
		decode(p.t, body, &a)
		if status != 200 && a.Error.Code != "photo-torn" {
			return false
		}
		if have = a.Have; a.Complete {
			return true
		}
	}
}

// freePhotos gives photos away that the laptop reads back for it once more. When
// all is well it asks for all of them, so that none stays that the laptop lost.
func (p *phone) freePhotos() bool {
	p.t.Helper()
	if !p.net.good && p.rng.IntN(2) == 0 {
		return true
	}
	for some := range slices.Chunk(p.held(true), 20) {
		missing, verified, ok := p.missing(some, true)
		if !ok {
			return false
		}
		for _, sum := range some {
			p.change(sum, func(pic *picture) {
				pic.sent = !slices.Contains(missing, sum)
				if slices.Contains(verified, sum) {
					pic.bytes = nil
				}
			})
		}
	}
	return true
}
