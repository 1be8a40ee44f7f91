package sqlite

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"encoding/json"
	"errors"
	"strconv"
	"strings"
	"time"

	"panside/internal/fault"
	"panside/internal/journal"
	"panside/internal/say"
)

// AddEntries puts a batch of entries into the journal, in its order, and
// returns when what it took is on the disk. The same batch again changes
// nothing. An entry that can't be taken is named in the receipt and the others
// are taken all the same.
func (db *DB) AddEntries(ctx context.Context, device string, at time.Time, batch journal.Batch) (journal.Receipt, error) {
	receipt, err := db.addEntries(ctx, device, at, batch)
	return receipt, explain(db.file, err)
}

func (db *DB) addEntries(ctx context.Context, device string, at time.Time, batch journal.Batch) (journal.Receipt, error) {
	tx, err := db.sql.BeginTx(ctx, nil)
	if err != nil {
		return journal.Receipt{}, err
	}
	defer tx.Rollback() // of no effect after a commit
	a, err := newAppender(ctx, tx, device, at)
	if err != nil {
		return journal.Receipt{}, err
	}
	_, ours, err := has(ctx, tx, batch.Receipt)
	if err != nil {
		return journal.Receipt{}, err
	}
	receipt := journal.Receipt{V: journal.WireVersion, Refused: []journal.Refusal{}, Restart: !ours}
	for i, raw := range batch.Entries {
		if err := db.probe("entry"); err != nil {
			return journal.Receipt{}, err
		}
		added, err := a.add(raw)
		var f *refused
		switch {
		case errors.As(err, &f):
			receipt.Refused = append(receipt.Refused, journal.Refusal{Index: i, ID: f.id, Code: f.why.Code, Sentence: f.why.English(), Why: f.why.Said(), Broken: f.broken})
		case err != nil:
			return journal.Receipt{}, err
		case added:
			receipt.Stored++
		default:
			receipt.Known++
		}
	}
	if err := a.flush(); err != nil {
		return journal.Receipt{}, err
	}
	if err := db.probe("commit"); err != nil {
		return journal.Receipt{}, err
	}
	if err := tx.Commit(); err != nil {
		return journal.Receipt{}, err
	}
	if err := db.probe("committed"); err != nil {
		return journal.Receipt{}, err
	}
	if err := db.promise(a); err != nil {
		return journal.Receipt{}, err
	}
	receipt.Cursor = a.last.String()
	return receipt, nil
}

// promise notes what is about to be acknowledged. Entries that were known count
// too: the try that brought them may have ended before they were noted.
func (db *DB) promise(a *appender) error {
	if err := db.Present(); err != nil {
		return err
	}
	if db.Promise == nil {
		return nil
	}
	var heads []journal.Head
	for name, w := range a.writers {
		if w.head > 0 {
			heads = append(heads, journal.Head{Writer: name, Seq: w.head, Hash: journal.Hash(hex.EncodeToString(w.hash[:])), At: a.arrived, By: a.by})
		}
	}
	return db.Promise(a.last.place, heads)
}

// refused is why an entry isn't taken.
type refused struct {
	id     string
	why    *fault.Error
	broken journal.Rule // of the wire form; "" if it is in order
}

func (r *refused) Error() string { return r.why.Error() }

func refuse(id string, code fault.Code, why say.Line) error {
	return &refused{id: id, why: fault.New(code, why)}
}

// appender writes entries within one transaction.
type appender struct {
	ctx     context.Context
	tx      *sql.Tx
	stmts   map[string]*sql.Stmt
	rows    []any // of entries that are not yet in the table, columns each
	device  string
	by      string // the device's name
	arrived int64
	last    cursor
	writers map[journal.Writer]*writer
	// clashed are entries of this batch that were refused as a fork.
	clashed map[journal.ID]bool
}

// writer is what is known of one, as it is after the entries added so far. id 0
// means that nothing of it is here.
type writer struct {
	id   int64
	head uint64
	hash [32]byte
}

func newAppender(ctx context.Context, tx *sql.Tx, device string, at time.Time) (*appender, error) {
	a := &appender{ctx: ctx, tx: tx, stmts: map[string]*sql.Stmt{}, device: device, arrived: at.UnixMilli(), writers: map[journal.Writer]*writer{}, clashed: map[journal.ID]bool{}}
	var err error
	if a.last, err = newest(ctx, tx); err != nil {
		return nil, err
	}
	err = tx.QueryRowContext(ctx, `SELECT name FROM devices WHERE id = ?`, device).Scan(&a.by)
	if err != nil && !errors.Is(err, sql.ErrNoRows) {
		return nil, err
	}
	return a, nil
}

