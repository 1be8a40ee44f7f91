package backup

import (
	"context"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"panside/internal/fault"
	"panside/internal/journal"
	"panside/internal/say"
	"panside/server/archive"
	"panside/server/durable"
	"panside/server/folderlock"
	"panside/server/photostore"
	"panside/server/sqlite"
)

// Backup is one that was read whole and found right.
type Backup struct{ archive *archive.Archive }

// Open reads a backup. Errors: those of archive.Open.
func Open(ctx context.Context, file string) (*Backup, error) {
	a, err := archive.Open(ctx, file)
	if err != nil {
		return nil, err
	}
	return &Backup{a}, nil
}

// Close closes it.
func (b *Backup) Close() error { return b.archive.Close() }

// Restoring says how a backup is put back.
type Restoring struct {
	Dir   string // the data folder
	Force bool   // in the place of records that are there
	Now   time.Time
	// Step, if set, is asked before each step that concerns what is there. Its
	// error fails the step, in tests.
	Step func(name string) error
}

// Restored is what was put back.
type Restored struct {
	Made            time.Time // when the backup was
	Entries, Photos int
	Replaced        string // the folder with what was there before, empty if there was nothing
}

// Restore puts a backup into a data folder. Until all of it is there, checked and
// on the disk, nothing that was there is touched; then it takes its place whatever
// happens. Error: fault.DataFolder, fault.Damaged.
func (b *Backup) Restore(ctx context.Context, how Restoring) (Restored, error) {
	lock, err := folderlock.Hold(how.Dir)
	if err != nil {
		return Restored{}, err
	}
	defer lock.Release()
	if err := FinishRestore(ctx, how.Dir); err != nil {
		return Restored{}, err
	}
	r := restoring{ctx: ctx, back: b.archive, dir: how.Dir, now: how.Now, probe: how.Step}
	if err := r.mayReplace(how.Force); err != nil {
		return Restored{}, err
	}
	if err := r.run(); err != nil {
		return Restored{}, err
	}
	return Restored{b.archive.Made, r.facts.Entries, r.photos, r.replacedDir}, nil
}

// restoring is a backup on its way back.
type restoring struct {
	ctx    context.Context
	back   *archive.Archive
	dir    string
	now    time.Time
	facts  sqlite.Facts
	photos int
	// replacedDir is where the replaced files are, empty if there were none.
	replacedDir string
	// probe, if set, is asked before each step that concerns what is there. Its
	// error fails the step, in tests.
	probe func(step string) error
}

func (r *restoring) step(name string) error {
	if r.probe == nil {
		return nil
	}
	return r.probe(name)
}

// replaced are the files a backup would take the place of.
func (r *restoring) replaced() []string {
	names := []string{RecordsFile}
	if r.back.Whole {
		names = append(names, AuthorityFiles...)
	}
	return names
}

func (r *restoring) mayReplace(force bool) error {
	for _, name := range r.replaced() {
		_, err := os.Lstat(filepath.Join(r.dir, name))
		if err == nil && !force {
			return fault.New(fault.DataFolder, say.New("restore-not-empty", say.Text("folder", r.dir)))
		}
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return r.explain(err)
		}
	}
	return nil
}

// explain is for what the system says while files are moved.
func (r *restoring) explain(err error) error {
	var f *fault.Error
	if err == nil || errors.As(err, &f) {
		return err
	}
	return fault.Wrap(fault.DataFolder, say.New("restore-failed", say.Text("folder", r.dir)), err)
}

// run brings everything into the folder first, checked and on the disk. Until
// all is there nothing that was there is touched; photos only come to those that
// are there. From then on the backup takes its place whatever happens: what is
// broken off here goes on when the server or another restore is started.
func (r *restoring) run() error {
	for _, f := range r.back.Files {
		if strings.HasPrefix(f.Name, PhotosIn) && f.Bytes > journal.MaxPhoto {
			return fault.New(fault.Damaged, say.New("restore-photo-too-large"))
		}
	}
	tmp, err := os.MkdirTemp(r.dir, restoringInto+"*")
	if err != nil {
		return r.explain(err)
	}
	defer os.RemoveAll(tmp)
	for _, name := range r.replaced() {
		f, ok := r.back.Find(name)
		if !ok {
			continue // the user brought a certificate
		}
		if err := r.back.Extract(r.ctx, f, filepath.Join(tmp, name)); err != nil {
			return err
		}
	}
	r.facts, err = sqlite.Inspect(r.ctx, filepath.Join(tmp, RecordsFile))
	if err != nil && fault.Of(err).Code == fault.Damaged {
		return fault.Wrap(fault.Damaged, say.New("restore-records-damaged"), err)
	}
	if err != nil {
		return err
	}
	if err := r.bringPhotos(tmp); err != nil {
		return r.explain(err)
	}
	if err := r.keepReplaced(); err != nil {
		return r.explain(err)
	}
	if err := r.ready(tmp); err != nil {
		return r.explain(err)
	}
	p := placing{r.ctx, r.dir, r.step}
	return p.explain(p.run())
}

