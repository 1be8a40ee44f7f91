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
	file := filepath.Join(folder, "last-port.json")
	carryOver(filepath.Join(folder, "scale.json"), file, log)
	return lastPort{file, log}
}

// Recall reads the file. A damaged one counts as none.
func (p lastPort) Recall() (r scalefeed.Remembered, ok bool) {
	var f lastPortFile
	raw, err := os.ReadFile(p.file)
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

// carryOver gives a file of an earlier program the name that it has now, unless
// one of that name is there. If that fails, what it says is found or asked anew.
func carryOver(old, file string, log *slog.Logger) {
	if _, err := os.Stat(file); !errors.Is(err, fs.ErrNotExist) {
		return
	}
	if err := durable.Rename(old, file); err != nil && !errors.Is(err, fs.ErrNotExist) {
		log.Warn("a file of an earlier version can't be carried over", "file", old, "cause", err)
	}
}
