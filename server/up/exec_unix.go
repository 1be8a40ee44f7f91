//go:build unix

package main

import (
	"os"
	"syscall"
)

// replaceProcess becomes the server, so that Ctrl-C and a service manager's
// signals reach it and not a parent that would leave it behind.
func replaceProcess(binary string, args []string) error {
	return syscall.Exec(binary, append([]string{binary}, args...), os.Environ())
}
