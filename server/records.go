package main

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"time"

	"panside/internal/device"
	"panside/internal/journal"
	"panside/server/folderlock"
	"panside/server/photostore"
	"panside/server/route"
	"panside/server/sqlite"
	"panside/server/syncapi"
)

// What lies in the data folder beside the authority's files.
const (
	recordsFile  = "panside.db"
	photosFolder = "photos"

	// restoringInto begins the names of folders that a restore works in;
	// backingUp those of backups by earlier versions.
	restoringInto = ".restoring-"
	backingUp     = ".backing-up-"
)

// records are what the App keeps in the data folder.
type records struct {
	folder string
	lock   *folderlock.Lock
	db     *sqlite.DB
	photos *photostore.Store
	// promises compares the records with what was acknowledged.
	promises *promises
	copies   copies

	saying sync.Mutex
	said   [2]string // what is missing from the records, and from the copies
}

// openRecords takes the data folder for this program alone, checks the records
// and makes what isn't there.
func (a *App) openRecords(ctx context.Context, dir string) (err error) {
	a.folder = dir
	if a.lock, err = folderlock.Hold(dir); err != nil {
		return err
	}
	if err := finishRestore(ctx, dir); err != nil {
		return err
	}
	if err := sweep(dir, a.now()); err != nil {
		return err
	}
	if a.db, err = sqlite.Open(ctx, filepath.Join(dir, recordsFile)); err != nil {
		return err
	}
	if a.photos, err = photostore.Open(filepath.Join(dir, photosFolder), a.now()); err != nil {
		return err
	}
	a.photos.Now = a.now
	a.promises, err = openPromises(ctx, dir, a.db, a.now, a.log)
	return err
}

// sweep removes what programs that were killed left behind in the data folder,
// whose lock is held: so no restore is under way. A backup of an earlier version
// may be, and keeps its folder for a day.
func sweep(dir string, now time.Time) error {
	list, err := os.ReadDir(dir)
	if err != nil {
		return err
	}
	for _, e := range list {
		if strings.HasPrefix(e.Name(), notePrefix) {
			continue
		}
		if strings.HasPrefix(e.Name(), backingUp) {
			if info, err := e.Info(); err != nil || now.Sub(info.ModTime()) < 24*time.Hour {
				continue // or gone meanwhile
			}
		} else if !strings.HasPrefix(e.Name(), restoringInto) {
			continue
		}
		if err := os.RemoveAll(filepath.Join(dir, e.Name())); err != nil {
			return err
		}
	}
	return sweepNoted(dir)
}

// openCopies is for when the server's own name, its authority, is known: by that
// its copies are told from those of others.
func (a *App) openCopies(dir string) (err error) {
	a.copies.dir, a.copies.hold = dir, a.promises.anyLacking
	ours := "panside-" + a.authority.Fingerprint()[:8]
	if a.copies.second, err = openSecondFolder(dir, a.cfg.Copies, ours); err != nil {
		return err
	}
	return a.copies.begin()
}

// followRecords tells phones and the laptop how the records are, now and when
// that changes.
func (a *App) followRecords(ctx context.Context) {
	a.promises.tell = func(string) { a.sayRecords() }
	a.promises.say(ctx)
	a.sayRecords()
}

// sayRecords tells both sentences if either is new.
func (a *App) sayRecords() {
	a.saying.Lock()
	defer a.saying.Unlock()
	lacking, copies := a.promises.words(), a.copies.missing()
	if now := [2]string{lacking, copies}; now != a.said {
		was := a.said
		a.said = now
		a.hub.Records(lacking, copies)
		for i, sentence := range now {
			switch {
			case sentence == was[i]:
			case sentence != "":
				a.log.Warn(sentence)
				a.say(sentence)
			case i == 0:
				a.say("The entries that were missing are back.")
			default:
				a.say("The second folder for copies is back.")
			}
		}
	}
}

func (a *App) say(sentence string) {
	if a.Said != nil {
		a.Said(sentence)
	}
}

// copyAtEnd makes the evening's copy when the server stops.
func (a *App) copyAtEnd() { a.copyIfDue(context.Background(), true) }

func (a *App) closeRecords() error {
	var err error
	if a.promises != nil {
		err = a.promises.close()
	}
	if a.db != nil {
		err = errors.Join(err, a.db.Close())
	}
	if a.lock != nil {
		err = errors.Join(err, a.lock.Release())
	}
	return err
}

// syncRoutes are the routes for journal and photos. Whoever is connected hears
// of new entries.
func (a *App) syncRoutes() []route.Route {
	return syncapi.New(syncapi.Options{
		Entries: a.db,
		Photos:  presentPhotos{a.photos, a.db},
		Care:    a.care,
		Now:     a.now,
		Grown: func(cursor string) {
			a.hub.Notify(cursor)
			a.care.Grown()
		},
		Whole: func(ctx context.Context, by device.Device) { a.promises.hasBrought(ctx, by.ID) },
	}).Routes()
}

// presentPhotos takes no photo into a folder that was taken away.
type presentPhotos struct {
	*photostore.Store
	db *sqlite.DB
}

// Put is the store's, acknowledged only if the folder is still there.
func (p presentPhotos) Put(sum string, offset, total int64, chunk []byte) (journal.PhotoProgress, error) {
	progress, err := p.Store.Put(sum, offset, total, chunk)
	if gone := p.db.Present(); gone != nil {
		return journal.PhotoProgress{}, gone
	}
	return progress, err
}

// tellNewest lets the hub know how far the journal is, so that a phone that
// connects knows whether it has everything.
func (a *App) tellNewest(ctx context.Context) error {
	newest, err := a.db.Newest(ctx)
	if err == nil && newest != "" {
		a.hub.Notify(newest)
	}
	return err
}
