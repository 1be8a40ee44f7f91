package photostore

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"panside/internal/fault"
	"panside/internal/journal"
	"panside/internal/say"
)

// Missing lists those of the named photos that aren't kept here, and of the
// others those that were read back from the disk lately, or that are read back
// for the answer: only of these may a phone free its own copy.
func (s *Store) Missing(sums []string, readNow bool) (missing, verified []string, err error) {
	missing, verified = []string{}, []string{}
	for _, sum := range sums {
		if !IsName(sum) {
			return nil, nil, noName
		}
		p, err := s.quickly(sum)
		if err == nil && p.Complete && readNow {
			var step Step
			step, err = s.readBack(sum)
			p.Complete, p.Verified = step.Found == Right, step.Found == Right
		}
		switch {
		case err != nil:
			return nil, nil, s.explain(err)
		case !p.Complete:
			missing = append(missing, sum)
		case p.Verified:
			verified = append(verified, sum)
		}
	}
	return missing, verified, nil
}

func (s *Store) quickly(sum string) (journal.PhotoProgress, error) {
	defer s.lock(sum)()
	return s.have(sum, false)
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

// Intact reports whether the file still has the bytes its name stands for.
func (p Photo) Intact() (bool, error) {
	f, err := os.Open(p.Path)
	if err != nil {
		return false, err
	}
	defer f.Close()
	sum, err := hashOf(f)
	return sum == p.Sum, err
}

var notHereYet = fault.New(fault.NotFound, say.New("photo-not-here-yet"))

// Find gives a kept photo. Errors: fault.BadInput, fault.NotFound,
// fault.DataFolder.
func (s *Store) Find(sum string) (Photo, error) {
	if !IsName(sum) {
		return Photo{}, noName
	}
	path, info, err := s.find(sum)
	if errors.Is(err, fs.ErrNotExist) {
		return Photo{}, notHereYet
	}
	if err != nil {
		return Photo{}, s.explain(err)
	}
	return photoAt(path, info.Size()), nil
}

// Read opens a kept photo, which is read for it first: what isn't whole isn't
// given out. Errors: those of Find.
func (s *Store) Read(sum string) (content io.ReadSeekCloser, kind string, err error) {
	p, err := s.whole(sum)
	if err != nil {
		return nil, "", err
	}
	f, err := os.Open(p.Path)
	if err != nil {
		return nil, "", s.explain(err)
	}
	return f, p.Type, nil
}

func (s *Store) whole(sum string) (Photo, error) {
	if !IsName(sum) {
		return Photo{}, noName
	}
	defer s.lock(sum)()
	path, info, err := s.find(sum)
	if err == nil {
		err = s.hold(sum, path, info, true)
	}
	switch {
	case err == nil:
		return photoAt(path, info.Size()), nil
	case !errors.Is(err, fs.ErrNotExist):
		return Photo{}, s.explain(err)
	case s.isApart(sum):
		return Photo{}, fault.New(fault.NotFound, say.New("photo-damaged-here"))
	}
	return Photo{}, notHereYet
}

func (s *Store) isApart(sum string) bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.apart[sum]
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
