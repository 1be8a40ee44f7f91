package syncsim

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/gofiber/fiber/v2"
	"github.com/valyala/fasthttp"

	"panside/internal/device"
	"panside/internal/fault"
	"panside/internal/journal"
	"panside/server/photocare"
	"panside/server/photostore"
	"panside/server/promised"
	"panside/server/sqlite"
	"panside/server/syncapi"
)

// laptop is the server's side: the real routes over the real database and photo
// store in a folder of its own, without sockets.
type laptop struct {
	t    testing.TB
	rng  *rand.Rand
	base string // for folders
	runs int

	dir    string
	db     *sqlite.DB
	photos *photostore.Store
	care   *photocare.Care
	handle fasthttp.RequestHandler
	now    int64 // by its own clock, in ns

	// dieIn counts the steps until the program is killed, 0 for never.
	dieIn   int
	died    bool
	backups []string // folders with copies of the records and the photos
	faults  faults

	book *promised.Book
	// acknowledged are the entries, by id, that this folder's records had at the
	// start or that were acknowledged since; nil for a folder without a past.
	acknowledged map[string]string
	lost         func() // told when entries went missing
	calm         bool   // no file is harmed any more
	steady       bool   // it isn't killed either
}

var errKilled = errors.New("killed")

// template is a folder with empty records and one device, made once.
func template(t testing.TB, dir string) {
	t.Helper()
	db, err := sqlite.Open(context.Background(), filepath.Join(dir, "panside.db"))
	if err != nil {
		t.Fatal(err)
	}
	if err := db.AddDevice(context.Background(), device.Device{ID: "D", Name: "phone", Role: device.Phone}, [32]byte{1}); err != nil {
		t.Fatal(err)
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
}

func (l *laptop) start(dir string) {
	l.t.Helper()
	var err error
	l.dir, l.dieIn, l.died = dir, 0, false
	if l.db, err = sqlite.Open(context.Background(), filepath.Join(dir, "panside.db")); err != nil {
		l.t.Fatal(err)
	}
	l.promise()
	if l.photos, err = photostore.Open(filepath.Join(dir, "photos"), time.Unix(0, 0)); err != nil {
		l.t.Fatal(err)
	}
	l.db.Probe, l.photos.Probe, l.photos.Now = l.step, l.step, l.clock
	l.care = l.newCare()
	app := fiber.New(fiber.Config{DisableStartupMessage: true, Immutable: true, BodyLimit: 1 << 20, ErrorHandler: func(c *fiber.Ctx, err error) error {
		f := fault.Of(err)
		return c.Status(fiber.StatusConflict).JSON(map[string]any{"error": map[string]any{"code": f.Code, "sentence": f.English()}})
	}})
	api := syncapi.New(syncapi.Options{Entries: l.db, Photos: l.photos, Care: l.care, Now: l.arrivals(), Grown: func(string) {}})
	for _, r := range api.Routes() {
		app.Add(r.Method, r.Path, func(c *fiber.Ctx) error { return r.Handle(c, device.Device{ID: "D"}) })
	}
	l.handle = app.Handler()
}

// arrivals is the clock that says when entries come: right, or years off.
func (l *laptop) arrivals() func() time.Time {
	now := time.Unix(1_750_000_000, 0)
	if l.rng.IntN(4) == 0 {
		l.faults["laptop's clock off"]++
		now = now.AddDate(l.rng.IntN(40)-20, 0, l.rng.IntN(300))
	}
	return func() time.Time { return now }
}

// promise compares the records with what was acknowledged, as the server does at
// its start, and holds the comparison to what is known here.
func (l *laptop) promise() {
	l.t.Helper()
	ctx, file := context.Background(), filepath.Join(l.dir, "promised")
	state, _, err := promised.Read(file)
	if err != nil {
		l.t.Fatal(err)
	}
	count, heads, err := l.db.Heads(ctx)
	if err != nil {
		l.t.Fatal(err)
	}
	lacks, err := journal.Lacking(state.List(), heads, func(h journal.Head) (bool, error) { return l.db.Holds(ctx, h) })
	if err != nil {
		l.t.Fatal(err)
	}
	there := map[string]string{}
	for _, raw := range l.entries() {
		there[idOf(l.t, raw)] = raw
	}
	l.compare(lacks, heads, there)
	l.acknowledged = there
	if l.book, err = promised.Begin(file, count, heads); err != nil {
		l.t.Fatal(err)
	}
	l.db.Promise = l.book.Keep
	if len(lacks) > 0 {
		l.faults["fewer than promised"]++
	}
}

// compare wants each writer of whom something is missing to be named, and no
// other, with the right number.
func (l *laptop) compare(lacks []journal.Lack, heads []journal.Head, there map[string]string) {
	l.t.Helper()
	missing := map[journal.Writer]uint64{}
	for id, raw := range l.acknowledged {
		if there[id] != raw {
			writer, _, _ := strings.Cut(id, ".")
			missing[journal.Writer(writer)]++
		}
	}
	for _, lack := range lacks {
		if missing[lack.Writer] == 0 {
			l.t.Errorf("nothing of %s is missing, and it says %+v", lack.Writer, lack)
		}
		ours := true // what is there is what was acknowledged, only less
		for _, h := range heads {
			id := fmt.Sprintf("%s.%d", h.Writer, h.Seq)
			ours = ours && (h.Writer != lack.Writer || there[id] == l.acknowledged[id])
		}
		if ours && lack.Count() != missing[lack.Writer] {
			l.t.Errorf("%d of %s are missing, and it says %+v", missing[lack.Writer], lack.Writer, lack)
		}
		delete(missing, lack.Writer)
	}
	for writer, n := range missing {
		l.t.Errorf("%d acknowledged entries of %s are missing unsaid", n, writer)
	}
}

func idOf(t testing.TB, raw string) string {
	var e struct{ ID string }
	decode(t, []byte(raw), &e)
	return e.ID
}

// note keeps in mind what a push's answer acknowledges.
func (l *laptop) note(pushed, answer []byte) {
	l.t.Helper()
	var batch journal.Batch
	var receipt journal.Receipt
	decode(l.t, pushed, &batch)
	decode(l.t, answer, &receipt)
	refused := map[int]bool{}
	for _, r := range receipt.Refused {
		refused[r.Index] = true
	}
	for i, raw := range batch.Entries {
		if !refused[i] {
			l.acknowledged[idOf(l.t, string(raw))] = string(raw)
		}
	}
}

// step is asked before each step that changes the disk.
func (l *laptop) step(name string) error {
	if l.died {
		return errKilled
	}
	if l.dieIn > 0 {
		if l.dieIn--; l.dieIn == 0 {
			l.died = true
			l.faults["killed at "+name]++
			return errKilled
		}
	}
	return nil
}

// request is one HTTP request.
type request struct {
	method, path, contentRange string
	body                       []byte
}

// serve answers; ok is false if the program was killed before it could.
func (l *laptop) serve(r request) (status int, body []byte, ok bool) {
	l.t.Helper()
	l.now += int64(l.rng.IntN(90)) * int64(time.Second)
	if !l.steady && l.rng.IntN(12) == 0 {
		l.dieIn = 1 + l.rng.IntN(8)
	}
	var ctx fasthttp.RequestCtx
	ctx.Request.Header.SetMethod(r.method)
	ctx.Request.SetRequestURI(r.path)
	ctx.Request.SetBody(r.body)
	if r.contentRange != "" {
		ctx.Request.Header.Set(fiber.HeaderContentRange, r.contentRange)
	}
	l.handle(&ctx)
	if l.died {
		l.killed()
		return 0, nil, false
	}
	l.dieIn = 0
	if r.method == "POST" && r.path == "/journal" && ctx.Response.StatusCode() == fiber.StatusOK {
		l.note(r.body, ctx.Response.Body())
	}
	return ctx.Response.StatusCode(), bytes.Clone(ctx.Response.Body()), true
}

func (l *laptop) folder() string {
	l.runs++
	dir := filepath.Join(l.base, "run"+strconv.Itoa(l.runs))
	if err := os.Mkdir(dir, 0o700); err != nil {
		l.t.Fatal(err)
	}
	return dir
}

// killed goes on from the files just as they lie there: what closing properly
// would still have done to them is not seen.
func (l *laptop) killed() {
	l.t.Helper()
	next := l.folder()
	copyFolder(l.t, l.dir, next)
	if l.rng.IntN(2) == 0 {
		l.loseUnsynced(filepath.Join(next, "photos", "arriving"))
		l.loseLedger(filepath.Join(next, "photos"))
	}
	harmed := !l.calm && l.rng.IntN(6) == 0 && l.harmLog(filepath.Join(next, "panside.db-wal"))
	l.stop()
	l.start(next)
	if harmed {
		l.lost()
	}
}

// harmLog takes away what SQLite keeps beside the records, or damages it.
func (l *laptop) harmLog(file string) bool {
	l.t.Helper()
	raw, err := os.ReadFile(file)
	if err != nil || len(raw) == 0 {
		return false
	}
	if l.rng.IntN(2) == 0 {
		l.faults["log lost"]++
		err = os.Remove(file)
	} else {
		l.faults["log damaged"]++
		raw[l.rng.IntN(len(raw))] ^= byte(1 + l.rng.IntN(255))
		err = os.WriteFile(file, raw, 0o600)
	}
	if err != nil {
		l.t.Fatal(err)
	}
	return true
}

// loseUnsynced is what a loss of power does to parts of photos, which nobody
// syncs: their ends are gone or hold nothing.
func (l *laptop) loseUnsynced(parts string) {
	l.t.Helper()
	list, err := os.ReadDir(parts)
	if err != nil {
		l.t.Fatal(err)
	}
	for _, e := range list {
		file := filepath.Join(parts, e.Name())
		raw, err := os.ReadFile(file)
		if err != nil {
			l.t.Fatal(err)
		}
		cut := l.rng.IntN(len(raw) + 1)
		clear(raw[cut:])
		if l.rng.IntN(2) == 0 {
			raw = raw[:cut]
		}
		if err := os.WriteFile(file, raw, 0o600); err != nil {
			l.t.Fatal(err)
		}
		l.faults["part of a photo torn"]++
	}
}

func (l *laptop) stop() {
	l.t.Helper()
	l.died = false
	l.db.Probe, l.photos.Probe = nil, nil
	if err := errors.Join(l.db.Close(), l.book.Close()); err != nil {
		l.t.Fatal(err)
	}
}

func copyFolder(t testing.TB, from, to string) {
	t.Helper()
	err := filepath.WalkDir(from, func(path string, e fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(from, path)
		if err != nil {
			return err
		}
		if e.IsDir() {
			return os.MkdirAll(filepath.Join(to, rel), 0o700)
		}
		return copyFile(path, filepath.Join(to, rel))
	})
	if err != nil {
		t.Fatal(err)
	}
}

func copyFile(from, to string) error {
	in, err := os.Open(from)
	if err != nil {
		return err
	}
	defer in.Close()
	out, err := os.Create(to)
	if err != nil {
		return err
	}
	_, err = io.Copy(out, in)
	if err = errors.Join(err, out.Close()); err != nil {
		return err
	}
	info, err := os.Stat(from)
	if err != nil {
		return err
	}
	return os.Chtimes(to, time.Time{}, info.ModTime())
}

// backUp copies the records and photos while they are in use.
func (l *laptop) backUp() {
	l.t.Helper()
	dir := l.folder()
	if err := l.db.CopyTo(context.Background(), filepath.Join(dir, "panside.db")); err != nil {
		l.t.Fatal(err)
	}
	copyFolder(l.t, filepath.Join(l.dir, "photos"), filepath.Join(dir, "photos"))
	l.backups = append(l.backups, dir)
}

// putBack replaces the records by an old backup: in their place, where the
// photos that came since stay, or on another computer, which has only those of
// the backup.
func (l *laptop) putBack() {
	l.t.Helper()
	if len(l.backups) == 0 {
		return
	}
	next := l.folder()
	copyFolder(l.t, l.backups[l.rng.IntN(len(l.backups))], next)
	if l.rng.IntN(2) == 0 {
		copyFolder(l.t, filepath.Join(l.dir, "photos"), filepath.Join(next, "photos"))
		if err := copyFile(filepath.Join(l.dir, "promised"), filepath.Join(next, "promised")); err != nil {
			l.t.Fatal(err)
		}
		l.faults["laptop put back"]++
	} else {
		l.acknowledged = nil
		l.faults["laptop replaced"]++
	}
	l.stop()
	l.start(next)
}

// entries are all entries of the laptop, in order.
func (l *laptop) entries() []string {
	l.t.Helper()
	var all []string
	cursor := ""
	for {
		page, err := l.db.EntriesAfter(context.Background(), cursor, "", 1000)
		if err != nil {
			l.t.Fatal(err)
		}
		for _, raw := range page.Entries {
			all = append(all, string(raw))
		}
		if cursor = page.Cursor; !page.More {
			return all
		}
	}
}

func shaOf(b []byte) string {
	sum := sha256.Sum256(b)
	return hex.EncodeToString(sum[:])
}

func decode(t testing.TB, raw []byte, into any) {
	t.Helper()
	if err := json.Unmarshal(raw, into); err != nil {
		t.Fatalf("%v in %s", err, raw)
	}
}
