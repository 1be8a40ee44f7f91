//go:build !unix

package serialport

import "io"

type nothing struct{}

func (nothing) Close() error { return nil }

// hold has nothing to do where the operating system opens ports for one
// program only.
func hold(string) (io.Closer, error) { return nothing{}, nil }

// groupOf knows no groups here.
func groupOf(string) string { return "" }
