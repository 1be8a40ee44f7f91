package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"regexp"
	"runtime/debug"
	"slices"
	"strings"

	"github.com/alecthomas/kong"

	"panside/internal/fault"
)

// stdio is what a command reads from and writes to.
type stdio struct {
	In       io.Reader
	Out, Err io.Writer
}

// await tells a person at a terminal what the command waits for.
func (s *stdio) await(what string) {
	if isTerminal(s.In) {
		fmt.Fprintln(s.Err, what+"; Ctrl+D ends.")
	}
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
	Density    DensityCmd    `cmd:"" help:"Work out a coin’s density from its weights in air and in water."`
	Roll       RollCmd       `cmd:"" help:"Say what the weight of a roll or pile can tell."`
	CheckScale CheckScaleCmd `cmd:"" help:"Check the scale against check weights and save the correction."`
	Backup     BackupCmd     `cmd:"" help:"Write records and photos into one file, also while the server runs."`
	Restore    RestoreCmd    `cmd:"" help:"Put a backup back."`
	Help       HelpCmd       `cmd:"" help:"Print the help of a command."`
	Completion CompletionCmd `cmd:"" help:"Print what makes a shell complete commands and flags."`
	Version    VersionCmd    `cmd:"" help:"Print the version."`

	ShowVersion kong.VersionFlag `name:"version" short:"V" help:"Print the version."`
}

// HelpCmd prints the help of the program or of a command.
type HelpCmd struct {
	Command string `arg:"" optional:"" help:"Such as judge."`
}

// Run prints it.
func (h HelpCmd) Run(ctx context.Context, std *stdio, model *kong.Application) error {
	if h.Command == "" {
		return exitOf(run(ctx, []string{"--help"}, std))
	}
	if !slices.Contains(commandNames(model), h.Command) {
		return usageError(noCommand(model, h.Command))
	}
	return exitOf(run(ctx, []string{h.Command, "--help"}, std))
}

// exitOf is the error that ends the program with a code.
func exitOf(code int) error {
	if code == exitGood {
		return nil
	}
	return exitCode(code)
}

func commandNames(model *kong.Application) (names []string) {
	for _, c := range model.Children {
		names = append(names, c.Name)
	}
	return names
}

// noCommand says that there is no such command, and which is meant most likely.
func noCommand(model *kong.Application, typed string) string {
	said := "there is no command “" + typed + "”"
	for _, name := range commandNames(model) {
		if n := min(3, len(name)); len(typed) >= n && strings.EqualFold(typed[:n], name[:n]) {
			return said + "; did you mean “" + name + "”?"
		}
	}
	return said
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

// exitCodes says what they mean, for the help.
const exitCodes = "Exit codes: 0 good; 1 some input was bad, nothing was found, or the work failed; 2 wrong usage, nothing was done."

// withDefault adds to a flag's help what holds without it.
func withDefault(v *kong.Value) string {
	text := kong.DefaultHelpValueFormatter(v)
	if !v.HasDefault || v.Default == "" || v.IsBool() || strings.Contains(text, "efault") {
		return text
	}
	return strings.TrimSuffix(text, ".") + " (default " + v.Default + ")."
}

var (
	notANumber = regexp.MustCompile(`^(.*): expected a valid \d+ bit (int|uint|float) but got "(.*)"`)
	notATime   = regexp.MustCompile(`^(.*): expected duration but got "(.*?)"`)
	belowZero  = regexp.MustCompile(`^-[0-9.,]+$`)
)

// misuse says in words what is wrong with a command line.
func misuse(model *kong.Application, args []string, err error) string {
	if m := notANumber.FindStringSubmatch(err.Error()); m != nil {
		kind := "a whole number"
		if m[2] == "float" {
			kind = "a number"
		}
		return m[1] + " takes " + kind + ", not “" + m[3] + "”"
	}
	if m := notATime.FindStringSubmatch(err.Error()); m != nil {
		return m[1] + " takes a time such as 2s or 3m, not “" + m[2] + "”"
	}
	if i := slices.IndexFunc(args, belowZero.MatchString); i >= 0 && strings.Contains(err.Error(), "unknown flag") {
		return "a weight must be above zero, and “" + args[i] + "” isn’t"
	}
	if len(args) > 0 && !strings.HasPrefix(args[0], "-") && !slices.Contains(commandNames(model), args[0]) {
		return noCommand(model, args[0])
	}
	return err.Error()
}

// run is the program without its process: it returns the exit code.
func run(ctx context.Context, args []string, std *stdio) int {
	exited := -1
	parser, err := kong.New(&cli{},
		kong.Name("panside"),
		kong.Description("Reads a lab scale and tells phones at the table what a coin’s weight means.\n\n"+
			"Example: panside --scale virtual\n\n"+exitCodes),
		kong.Vars{"version": "panside " + version()},
		kong.ValueFormatter(withDefault),
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
		fmt.Fprintf(std.Err, "panside: %s\nRun with --help to see the commands.\n", misuse(parser.Model, args, err))
		return exitUsage
	}
	return report(command.Run(parser.Model), std.Err)
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
	fmt.Fprintln(w, "panside: "+f.English())
	if f.Cause != nil {
		fmt.Fprintln(w, "cause: "+f.Cause.Error())
	}
	return exitBad
}
