package main

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
)

// helpers are the programs that some browser tests need beside Chromium. Where
// one is missing, those tests leave themselves out and say so.
var helpers = []struct{ program, debian string }{
	{"certutil", "libnss3-tools"},            // makes a browser trust the server
	{"WebKitWebDriver", "webkit2gtk-driver"}, // the engine of the other phones
	{"Xvfb", "xvfb"},                         // its screen
}

// findOrInstallChromium returns the browser that the browser tests drive:
// PANSIDE_CHROMIUM if set, a Chromium on the path, or, as root on a Debian
// system, the one it installs. There it also installs the tests' helpers.
func findOrInstallChromium() (string, error) {
	path := os.Getenv("PANSIDE_CHROMIUM")
	if path == "" {
		path, _ = lookUpChromium()
	}
	var more []string
	for _, h := range helpers {
		if _, err := exec.LookPath(h.program); err != nil {
			more = append(more, h.debian)
		}
	}
	_, err := exec.LookPath("apt-get")
	mayInstall := err == nil && os.Geteuid() == 0
	if path == "" {
		if !mayInstall {
			return "", errors.New("the browser tests need Chromium. Install it (on Debian: apt-get install chromium), or set PANSIDE_CHROMIUM to one, or leave those tests out with: go run ./server/up test --no-browser")
		}
		if err := aptInstall([]string{"chromium", "fonts-dejavu-core"}); err != nil {
			return "", fmt.Errorf("installing Chromium: %w", err)
		}
		found, ok := lookUpChromium()
		if !ok {
			return "", errors.New("the installed Chromium is not on the path")
		}
		path = found
	}
	if len(more) > 0 && mayInstall {
		if err := aptInstall(more); err != nil {
			fmt.Fprintf(os.Stderr, "── going on without %v: %v\n", more, err)
		}
	}
	return path, nil
}

func aptInstall(packages []string) error {
	for _, argv := range [][]string{
		{"apt-get", "update"},
		append([]string{"apt-get", "install", "-y", "--no-install-recommends"}, packages...),
	} {
		fmt.Fprintf(os.Stderr, "── %v\n", argv)
		cmd := exec.Command(argv[0], argv[1:]...)
		cmd.Env = append(os.Environ(), "DEBIAN_FRONTEND=noninteractive")
		if out, err := cmd.CombinedOutput(); err != nil {
			return fmt.Errorf("%w\n%s", err, out)
		}
	}
	return nil
}

func lookUpChromium() (string, bool) {
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if path, err := exec.LookPath(name); err == nil {
			return path, true
		}
	}
	return "", false
}
