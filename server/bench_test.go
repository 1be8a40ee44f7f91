package main

import (
	"bytes"
	"crypto/sha256"
	"crypto/tls"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"math"
	"net/http"
	"net/netip"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/gofiber/fiber/v2"

	"panside/internal/device"
	"panside/internal/journal"
	"panside/server/backup"
	"panside/server/certs"
	"panside/server/config"
	"panside/server/testjpeg"
)

// workbench is a running server for benchmarks, and a joined phone.
type workbench struct {
	*App
	b      *testing.B
	token  string
	client *http.Client
	stop   func() // stops the server; done at the end of the benchmark otherwise
}

func newWorkbench(b *testing.B) *workbench {
	b.Helper()
	app := New(config.Config{Data: b.TempDir(), Listen: "127.0.0.1:0"}, make(fakeScale).scale(), slog.New(slog.DiscardHandler))
	app.network.announce = silent
	if err := app.Start(b.Context()); err != nil {
		b.Fatal(err)
	}
	stop := sync.OnceFunc(func() {
		if err := app.Stop(); err != nil {
			b.Error(err)
		}
	})
	b.Cleanup(stop)
	w := &workbench{App: app, b: b, stop: stop, client: &http.Client{Transport: &http.Transport{TLSClientConfig: &tls.Config{InsecureSkipVerify: true}}}}
	b.Cleanup(w.client.CloseIdleConnections)
	var err error
	if w.token, _, err = app.pairing.Join(b.Context(), app.pairing.Offer(device.Phone, time.Hour), "bench", true); err != nil {
		b.Fatal(err)
	}
	return w
}

func (w *workbench) ask(method, path string, body []byte, header ...string) []byte {
	w.b.Helper()
	r, err := http.NewRequest(method, "https://"+w.Addr().String()+path, bytes.NewReader(body))
	if err != nil {
		w.b.Fatal(err)
	}
	r.Header.Set("Authorization", "Bearer "+w.token)
	for i := 0; i+1 < len(header); i += 2 {
		r.Header.Set(header[i], header[i+1])
	}
	resp, err := w.client.Do(r)
	if err != nil {
		w.b.Fatal(err)
	}
	answer, err := io.ReadAll(resp.Body)
	resp.Body.Close()
	if err != nil || resp.StatusCode != 200 {
		w.b.Fatalf("%s %s: %d %.300s %v", method, path, resp.StatusCode, answer, err)
	}
	return answer
}

// nightEntries are many entries of three phones, some 330 bytes each, with the
// mix of values that finds have.
func nightEntries(b *testing.B, n int) []journal.Entry {
	b.Helper()
	state := journal.NewState()
	var authors []*journal.Author
	for i := range 3 {
		a, err := journal.NewAuthor(journal.Writer(fmt.Sprintf("%020d", i)), state)
		if err != nil {
			b.Fatal(err)
		}
		authors = append(authors, a)
	}
	values := []struct{ field, value string }{
		{"coin", `{"country":"US","denomination":"cent","year":1982,"mint":"D"}`},
		{"weight", `{"value":"3.11","unit":"g","mean_g":3.1102,"u_g":0.0076,"resolution_g":0.01,"status":"stable"}`},
		{"kind", `"transitional-alloy"`}, {"note", `"Looks doubled at the date, seen by loupe under the lamp."`}, {"fate", `"keep"`},
	}
	entries := make([]journal.Entry, 0, n)
	for i := range n {
		v := values[i%len(values)]
		id := journal.Record(fmt.Sprintf("0190a000-0000-7000-8000-%012d", i/20))
		e, err := authors[i%3].Write(state, 1_750_000_000_000+int64(i), "find", id, v.field, json.RawMessage(v.value))
		if err != nil {
			b.Fatal(err)
		}
		entries = append(entries, e)
	}
	return entries
}

