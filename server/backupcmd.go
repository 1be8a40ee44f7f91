package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"panside/internal/fault"
	"panside/internal/say"
	"panside/server/backup"
	"panside/server/config"
)

// BackupCmd writes records, photos and the certificate authority into one file,
// also while the server runs.
type BackupCmd struct {
	File  string `arg:"" help:"The file to write, such as panside.zip on another disk."`
	Data  string `placeholder:"DIR" help:"The data folder of the server (default: its own)."`
	Force bool   `help:"Write over a file that is there."`

	firstProgress, nextProgress time.Duration // 0 for the usual; tests don't wait
}

// Help is shown under the command's flags.
func (BackupCmd) Help() string {
	return `Example: panside backup /media/disk/panside.zip`
}

// Run writes the backup and says what is in it.
func (c *BackupCmd) Run(ctx context.Context, std *stdio) error {
	dir, err := existingFolder(c.Data)
	if err != nil {
		return err
	}
	if _, err := os.Stat(c.File); err == nil && !c.Force {
		return fault.New(fault.DataFolder, say.New("backup-file-there", say.Text("file", c.File)))
	}
	if folder := filepath.Dir(c.File); !isFolder(folder) {
		return fault.New(fault.DataFolder, say.New("backup-no-folder", say.Text("folder", folder)))
	}
	shown := &backup.Progress{Out: std.Err, First: c.firstProgress, Every: c.nextProgress, Now: time.Now}
	made, err := backup.Make(ctx, backup.Job{Dir: dir, File: c.File, Whole: true, Now: time.Now(), Version: version(), Progress: shown})
	if err != nil {
		return err
	}
	fmt.Fprintf(std.Out, "%s holds %s, %s and the key of this computer’s certificate authority; every byte was read back.\n", c.File, backup.Counted(made.Entries, "entry", "entries"), backup.Counted(made.Photos, "photo", "photos"))
	fmt.Fprintln(std.Out, "Keep it where only you can read it, on another disk than the records.")
	if len(made.Damaged) > 0 {
		fmt.Fprintln(std.Err, "panside: These photos are damaged on this disk and are not in the backup. The running server sets them aside, and a phone that still has them sends them again:")
		for _, path := range made.Damaged {
			fmt.Fprintln(std.Err, "  "+path)
		}
		return exitCode(exitBad)
	}
	return nil
}

func isFolder(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.IsDir()
}

// existingFolder is the data folder, which a backup must not make.
func existingFolder(data string) (string, error) {
	dir, err := config.Config{Data: data}.FolderName()
	if err != nil {
		return "", err
	}
	if _, err := os.Stat(filepath.Join(dir, backup.RecordsFile)); err != nil {
		return "", fault.Wrap(fault.DataFolder, say.New("backup-no-records", say.Text("folder", dir)), err)
	}
	return dir, nil
}

// RestoreCmd puts a backup back.
type RestoreCmd struct {
	File  string `arg:"" help:"The backup: a file made by backup, or one of the folder’s own daily ones."`
	Data  string `placeholder:"DIR" help:"The data folder to put it into (default: the server’s own)."`
	Force bool   `help:"Put it in the place of records that are there; those are set aside, not removed."`
}

// Help is shown under the command's flags.
func (RestoreCmd) Help() string {
	return `Example: panside restore /media/disk/panside.zip`
}

// Run checks the backup whole before it changes anything.
func (c *RestoreCmd) Run(ctx context.Context, std *stdio) error {
	back, err := backup.Open(ctx, c.File)
	if err != nil {
		return err
	}
	defer back.Close()
	dir, err := config.Config{Data: c.Data}.Folder()
	if err != nil {
		return err
	}
	done, err := back.Restore(ctx, backup.Restoring{Dir: dir, Force: c.Force, Now: time.Now()})
	if err != nil {
		return err
	}
	fmt.Fprintf(std.Out, "Put back into %s as of %s: %s and %s.\n", dir, done.Made.Local().Format("January 2, 2006, 15:04"), backup.Counted(done.Entries, "entry", "entries"), backup.Counted(done.Photos, "photo", "photos"))
	if done.Replaced != "" {
		fmt.Fprintf(std.Out, "What was there before is in %s.\n", done.Replaced)
	}
	fmt.Fprintln(std.Out, "Start the server; phones that connect send again whatever the backup doesn’t have. A phone that joined after the backup was made scans a fresh code.")
	return nil
}
