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
	made, err := backUp(ctx, dir, c.File, true, time.Now())
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

// backUp writes a backup of a data folder: whole, or of the records only. The
// records are those of one moment; photos are never changed, so those that came
// since are simply in it too.
func backUp(ctx context.Context, dir, file string, whole bool, now time.Time) (made backedUp, err error) {
	tmp, err := os.MkdirTemp(dir, backingUp+"*")
	if err != nil {
		return made, fault.Wrap(fault.DataFolder, "The folder “"+dir+"” can't be written, so no backup could be made. Nothing is lost; free some space on its disk.", err)
	}
	defer os.RemoveAll(tmp)
	copied := filepath.Join(tmp, recordsFile)
	if err := sqlite.Copy(ctx, filepath.Join(dir, recordsFile), copied); err != nil {
		return made, err
	}
	facts, err := sqlite.Inspect(ctx, copied)
	if err != nil {
		return made, err
	}
	made.entries = facts.Entries
	w, err := archive.Create(file, now, version(), whole)
	if err != nil {
		return made, err
	}
	defer func() {
		if err != nil {
			w.Abandon()
		}
	}()
	if _, err := w.Add(ctx, recordsFile, copied); err != nil {
		return made, err
	}
	if whole {
		if err := addRest(ctx, w, dir, now, &made); err != nil {
			return made, err
		}
	}
	return made, w.Close(ctx)
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
