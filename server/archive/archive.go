// Package archive writes and reads backups: one zip file that any system can
// open, with a list of its contents and their hashes. A written one is read back
// before it gets its name, and a damaged one is refused as a whole.
package archive

import (
	"archive/zip"
	"compress/flate"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"panside/internal/fault"
	"panside/internal/say"
	"panside/server/durable"
)

const (
	// listName is the file in the archive that lists the others.
	listName = "contents.json"

	format = "panside backup"
	// version changes when an older program could not put the backup back.
	version = 1

	// An archive may be anybody's, so that what it says of itself costs little
	// memory however long it is: so many files, and so many bytes for the zip's
	// directory and for the list.
	maxFiles     = 45_000
	maxDirectory = 6 << 20
	maxList      = 12 << 20
)

// Contents is the list of what is in an archive.
type Contents struct {
	Format  string    `json:"format"`
	V       int       `json:"v"`
	Made    time.Time `json:"made"`
	Program string    `json:"program"` // the version that made it
	// Whole reports whether the photos and the server's certificate are in it too,
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

// Writer writes an archive in a folder of the disk where it will lie.
type Writer struct {
	// Progress, if set, is told of each piece of a file that was written, and that
	// was read back: so all bytes come twice.
	Progress func(bytes int)

	path string
	tmp  *os.File
	zip  *zip.Writer
	list Contents
	sync func(*os.File) error // puts a file on the disk; tests look on
}

// Create begins an archive. It is made in the folder work; nothing is at path
// until Close. Errors: fault.DataFolder.
func Create(path, work string, made time.Time, program string, whole bool) (*Writer, error) {
	tmp, err := os.CreateTemp(work, "unfinished-*") // readable by its owner only
	if err != nil {
		return nil, explain(path, err)
	}
	z := zip.NewWriter(tmp)
	// Somebody waits for it, and tighter packing takes three times as long.
	z.RegisterCompressor(zip.Deflate, func(w io.Writer) (io.WriteCloser, error) { return flate.NewWriter(w, flate.BestSpeed) })
	return &Writer{
		path: path, tmp: tmp, zip: z, sync: (*os.File).Sync,
		list: Contents{format, version, made.UTC().Truncate(time.Second), program, whole, []File{}},
	}, nil
}

// Add copies a file into the archive and returns its hash.
func (w *Writer) Add(ctx context.Context, name, from string) (sum string, err error) {
	if len(w.list.Files) >= maxFiles {
		return "", fault.New(fault.DataFolder, say.New("backup-too-many-files", say.Count("most", maxFiles)))
	}
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
	n, err := io.Copy(io.MultiWriter(part, h), &patient{ctx, f, w.Progress})
	if err != nil {
		return "", explain(w.path, err)
	}
	sum = hex.EncodeToString(h.Sum(nil))
	w.list.Files = append(w.list.Files, File{name, n, sum})
	return sum, nil
}

// patient reads until its context ends, and tells how far it is.
type patient struct {
	ctx  context.Context
	r    io.Reader
	tell func(bytes int) // nil for nobody
}

func (p *patient) Read(b []byte) (int, error) {
	if err := p.ctx.Err(); err != nil {
		return 0, err
	}
	n, err := p.r.Read(b)
	if p.tell != nil {
		p.tell(n)
	}
	return n, err
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
	back, err := open(ctx, w.tmp.Name(), w.Progress)
	if err != nil {
		return err
	}
	if err := back.Close(); err != nil {
		return err
	}
	if err := os.Rename(w.tmp.Name(), w.path); err != nil {
		return err
	}
	_ = durable.SyncFolder(filepath.Dir(w.path)) // some disks for carrying about can't; the file itself is safe
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
	file *os.File
	zip  *zip.Reader
	at   map[string]int // where a file is, by its name
	tell func(bytes int)
	sync func(*os.File) error // as of Writer
}

// Open opens an archive and reads all of it. Errors: fault.Damaged,
// fault.DataFolder, and fault.WireVersion for one that a newer program made.
func Open(ctx context.Context, path string) (*Archive, error) { return open(ctx, path, nil) }

func open(ctx context.Context, path string, tell func(bytes int)) (*Archive, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, explain(path, err)
	}
	a := &Archive{file: f, at: map[string]int{}, tell: tell, sync: (*os.File).Sync}
	err = a.openZip(path)
	if err == nil {
		err = a.check(ctx, path)
	}
	if err != nil {
		return nil, errors.Join(err, f.Close())
	}
	return a, nil
}

// openZip reads the zip's directory, unless that is longer than one of ours.
func (a *Archive) openZip(path string) error {
	info, err := a.file.Stat()
	if err != nil {
		return explain(path, err)
	}
	first := &thrifty{from: a.file, left: maxDirectory}
	if a.zip, err = zip.NewReader(first, info.Size()); err != nil {
		return damaged(path, err)
	}
	first.open = true
	if n := len(a.zip.File); n > maxFiles+1 {
		return damaged(path, fmt.Errorf("%d files", n))
	}
	return nil
}

