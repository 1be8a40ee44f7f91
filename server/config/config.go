// Package config holds the settings of the serve command and finds the folder
// for its data.
package config

import (
	"errors"
	"net"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"panside/internal/fault"
	"panside/internal/say"
)

// Config are the settings of serve. The tags are the command line's.
type Config struct {
	Listen  string   `default:":8311" placeholder:"[HOST]:PORT" help:"Address to listen on (default :8311, all interfaces)."`
	Data    string   `placeholder:"DIR" help:"Folder for the records and the certificate authority (default: panside in your own configuration folder)."`
	Name    string   `placeholder:"NAME" help:"How phones list this computer (default: its own name); also makes its address on the home network, panside-NAME.local."`
	Host    []string `placeholder:"NAME" help:"A further name this computer is reached by; may be repeated. Phones are offered it if it ends in .local."`
	Cert    string   `placeholder:"FILE" and:"cert" help:"Your own certificate (PEM, with its chain) instead of the built-in authority’s; read at the start."`
	Key     string   `placeholder:"FILE" and:"cert" help:"The key of --cert (PEM)."`
	Copies  string   `placeholder:"DIR" help:"A second folder for the copies of the records, on another disk best; remembered for later starts, none ends it."`
	Verbose bool     `help:"Log every request."`

	DeskAnywhere bool `help:"Let the code for this computer’s own browser join from another computer too."`
}

// Validate refuses settings that can never work; the command line calls it.
func (c Config) Validate() error {
	_, port, err := net.SplitHostPort(c.Listen)
	if err == nil {
		_, err = strconv.ParseUint(port, 10, 16)
	}
	if err != nil {
		return errors.New("--listen takes HOST:PORT or :PORT, such as :8311")
	}
	return nil
}

// FolderName is where the data folder is, or will be. Error: fault.DataFolder.
func (c Config) FolderName() (string, error) {
	dir := c.Data
	if dir == "" {
		base, err := os.UserConfigDir()
		if err != nil {
			return "", fault.Wrap(fault.DataFolder, say.New("folder-none"), err)
		}
		dir = filepath.Join(base, "panside")
	}
	abs, err := filepath.Abs(dir)
	if err != nil {
		return "", noFolder(dir, err)
	}
	return abs, nil
}

// Folder makes the data folder if it isn't there and proves that it can be
// written. Error: fault.DataFolder.
func (c Config) Folder() (string, error) {
	dir, err := c.FolderName()
	if err != nil {
		return "", err
	}
	if err = os.MkdirAll(dir, 0o700); err == nil {
		err = tryWriting(dir)
	}
	if err != nil {
		return "", noFolder(dir, err)
	}
	return dir, nil
}

func noFolder(dir string, err error) error {
	return fault.Wrap(fault.DataFolder, say.New("folder-unwritable", say.Text("folder", dir)), err)
}

func tryWriting(dir string) error {
	f, err := os.CreateTemp(dir, ".try-*")
	if err != nil {
		return err
	}
	return errors.Join(f.Close(), os.Remove(f.Name()))
}

// ServerName is the name phones list: the one given, or the computer's without
// its domain.
func (c Config) ServerName() string {
	if c.Name != "" {
		return c.Name
	}
	return computerName()
}

// LocalName is the name the server gives itself on the home network by
// multicast DNS: panside- and the server's name in what a host name may hold
// (RFC 1123, 2.1: letters, digits and inner hyphens, at most 63). It differs
// from the computer's own .local name on purpose: the system answers for that
// one itself, and two answerers would dispute it (RFC 6762, 9).
func (c Config) LocalName() string {
	const first, longest = "panside", 63
	var label strings.Builder
	for _, r := range strings.ToLower(c.ServerName()) {
		switch {
		case r >= 'a' && r <= 'z', r >= '0' && r <= '9':
			label.WriteRune(r)
		case !strings.HasSuffix(label.String(), "-"):
			label.WriteByte('-')
		}
	}
	name := strings.Trim(label.String(), "-")
	switch {
	case name == "":
		name = first
	case name != first && !strings.HasPrefix(name, first+"-"):
		name = first + "-" + name
	}
	if len(name) > longest {
		name = strings.TrimRight(name[:longest], "-")
	}
	return name + ".local"
}

// HostNames are the names the server answers to beside localhost and its
// addresses, in small letters: the computer's own, that with .local, the one
// it gives itself, and those given.
func (c Config) HostNames() []string {
	own := strings.ToLower(computerName())
	return append([]string{own, own + ".local", c.LocalName()}, c.FurtherNames()...)
}

// FurtherNames are the given ones, in small letters.
func (c Config) FurtherNames() []string {
	names := make([]string, len(c.Host))
	for i, h := range c.Host {
		names[i] = strings.ToLower(strings.TrimSpace(h))
	}
	return names
}

func computerName() string {
	full, err := os.Hostname()
	if err != nil {
		return "laptop"
	}
	short, _, _ := strings.Cut(full, ".")
	if short == "" {
		return "laptop"
	}
	return short
}
