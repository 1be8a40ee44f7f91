package main

import (
	"context"
	"errors"
	"path/filepath"
	"sync"
	"time"

	"panside/internal/device"
	"panside/internal/fault"
	"panside/internal/journal"
	"panside/internal/say"
	"panside/server/backup"
	"panside/server/folderlock"
	"panside/server/photostore"
	"panside/server/route"
	"panside/server/sqlite"
	"panside/server/syncapi"
)

const (
	// checkEvery is how often the records are read whole and held to what was
	// acknowledged.
	checkEvery = 24 * time.Hour

	// lookAround is how often the server looks whether that or a copy is due.
	lookAround = time.Minute
)

// records are what the App keeps in the data folder.
type records struct {
	folder string
	lock   *folderlock.Lock
	db     *sqlite.DB
	photos *photostore.Store
	// promises compares the records with what was acknowledged.
	promises *backup.Promises
	copies   *backup.Copies

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
	if err := backup.FinishRestore(ctx, dir); err != nil {
		return err
	}
	if err := backup.Sweep(dir, a.now()); err != nil {
		return err
	}
	if a.db, err = sqlite.Open(ctx, filepath.Join(dir, backup.RecordsFile)); err != nil {
		return err
	}
	if a.photos, err = photostore.Open(filepath.Join(dir, backup.PhotosFolder), a.now()); err != nil {
		return err
	}
	a.photos.Now = a.now
	a.promises, err = backup.OpenPromises(ctx, dir, a.db, a.now, a.log)
	return err
}

// openCopies is for when the server's own name, its authority, is known: by that
// its copies are told from those of others.
func (a *App) openCopies(dir string) (err error) {
	ours := "panside-" + a.authority.Fingerprint()[:8]
	a.copies, err = backup.OpenCopies(dir, a.cfg.Copies, ours, version(), a.promises.AnyLacking)
	return err
}

// followRecords tells phones and the laptop how the records are, now and when
// that changes.
func (a *App) followRecords(ctx context.Context) {
	a.promises.Tell = func(say.Line) { a.sayRecords() }
	a.promises.Say(ctx)
	a.sayRecords()
}

// sayRecords tells both sentences if either is new.
func (a *App) sayRecords() {
	a.saying.Lock()
	defer a.saying.Unlock()
	lacking, copies := a.promises.Missing(), a.copies.Missing()
	if now := [2]string{say.English.Write(lacking), say.English.Write(copies)}; now != a.said {
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

// keepRecords copies the records when that is due, and once a day holds them to
// what was acknowledged, until ctx ends.
func (a *App) keepRecords(ctx context.Context) {
	tick := time.NewTicker(lookAround)
	defer tick.Stop()
	checked := time.Now() // at the start; by the computer's own steady clock
	for {
		a.copyIfDue(ctx, false)
		if time.Since(checked) >= checkEvery {
			checked = time.Now()
			a.checkRecords(ctx)
		}
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		}
	}
}

// checkRecords reads the records whole.
func (a *App) checkRecords(ctx context.Context) {
	if err := a.promises.CompareAgain(ctx); err != nil && ctx.Err() == nil {
		f := fault.Of(err)
		a.log.Error("the records fail their daily check", "why", f.English(), "cause", f.Cause)
		a.say(f.English())
	}
}

// copyIfDue makes a copy if it is time, or at the end if anything is new.
func (a *App) copyIfDue(ctx context.Context, end bool) {
	err := a.db.Present() // or a copy would make the folder anew
	mark, err1 := a.db.Mark(ctx)
	place, err2 := a.db.Count(ctx)
	if err := errors.Join(err, err1, err2); err != nil {
		if ctx.Err() == nil {
			a.log.Warn("whether a copy of the records is due is not known", "cause", err)
		}
		return
	}
	if now := a.now(); a.copies.Due(mark, place, now) || end && a.copies.Behind(mark) {
		made, err := a.copies.Make(ctx, mark, place, now)
		if made.File != "" {
			a.log.Info("the records are copied", "file", made.File, "second", made.Second)
			a.promises.NoteBeside()
		}
		if err != nil && ctx.Err() == nil {
			f := fault.Of(err)
			a.log.Warn("the records could not be copied", "why", f.English(), "cause", f.Cause)
		}
		a.sayRecords()
	}
}

// copyAtEnd makes the evening's copy when the server stops.
func (a *App) copyAtEnd() { a.copyIfDue(context.Background(), true) }

func (a *App) closeRecords() error {
	var err error
	if a.promises != nil {
		err = a.promises.Close()
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
		Whole: func(ctx context.Context, by device.Device) { a.promises.HasBrought(ctx, by.ID) },
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
