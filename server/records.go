package main

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

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

	// Folders a backup or restore works in.
	backingUp     = ".backing-up-"
	restoringInto = ".restoring-"
)

// records are what the App keeps in the data folder.
type records struct {
	folder string
	lock   *folderlock.Lock
	db     *sqlite.DB
	photos *photostore.Store
}

// openRecords takes the data folder for this program alone, checks the records
// and makes what isn't there.
func (a *App) openRecords(ctx context.Context, dir string) (err error) {
	a.folder = dir
	if a.lock, err = folderlock.Hold(dir); err != nil {
		return err
	}
	if err := sweep(dir, a.now(), backingUp, restoringInto); err != nil {
		return err
	}
	if a.db, err = sqlite.Open(ctx, filepath.Join(dir, recordsFile)); err != nil {
		return err
	}
	if a.photos, err = photostore.Open(filepath.Join(dir, photosFolder), a.now()); err != nil {
		return err
	}
	a.photos.Now = a.now
	return nil
}

// sweep removes what programs that were killed left behind, by how its name
// begins. A backup may be under way, so only what is a day old counts.
func sweep(dir string, now time.Time, begin ...string) error {
	list, err := os.ReadDir(dir)
	if err != nil {
		return err
	}
	for _, e := range list {
		if !slices.ContainsFunc(begin, func(b string) bool { return strings.HasPrefix(e.Name(), b) }) {
			continue
		}
		if info, err := e.Info(); err != nil || now.Sub(info.ModTime()) < 24*time.Hour {
			continue // or gone meanwhile
		}
		if err := os.RemoveAll(filepath.Join(dir, e.Name())); err != nil {
			return err
		}
	}
	return nil
}

func (a *App) closeRecords() error {
	var err error
	if a.db != nil {
		err = a.db.Close()
	}
	if a.lock != nil {
		err = errors.Join(err, a.lock.Release())
	}
	return err
}

// syncRoutes are the routes for journal and photos. Whoever is connected hears
// of new entries.
func (a *App) syncRoutes() []route.Route {
	return syncapi.New(syncapi.Options{Entries: a.db, Photos: a.photos, Care: a.care, Now: a.now, Grown: func(cursor string) {
		a.hub.Notify(cursor)
		a.care.Grown()
	}}).Routes()
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