// thrifty lets only so much be read until it is open.
type thrifty struct {
	from io.ReaderAt
	left int64
	open bool
}

func (t *thrifty) ReadAt(b []byte, at int64) (int, error) {
	if !t.open {
		if t.left -= int64(len(b)); t.left < 0 {
			return 0, errors.New("its directory is longer than that of any backup")
		}
	}
	return t.from.ReadAt(b, at)
}

func (a *Archive) check(ctx context.Context, path string) error {
	if err := a.readList(); err != nil || a.Format != format {
		return damaged(path, err)
	}
	if a.V > version {
		return fault.New(fault.WireVersion, say.New("backup-newer", say.Text("file", path)))
	}
	if len(a.zip.File) != len(a.Files)+1 {
		return damaged(path, errors.New("files that the list doesn’t have"))
	}
	for i, f := range a.Files {
		if a.zip.File[i].Name != f.Name || !fs.ValidPath(f.Name) {
			return damaged(path, errors.New("files in another order than the list’s, or with impossible names"))
		}
		a.at[f.Name] = i
		if err := a.copy(ctx, f, io.Discard); err != nil {
			if ctx.Err() != nil {
				return err
			}
			return damaged(path, err)
		}
	}
	return nil
}

// readList reads the list of contents, which is the archive's last file, piece
// by piece: it may claim anything.
func (a *Archive) readList() error {
	n := len(a.zip.File)
	if n == 0 || a.zip.File[n-1].Name != listName {
		return errors.New("no list of contents")
	}
	part, err := a.zip.File[n-1].Open()
	if err != nil {
		return err
	}
	defer part.Close()
	dec := json.NewDecoder(io.LimitReader(part, maxList))
	if t, err := dec.Token(); err != nil || t != json.Delim('{') {
		return errors.Join(err, errors.New("the list of contents is none"))
	}
	for dec.More() {
		key, err := dec.Token()
		if err != nil {
			return err
		}
		switch key {
		case "format":
			err = dec.Decode(&a.Format)
		case "v":
			err = dec.Decode(&a.V)
		case "made":
			err = dec.Decode(&a.Made)
		case "program":
			err = dec.Decode(&a.Program)
		case "whole":
			err = dec.Decode(&a.Whole)
		case "files":
			err = a.readFiles(dec, n-1)
		default: // of a newer program
			err = dec.Decode(new(json.RawMessage))
		}
		if err != nil {
			return err
		}
	}
	if _, err := dec.Token(); err != nil {
		return err
	}
	// Its checksum is compared at its end.
	_, err = io.Copy(io.Discard, io.LimitReader(part, maxList))
	return err
}

func (a *Archive) readFiles(dec *json.Decoder, most int) error {
	if t, err := dec.Token(); err != nil || t != json.Delim('[') {
		return errors.Join(err, errors.New("the list of files is none"))
	}
	for dec.More() {
		var f File
		if err := dec.Decode(&f); err != nil {
			return err
		}
		if len(a.Files) == most {
			return errors.New("more files in the list than in the archive")
		}
		a.Files = append(a.Files, f)
	}
	_, err := dec.Token()
	return err
}

// copy reads one file and holds it to the list.
func (a *Archive) copy(ctx context.Context, f File, to io.Writer) error {
	i, ok := a.at[f.Name]
	if !ok {
		return fs.ErrNotExist
	}
	part, err := a.zip.File[i].Open()
	if err != nil {
		return err
	}
	defer part.Close()
	h := sha256.New()
	// One byte more than the list says shows that there is more.
	n, err := io.Copy(io.MultiWriter(to, h), io.LimitReader(&patient{ctx, part, a.tell}, f.Bytes+1))
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
	i, ok := a.at[name]
	if !ok {
		return File{}, false
	}
	return a.Files[i], true
}

// Close closes the file.
func (a *Archive) Close() error { return a.file.Close() }

func damaged(path string, err error) error {
	return fault.Wrap(fault.Damaged, say.New("backup-damaged", say.Text("file", path)), err)
}

// explain turns what the system says into a sentence. A fault passes through.
func explain(path string, err error) error {
	var f *fault.Error
	switch {
	case err == nil || errors.As(err, &f):
		return err
	case errors.Is(err, fs.ErrNotExist):
		return fault.Wrap(fault.DataFolder, say.New("file-missing", say.Text("file", path)), err)
	case errors.Is(err, fs.ErrPermission):
		return fault.Wrap(fault.DataFolder, say.New("file-not-allowed", say.Text("file", path)), err)
	}
	return fault.Wrap(fault.DataFolder, say.New("file-unusable", say.Text("file", path)), err)
}
