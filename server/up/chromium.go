package main

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
)

// findOrInstallChromium returns the browser that the browser tests drive:
// PANSIDE_CHROMIUM if set, a Chromium on the path, or, as root on a Debian
// system, the one it installs.
func findOrInstallChromium() (string, error) {
	if path := os.Getenv("PANSIDE_CHROMIUM"); path != "" {
		return path, nil
	}
	if path, ok := lookUpChromium(); ok {
		return path, nil
	}
	if _, err := exec.LookPath("apt-get"); err != nil || os.Geteuid() != 0 {
		return "", errors.New("the browser tests need Chromium. Install it (on Debian: apt-get install chromium), or set PANSIDE_CHROMIUM to one, or leave those tests out with: go run ./server/up test --no-browser")
	}
	for _, argv := range [][]string{
		{"apt-get", "update"},
		{"apt-get", "install", "-y", "--no-install-recommends", "chromium", "fonts-dejavu-core"},
	} {
		fmt.Fprintf(os.Stderr, "── %v\n", argv)
		cmd := exec.Command(argv[0], argv[1:]...)
		cmd.Env = append(os.Environ(), "DEBIAN_FRONTEND=noninteractive")
		if out, err := cmd.CombinedOutput(); err != nil {
			return "", fmt.Errorf("installing Chromium: %w\n%s", err, out)
		}
	}
	if path, ok := lookUpChromium(); ok {
		return path, nil
	}
	return "", errors.New("the installed Chromium is not on the path")
}

func lookUpChromium() (string, bool) {
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if path, err := exec.LookPath(name); err == nil {
			return path, true
		}
	}
	return "", false
}