// BenchmarkJournal pushes and pulls a year's entries over HTTPS and compares
// that with inserting the same rows into the same table in one transaction; the
// quickest of five each, since others on the machine slow two ends of a
// connection more than one loop.
// "times-bare-insert" is to be at most 2.5.
func BenchmarkJournal(b *testing.B) {
	const count = 200_000
	entries := nightEntries(b, count)
	var bodies [][]byte
	for at := 0; at < count; at += journal.MaxBatch {
		var raws [][]byte
		for _, e := range entries[at:min(at+journal.MaxBatch, count)] {
			raws = append(raws, e.Wire())
		}
		bodies = append(bodies, []byte(`{"v":1,"receipt":"","entries":[`+string(bytes.Join(raws, []byte{','}))+`]}`))
	}
	for b.Loop() {
		bare, ours := time.Duration(math.MaxInt64), exchange{}
		for range 5 { // the two by turns
			bare = min(bare, bareInsert(b, entries))
			if e := exchangeAll(b, bodies, count); ours.whole() == 0 || e.whole() < ours.whole() {
				ours = e
			}
		}
		b.ReportMetric(float64(ours.whole())/float64(bare), "times-bare-insert")
		b.ReportMetric(ours.pushed.Seconds(), "push-s")
		b.ReportMetric(ours.pulled.Seconds(), "pull-s")
		b.ReportMetric(bare.Seconds(), "bare-s")
	}
}

// exchange is how long it took to push entries and to pull them.
type exchange struct{ pushed, pulled time.Duration }

func (e exchange) whole() time.Duration { return e.pushed + e.pulled }

// exchangeAll pushes entries to a new server and pulls all of them.
func exchangeAll(b *testing.B, bodies [][]byte, count int) (e exchange) {
	b.Helper()
	w := newWorkbench(b)
	defer w.stop() // so that it copies nothing while the next one is timed
	began := time.Now()
	for _, body := range bodies {
		if answer := w.ask("POST", "/api/v1/journal", body); !bytes.Contains(answer, []byte(`"refused":[]`)) {
			b.Fatalf("%.300s", answer)
		}
	}
	e.pushed = time.Since(began)
	began = time.Now()
	got, cursor, more := 0, "", true
	for more {
		answer := w.ask("GET", "/api/v1/journal?after="+cursor, nil)
		got += bytes.Count(answer, []byte(`{"id":"`))
		tail := string(answer[max(0, len(answer)-200):])
		_, tail, _ = strings.Cut(tail, `"cursor":"`)
		cursor, tail, _ = strings.Cut(tail, `"`)
		more = strings.Contains(tail, `"more":true`)
	}
	e.pulled = time.Since(began)
	if got != count {
		b.Fatalf("pulled %d entries", got)
	}
	return e
}

// bareInsert puts the rows into the same table with nothing around it: one
// transaction, one prepared statement, no checks.
func bareInsert(b *testing.B, entries []journal.Entry) time.Duration {
	b.Helper()
	w := newWorkbench(b) // for its tables
	defer w.stop()
	pool, err := sql.Open("sqlite3", "file:"+filepath.Join(w.folder, backup.RecordsFile)+"?_journal_mode=WAL&_synchronous=FULL&_busy_timeout=5000")
	if err != nil {
		b.Fatal(err)
	}
	defer pool.Close()
	var dev string
	if err := pool.QueryRow(`SELECT id FROM devices`).Scan(&dev); err != nil {
		b.Fatal(err)
	}
	type row struct {
		writer, seq int64
		entry       string
		hash        [32]byte
	}
	rows := make([]row, len(entries))
	for i, e := range entries {
		raw := e.Wire()
		rows[i] = row{int64(i%3) + 1, int64(e.ID.Seq), string(raw), sha256.Sum256(raw)}
	}
	began := time.Now()
	tx, err := pool.Begin()
	if err != nil {
		b.Fatal(err)
	}
	for i := range 3 {
		if _, err := tx.Exec(`INSERT INTO writers (id, name) VALUES (?, ?)`, i+1, fmt.Sprint(i)); err != nil {
			b.Fatal(err)
		}
	}
	insert, err := tx.Prepare(`INSERT INTO entries (place, writer, seq, entry, hash, trail, device, arrived) VALUES (?, ?, ?, ?, ?, ?, ?, ?)`)
	if err != nil {
		b.Fatal(err)
	}
	for i, r := range rows {
		if _, err := insert.Exec(i+1, r.writer, r.seq, r.entry, r.hash[:], r.hash[:8], dev, 0); err != nil {
			b.Fatal(err)
		}
	}
	if err := tx.Commit(); err != nil {
		b.Fatal(err)
	}
	return time.Since(began)
}