// Entries go into the table many at once, since a statement costs about as much
// as the row it inserts.
const (
	columns  = 8
	together = 50

	insertOne = `INSERT INTO entries (place, writer, seq, entry, hash, trail, device, arrived) VALUES ` + oneRow
	oneRow    = `(?, ?, ?, ?, ?, ?, ?, ?)`
)

var insertTogether = insertOne + strings.Repeat(", "+oneRow, together-1)

// flush puts the waiting rows into the table.
func (a *appender) flush() error {
	rows := a.rows
	a.rows = a.rows[:0]
	if len(rows) == together*columns {
		return a.run(insertTogether, rows)
	}
	for ; len(rows) > 0; rows = rows[columns:] {
		if err := a.run(insertOne, rows[:columns]); err != nil {
			return err
		}
	}
	return nil
}

// run keeps a statement for as long as the transaction.
func (a *appender) run(text string, args []any) error {
	stmt := a.stmts[text]
	if stmt == nil {
		var err error
		if stmt, err = a.tx.PrepareContext(a.ctx, text); err != nil {
			return err
		}
		a.stmts[text] = stmt
	}
	_, err := stmt.ExecContext(a.ctx, args...)
	return err
}

// add puts one entry in; false if it was there. An error of type *refused
// concerns this entry only.
func (a *appender) add(raw []byte) (bool, error) {
	e, err := journal.ParseEntry(raw)
	if err != nil {
		unreadable := &refused{why: fault.New(fault.BadInput, say.New("records-entry-unreadable"))}
		if rule := new(journal.RuleError); errors.As(err, &rule) {
			unreadable.broken = rule.Rule
		}
		return false, unreadable
	}
	w, err := a.writer(e.ID.Writer)
	if err != nil {
		return false, err
	}
	sum := sha256.Sum256(raw)
	id := e.ID.String()
	switch {
	case e.ID.Seq <= w.head:
		known := w.hash
		if e.ID.Seq < w.head {
			if err := a.flush(); err != nil { // it may be of this batch
				return false, err
			}
			if known, err = a.hashOf(w.id, e.ID.Seq); err != nil {
				return false, err
			}
		}
		if known != sum {
			a.clashed[e.ID] = true
			return false, refuse(id, fault.Forked, say.New("records-forked"))
		}
		return false, nil
	case e.ID.Seq > w.head+1:
		return false, refuse(id, fault.Gap, say.New("records-earlier-missing"))
	case w.head > 0 && string(e.Prev) != hex.EncodeToString(w.hash[:]):
		return false, refuse(id, fault.Forked, say.New("records-forked"))
	}
	for _, r := range e.Replaces {
		o, err := a.writer(r.Writer)
		if err != nil {
			return false, err
		}
		// The one of that id here is another one, which this writer has not seen.
		if r.Seq > o.head || a.clashed[r] {
			return false, refuse(id, fault.Gap, say.New("records-other-missing"))
		}
	}
	return true, a.append(e, w, raw, sum)
}

func (a *appender) append(e journal.Entry, w *writer, raw []byte, sum [32]byte) error {
	if w.id == 0 {
		res, err := a.tx.ExecContext(a.ctx, `INSERT INTO writers (name) VALUES (?)`, string(e.ID.Writer))
		if err != nil {
			return err
		}
		if w.id, err = res.LastInsertId(); err != nil {
			return err
		}
	}
	next := a.last.next(sum)
	a.rows = append(a.rows, next.place, w.id, int64(e.ID.Seq), string(raw), sum[:], next.trail[:], a.device, a.arrived)
	a.last, w.head, w.hash = next, e.ID.Seq, sum
	if len(a.rows) == together*columns {
		return a.flush()
	}
	return nil
}

func (a *appender) writer(name journal.Writer) (*writer, error) {
	if w := a.writers[name]; w != nil {
		return w, nil
	}
	w := &writer{}
	var head sql.NullInt64
	var hash []byte
	err := a.tx.QueryRowContext(a.ctx, `
		SELECT w.id, e.seq, e.hash FROM writers w LEFT JOIN entries e ON e.writer = w.id
		WHERE w.name = ? ORDER BY e.seq DESC LIMIT 1`, string(name)).Scan(&w.id, &head, &hash)
	if err != nil && !errors.Is(err, sql.ErrNoRows) {
		return nil, err
	}
	w.head = uint64(head.Int64)
	copy(w.hash[:], hash)
	a.writers[name] = w
	return w, nil
}

func (a *appender) hashOf(writer int64, seq uint64) (sum [32]byte, err error) {
	var hash []byte
	err = a.tx.QueryRowContext(a.ctx, `SELECT hash FROM entries WHERE writer = ? AND seq = ?`, writer, int64(seq)).Scan(&hash)
	copy(sum[:], hash)
	return sum, err
}

// cursor is a place in the journal and what stands for all entries up to it.
// The zero value is the beginning.
type cursor struct {
	place int64
	trail [8]byte
}

