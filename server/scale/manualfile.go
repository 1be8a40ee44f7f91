package scale

import (
	"encoding/json"
	"errors"
	"io/fs"
	"log/slog"
	"path/filepath"

	"panside/internal/fault"
	"panside/internal/say"
	"panside/server/durable"
	"panside/server/scaleapi"
)

// manualFile keeps in a file of the data folder what a person set by hand of the
// scale: of the real one and of the practice scale apart, so that practising
// leaves the real one alone.
type manualFile struct {
	file string // "" keeps nothing
	log  *slog.Logger
}

// manualSettings are the file's content.
type manualSettings struct {
	Real     *keptSettings `json:"real,omitempty"`
	Practice *keptSettings `json:"practice,omitempty"`
}

// keptSettings are settings as they stand in the file.
type keptSettings struct {
	Settings
	// What earlier programs called the resolution; never written.
	Step     string `json:"step,omitempty"`
	StepUnit string `json:"step_unit,omitempty"`
}

// ofNow gives them the names of now.
func (k *keptSettings) ofNow() {
	if k != nil && k.Step != "" {
		k.Resolution, k.ResolutionUnit, k.Step, k.StepUnit = k.Step, k.StepUnit, "", ""
	}
}

func newManualFile(folder string, log *slog.Logger) manualFile {
	if folder == "" {
		return manualFile{log: log}
	}
	return manualFile{filepath.Join(folder, "manual-settings.json"), log}
}

// read gives the settings of the real and of the practice scale, nil for none. A
// damaged file counts as none, because the program finds most scales by itself.
func (m manualFile) read() (real, practice *Settings) {
	f := m.content()
	if f.Real != nil {
		real = &f.Real.Settings
	}
	if f.Practice != nil {
		practice = &f.Practice.Settings
	}
	return real, practice
}

func (m manualFile) content() (f manualSettings) {
	if m.file == "" {
		return f
	}
	raw, err := readNewest(m.file, "scale-settings.json")
	if err == nil {
		err = json.Unmarshal(raw, &f)
	}
	if err != nil {
		if !errors.Is(err, fs.ErrNotExist) {
			m.log.Warn("the scale’s settings can’t be read; back to automatic", "cause", err)
		}
		return manualSettings{}
	}
	f.Real.ofNow()
	f.Practice.ofNow()
	return f
}

// keep replaces the settings of one scale. Error: fault.DataFolder.
func (m manualFile) keep(s Settings) error {
	if m.file == "" {
		return nil
	}
	f := m.content()
	if s.Port == scaleapi.Virtual {
		f.Practice = &keptSettings{Settings: s}
	} else {
		f.Real = &keptSettings{Settings: s}
	}
	raw, err := json.MarshalIndent(f, "", "  ")
	if err == nil {
		err = durable.WriteFile(m.file, append(raw, '\n'))
	}
	if err != nil {
		return fault.Wrap(fault.DataFolder, say.New("settings-not-written"), err)
	}
	return nil
}
