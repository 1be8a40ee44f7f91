package scale

import (
	"encoding/json"
	"errors"
	"io/fs"
	"log/slog"
	"os"
	"path/filepath"

	"panside/internal/fault"
	"panside/server/durable"
	"panside/server/scaleapi"
)

// manualFile keeps in a file of the data folder what a person fixed of the
// scale: of the real one and of the practice scale apart, so that practising
// leaves the real one alone.
type manualFile struct {
	file string // "" keeps nothing
	log  *slog.Logger
}

type manualSettings struct {
	Real     *Settings `json:"real,omitempty"`
	Practice *Settings `json:"practice,omitempty"`
}

func newManualFile(folder string, log *slog.Logger) manualFile {
	if folder == "" {
		return manualFile{log: log}
	}
	return manualFile{filepath.Join(folder, "scale-settings.json"), log}
}

// read reads the file. A damaged one counts as none, because the program finds
// most scales by itself.
func (k manualFile) read() (f manualSettings) {
	if k.file == "" {
		return f
	}
	raw, err := os.ReadFile(k.file)
	if err == nil {
		err = json.Unmarshal(raw, &f)
	}
	if err != nil {
		if !errors.Is(err, fs.ErrNotExist) {
			k.log.Warn("the scale's settings can't be read; it is found by itself", "cause", err)
		}
		return manualSettings{}
	}
	return f
}

// keep replaces the settings of one scale. Error: fault.DataFolder.
func (k manualFile) keep(s Settings) error {
	if k.file == "" {
		return nil
	}
	f := k.read()
	if s.Port == scaleapi.Virtual {
		f.Practice = &s
	} else {
		f.Real = &s
	}
	raw, err := json.MarshalIndent(f, "", "  ")
	if err == nil {
		err = durable.WriteFile(k.file, append(raw, '\n'))
	}
	if err != nil {
		return fault.Wrap(fault.DataFolder, "The scale's settings can't be written into the data folder. Nothing was changed; see that its disk isn't full, and set them again.", err)
	}
	return nil
}
