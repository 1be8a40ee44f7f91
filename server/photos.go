package main

import (
	"panside/internal/journal"
	"panside/server/photocare"
	"panside/server/photostore"
)

// newCare wires what looks after the photos.
func (a *App) newCare() *photocare.Care {
	return photocare.New(photocare.Options{
		ReadNext: func() (photocare.Step, error) {
			s, err := a.photos.ReadNext(photostore.Calm)
			return photocare.Step{Sum: s.Sum, Right: s.Found == photostore.Right, First: s.First, Waiting: s.Waiting, Wait: s.Wait}, err
		},
		Fresh: a.photos.Fresh(),
		Troubled: func() ([]photocare.Trouble, error) {
			list, err := a.photos.Troubled()
			troubles := make([]photocare.Trouble, len(list))
			for i, t := range list {
				why := journal.PhotoDamaged
				if t.Why == photostore.Gone {
					why = journal.PhotoGone
				}
				troubles[i] = photocare.Trouble{Sum: t.Sum, Why: why}
			}
			return troubles, err
		},
		Missing: func(sums []string) ([]string, error) {
			missing, _, err := a.photos.Missing(sums, false)
			return missing, err
		},
		EntriesAfter: a.db.EntriesAfter,
		Devices:      a.db.Devices,
		Changed:      a.hub.NotifyPhotos,
		Now:          a.now,
		Log:          a.log,
	})
}
