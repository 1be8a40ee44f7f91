package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"

	"panside/internal/fault"
	"panside/internal/journal"
	"panside/server/durable"
	"panside/server/promised"
	"panside/server/sqlite"
)

const (
	// promisedFile holds what was acknowledged, apart from the records.
	promisedFile = "promised"
	// lackingFile lists what was acknowledged and isn't in the records any more.
	lackingFile = "lacking.json"
)

// besideFolder is a note outside the data folder of what is in it, for when the
// folder is emptied, lost, or put back as a whole from an older copy. It is
// brought up to date at the start, with every copy and at the end.
func besideFolder(dir string) string {
	return filepath.Join(filepath.Dir(dir), "."+filepath.Base(dir)+".promised")
}

// lack is a journal.Lack as it is kept.
type lack struct {
	journal.Lack
	Found   time.Time `json:"found"`
	GivenUp bool      `json:"given_up,omitempty"` // somebody said that it needn't be told again
}

func (l lack) same(m journal.Lack) bool {
	return l.Writer == m.Writer && l.To == m.To && l.Hash == m.Hash
}

func (l lack) end() journal.Head {
	return journal.Head{Writer: l.Writer, Seq: l.To, Hash: l.Hash}
}

// promises compares what the laptop has acknowledged with what it has.
type promises struct {
	dir  string
	db   *sqlite.DB
	log  *slog.Logger
	now  func() time.Time
	tell func(sentence string) // the sentence changed; empty when all is there

	mu       sync.Mutex
	book     *promised.Book
	lacks    []lack
	answered map[string]bool // devices that have brought what they have since
	told     string
	telling  sync.Mutex // sentences go out in order
}

// openPromises compares, notes what is missing, and begins the book anew with
// what is there.
func openPromises(ctx context.Context, dir string, db *sqlite.DB, now func() time.Time, log *slog.Logger) (*promises, error) {
	p := &promises{dir: dir, db: db, log: log, now: now, tell: func(string) {}, answered: map[string]bool{}}
	raw, err := os.ReadFile(filepath.Join(dir, lackingFile))
	if err == nil {
		err = json.Unmarshal(raw, &p.lacks)
	}
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		log.Warn("what is missing from the records since earlier is not known", "cause", err)
	}
	state, damaged, err := promised.Read(filepath.Join(dir, promisedFile))
	if err != nil {
		return nil, err
	}
	if damaged > 0 {
		log.Warn("some lines that say what was acknowledged are damaged; the others count", "lines", damaged)
	}
	beside, _, err := promised.Read(besideFolder(dir))
	if err != nil {
		log.Warn("the note beside the data folder can't be read", "cause", err)
	}
	for w, h := range beside.Heads {
		if h.Seq > state.Heads[w].Seq {
			state.Heads[w] = h
		}
	}
	if err := p.compare(ctx, state); err != nil {
		return nil, err
	}
	count, heads, err := db.Heads(ctx)
	if err != nil {
		return nil, err
	}
	if p.book, err = promised.Begin(filepath.Join(dir, promisedFile), count, heads); err != nil {
		return nil, err
	}
	p.noteBeside()
	db.Promise = p.keep
	return p, nil
}

