// Package archive writes and reads backups: one zip file that any system can
// open, with a list of its contents and their hashes. A written one is read back
// before it gets its name, and a damaged one is refused as a whole.
package archive

import (
	"archive/zip"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"panside/internal/fault"
)

const (
	// listName is the file in the archive that lists the others.
	listName = "contents.json"

	// Unfinished begins the names of archives that are being written.
	Unfinished = ".panside-backup-"

	format = "panside backup"
	// version changes when an older program could not put the backup back.
	version = 1
)

// Contents is the list of what is in an archive.
type Contents struct {
	Format  string    `json:"format"`
	V       int       `json:"v"`
	Made    time.Time `json:"made"`
	Program string    `json:"program"` // the version that made it
	// Whole tells that the photos and the server's certificate are in it too,
	// and not the records only.
	Whole bool   `json:"whole"`
	Files []File `json:"files"`
}

// File is one file in an archive.
type File struct {
	Name   string `json:"name"` // with / between folders
	Bytes  int64  `json:"bytes"`
	SHA256 string `json:"sha256"`
}

// Writer writes an archive beside the place where it will lie.
type Writer struct {
	path string
	tmp  *os.File
	zip  *zip.Writer
	list Contents
	sync func(*os.File) error // puts a file on the disk; tests look on
}

// Create begins an archive. Nothing is at path until Close. Errors:
// fault.DataFolder.
func Create(path string, made time.Time, program string, whole bool) (*Writer, error) {
	tmp, err := os.CreateTemp(filepath.Dir(path), Unfinished+"*") // readable by its owner only
	if err != nil {
		return nil, explain(path, err)
	}
	return &Writer{
		path: path, tmp: tmp, zip: zip.NewWriter(tmp), sync: (*os.File).Sync,
		list: Contents{format, version, made.UTC().Truncate(time.Second), program, whole, []File{}},
	}, nil
}

// Add copies a file into the archive and returns its hash.
func (w *Writer) Add(ctx context.Context, name, from string) (sum string, err error) {
	f, err := os.Open(from)
	if err != nil {
		return "", explain(from, err)
	}
	defer f.Close()
	// Photos are packed already; packing the rest is worth its while.
	method := zip.Store
	if filepath.Ext(name) == ".db" {
		method = zip.Deflate
	}
	part, err := w.zip.CreateHeader(&zip.FileHeader{Name: name, Method: method, Modified: w.list.Made})
	if err != nil {
		return "", explain(w.path, err)
	}
	h := sha256.New()
	n, err := io.Copy(io.MultiWriter(part, h), &patient{ctx, f})
	if err != nil {
		return "", explain(w.path, err)
	}
	sum = hex.EncodeToString(h.Sum(nil))
	w.list.Files = append(w.list.Files, File{name, n, sum})
	return sum, nil
}

// patient reads until its context ends.
type patient struct {
	ctx context.Context
	r   io.Reader
}

func (p *patient) Read(b []byte) (int, error) {
	if err := p.ctx.Err(); err != nil {
		return 0, err
	}
	return p.r.Read(b)
}

// Close finishes the archive, reads it back, and gives it its name. Error:
// fault.DataFolder, fault.Damaged; then nothing is at its place, or what was
// there before.
func (w *Writer) Close(ctx context.Context) error {
	if err := w.finish(ctx); err != nil {
		w.Abandon()
		return explain(w.path, err)
	}
	return nil
}

func (w *Writer) finish(ctx context.Context) error {
	part, err := w.zip.Create(listName)
	if err != nil {
		return err
	}
	enc := json.NewEncoder(part)
	enc.SetIndent("", "  ")
	if err := errors.Join(enc.Encode(w.list), w.zip.Close(), w.sync(w.tmp)); err != nil {
		return err
	}
	if err := w.tmp.Close(); err != nil {
		return err
	}
	back, err := Open(ctx, w.tmp.Name())
	if err != nil {
		return err
	}
	if err := back.Close(); err != nil {
		return err
	}
	if err := os.Rename(w.tmp.Name(), w.path); err != nil {
		return err
	}
	// Some disks for carrying about can't be asked this; the file itself is safe.
	if dir, err := os.Open(filepath.Dir(w.path)); err == nil {
		_ = dir.Sync()
		_ = dir.Close()
	}
	return nil
}

