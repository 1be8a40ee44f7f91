// Panside reads a lab scale and tells phones at the table what a coin's weight
// means. This package has the commands and the wiring; the rules are in
// internal/, the outside world in the folders beside this file.
package main

import (
	"context"
	"os"
	"os/signal"
	"syscall"
)

func main() {
	ends := []os.Signal{os.Interrupt, syscall.SIGTERM}
	if !signal.Ignored(syscall.SIGHUP) { // as under nohup
		ends = append(ends, syscall.SIGHUP) // the terminal was closed
	}
	ctx, stop := signal.NotifyContext(context.Background(), ends...)
	go func() {
		// After the first signal the default is back: a second one ends a
		// program that hangs. A closed terminal may tell of itself twice, by the
		// system and by the shell, and must not.
		<-ctx.Done()
		signal.Ignore(syscall.SIGHUP)
		stop()
	}()
	os.Exit(run(ctx, os.Args[1:], &stdio{os.Stdin, os.Stdout, os.Stderr}))
}
