package config_test

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"panside/internal/fault"
	"panside/server/config"
)

func TestFolderIsMadeForItsOwner(t *testing.T) {
	want := filepath.Join(t.TempDir(), "a", "b")
	dir, err := config.Config{Data: want}.Folder()
	if err != nil || dir != want {
		t.Fatalf("%q, %v", dir, err)
	}
	info, err := os.Stat(dir)
	if err != nil || info.Mode().Perm() != 0o700 {
		t.Errorf("mode %v, %v", info.Mode(), err)
	}
	if left, err := os.ReadDir(dir); err != nil || len(left) != 0 {
		t.Errorf("left behind: %v, %v", left, err)
	}
}

func TestFolderDefaultsToTheUsersOwn(t *testing.T) {
	t.Setenv("XDG_CONFIG_HOME", t.TempDir())
	t.Setenv("HOME", t.TempDir())
	base, err := os.UserConfigDir()
	if err != nil {
		t.Fatal(err)
	}
	dir, err := config.Config{}.Folder()
	if err != nil || dir != filepath.Join(base, "panside") {
		t.Errorf("%q, %v", dir, err)
	}
}

func TestUnusableFolderIsSaidPlainly(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	for _, dir := range []string{file, filepath.Join(file, "below")} {
		_, err := config.Config{Data: dir}.Folder()
		if err == nil || fault.Of(err).Code != fault.DataFolder || !strings.Contains(fault.Of(err).English(), dir) {
			t.Errorf("%s: %v", dir, err)
		}
	}
}

func TestNames(t *testing.T) {
	c := config.Config{Host: []string{" Kitchen.Example "}}
	names := c.HostNames()
	if len(names) != 4 || names[1] != names[0]+".local" || names[2] != c.LocalName() || !slices.Contains(names, "kitchen.example") {
		t.Errorf("names %v", names)
	}
	if got := c.ServerName(); !strings.EqualFold(got, names[0]) {
		t.Errorf("server name %q", got)
	}
	if got := (config.Config{Name: "Kitchen"}).ServerName(); got != "Kitchen" {
		t.Errorf("server name %q", got)
	}
}

func TestLocalName(t *testing.T) {
	for name, want := range map[string]string{
		"kitchen":               "panside-kitchen.local",
		"Kitchen table":         "panside-kitchen-table.local",
		"  Anna's   laptop! ":   "panside-anna-s-laptop.local",
		"Küche":                 "panside-k-che.local",
		"台所":                    "panside.local",
		"--":                    "panside.local",
		"Panside":               "panside.local",
		"panside-attic":         "panside-attic.local",
		"x.local; evil\r\nname": "panside-x-local-evil-name.local",
		// Cut to the 63 that a label may have, and never ending in a hyphen.
		strings.Repeat("a", 54) + " b c": "panside-" + strings.Repeat("a", 54) + ".local",
		strings.Repeat("a", 99):          "panside-" + strings.Repeat("a", 55) + ".local",
	} {
		if got := (config.Config{Name: name}).LocalName(); got != want {
			t.Errorf("%q: %s, want %s", name, got, want)
		}
	}
	if got := (config.Config{}).LocalName(); !strings.HasPrefix(got, "panside") || !strings.HasSuffix(got, ".local") {
		t.Errorf("without a name: %s", got)
	}
}

func TestValidate(t *testing.T) {
	for listen, good := range map[string]bool{
		":8311": true, "127.0.0.1:0": true, "[::1]:443": true, "kitchen.local:8311": true,
		"": false, "8311": false, ":99999": false, ":http": false, "::1:80": false, ":-1": false,
	} {
		if err := (config.Config{Listen: listen}).Validate(); (err == nil) != good {
			t.Errorf("%q: %v", listen, err)
		}
	}
}