// Abandon removes what was written.
func (w *Writer) Abandon() {
	_ = w.tmp.Close() // perhaps it is already
	_ = os.Remove(w.tmp.Name())
}

// Archive is an open archive whose every file was read and found right.
type Archive struct {
	Contents
	zip  *zip.ReadCloser
	sync func(*os.File) error // as of Writer
}

// Open opens an archive and reads all of it. Errors: fault.Damaged,
// fault.DataFolder, and fault.WireVersion for one that a newer program made.
func Open(ctx context.Context, path string) (*Archive, error) {
	z, err := zip.OpenReader(path)
	switch {
	case errors.Is(err, zip.ErrFormat) || errors.Is(err, io.ErrUnexpectedEOF):
		return nil, damaged(path, err)
	case err != nil:
		return nil, explain(path, err)
	}
	a := &Archive{zip: z, sync: (*os.File).Sync}
	if err := a.check(ctx, path); err != nil {
		return nil, errors.Join(err, z.Close())
	}
	return a, nil
}

func (a *Archive) check(ctx context.Context, path string) error {
	raw, err := fs.ReadFile(a.zip, listName)
	if err == nil {
		err = json.Unmarshal(raw, &a.Contents)
	}
	switch {
	case err != nil || a.Format != format:
		return damaged(path, err)
	case a.V > version:
		return fault.New(fault.WireVersion, "The backup “"+path+"” was made by a newer version of this program. Nothing was changed; use that version to put it back.")
	case len(a.zip.File) != len(a.Files)+1:
		return damaged(path, errors.New("files that the list doesn't have"))
	}
	for _, f := range a.Files {
		if err := a.copy(ctx, f, io.Discard); err != nil {
			if ctx.Err() != nil {
				return err
			}
			return damaged(path, err)
		}
	}
	return nil
}

// copy reads one file and holds it to the list.
func (a *Archive) copy(ctx context.Context, f File, to io.Writer) error {
	part, err := a.zip.Open(f.Name)
	if err != nil {
		return err
	}
	defer part.Close()
	h := sha256.New()
	// One byte more than the list says shows that there is more.
	n, err := io.Copy(io.MultiWriter(to, h), io.LimitReader(&patient{ctx, part}, f.Bytes+1))
	if err != nil {
		return err
	}
	if n != f.Bytes || hex.EncodeToString(h.Sum(nil)) != f.SHA256 {
		return errors.New(f.Name + " is not as it was")
	}
	return nil
}

// Extract writes one file of the archive to a new file, on the disk when it
// returns. Errors: fault.DataFolder, fault.Damaged.
func (a *Archive) Extract(ctx context.Context, f File, to string) error {
	out, err := os.OpenFile(to, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return explain(to, err)
	}
	err = a.copy(ctx, f, out)
	if err == nil {
		err = a.sync(out)
	}
	return explain(to, errors.Join(err, out.Close()))
}

// Find looks a file up by its name.
func (a *Archive) Find(name string) (File, bool) {
	for _, f := range a.Files {
		if f.Name == name {
			return f, true
		}
	}
	return File{}, false
}

// Close closes the file.
func (a *Archive) Close() error { return a.zip.Close() }

func damaged(path string, err error) error {
	return fault.Wrap(fault.Damaged, "The backup “"+path+"” is damaged or is no backup of this program. Nothing was changed; use another one.", err)
}

// explain turns what the system says into a sentence. A fault passes through.
func explain(path string, err error) error {
	var f *fault.Error
	switch {
	case err == nil || errors.As(err, &f):
		return err
	case errors.Is(err, fs.ErrNotExist):
		return fault.Wrap(fault.DataFolder, "“"+path+"” isn't there. Nothing was changed; check the name and the folder.", err)
	case errors.Is(err, fs.ErrPermission):
		return fault.Wrap(fault.DataFolder, "“"+path+"” can't be used: this user isn't allowed to. Nothing was changed; choose another place.", err)
	}
	return fault.Wrap(fault.DataFolder, "“"+path+"” can't be read or written, perhaps because the disk is full or read-only. Nothing that was there is changed; free some space or choose another place.", err)
}
