// Package backup keeps the records from being lost: it copies them, writes and
// puts back backups, cleans up what killed programs left, and holds the records
// to what was acknowledged. It is an assembly: it may use adapters, and package
// main uses it.
//
// # What was acknowledged (promises.go)
//
// An entry is acknowledged once it is committed with full synchronisation, noted
// in package promised (a file of its own, synced), and the folder is still where
// it was: sqlite.DB.Promise and Present are asked in that order before every
// answer. At the start and once a day the records are held to that note and to a
// copy of it beside the data folder (.NAME.promised). What is missing stands in
// lacking.json until it is back, and goes to phones and desks as the live message
// records, to the terminal and to the log. Phones need no further asking: a
// laptop that has less knows neither their cursor nor their receipt, so the sync
// begins anew.
//
// Not noticed is damage that the system's file cache hides until the laptop is
// restarted, and a loss in a folder that was emptied together with the note
// beside it.
//
// # Copies, backups, restores
//
// The records are copied (copies.go) at a stop, when the day has changed, and
// after 200 entries or 20 minutes with something new, but not before twenty times
// as long as the last copy took. The last fourteen days with one are kept, and
// the last of each of twelve months before. Copies dated ahead are counted apart,
// and none is removed while entries are missing. A second folder (secondfolder.go)
// is remembered and made only once, so that nothing lands in an empty mount point.
//
// A backup is made in a folder beside its target that is locked while its program
// lives (workfolder.go). A restore makes everything ready in .restoring-…, renames
// that to .ready-to-put-back, and from then on only goes forward (placing.go);
// the next start finishes it.
package backup

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"time"

	"panside/internal/fault"
	"panside/internal/say"
	"panside/server/archive"
	"panside/server/folderlock"
	"panside/server/photostore"
	"panside/server/sqlite"
)

// What lies in the data folder beside the authority's files.
const (
	RecordsFile  = "panside.db"
	PhotosFolder = "photos"

	// restoringInto begins the names of folders that a restore works in;
	// backingUp those of backups by earlier versions.
	restoringInto = ".restoring-"
	backingUp     = ".backing-up-"
)

// AuthorityFiles are the server's own name and key: with them, phones know the
// server again on another computer. server/certs writes them.
var AuthorityFiles = []string{"authority.pem", "authority-key.pem"}

// PhotosIn is where photos are in a backup.
const PhotosIn = "photos/"

// Made is what went into a backup.
type Made struct {
	Entries, Photos int
	Damaged         []string // photos that aren't in it, by their paths
}

// Job is what to make a backup of.
type Job struct {
	Dir, File string
	Whole     bool // with the photos and the authority, or the records only
	Now       time.Time
	Version   string    // of the program
	Progress  *Progress // nil for nobody who waits
}

// Make writes a backup of a data folder. The records are those of one moment;
// photos are never changed, so those that came since are simply in it too. All
// work is done beside the new file: the data folder's disk may be full.
func Make(ctx context.Context, b Job) (made Made, err error) {
	folder, err := filepath.Abs(filepath.Dir(b.File))
	if err != nil {
		return made, err
	}
	work, err := workIn(folder)
	if err != nil {
		return made, unwritable(folder, err)
	}
	defer work.remove()
	if b.Whole { // the server knows where its own copies are made
		defer noteWork(b.Dir, work.dir)()
	}
	b.Progress.begin("Copying the records", 0)
	copied := filepath.Join(work.dir, RecordsFile)
	if err := copyRecords(ctx, b.Dir, work.dir, copied); err != nil {
		return made, err
	}
	b.Progress.begin("Checking the records", 0)
	facts, err := sqlite.Inspect(ctx, copied)
	if err != nil {
		return made, err
	}
	made.Entries = facts.Entries
	w, err := archive.Create(b.File, work.dir, b.Now, b.Version, b.Whole)
	if err != nil {
		return made, err
	}
	defer func() {
		if err != nil {
			w.Abandon()
		}
	}()
	w.Progress = b.Progress.add
	b.Progress.begin("Writing and reading back", 2*bytesOf(b, copied))
	if _, err := w.Add(ctx, RecordsFile, copied); err != nil {
		return made, err
	}
	if b.Whole {
		if err := addRest(ctx, w, b.Dir, b.Now, &made); err != nil {
			return made, err
		}
	}
	return made, w.Close(ctx)
}

// copyRecords copies the records of one moment. If no server has them open,
// SQLite would make a small file beside them even to read, and on a full disk
// that ends the program; so the files are copied as they are, while no server
// can start, and read where there is room.
func copyRecords(ctx context.Context, dir, work, to string) error {
	lock, err := folderlock.Hold(dir)
	if err != nil { // a server runs, perhaps this one
		return sqlite.Copy(ctx, filepath.Join(dir, RecordsFile), to)
	}
	defer lock.Release()
	raw := filepath.Join(work, "as-they-are")
	if err := os.Mkdir(raw, 0o700); err != nil {
		return unwritable(work, err)
	}
	for _, name := range []string{RecordsFile, RecordsFile + "-wal"} {
		if err := copyFile(filepath.Join(dir, name), filepath.Join(raw, name)); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return unwritable(work, err)
		}
	}
	if err := sqlite.Copy(ctx, filepath.Join(raw, RecordsFile), to); err != nil {
		return err
	}
	return os.RemoveAll(raw)
}

func unwritable(folder string, err error) error {
	return fault.Wrap(fault.DataFolder, say.New("backup-folder", say.Text("folder", folder)), err)
}

// bytesOf is about how many bytes a backup will have.
func bytesOf(b Job, records string) (sum int64) {
	add := func(path string) {
		if info, err := os.Stat(path); err == nil {
			sum += info.Size()
		}
	}
	add(records)
	if !b.Whole {
		return sum
	}
	photos := filepath.Join(b.Dir, PhotosFolder)
	list, err := os.ReadDir(photos)
	if err != nil {
		return sum // the copying itself says what is wrong
	}
	for _, e := range list {
		if !e.IsDir() {
			add(filepath.Join(photos, e.Name()))
		}
	}
	return sum
}

// addRest adds the authority and the photos. A damaged photo is named and the
// others are kept safe all the same.
func addRest(ctx context.Context, w *archive.Writer, dir string, now time.Time, made *Made) error {
	for _, name := range AuthorityFiles {
		path := filepath.Join(dir, name)
		if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
			continue // the user brought a certificate
		}
		if _, err := w.Add(ctx, name, path); err != nil {
			return err
		}
	}
	photos, err := photostore.Open(filepath.Join(dir, PhotosFolder), now)
	if err != nil {
		return err
	}
	return photos.Each(func(p photostore.Photo) error {
		right, err := p.Intact()
		if err != nil {
			return err
		}
		if !right {
			made.Damaged = append(made.Damaged, p.Path)
			return nil
		}
		made.Photos++
		_, err = w.Add(ctx, PhotosIn+filepath.Base(p.Path), p.Path)
		return err
	})
}

// Counted is a number with its word.
func Counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + many
}
