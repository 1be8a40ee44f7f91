package scale

import (
	"encoding/json"
	"errors"
	"io/fs"
	"log/slog"
	"os"
	"path/filepath"

	"panside/internal/dialect"
	"panside/server/durable"
	"panside/server/scalefeed"
)

// lastPort keeps the port where a scale was found last in a file of the data
// folder. It is a convenience: without it the scale is found all the same.
type lastPort struct {
	file string
	log  *slog.Logger
}

// lastPortFile is the file's content.
type lastPortFile struct {
	Name         string         `json:"name"`
	Kind         scalefeed.Kind `json:"kind"`
	PortSettings portSpeed      `json:"port_settings"`
	Format       string         `json:"format"`

	// What earlier programs called port settings and format; never written.
	Line    *portSpeed `json:"line,omitempty"`
	Dialect string     `json:"dialect,omitempty"`
}

// portSpeed is how a serial port is spoken to. The reader doesn't mind capital
// letters, with which it was written once.
type portSpeed struct {
	Baud    int    `json:"baud"`
	Framing string `json:"framing"`
}

func newLastPort(folder string, log *slog.Logger) lastPort {
	return lastPort{filepath.Join(folder, "last-port.json"), log}
}

// Recall reads the file. A damaged one counts as none.
func (p lastPort) Recall() (r scalefeed.Remembered, ok bool) {
	var f lastPortFile
	raw, err := readNewest(p.file, "scale.json")
	if err == nil {
		err = json.Unmarshal(raw, &f)
	}
	if err != nil {
		if !errors.Is(err, fs.ErrNotExist) {
			p.log.Warn("the port used last is not known", "cause", err)
		}
		return r, false
	}
	if f.Line != nil {
		f.PortSettings, f.Format = *f.Line, f.Dialect
	}
	r = scalefeed.Remembered{Name: f.Name, Kind: f.Kind, PortSettings: dialect.Settings(f.PortSettings), Format: f.Format}
	return r, r.Name != ""
}

// Remember replaces the file as a whole.
func (p lastPort) Remember(r scalefeed.Remembered) error {
	raw, err := json.MarshalIndent(lastPortFile{Name: r.Name, Kind: r.Kind, PortSettings: portSpeed(r.PortSettings), Format: r.Format}, "", "  ")
	if err != nil {
		return err
	}
	return durable.WriteFile(p.file, append(raw, '\n'))
}

// readNewest reads a file, or, where there is none yet, the one that an earlier
// program kept under another name. That one is left alone: a program that still
// runs on the folder may be using it.
func readNewest(file, earlier string) ([]byte, error) {
	raw, err := os.ReadFile(file)
	if errors.Is(err, fs.ErrNotExist) {
		return os.ReadFile(filepath.Join(filepath.Dir(file), earlier))
	}
	return raw, err
}
