//go:build !unix

package main

import (
	"os"
	"os/exec"
)

// replaceProcess runs the server as a child where a process can't be replaced.
func replaceProcess(binary string, args []string) error {
	cmd := exec.Command(binary, args...)
	cmd.Stdin, cmd.Stdout, cmd.Stderr = os.Stdin, os.Stdout, os.Stderr
	return cmd.Run()
}
