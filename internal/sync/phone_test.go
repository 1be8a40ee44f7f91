package sync_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"panside/internal/journal"
	"panside/internal/json"
	"panside/internal/sync"
	"panside/internal/sync/synctest"
)

// phone is a machine with its notebook and store, driven as the app drives it.
type phone struct {
	t      testing.TB
	seed   uint64
	book   *journal.Notebook
	m      *sync.Machine
	store  synctest.Phone
	laptop *synctest.Laptop
	now    int64

	shown sync.Shown
	until int64
	doing []sync.Doing
	steps int
	// at is asked before each step is done; false ends the app there.
	at func(sync.Step) bool
	// fails is asked before the store changes; true makes it fail.
	fails func(sync.Step) bool
	alone bool
	limit sync.Limits
}

func newPhone(t testing.TB, seed uint64, laptop *synctest.Laptop) *phone {
	p := &phone{t: t, seed: seed, laptop: laptop, now: 1_750_000_000_000, alone: true}
	p.store.Photos = map[string]synctest.Photo{}
	p.begin()
	return p
}

// begin starts the app anew, from what is stored.
func (p *phone) begin() {
	p.seed += 1000
	rng := rand.New(rand.NewPCG(p.seed, 5))
	random := func(b []byte) {
		for i := range b {
			b[i] = byte(rng.Uint32())
		}
	}
	p.book = journal.NewNotebook(random)
	p.m = sync.New(p.book, random, p.limit)
	p.reopen()
}

func (p *phone) reopen() {
	p.t.Helper()
	if err := p.book.Open(""); err != nil {
		p.t.Fatal(err)
	}
	for _, e := range p.store.Entries {
		if _, _, err := p.book.Add([]byte(e.Raw)); err != nil {
			p.t.Fatal(err)
		}
	}
}

// write keeps a find with a note and perhaps photos; its entry's id is returned.
func (p *phone) write(note string, photos ...[]byte) string {
	p.t.Helper()
	p.now++
	text, err := json.Marshal(note)
	if err != nil {
		p.t.Fatal(err)
	}
	_, entries, err := p.book.Write(p.now, journal.Change{Kind: journal.KindFind, Set: map[string]json.RawMessage{"note": text}})
	if err != nil {
		p.t.Fatal(err)
	}
	p.store.Put(journal.RowsOf(entries), false)
	for _, b := range photos {
		p.store.Photos[synctest.SumOf(b)] = synctest.Photo{Bytes: b, Type: "image/jpeg"}
	}
	return entries[0].ID.String()
}

// picture is a photo of so many bytes.
func picture(name byte, size int) []byte { return slices.Repeat([]byte{name}, size) }

// round has an occasion and does what the machine says until it waits, or the
// app ended.
func (p *phone) round() sync.Ended {
	p.t.Helper()
	p.m.Start()
	return p.go_()
}

// go_ does what the machine says until it waits, or the app ended.
func (p *phone) go_() sync.Ended {
	p.t.Helper()
	has := false // the round for itself
	for {
		step, body := p.m.Next(p.now)
		if step.Shown != nil {
			p.shown = *step.Shown
		}
		if n := len(p.doing); n == 0 || p.doing[n-1] != step.Doing {
			p.doing = append(p.doing, step.Doing)
		}
		if step.Do == sync.Alone && has {
			p.t.Error("the round is asked for that this page has already")
		}
		has = has || step.Do == sync.Alone
		if step.Do == sync.Wait {
			p.until = step.Until
			return p.shown.Ended
		}
		if p.steps++; p.steps > 50_000 {
			p.t.Fatal("it goes on for ever")
		}
		if p.at != nil && !p.at(step) {
			p.begin()
			return sync.Ended{}
		}
		p.m.Answer(p.now, p.reply(step, body))
	}
}

func (p *phone) reply(step sync.Step, body []byte) sync.Reply {
	reply := sync.Reply{Step: step.ID, Alone: p.alone}
	switch step.Do {
	case sync.Ask:
		if part := step.Ask.Part; part != nil && p.store.Photos[part.Photo].Bytes == nil {
			reply.Gone = true
			return reply
		}
		reply.Status, reply.Body = p.laptop.Serve(p.store.Request(step, body))
	case sync.Read:
		reply = p.store.Do(step)
	case sync.Store:
		if p.fails != nil && p.fails(step) {
			p.reopen()
			reply.Failed = &sync.Ended{Is: sync.NoStore, Trouble: "full"}
			return reply
		}
		reply = p.store.Do(step)
		if step.Store.Reopen {
			p.reopen()
		}
	}
	return reply
}

func notesOf(t testing.TB, l *synctest.Laptop) (notes []string) {
	t.Helper()
	for _, raw := range l.Entries {
		var e struct{ Value string }
		if err := json.Unmarshal(raw, &e); err != nil {
			t.Fatal(err)
		}
		notes = append(notes, e.Value)
	}
	return notes
}

func (p *phone) notes() (notes []string) {
	for _, e := range p.store.Entries {
		var v struct{ Value string }
		if json.Unmarshal([]byte(e.Raw), &v) == nil {
			notes = append(notes, v.Value)
		}
	}
	return notes
}

// unsentPhotos counts those that are only here.
func (p *phone) unsentPhotos() (n int) {
	for _, pic := range p.store.Photos {
		if !pic.Sent {
			n++
		}
	}
	return n
}

func (p *phone) allSent(why string) {
	p.t.Helper()
	if n, m := p.store.Unsent(), p.unsentPhotos(); n+m > 0 {
		p.t.Errorf("%s: %d entries and %d photos are only here", why, n, m)
	}
}

func same(t testing.TB, why string, got, want any) {
	t.Helper()
	if g, w := fmt.Sprint(got), fmt.Sprint(want); g != w {
		t.Errorf("%s: %s, want %s", why, g, w)
	}
}

func sorted(s []string) []string { return slices.Sorted(slices.Values(s)) }

func count(list []string, what string) (n int) {
	for _, s := range list {
		if s == what {
			n++
		}
	}
	return n
}
