package backup

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"

	"panside/internal/fault"
	"panside/internal/say"
	"panside/server/durable"
	"panside/server/sqlite"
)

// ReadyToPlace is a folder with the files of a backup that are whole and on the
// disk, and next to take their place. Once it has this name there is no way back
// but forward, so that no mixture of two states is ever used.
const ReadyToPlace = ".ready-to-put-back"

// FinishRestore goes on with a restore that was broken off while it put files in
// their places. The folder's lock must be held.
func FinishRestore(ctx context.Context, dir string) error {
	p := placing{ctx, dir, func(string) error { return nil }}
	return p.explain(p.run())
}

// placing gives the files of ReadyToPlace their places. It can be broken off
// anywhere and run again.
type placing struct {
	ctx  context.Context
	dir  string
	step func(name string) error // asked before each step; its error fails it
}

func (p placing) explain(err error) error {
	if err == nil {
		return nil
	}
	return fault.Wrap(fault.DataFolder, say.New("restore-broken-off", say.Text("folder", filepath.Join(p.dir, ReadyToPlace))), err)
}

func (p placing) run() error {
	ready := filepath.Join(p.dir, ReadyToPlace)
	list, err := os.ReadDir(ready)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	if _, err := os.Stat(filepath.Join(ready, RecordsFile)); err == nil {
		if err := p.clearBesides(); err != nil {
			return err
		}
	}
	for _, e := range list {
		if err := p.step("place " + e.Name()); err != nil {
			return err
		}
		if err := os.Rename(filepath.Join(ready, e.Name()), filepath.Join(p.dir, e.Name())); err != nil {
			return err
		}
	}
	if err := p.step("done"); err != nil {
		return err
	}
	return errors.Join(durable.SyncFolder(p.dir), os.Remove(ready), durable.SyncFolder(p.dir))
}

// clearBesides removes what SQLite kept beside the old records: it would be
// taken for a part of the new ones. It goes into the old ones first, so that they
// are whole until they are replaced; damaged ones can't be made so, and were copied
// as they were.
func (p placing) clearBesides() error {
	if err := p.step("fold"); err != nil {
		return err
	}
	_ = sqlite.Fold(p.ctx, filepath.Join(p.dir, RecordsFile))
	for _, name := range besides {
		if err := p.step("remove " + name); err != nil {
			return err
		}
		if err := os.Remove(filepath.Join(p.dir, name)); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	return durable.SyncFolder(p.dir)
}
