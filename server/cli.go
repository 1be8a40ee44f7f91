package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"runtime/debug"

	"github.com/alecthomas/kong"

	"panside/internal/fault"
)

// stdio is what a command reads from and writes to.
type stdio struct {
	In       io.Reader
	Out, Err io.Writer
}

// exitCode is returned by a command that has written already what was wrong.
type exitCode int

func (e exitCode) Error() string { return fmt.Sprintf("exit status %d", int(e)) }

// The exit codes of every command.
const (
	exitGood  = 0
	exitBad   = 1 // some input was bad, or the work failed
	exitUsage = 2 // wrong usage; nothing was done
)

// usageError says in a sentence what is wrong with the command line; for what
// only a command itself can know.
type usageError string

func (e usageError) Error() string { return string(e) }

// cli is the command line. serve is the command when none is given.
type cli struct {
	Serve      ServeCmd      `cmd:"" default:"withargs" help:"Read the scale and serve the phones (the command when none is given)."`
	Judge      JudgeCmd      `cmd:"" help:"Judge weights from standard input."`
	Listen     ListenCmd     `cmd:"" help:"Print what the scale says."`
	Look       LookCmd       `cmd:"" help:"Print what to inspect on a coin."`
	Coins      CoinsCmd      `cmd:"" help:"Print and search the coin book, with sources."`
	Fits       FitsCmd       `cmd:"" help:"Say which coins of all countries have a weight and size."`
	Density    DensityCmd    `cmd:"" help:"Work out a coin's density from its weights in air and in water."`
	Roll       RollCmd       `cmd:"" help:"Say what the weight of a roll or pile can tell."`
	CheckScale CheckScaleCmd `cmd:"" help:"Find out with check weights how far a scale errs, and keep it."`
	Backup     BackupCmd     `cmd:"" help:"Write records and photos into one file, also while the server runs."`
	Restore    RestoreCmd    `cmd:"" help:"Put a backup back."`
	Version    VersionCmd    `cmd:"" help:"Print the version."`
}

// VersionCmd prints the version.
type VersionCmd struct{}

// Run prints it.
func (VersionCmd) Run(std *stdio) error {
	_, err := fmt.Fprintln(std.Out, "panside", version())
	return err
}

// version is the module's as the build recorded it.
func version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok || info.Main.Version == "" {
		return "(devel)"
	}
	return info.Main.Version
}

// run is the program without its process: it returns the exit code.
func run(ctx context.Context, args []string, std *stdio) int {
	exited := -1
	parser, err := kong.New(&cli{},
		kong.Name("panside"),
		kong.Description("Reads a lab scale and tells phones at the table what a coin's weight means."),
		kong.Writers(std.Out, std.Err),
		// Help exits in the middle of parsing; remember it instead.
		kong.Exit(func(code int) { exited = code }),
		kong.BindTo(ctx, (*context.Context)(nil)),
		kong.Bind(std),
		kong.ConfigureHelp(kong.HelpOptions{Compact: true}),
	)
	if err != nil {
		panic(err) // only for wrong tags, which any test of run finds
	}
	command, err := parser.Parse(args)
	if exited >= 0 {
		return exited
	}
	if err != nil {
		fmt.Fprintf(std.Err, "panside: %v\nRun with --help to see the commands.\n", err)
		return exitUsage
	}
	return report(command.Run(), std.Err)
}

// report turns a command's error into an exit code and a sentence.
func report(err error, w io.Writer) int {
	var code exitCode
	var usage usageError
	switch {
	case err == nil:
		return exitGood
	case errors.As(err, &code):
		return int(code)
	case errors.As(err, &usage):
		fmt.Fprintf(w, "panside: %s\nRun with --help to see the commands.\n", usage)
		return exitUsage
	}
	f := fault.Of(err)
	fmt.Fprintln(w, "panside: "+f.Sentence)
	if f.Cause != nil {
		fmt.Fprintln(w, "cause: "+f.Cause.Error())
	}
	return exitBad
}