// ready makes what is in tmp the next to take its place, all of it or nothing.
func (r *restoring) ready(tmp string) error {
	if err := r.step("sync"); err != nil {
		return err
	}
	if err := durable.SyncFolder(tmp); err != nil {
		return err
	}
	if err := r.step("ready"); err != nil {
		return err
	}
	return durable.Rename(tmp, filepath.Join(r.dir, ReadyToPlace))
}

// bringPhotos adds the backup's photos to those that are there. Each is checked
// against its name, like one that comes from a phone.
func (r *restoring) bringPhotos(tmp string) error {
	store, err := photostore.Open(filepath.Join(r.dir, PhotosFolder), r.now)
	if err != nil {
		return err
	}
	for _, f := range r.back.Files {
		name, ok := strings.CutPrefix(f.Name, PhotosIn)
		if !ok {
			continue
		}
		sum := strings.TrimSuffix(name, filepath.Ext(name))
		if p, err := store.Have(sum); err != nil {
			return err
		} else if !p.Complete {
			path := filepath.Join(tmp, "photo")
			if err := r.back.Extract(r.ctx, f, path); err != nil {
				return err
			}
			err := putPhoto(store, sum, path)
			if err != nil && fault.Of(err).Code == fault.PhotoTorn {
				// A part that had arrived was damaged, and is forgotten now.
				err = putPhoto(store, sum, path)
			}
			if err != nil {
				return err
			}
			if err := os.Remove(path); err != nil {
				return err
			}
		}
		r.photos++
	}
	return nil
}

// putPhoto gives a file to the store piece by piece: it may be of any size.
func putPhoto(store *photostore.Store, sum, path string) error {
	f, err := os.Open(path)
	if err != nil {
		return err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return err
	}
	for piece, at := make([]byte, 1<<20), int64(0); ; {
		n, err := f.ReadAt(piece, at)
		if err != nil && !errors.Is(err, io.EOF) {
			return err
		}
		p, err := store.Put(sum, at, info.Size(), piece[:n])
		if err != nil || p.Complete {
			return err
		}
		if n == 0 {
			return io.ErrUnexpectedEOF
		}
		at += int64(n)
	}
}

// besides are the files SQLite keeps beside the records while they are open, or
// after a program that was killed.
var besides = []string{RecordsFile + "-wal", RecordsFile + "-shm"}

// keepReplaced copies what will be replaced into a folder of its own. A copy, so
// that there is no moment without records.
func (r *restoring) keepReplaced() error {
	for _, name := range append(r.replaced(), besides...) {
		from := filepath.Join(r.dir, name)
		if _, err := os.Lstat(from); errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if r.replacedDir == "" {
			dir, err := os.MkdirTemp(r.dir, "replaced-"+r.now.Format("2006-01-02")+"-*")
			if err != nil {
				return err
			}
			r.replacedDir = dir
		}
		if err := r.step("keep " + name); err != nil {
			return err
		}
		if err := copyFile(from, filepath.Join(r.replacedDir, name)); err != nil {
			return err
		}
	}
	if r.replacedDir == "" {
		return nil
	}
	return errors.Join(durable.SyncFolder(r.replacedDir), durable.SyncFolder(r.dir))
}

func copyFile(from, to string) error {
	in, err := os.Open(from)
	if err != nil {
		return err
	}
	defer in.Close()
	out, err := os.OpenFile(to, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return err
	}
	_, err = io.Copy(out, in)
	if err == nil {
		err = out.Sync()
	}
	return errors.Join(err, out.Close())
}
