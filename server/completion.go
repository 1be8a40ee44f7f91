package main

import (
	"fmt"
	"io"
	"strings"

	"github.com/alecthomas/kong"
)

// CompletionCmd prints a script that makes a shell complete commands and flags.
type CompletionCmd struct {
	Shell string `arg:"" enum:"bash,zsh,fish" help:"bash, zsh or fish."`
}

// Help is shown under the command's flags.
func (CompletionCmd) Help() string {
	return `Example: panside completion bash > ~/.local/share/bash-completion/completions/panside
         panside completion fish > ~/.config/fish/completions/panside.fish

For zsh put this into ~/.zshrc: source <(panside completion zsh)`
}

// Run prints the script.
func (c CompletionCmd) Run(std *stdio, model *kong.Application) error {
	var script strings.Builder
	switch c.Shell {
	case "fish":
		fishScript(&script, model)
	case "zsh": // which understands those of bash
		script.WriteString("autoload -U +X compinit && compinit\nautoload -U +X bashcompinit && bashcompinit\n")
		fallthrough
	default:
		bashScript(&script, model)
	}
	_, err := io.WriteString(std.Out, script.String())
	return err
}

func bashScript(w io.Writer, model *kong.Application) {
	fmt.Fprint(w, "_panside() {\n\tlocal words\n\tif [ \"$COMP_CWORD\" -eq 1 ]; then\n")
	fmt.Fprintf(w, "\t\twords=%q\n\telse\n\t\tcase \"${COMP_WORDS[1]}\" in\n", strings.Join(append(commandNames(model), "--help", "--version"), " "))
	for _, c := range model.Children {
		fmt.Fprintf(w, "\t\t%s) words=%q ;;\n", c.Name, strings.Join(completed(c, model), " "))
	}
	fmt.Fprint(w, "\t\tesac\n\tfi\n\tCOMPREPLY=($(compgen -W \"$words\" -- \"${COMP_WORDS[COMP_CWORD]}\"))\n}\ncomplete -o default -F _panside panside\n")
}

// completed are the words that may follow a command.
func completed(c *kong.Node, model *kong.Application) []string {
	words := []string{"--help"}
	for _, f := range c.Flags {
		words = append(words, "--"+f.Name)
	}
	for _, p := range c.Positional {
		if p.Enum != "" {
			words = append(words, p.EnumSlice()...)
		}
	}
	if c.Name == "help" {
		words = append(words, commandNames(model)...)
	}
	return words
}

func fishScript(w io.Writer, model *kong.Application) {
	quoted := func(s string) string { return "'" + strings.ReplaceAll(s, "'", `\'`) + "'" }
	fmt.Fprintln(w, "complete -c panside -n __fish_use_subcommand -l version -d 'Print the version.'")
	for _, c := range model.Children {
		fmt.Fprintf(w, "complete -c panside -f -n __fish_use_subcommand -a %s -d %s\n", c.Name, quoted(c.Help))
		for _, word := range completed(c, model) {
			if flag, ok := strings.CutPrefix(word, "--"); ok {
				fmt.Fprintf(w, "complete -c panside -n '__fish_seen_subcommand_from %s' -l %s\n", c.Name, flag)
			} else {
				fmt.Fprintf(w, "complete -c panside -f -n '__fish_seen_subcommand_from %s' -a %s\n", c.Name, word)
			}
		}
	}
}
