// Package durable writes files so that they outlive a loss of power, and so that
// nobody ever reads half of one. It lies below the adapters, which all write in
// the data folder.
package durable

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
)

// Disk is the way to the disk. The zero value is the system's own; tests put
// faults in, or look on.
type Disk struct {
	// Sync puts what a file or folder holds on the disk; nil is File.Sync.
	Sync   func(*os.File) error
	write  func(*os.File, []byte) (int, error)
	rename func(from, to string) error
}

// WriteFile replaces a file by one that holds content, for its owner's eyes
// only, on the disk when it returns. After an error the file is the old one or
// the new one, whole. One writer at a time for each name.
func WriteFile(name string, content []byte) error { return Disk{}.WriteFile(name, content) }

// Write is WriteFile for what is written piece by piece, with the file's mode.
func Write(name string, mode fs.FileMode, content func(io.Writer) error) error {
	return Disk{}.Write(name, mode, content)
}

// Rename gives a file or folder another name on the same disk; the name outlives
// a loss of power when it returns.
func Rename(from, to string) error { return Disk{}.Rename(from, to) }

// SyncFolder makes the names in a folder outlive a loss of power.
func SyncFolder(dir string) error { return Disk{}.SyncFolder(dir) }

// WriteFile is the function of that name.
func (d Disk) WriteFile(name string, content []byte) error {
	return d.Write(name, 0o600, func(w io.Writer) error {
		_, err := w.Write(content)
		return err
	})
}

// Write is the function of that name.
func (d Disk) Write(name string, mode fs.FileMode, content func(io.Writer) error) error {
	// One name for all tries, so that a program that is killed leaves one file at
	// most, which the next try takes away.
	fresh := filepath.Join(filepath.Dir(name), "."+filepath.Base(name)+".new")
	if err := d.fill(fresh, mode, content); err != nil {
		return errors.Join(err, remove(fresh))
	}
	if err := d.Rename(fresh, name); err != nil {
		return errors.Join(err, remove(fresh))
	}
	return nil
}

// fill writes a file that takes no other's place yet. It is closed even so,
// because Windows renames no open file.
func (d Disk) fill(name string, mode fs.FileMode, content func(io.Writer) error) error {
	f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_TRUNC, mode)
	if err != nil {
		return err
	}
	if err = content(writer{f, d}); err == nil {
		err = d.sync(f)
	}
	return errors.Join(err, f.Close())
}

type writer struct {
	f *os.File
	d Disk
}

func (w writer) Write(b []byte) (int, error) {
	if w.d.write != nil {
		return w.d.write(w.f, b)
	}
	return w.f.Write(b)
}

func remove(name string) error {
	if err := os.Remove(name); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return nil
}

// Rename is the function of that name.
func (d Disk) Rename(from, to string) error {
	rename := d.rename
	if rename == nil {
		rename = os.Rename
	}
	if err := rename(from, to); err != nil {
		return err
	}
	return d.SyncFolder(filepath.Dir(to))
}

// SyncFolder is the function of that name. Windows keeps names safe by itself and
// can't be asked to.
func (d Disk) SyncFolder(dir string) error {
	if runtime.GOOS == "windows" {
		return nil
	}
	f, err := os.Open(dir)
	if err != nil {
		return err
	}
	return errors.Join(d.sync(f), f.Close())
}

func (d Disk) sync(f *os.File) error {
	if d.Sync != nil {
		return d.Sync(f)
	}
	return f.Sync()
}
