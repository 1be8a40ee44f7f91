package main

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
)

// findOrInstallChromium returns the browser that the browser tests drive:
// PANSIDE_CHROMIUM if set, a Chromium on the path, or, as root on a Debian
// system, the one it installs. There it also installs certutil, by which those
// tests make a browser trust the server; without it they leave that out and say
// so.
func findOrInstallChromium() (string, error) {
	path := os.Getenv("PANSIDE_CHROMIUM")
	if path == "" {
		path, _ = lookUpChromium()
	}
	var missing []string
	if path == "" {
		missing = append(missing, "chromium", "fonts-dejavu-core")
	}
	if _, err := exec.LookPath("certutil"); err != nil {
		missing = append(missing, "libnss3-tools")
	}
	if len(missing) == 0 {
		return path, nil
	}
	if _, err := exec.LookPath("apt-get"); err != nil || os.Geteuid() != 0 {
		if path != "" {
			return path, nil
		}
		return "", errors.New("the browser tests need Chromium. Install it (on Debian: apt-get install chromium), or set PANSIDE_CHROMIUM to one, or leave those tests out with: go run ./server/up test --no-browser")
	}
	if err := aptInstall(missing); err != nil {
		if path != "" {
			fmt.Fprintf(os.Stderr, "── going on without certutil: %v\n", err)
			return path, nil
		}
		return "", fmt.Errorf("installing Chromium: %w", err)
	}
	if path != "" {
		return path, nil
	}
	if path, ok := lookUpChromium(); ok {
		return path, nil
	}
	return "", errors.New("the installed Chromium is not on the path")
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