// BenchmarkPhotoUpload sends photos in parts over HTTPS and compares that with a
// bare upload: the same bytes in the same parts to a handler on the same server
// settings that only writes them to a file and syncs it at the end.
// "speed-of-bare", the middle one of all photos, is to be at least 0.7.
func BenchmarkPhotoUpload(b *testing.B) {
	var photos [][]byte
	for i := range 6 {
		p := testjpeg.Noise(uint64(i), 2400) // some 4 MB
		photos = append(photos, p)
	}
	const part = 1 << 20
	var speeds []float64
	for b.Loop() {
		plain := barePhotoServer(b)
		for round := range 5 { // each file a new one, the two by turns
			w := newWorkbench(b)
			for i, p := range photos {
				began := time.Now()
				for at := 0; at < len(p); at += part {
					end := min(at+part, len(p))
					url := fmt.Sprintf("%s/%d-%d/%d/%v", plain, round, i, at, end == len(p))
					resp, err := w.client.Post(url, "image/jpeg", bytes.NewReader(p[at:end]))
					if err != nil || resp.StatusCode != 200 {
						b.Fatal(err, resp)
					}
					if _, err := io.Copy(io.Discard, resp.Body); err != nil {
						b.Fatal(err)
					}
					resp.Body.Close()
				}
				bare := time.Since(began)
				name := sha(p) // the phone knows it from when the photo was taken
				began = time.Now()
				var progress journal.PhotoProgress
				for !progress.Complete {
					end := min(int(progress.Have)+part, len(p))
					answer := w.ask("PUT", "/api/v1/photos/"+name, p[progress.Have:end], "Content-Range", fmt.Sprintf("bytes %d-%d/%d", progress.Have, end-1, len(p)))
					if err := json.Unmarshal(answer, &progress); err != nil {
						b.Fatal(err)
					}
				}
				speeds = append(speeds, float64(bare)/float64(time.Since(began)))
			}
		}
	}
	slices.Sort(speeds)
	b.ReportMetric(speeds[len(speeds)/2], "speed-of-bare")
}

// appendFile writes one part, and puts the file on the disk with its last.
func appendFile(path string, at int64, last bool, b []byte) error {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE, 0o600)
	if err != nil {
		return err
	}
	_, err = f.WriteAt(b, at)
	if last {
		err = errors.Join(err, f.Sync())
	}
	return errors.Join(err, f.Close())
}

// barePhotoServer is a fiber app over TLS with a route PUT /FILE/OFFSET/LAST.
func barePhotoServer(b *testing.B) (url string) {
	b.Helper()
	dir := b.TempDir()
	app := fiber.New(fiber.Config{DisableStartupMessage: true, Immutable: true, BodyLimit: 1 << 20})
	app.Post("/:file/:at/:last", func(c *fiber.Ctx) error {
		at, err := strconv.ParseInt(c.Params("at"), 10, 64)
		if err != nil {
			return err
		}
		return appendFile(filepath.Join(dir, c.Params("file")), at, c.Params("last") == "true", c.Body())
	})
	certDir := b.TempDir()
	authority, err := certs.OpenAuthority(certDir, "bench", time.Now())
	if err != nil {
		b.Fatal(err)
	}
	leaf, err := authority.NewLeaf(certs.LeafOptions{
		Dir: certDir, Addresses: func() []netip.Addr { return nil }, Now: time.Now, Log: slog.New(slog.DiscardHandler),
	})
	if err != nil {
		b.Fatal(err)
	}
	ln, err := tls.Listen("tcp", "127.0.0.1:0", &tls.Config{GetCertificate: leaf.Certificate})
	if err != nil {
		b.Fatal(err)
	}
	go func() {
		if err := app.Listener(ln); err != nil {
			b.Error(err)
		}
	}()
	b.Cleanup(func() {
		if err := app.Shutdown(); err != nil {
			b.Error(err)
		}
	})
	return "https://" + ln.Addr().String()
}
