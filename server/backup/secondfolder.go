package backup

import (
	"encoding/json"
	"errors"
	"io/fs"
	"os"
	"path/filepath"

	"panside/internal/fault"
	"panside/internal/say"
	"panside/server/durable"
)

// NoSecondFolder, given for --copies, ends a second folder named before.
const NoSecondFolder = "none"

// secondFolder is where copies of the records go beside the data folder: on
// another disk, best. It is remembered, so that it is named once.
type secondFolder struct {
	// Folder is the one that was named, empty for none.
	Folder string `json:"folder"`
	// Ours is the name of the folder in it that has this laptop's copies: several
	// laptops may use one disk.
	Ours string `json:"ours"`
	// Begun reports whether Ours was made once. It isn't made again: if it is gone, the
	// disk isn't there, and the copies would land where it is plugged in otherwise.
	Begun bool `json:"begun"`

	file string // that remembers it
}

// openSecondFolder reads what is remembered, changed by what was named now.
func openSecondFolder(dir, named, ours string) (s secondFolder, err error) {
	s.file = filepath.Join(dir, "copies.json")
	raw, err := os.ReadFile(s.file)
	if err == nil {
		err = json.Unmarshal(raw, &s)
	}
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return s, fault.Wrap(fault.DataFolder, say.New("copies-note-unreadable", say.Text("file", s.file)), err)
	}
	switch {
	case named == "":
		return s, nil
	case named == NoSecondFolder:
		s.Folder, s.Ours, s.Begun = "", "", false
	default:
		abs, err := filepath.Abs(named)
		if err != nil {
			return s, s.absent(err)
		}
		if abs == s.Folder && s.Ours == ours {
			return s, nil
		}
		s.Folder, s.Ours, s.Begun = abs, ours, false
	}
	return s, s.remember()
}

func (s *secondFolder) remember() error {
	raw, err := json.MarshalIndent(s, "", "  ")
	if err == nil {
		err = durable.WriteFile(s.file, append(raw, '\n'))
	}
	if err != nil {
		return fault.Wrap(fault.DataFolder, say.New("copies-note-unwritten", say.Text("file", s.file)), err)
	}
	return nil
}

// place is the folder with this laptop's copies.
func (s *secondFolder) place() string { return filepath.Join(s.Folder, s.Ours) }

// ready gives the folder for copies, made the first time. Error:
// fault.DataFolder if it isn't there.
func (s *secondFolder) ready() (string, error) {
	if s.Folder == "" {
		return "", nil
	}
	if info, err := os.Stat(s.Folder); err != nil || !info.IsDir() {
		return "", s.absent(err)
	}
	if !s.Begun {
		if err := os.MkdirAll(s.place(), 0o700); err != nil {
			return "", s.absent(err)
		}
		s.Begun = true
		return s.place(), s.remember()
	}
	if info, err := os.Stat(s.place()); err != nil || !info.IsDir() {
		return "", s.absent(err)
	}
	return s.place(), nil
}

func (s *secondFolder) absent(err error) error {
	return fault.Wrap(fault.DataFolder, say.New("copies-second-folder", say.Text("folder", s.place()), say.Text("none", NoSecondFolder)), err)
}
