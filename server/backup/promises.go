package backup

import (
	"context"
	"encoding/json"
	"errors"
	"io/fs"
	"log/slog"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"sync"
	"time"

	"panside/internal/fault"
	"panside/internal/journal"
	"panside/internal/say"
	"panside/server/durable"
	"panside/server/promised"
	"panside/server/spoken"
	"panside/server/sqlite"
)

const (
	// PromisedFile holds what was acknowledged, apart from the records.
	PromisedFile = "promised"
	// LackingFile lists what was acknowledged and isn't in the records any more.
	LackingFile = "lacking.json"
)

// NoteFile is a note outside the data folder of what is in it, for when the
// folder is emptied, lost, or put back as a whole from an older copy. It is
// brought up to date at the start, with every copy and at the end.
func NoteFile(dir string) string {
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

// Promises compares what the laptop has acknowledged with what it has.
type Promises struct {
	dir string
	db  *sqlite.DB
	log *slog.Logger
	now func() time.Time
	// Tell, set before Say, is told what is missing whenever that changes; a line that
	// says nothing when all is there.
	Tell func(what say.Line)

	mu       sync.Mutex
	book     *promised.Book
	lacks    []lack
	answered map[string]bool // devices that have brought what they have since
	told     say.Line
	telling  sync.Mutex // lines go out in order
}

// OpenPromises compares, notes what is missing, and begins the book anew with
// what is there.
func OpenPromises(ctx context.Context, dir string, db *sqlite.DB, now func() time.Time, log *slog.Logger) (*Promises, error) {
	p := &Promises{dir: dir, db: db, log: log, now: now, Tell: func(say.Line) {}, answered: map[string]bool{}}
	raw, err := os.ReadFile(filepath.Join(dir, LackingFile))
	if err == nil {
		err = json.Unmarshal(raw, &p.lacks)
	}
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		log.Warn("what is missing from the records since earlier is not known", "cause", err)
	}
	state, damaged, err := promised.Read(filepath.Join(dir, PromisedFile))
	if err != nil {
		return nil, err
	}
	if damaged > 0 {
		log.Warn("some lines that say what was acknowledged are damaged; the others count", "lines", damaged)
	}
	beside, _, err := promised.Read(NoteFile(dir))
	if err != nil {
		log.Warn("the note beside the data folder can’t be read", "cause", err)
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
	if p.book, err = promised.Begin(filepath.Join(dir, PromisedFile), count, heads); err != nil {
		return nil, err
	}
	p.NoteBeside()
	db.Promise = p.keep
	return p, nil
}

// compare finds what of a state isn't in the records. What is missing is on the
// disk before anything else forgets it.
func (p *Promises) compare(ctx context.Context, state promised.State) error {
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
func (p *Promises) settle(ctx context.Context, changed bool) error {
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

func (p *Promises) write(lacks []lack) error {
	file := filepath.Join(p.dir, LackingFile)
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
func (p *Promises) keep(count int64, heads []journal.Head) error {
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
func (p *Promises) look(ctx context.Context) {
	p.mu.Lock()
	if err := p.settle(ctx, false); err != nil {
		p.log.Warn("whether missing entries are back is not known", "cause", err)
	}
	p.mu.Unlock()
	p.Say(ctx)
}

// HasBrought notes that a device has pushed and pulled to the end.
func (p *Promises) HasBrought(ctx context.Context, device string) {
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

// Say tells what is missing if it is something else than before.
func (p *Promises) Say(ctx context.Context) {
	p.telling.Lock()
	defer p.telling.Unlock()
	what := p.missing(ctx)
	p.mu.Lock()
	news := say.English.Write(what) != say.English.Write(p.told)
	p.told = what
	p.mu.Unlock()
	if news {
		p.Tell(what)
	}
}

// AnyLacking reports whether something is missing that an old copy may have.
func (p *Promises) AnyLacking() bool {
	p.mu.Lock()
	defer p.mu.Unlock()
	return len(p.lacks) > 0
}

// Missing is what was told last.
func (p *Promises) Missing() say.Line {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.told
}

// missing says what is missing, nothing if nothing is.
func (p *Promises) missing(ctx context.Context) say.Line {
	_, heads, err := p.db.Heads(ctx)
	if err != nil {
		p.log.Warn("what is missing from the records is not known", "cause", err)
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	return lackingLine(p.lacks, heads, len(p.answered))
}

// lackingLine puts what is missing into one sentence. What has come back of a
// stretch isn't counted any more.
func lackingLine(lacks []lack, heads []journal.Head, answered int) say.Line {
	var count uint64
	var parts []say.Arg
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
		parts = append(parts, say.Of("", l.line()))
	}
	if count == 0 {
		return say.Line{}
	}
	const most = 4
	if more := len(parts) - most; more > 0 {
		parts = append(parts[:most], say.Of("", say.New("lacking-more-phones", say.Count("phones", more))))
	}
	if answered == 0 {
		return say.New("lacking", say.Count("count", int(count)), say.List("which", say.Semicolon, parts...))
	}
	return say.New("lacking-still", say.Count("count", int(count)), say.List("which", say.Semicolon, parts...), say.Count("phones", answered))
}

func (l lack) line() say.Line {
	who := say.New("lacking-of-phone", say.Text("phone", l.By))
	if l.By == "" {
		who = say.New("lacking-of-nameless")
	}
	return say.New("lacking-entries", say.Count("count", int(l.Count())), say.Of("who", who), say.Figure("first", strconv.FormatUint(l.After+1, 10)),
		say.Figure("last", strconv.FormatUint(l.To, 10)), say.Text("writer", string(l.Writer)), say.Of("when", l.when()))
}

// when says between which times the entries were confirmed.
func (l lack) when() say.Line {
	const hour = "15:04"
	since, until := time.UnixMilli(l.Since), time.UnixMilli(l.Until)
	switch {
	case l.Since == 0 || since.After(until):
		return say.New("lacking-until", say.Of("day", spoken.Day(until)), say.Text("hour", until.Format(hour)))
	case since.Format(time.DateOnly) == until.Format(time.DateOnly):
		return say.New("lacking-within-day", say.Of("day", spoken.Day(until)), say.Text("since", since.Format(hour)), say.Text("until", until.Format(hour)))
	}
	return say.New("lacking-between", say.Of("since_day", spoken.Day(since)), say.Text("since", since.Format(hour)), say.Of("until_day", spoken.Day(until)), say.Text("until", until.Format(hour)))
}

// CompareAgain is the daily look: the records are read whole, and held to what
// was acknowledged. It says in a sentence what is wrong with the file itself.
func (p *Promises) CompareAgain(ctx context.Context) error {
	if err := p.db.Check(ctx); err != nil {
		return err
	}
	if err := p.compare(ctx, p.book.State()); err != nil {
		return err
	}
	p.Say(ctx)
	return nil
}

// NoteBeside is a convenience: without the note only an emptied folder goes
// unseen.
func (p *Promises) NoteBeside() {
	if err := promised.Write(NoteFile(p.dir), p.book.State()); err != nil {
		p.log.Debug("the note beside the data folder can’t be written", "cause", fault.Of(err).Cause)
	}
}

func (p *Promises) Close() error {
	p.NoteBeside()
	return p.book.Close()
}
