package syncsim

import (
	"context"
	"errors"
	"log/slog"
	"os"
	"path/filepath"
	"slices"
	"time"

	"panside/internal/device"
	"panside/internal/journal"
	"panside/server/photocare"
	"panside/server/photostore"
)

// newCare looks after the laptop's photos as the server's does; reading them
// again is up to readAgain.
func (l *laptop) newCare() *photocare.Care {
	return photocare.New(photocare.Options{
		Troubled: func() ([]photocare.Trouble, error) {
			list, err := l.photos.Troubled()
			var troubles []photocare.Trouble
			for _, t := range list {
				troubles = append(troubles, photocare.Trouble{Sum: t.Sum, Why: string(t.Why)})
			}
			return troubles, err
		},
		Missing: func(sums []string) ([]string, error) {
			missing, _, err := l.photos.Missing(sums, false)
			return missing, err
		},
		EntriesAfter: l.db.EntriesAfter,
		Devices:      func(context.Context) ([]device.Device, error) { return []device.Device{{ID: "D"}}, nil },
		Changed:      func() {},
		Now:          l.clock,
		Log:          slog.New(slog.DiscardHandler),
	})
}

func (l *laptop) clock() time.Time { return time.Unix(0, l.now) }

// readAgain reads photos again until none is due, or some of them; it may be
// killed meanwhile.
func (l *laptop) readAgain(steps int) {
	l.t.Helper()
	l.now += int64(photostore.Calm.Quiet)
	for range steps {
		step, err := l.photos.ReadNext(photostore.Calm)
		if l.died {
			l.killed()
			continue
		}
		if err != nil {
			l.t.Fatal(err)
		}
		l.now += int64(step.Wait)
		if step.Found == photostore.Damaged {
			l.faults["damaged photo found by reading again"]++
		}
		if step.Found == photostore.Nothing {
			break
		}
	}
	l.dieIn = 0
	if err := l.care.Look(context.Background()); err != nil {
		l.t.Fatal(err)
	}
}

// rot damages a photo on the disk as disks and people do; empty if there is none.
func (l *laptop) rot() (sum string) {
	l.t.Helper()
	files, err := filepath.Glob(filepath.Join(l.dir, "photos", "*.jpg"))
	if err != nil {
		l.t.Fatal(err)
	}
	if len(files) == 0 {
		return ""
	}
	slices.Sort(files)
	file := files[l.rng.IntN(len(files))]
	switch l.rng.IntN(3) {
	case 0:
		l.faults["bit of a photo flipped"]++
		err = flipBit(file, l.rng.IntN)
	case 1:
		l.faults["photo emptied"]++
		err = os.Truncate(file, 0)
	case 2:
		l.faults["photo vanished"]++
		err = os.Remove(file)
	}
	if err != nil {
		l.t.Fatal(err)
	}
	name := filepath.Base(file)
	return name[:len(name)-len(".jpg")]
}

// flipBit changes one bit, and leaves the file's times as they were.
func flipBit(file string, random func(int) int) error {
	info, err := os.Stat(file)
	if err != nil {
		return err
	}
	raw, err := os.ReadFile(file)
	if err != nil || len(raw) == 0 {
		return err
	}
	raw[random(len(raw))] ^= 1 << random(8)
	return errors.Join(os.WriteFile(file, raw, 0o600), os.Chtimes(file, time.Time{}, info.ModTime()))
}

// loseLedger is what a loss of power does to the list of readings, which nobody
// syncs.
func (l *laptop) loseLedger(photos string) {
	l.t.Helper()
	file := filepath.Join(photos, "read-again.log")
	raw, err := os.ReadFile(file)
	if errors.Is(err, os.ErrNotExist) || len(raw) == 0 {
		return
	}
	if err == nil {
		err = os.WriteFile(file, raw[:l.rng.IntN(len(raw))], 0o600)
	}
	if err != nil {
		l.t.Fatal(err)
	}
	l.faults["list of readings torn"]++
}

// rot lets a photo rot. What no phone has any more is lost then, and must never
// be called complete; what a phone has must come again.
func (n *night) rot() {
	sum := n.laptop.rot()
	if sum == "" {
		return
	}
	for _, p := range n.phones {
		if p.disk.Photos[sum].Bytes != nil {
			return
		}
	}
	if n.photos[sum] != nil {
		n.net.faults["photo that nobody else had rotten"]++
		delete(n.photos, sum)
	}
}

// readPhotosAgain lets the laptop go on with its round, perhaps after days, and
// perhaps be killed while it moves a damaged one away.
func (n *night) readPhotosAgain() {
	if n.rng.IntN(3) == 0 {
		n.laptop.now += int64(n.rng.IntN(10*24)) * int64(time.Hour)
	}
	if n.rng.IntN(2) == 0 {
		n.laptop.dieIn = 1
	}
	n.laptop.readAgain(1 + n.rng.IntN(20))
}

// badDisk is a laptop whose disk goes bad after most photos have come, and some
// were freed on the phones.
func (n *night) badDisk() {
	n.net.good = n.rng.IntN(2) == 0
	for range 3 {
		for _, p := range n.phones {
			p.sync()
		}
		n.readPhotosAgain()
		n.rot()
	}
}

// nothingDamagedIsComplete reads everything that lies in the photos' folder.
func (n *night) nothingDamagedIsComplete() {
	err := n.laptop.photos.Each(func(p photostore.Photo) error {
		have, err := n.laptop.photos.Have(p.Sum)
		if err != nil || !have.Complete {
			return err
		}
		raw, err := os.ReadFile(p.Path)
		if err == nil && shaOf(raw) != p.Sum {
			n.t.Errorf("a damaged photo is called complete: %s", p.Sum)
		}
		return err
	})
	if err != nil {
		n.t.Error(err)
	}
	for _, t := range n.wanted() {
		if n.photos[t.Photo] != nil {
			n.t.Errorf("%s is still wanted: %s", t.Photo, t.Why)
		}
	}
}

func (n *night) wanted() []journal.PhotoWanted {
	n.t.Helper()
	if err := n.laptop.care.Look(context.Background()); err != nil {
		n.t.Fatal(err)
	}
	w, err := n.laptop.care.Wanted(context.Background(), "D")
	if err != nil {
		n.t.Fatal(err)
	}
	return w.Photos
}
