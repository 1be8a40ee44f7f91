package photostore

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"panside/server/durable"
)

// ledger is the file that remembers when each photo was read back, one line a
// reading, so that the round goes on after a restart:
//
//	SHA256 SIZE CHANGED READ
//
// with the file's time of change in ns and the time of reading in s since 1970.
// Later lines count. It is no promise: a line that is lost means that a photo is
// read once more, so it isn't synced.
const ledger = "read-again.log"

// loadLedger reads what is known. Lines that make no sense are passed over.
func (s *Store) loadLedger() error {
	raw, err := os.ReadFile(filepath.Join(s.dir, ledger))
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	for lines := bufio.NewScanner(bytes.NewReader(raw)); lines.Scan(); {
		var sum string
		var size, changed, read int64
		if n, err := fmt.Sscanf(lines.Text(), "%s %d %d %d", &sum, &size, &changed, &read); err != nil || n != 4 || !IsName(sum) || read <= 0 {
			continue
		}
		s.readings[sum] = reading{at: time.Unix(read, 0), size: size, mod: time.Unix(0, changed)}
	}
	return nil
}

func ledgerLine(sum string, r reading) string {
	return fmt.Sprintf("%s %d %d %d\n", sum, r.size, r.mod.UnixNano(), r.at.Unix())
}

// noteReading remembers that a photo was read and was right.
func (s *Store) noteReading(sum string, r reading) error {
	s.mu.Lock()
	s.readings[sum] = r
	s.here[sum] = r
	s.mu.Unlock()
	f, err := os.OpenFile(filepath.Join(s.dir, ledger), os.O_WRONLY|os.O_APPEND|os.O_CREATE, 0o600)
	if err != nil {
		return err
	}
	_, err = f.WriteString(ledgerLine(sum, r))
	return errors.Join(err, f.Close())
}

// tidyLedger writes it anew with one line a photo. Only the program that reads
// photos again does so: others may have the folder open too.
func (s *Store) tidyLedger() error {
	var b strings.Builder
	s.mu.Lock()
	for sum, r := range s.readings {
		b.WriteString(ledgerLine(sum, r))
	}
	s.mu.Unlock()
	return durable.WriteFile(filepath.Join(s.dir, ledger), []byte(b.String()))
}

// loadApart finds the photos that were set apart.
func (s *Store) loadApart() error {
	list, err := os.ReadDir(filepath.Join(s.dir, damaged))
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	for _, e := range list {
		if sum, _, ok := strings.Cut(e.Name(), "."); ok && IsName(sum) {
			s.apart[sum] = true
		}
	}
	return nil
}