func (c cursor) next(sum [32]byte) cursor {
	all := sha256.Sum256(append(c.trail[:], sum[:]...))
	return cursor{c.place + 1, [8]byte(all[:])}
}

// String is the cursor as phones keep it, PLACE.TRAIL, empty at the beginning.
func (c cursor) String() string {
	if c.place == 0 {
		return ""
	}
	return strconv.FormatInt(c.place, 10) + "." + hex.EncodeToString(c.trail[:])
}

func readCursor(s string) (c cursor, ok bool) {
	if s == "" {
		return c, true
	}
	place, trail, _ := strings.Cut(s, ".")
	raw, errT := hex.DecodeString(trail)
	n, errP := strconv.ParseInt(place, 10, 64)
	if errT != nil || errP != nil || len(raw) != len(c.trail) || n <= 0 {
		return c, false
	}
	return cursor{n, [8]byte(raw)}, true
}

type querier interface {
	QueryRowContext(ctx context.Context, query string, args ...any) *sql.Row
}

func newest(ctx context.Context, q querier) (c cursor, err error) {
	var trail []byte
	err = q.QueryRowContext(ctx, `SELECT place, trail FROM entries ORDER BY place DESC LIMIT 1`).Scan(&c.place, &trail)
	if errors.Is(err, sql.ErrNoRows) {
		return cursor{}, nil
	}
	copy(c.trail[:], trail)
	return c, err
}

// Newest is the cursor of the newest entry, empty if there is none.
func (db *DB) Newest(ctx context.Context) (string, error) {
	c, err := newest(ctx, db.sql)
	return c.String(), explain(db.file, err)
}

// EntriesAfter reads the entries behind a cursor, at most so many and about
// journal.MaxBytes. receipt is the cursor of the newest receipt the phone has.
// If either isn't of this journal, the page begins from the start and says so.
func (db *DB) EntriesAfter(ctx context.Context, after, receipt string, limit int) (journal.Page, error) {
	page, err := db.entriesAfter(ctx, after, receipt, limit)
	return page, explain(db.file, err)
}

func (db *DB) entriesAfter(ctx context.Context, after, receipt string, limit int) (journal.Page, error) {
	page := journal.Page{V: journal.WireVersion, Entries: []json.RawMessage{}}
	at, ours, err := has(ctx, db.sql, after)
	if err == nil && ours {
		_, ours, err = has(ctx, db.sql, receipt)
	}
	if err != nil {
		return page, err
	}
	if !ours {
		page.Restart, at = true, cursor{}
	}
	size := 0
	rows, err := db.sql.QueryContext(ctx, `SELECT place, entry, trail FROM entries WHERE place > ? ORDER BY place LIMIT ?`, at.place, limit+1)
	if err != nil {
		return page, err
	}
	defer rows.Close()
	for rows.Next() {
		var entry, trail sql.RawBytes
		var place int64
		if err := rows.Scan(&place, &entry, &trail); err != nil {
			return page, err
		}
		if len(page.Entries) == limit || size > 0 && size+len(entry) > journal.MaxBytes {
			page.More = true
			break
		}
		size += len(entry)
		page.Entries = append(page.Entries, append(json.RawMessage(nil), entry...))
		at.place = place
		copy(at.trail[:], trail)
	}
	page.Cursor = at.String()
	return page, rows.Err()
}

// has reports whether a cursor is of this journal.
func has(ctx context.Context, q querier, text string) (c cursor, ours bool, err error) {
	c, ok := readCursor(text)
	if !ok || c.place == 0 {
		return c, ok, nil
	}
	var trail []byte
	err = q.QueryRowContext(ctx, `SELECT trail FROM entries WHERE place = ?`, c.place).Scan(&trail)
	if errors.Is(err, sql.ErrNoRows) {
		return c, false, nil
	}
	return c, string(trail) == string(c.trail[:]), err
}

// checkEntries holds every entry to its hash and its trail, which SQLite's own
// check can't: to it, a letter that the disk changed is as good as another.
func (db *DB) checkEntries(ctx context.Context) (count int, last cursor, err error) {
	err = db.each(ctx, `SELECT place, entry, hash, trail FROM entries ORDER BY place`, func(scan func(...any) error) error {
		var place int64
		var entry, hash, trail sql.RawBytes
		if err := scan(&place, &entry, &hash, &trail); err != nil {
			return err
		}
		sum := sha256.Sum256(entry)
		next := last.next(sum)
		if place != next.place || string(hash) != string(sum[:]) || string(trail) != string(next.trail[:]) {
			return damaged(db.file, errors.New("entry "+strconv.FormatInt(place, 10)+" is not as it was written"))
		}
		last = next
		count++
		return nil
	})
	return count, last, err
}