// compare finds what of a state isn't in the records. What is missing is on the
// disk before anything else forgets it.
func (p *promises) compare(ctx context.Context, state promised.State) error {
	_, heads, err := p.db.Heads(ctx)
	if err != nil {
		return err
	}
	found, err := journal.Lacking(state.List(), heads, func(h journal.Head) (bool, error) { return p.db.Holds(ctx, h) })
	if err != nil {
		return err
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	for _, l := range found {
		if !slices.ContainsFunc(p.lacks, func(old lack) bool { return old.same(l) }) {
			p.lacks = append(p.lacks, lack{Lack: l, Found: p.now()})
			clear(p.answered)
			p.log.Error("entries that were acknowledged are missing from the records", "writer", l.Writer, "after", l.After, "to", l.To, "device", l.By,
				"from", time.UnixMilli(l.Since), "until", time.UnixMilli(l.Until))
		}
	}
	return p.settle(ctx, len(found) > 0)
}

// settle forgets what is back, and writes the list if it changed. p.mu is held.
func (p *promises) settle(ctx context.Context, changed bool) error {
	left := p.lacks[:0:0]
	for _, l := range p.lacks {
		back, err := p.db.Holds(ctx, l.end())
		if err != nil {
			return err
		}
		if back {
			p.log.Info("entries that were missing from the records are back", "writer", l.Writer, "after", l.After, "to", l.To)
			changed = true
			continue
		}
		left = append(left, l)
	}
	if !changed {
		return nil
	}
	if err := p.write(left); err != nil {
		return err
	}
	p.lacks = left
	return nil
}

func (p *promises) write(lacks []lack) error {
	file := filepath.Join(p.dir, lackingFile)
	if len(lacks) == 0 {
		if err := os.Remove(file); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
		return nil
	}
	raw, err := json.MarshalIndent(lacks, "", "  ")
	if err != nil {
		return err
	}
	return durable.WriteFile(file, append(raw, '\n'))
}

// keep is the last step before a batch is acknowledged.
func (p *promises) keep(count int64, heads []journal.Head) error {
	if err := p.book.Keep(count, heads); err != nil {
		return err
	}
	p.mu.Lock()
	missing := len(p.lacks) > 0
	p.mu.Unlock()
	if missing {
		p.look(context.Background())
	}
	return nil
}

// look finds out what is back and tells it.
func (p *promises) look(ctx context.Context) {
	p.mu.Lock()
	if err := p.settle(ctx, false); err != nil {
		p.log.Warn("whether missing entries are back is not known", "cause", err)
	}
	p.mu.Unlock()
	p.say(ctx)
}

// hasBrought notes that a device has pushed and pulled to the end.
func (p *promises) hasBrought(ctx context.Context, device string) {
	p.mu.Lock()
	news := len(p.lacks) > 0 && !p.answered[device]
	if news {
		p.answered[device] = true
	}
	p.mu.Unlock()
	if news {
		p.look(ctx)
	}
}

// say tells the sentence if it is another one than before.
func (p *promises) say(ctx context.Context) {
	p.telling.Lock()
	defer p.telling.Unlock()
	sentence := p.sentence(ctx)
	p.mu.Lock()
	news := sentence != p.told
	p.told = sentence
	p.mu.Unlock()
	if news {
		p.tell(sentence)
	}
}

// anyLacking tells whether something is missing that an old copy may have.
func (p *promises) anyLacking() bool {
	p.mu.Lock()
	defer p.mu.Unlock()
	return len(p.lacks) > 0
}

// words is the sentence told last.
func (p *promises) words() string {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.told
}

// sentence says what is missing, empty if nothing is.
func (p *promises) sentence(ctx context.Context) string {
	_, heads, err := p.db.Heads(ctx)
	if err != nil {
		p.log.Warn("what is missing from the records is not known", "cause", err)
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	return lackingWords(p.lacks, heads, len(p.answered))
}

// lackingWords puts what is missing into one sentence. What has come back of a
// stretch isn't counted any more.
func lackingWords(lacks []lack, heads []journal.Head, answered int) string {
	var count uint64
	var parts []string
	for _, l := range lacks {
		if l.GivenUp {
			continue
		}
		for _, h := range heads {
			if h.Writer == l.Writer && h.Seq < l.To {
				l.After = max(l.After, h.Seq)
			}
		}
		count += l.Count()
		parts = append(parts, l.words())
	}
	if count == 0 {
		return ""
	}
	const most = 4
	if more := len(parts) - most; more > 0 {
		parts = append(parts[:most], fmt.Sprintf("and %d more phones", more))
	}
	what := fmt.Sprintf("The laptop's records lack %s that it had confirmed: %s", counted(int(count), "entry", "entries"), strings.Join(parts, "; "))
	if answered == 0 {
		return what + " — a phone that still has them sends them again by itself once it connects."
	}
	return what + " — " + counted(answered, "phone has", "phones have") + " connected since and didn't have them; connect the others, or put back a copy."
}

func (l lack) words() string {
	who := l.By
	if who == "" {
		who = "a phone without a name"
	}
	which := fmt.Sprintf("numbers %d to %d", l.After+1, l.To)
	if l.Count() == 1 {
		which = fmt.Sprintf("number %d", l.To)
	}
	return fmt.Sprintf("%d of “%s” (%s of %s), confirmed %s", l.Count(), who, which, l.Writer, l.when())
}

// when says between which times the entries were confirmed.
func (l lack) when() string {
	const day, hour = "2 January 2006", "15:04"
	since, until := time.UnixMilli(l.Since), time.UnixMilli(l.Until)
	switch {
	case l.Since == 0 || since.After(until):
		return until.Format("until " + day + ", " + hour)
	case since.Format(day) == until.Format(day):
		return until.Format("on "+day) + " from " + since.Format(hour) + " to " + until.Format(hour)
	}
	return since.Format("from "+day+", "+hour) + " to " + until.Format(day+", "+hour)
}

// compareAgain is the daily look: the records are read whole, and held to what
// was acknowledged. It says in a sentence what is wrong with the file itself.
func (p *promises) compareAgain(ctx context.Context) error {
	if err := p.db.Check(ctx); err != nil {
		return err
	}
	if err := p.compare(ctx, p.book.State()); err != nil {
		return err
	}
	p.say(ctx)
	return nil
}

// noteBeside is a convenience: without the note only an emptied folder goes
// unseen.
func (p *promises) noteBeside() {
	if err := promised.Write(besideFolder(p.dir), p.book.State()); err != nil {
		p.log.Debug("the note beside the data folder can't be written", "cause", fault.Of(err).Cause)
	}
}

func (p *promises) close() error {
	p.noteBeside()
	return p.book.Close()
}
