package photostore

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"panside/internal/fault"
)

// Missing lists those of the named photos that aren't kept here.
func (s *Store) Missing(sums []string) ([]string, error) {
	missing := []string{}
	for _, sum := range sums {
		p, err := s.Have(sum)
		if err != nil {
			return nil, err
		}
		if !p.Complete {
			missing = append(missing, sum)
		}
	}
	return missing, nil
}

// find looks for a kept photo.
func (s *Store) find(sum string) (path string, info fs.FileInfo, err error) {
	for _, k := range kinds {
		path = filepath.Join(s.dir, sum+"."+k.ending)
		if info, err = os.Stat(path); err == nil || !errors.Is(err, fs.ErrNotExist) {
			return path, info, err
		}
	}
	return "", nil, err
}

// Photo is a kept photo.
type Photo struct {
	Sum  string
	Type string // image/jpeg, image/png or image/webp
	Path string
	Size int64
}

// Intact tells whether the file still has the bytes its name stands for.
func (p Photo) Intact() (bool, error) {
	f, err := os.Open(p.Path)
	if err != nil {
		return false, err
	}
	defer f.Close()
	sum, err := hashOf(f)
	return sum == p.Sum, err
}

// Find gives a kept photo. Errors: fault.BadInput, fault.NotFound,
// fault.DataFolder.
func (s *Store) Find(sum string) (Photo, error) {
	if !IsName(sum) {
		return Photo{}, noName
	}
	path, info, err := s.find(sum)
	if errors.Is(err, fs.ErrNotExist) {
		return Photo{}, fault.New(fault.NotFound, "This photo isn't on the laptop yet. It is on the phone that took it and comes when that one is near.")
	}
	if err != nil {
		return Photo{}, s.explain(err)
	}
	return photoAt(path, info.Size()), nil
}

// Read opens a kept photo. Errors: those of Find.
func (s *Store) Read(sum string) (content io.ReadCloser, kind string, size int64, err error) {
	p, err := s.Find(sum)
	if err != nil {
		return nil, "", 0, err
	}
	f, err := os.Open(p.Path)
	if err != nil {
		return nil, "", 0, s.explain(err)
	}
	return f, p.Type, p.Size, nil
}

func photoAt(path string, size int64) Photo {
	name := filepath.Base(path)
	p := Photo{Sum: name[:len(name)-len(filepath.Ext(name))], Path: path, Size: size}
	for _, k := range kinds {
		if "."+k.ending == filepath.Ext(name) {
			p.Type = k.mime
		}
	}
	return p
}

// Each calls do for every kept photo, in order of their names, until it returns
// an error.
func (s *Store) Each(do func(Photo) error) error {
	files, err := os.ReadDir(s.dir)
	if err != nil {
		return s.explain(err)
	}
	for _, f := range files {
		p := photoAt(filepath.Join(s.dir, f.Name()), 0)
		if p.Type == "" || !IsName(p.Sum) {
			continue // the folder of parts, or somebody else's file
		}
		info, err := f.Info()
		if err != nil {
			return s.explain(err)
		}
		p.Size = info.Size()
		if err := do(p); err != nil {
			return err
		}
	}
	return nil
}
