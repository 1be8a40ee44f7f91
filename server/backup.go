package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"time"

	"panside/internal/fault"
	"panside/server/archive"
	"panside/server/config"
	"panside/server/folderlock"
	"panside/server/photostore"
	"panside/server/sqlite"
)

// authorityFiles are the server's own name and key: with them, phones know the
// server again on another computer. server/certs writes them.
var authorityFiles = []string{"authority.pem", "authority-key.pem"}

// photosIn is where photos are in a backup.
const photosIn = "photos/"

// BackupCmd writes records, photos and the certificate authority into one file,
// also while the server runs.
type BackupCmd struct {
	File  string `arg:"" help:"The file to write, such as panside.zip on another disk."`
	Data  string `placeholder:"DIR" help:"The data folder of the server (default: its own)."`
	Force bool   `help:"Write over a file that is there."`

	firstProgress, nextProgress time.Duration // 0 for the usual; tests don't wait
}

// Run writes the backup and says what is in it.
func (c *BackupCmd) Run(ctx context.Context, std *stdio) error {
	dir, err := existingFolder(c.Data)
	if err != nil {
		return err
	}
	if _, err := os.Stat(c.File); err == nil && !c.Force {
		return fault.New(fault.DataFolder, "“"+c.File+"” is there already. Nothing was changed; choose another name, or add --force to write over it.")
	}
	shown := &progress{out: std.Err, first: c.firstProgress, every: c.nextProgress, now: time.Now}
	made, err := backUp(ctx, backup{dir: dir, file: c.File, whole: true, now: time.Now(), shown: shown})
	if err != nil {
		return err
	}
	fmt.Fprintf(std.Out, "%s holds %s, %s and the key of this computer's certificate authority; every byte was read back.\n", c.File, counted(made.entries, "entry", "entries"), counted(made.photos, "photo", "photos"))
	fmt.Fprintln(std.Out, "Keep it where only you can read it, on another disk than the records.")
	if len(made.damaged) > 0 {
		fmt.Fprintln(std.Err, "panside: These photos are damaged on this disk and are not in the backup. While the server runs it sets them apart by itself, and a phone that still has them sends them again:")
		for _, path := range made.damaged {
			fmt.Fprintln(std.Err, "  "+path)
		}
		return exitCode(exitBad)
	}
	return nil
}

func counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + many
}

// existingFolder is the data folder, which a backup must not make.
func existingFolder(data string) (string, error) {
	dir, err := config.Config{Data: data}.FolderName()
	if err != nil {
		return "", err
	}
	if _, err := os.Stat(filepath.Join(dir, recordsFile)); err != nil {
		return "", fault.Wrap(fault.DataFolder, "There are no records in “"+dir+"”. Nothing was written; name the server's folder with --data.", err)
	}
	return dir, nil
}

// backedUp is what went into a backup.
type backedUp struct {
	entries, photos int
	damaged         []string
}

// backup is what to make one of.
type backup struct {
	dir, file string
	whole     bool // with the photos and the authority, or the records only
	now       time.Time
	shown     *progress // nil for nobody who waits
}

// backUp writes a backup of a data folder. The records are those of one moment;
// photos are never changed, so those that came since are simply in it too. All
// work is done beside the new file: the data folder's disk may be full.
func backUp(ctx context.Context, b backup) (made backedUp, err error) {
	folder, err := filepath.Abs(filepath.Dir(b.file))
	if err != nil {
		return made, err
	}
	work, err := workIn(folder)
	if err != nil {
		return made, unwritable(folder, err)
	}
	defer work.remove()
	if b.whole { // the server knows where its own copies are made
		defer noteWork(b.dir, work.dir)()
	}
	b.shown.begin("Copying the records", 0)
	copied := filepath.Join(work.dir, recordsFile)
	if err := copyRecords(ctx, b.dir, work.dir, copied); err != nil {
		return made, err
	}
	b.shown.begin("Checking the records", 0)
	facts, err := sqlite.Inspect(ctx, copied)
	if err != nil {
		return made, err
	}
	made.entries = facts.Entries
	w, err := archive.Create(b.file, work.dir, b.now, version(), b.whole)
	if err != nil {
		return made, err
	}
	defer func() {
		if err != nil {
			w.Abandon()
		}
	}()
	w.Progress = b.shown.add
	b.shown.begin("Writing and reading back", 2*bytesOf(b, copied))
	if _, err := w.Add(ctx, recordsFile, copied); err != nil {
		return made, err
	}
	if b.whole {
		if err := addRest(ctx, w, b.dir, b.now, &made); err != nil {
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
		return sqlite.Copy(ctx, filepath.Join(dir, recordsFile), to)
	}
	defer lock.Release()
	raw := filepath.Join(work, "as-they-are")
	if err := os.Mkdir(raw, 0o700); err != nil {
		return unwritable(work, err)
	}
	for _, name := range []string{recordsFile, recordsFile + "-wal"} {
		if err := copyFile(filepath.Join(dir, name), filepath.Join(raw, name)); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return unwritable(work, err)
		}
	}
	if err := sqlite.Copy(ctx, filepath.Join(raw, recordsFile), to); err != nil {
		return err
	}
	return os.RemoveAll(raw)
}

func unwritable(folder string, err error) error {
	return fault.Wrap(fault.DataFolder, "“"+folder+"” isn't there or can't be written, so no backup could be made. Nothing is lost; check the name, or free some space on its disk.", err)
}

// bytesOf is about how many bytes a backup will have.
func bytesOf(b backup, records string) (sum int64) {
	add := func(path string) {
		if info, err := os.Stat(path); err == nil {
			sum += info.Size()
		}
	}
	add(records)
	if !b.whole {
		return sum
	}
	photos := filepath.Join(b.dir, photosFolder)
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
func addRest(ctx context.Context, w *archive.Writer, dir string, now time.Time, made *backedUp) error {
	for _, name := range authorityFiles {
		path := filepath.Join(dir, name)
		if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
			continue // the user brought a certificate
		}
		if _, err := w.Add(ctx, name, path); err != nil {
			return err
		}
	}
	photos, err := photostore.Open(filepath.Join(dir, photosFolder), now)
	if err != nil {
		return err
	}
	return photos.Each(func(p photostore.Photo) error {
		right, err := p.Intact()
		if err != nil {
			return err
		}
		if !right {
			made.damaged = append(made.damaged, p.Path)
			return nil
		}
		made.photos++
		_, err = w.Add(ctx, photosIn+filepath.Base(p.Path), p.Path)
		return err
	})
}
