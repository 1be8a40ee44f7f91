package main

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"panside/internal/fault"
	"panside/server/archive"
)

const (
	// backupsFolder holds the automatic backups of the records. Photos are not
	// in them: they lie on the same disk and are never changed.
	backupsFolder = "backups"
	backupPrefix  = "records-"
	backupEnding  = ".zip"

	// keepBackups is how many days' backups are kept.
	keepBackups = 14

	// lookForNewDay is how often a server that stays on looks at the calendar.
	lookForNewDay = 20 * time.Minute
)

// backUpDaily makes a backup of the records on each day the server runs, until
// ctx ends.
func (a *App) backUpDaily(ctx context.Context) {
	tick := time.NewTicker(lookForNewDay)
	defer tick.Stop()
	for {
		made, err := dailyBackup(ctx, a.folder, a.now())
		switch {
		case err != nil && ctx.Err() == nil:
			f := fault.Of(err)
			a.log.Warn("today's backup of the records could not be made", "why", f.Sentence, "cause", f.Cause)
		case made != "":
			a.log.Info("today's backup of the records is made", "file", made)
		}
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		}
	}
}

// dailyBackup makes the backup of the day unless it is there, and removes the
// oldest beyond 14. It returns the file it made, empty if none was due.
func dailyBackup(ctx context.Context, dir string, now time.Time) (made string, err error) {
	folder := filepath.Join(dir, backupsFolder)
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return "", fault.Wrap(fault.DataFolder, "The folder “"+folder+"” can't be made. Nothing is lost; give this user the right to it.", err)
	}
	file := filepath.Join(folder, backupPrefix+now.Format(time.DateOnly)+backupEnding)
	if _, err := os.Stat(file); !errors.Is(err, fs.ErrNotExist) {
		return "", err
	}
	if err := sweep(folder, now, archive.Unfinished); err != nil {
		return "", err
	}
	if _, err := backUp(ctx, dir, file, false, now); err != nil {
		return "", err
	}
	return file, removeOldest(folder)
}

// removeOldest keeps the newest backups, however long ago they were made: a
// laptop that was off for a month has lost none of them when it starts.
func removeOldest(folder string) error {
	list, err := os.ReadDir(folder)
	if err != nil {
		return err
	}
	var days []string
	for _, e := range list {
		day, ok := strings.CutPrefix(e.Name(), backupPrefix)
		day, ok2 := strings.CutSuffix(day, backupEnding)
		if _, err := time.Parse(time.DateOnly, day); ok && ok2 && err == nil {
			days = append(days, e.Name())
		}
	}
	slices.Sort(days)
	for _, old := range days[:max(0, len(days)-keepBackups)] {
		if err := os.Remove(filepath.Join(folder, old)); err != nil {
			return err
		}
	}
	return nil
}
