package scale

import (
	"encoding/json"
	"errors"
	"io/fs"
	"log/slog"
	"os"
	"path/filepath"

	"panside/server/durable"
	"panside/server/scalefeed"
)

// lastPort keeps the scale used last in a file of the data folder. It is a
// convenience: without it the scale is found all the same.
type lastPort struct {
	file string
	log  *slog.Logger
}

func newLastPort(folder string, log *slog.Logger) lastPort {
	return lastPort{filepath.Join(folder, "scale.json"), log}
}

// Recall reads the file. A damaged one counts as none.
func (m lastPort) Recall() (r scalefeed.Remembered, ok bool) {
	raw, err := os.ReadFile(m.file)
	if err == nil {
		err = json.Unmarshal(raw, &r)
	}
	switch {
	case err == nil:
		return r, r.Name != ""
	case !errors.Is(err, fs.ErrNotExist):
		m.log.Warn("the scale used last is not known", "cause", err)
	}
	return scalefeed.Remembered{}, false
}

// Remember replaces the file as a whole.
func (m lastPort) Remember(r scalefeed.Remembered) error {
	raw, err := json.MarshalIndent(r, "", "  ")
	if err != nil {
		return err
	}
	return durable.WriteFile(m.file, append(raw, '\n'))
}
