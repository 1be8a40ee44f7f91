package main

import (
	"bufio"
	"encoding/json"
	"fmt"
	"regexp"
	"strconv"
	"strings"
)

// RollCmd says what the weight of a closed roll or a counted pile can tell: for
// a person, or with --json for each line of standard input.
type RollCmd struct {
	Pile     []string `arg:"" optional:"" name:"coin weight" help:"What it is thought to hold, as dime 1998 or an id of the coin book, and the whole weight in grams; digits count."`
	Country  string   `default:"US" help:"The coins’ country, such as US, CA, GB, EU."`
	Other    string   `help:"The coin looked for among them, as “dime 1960”; needs --count."`
	Count    string   `help:"How many coins there are, if they were counted."`
	Wrapper  string   `help:"The wrapper’s weight, in grams."`
	WrapperU string   `name:"wrapper-u" help:"How well the wrapper’s weight is known, ± grams."`
	Expected string   `help:"The share of the other kind to expect, such as 0.001; otherwise every number counts as likely."`
	JSON     bool     `name:"json" help:"Read one JSON object a line, write one answer a line."`
}

// Help is shown under the command's flags.
func (RollCmd) Help() string {
	return `A coin is typed as people say it, with or without quotes: dime 1998, CA cent 1990.
Without --other it answers how many coins there are; with it, how many of them are
of the other kind, and how little the weight can tell.

JSON fields: issue and total_g; optional other with count, expected_share,
resolution_g, u_g, wrapper_g and u_wrapper_g.

Example: panside roll dime 1998 114.1
         panside roll dime 1998 113.9 --other "dime 1960" --count 50

A line that can’t be worked out is answered with its error, which names the wrong
value, and the rest go on; the exit code is then 1.`
}

// fourDigits is a year where a weight would stand.
var fourDigits = regexp.MustCompile(`^(1[6-9]|20)\d\d$`)

// typedIssue is the core's name for a coin as typed; an id stays as it is.
func typedIssue(args []string, country string) (string, error) {
	if text := strings.TrimSpace(strings.Join(args, " ")); !strings.Contains(text, " ") {
		return text, nil
	}
	c, err := readCoin(args, country)
	if err != nil || c.Year == 0 {
		return strings.Join(args, " "), err
	}
	return c.Country + " " + c.Denomination + " " + strconv.Itoa(c.Year), nil
}

// Run prints what the weight tells, or answers every line.
func (c RollCmd) Run(std *stdio) error {
	if c.JSON {
		if len(c.Pile) > 0 {
			return usageError("with --json the rolls come from standard input, not from the command line")
		}
		return answerLines(std, "roll")
	}
	if len(c.Pile) < 2 || len(c.Pile) == 2 && fourDigits.MatchString(c.Pile[1]) {
		return usageError(`say which coins and what they weigh, such as: roll dime 1998 113.4; or use --json`)
	}
	issue, err := typedIssue(c.Pile[:len(c.Pile)-1], c.Country)
	if err != nil {
		return err
	}
	other, err := typedIssue([]string{c.Other}, c.Country)
	if err != nil {
		return err
	}
	if c.Other == "" && (c.Count != "" || c.Expected != "") {
		return usageError("--count and --expected go with --other; without it the count is what is asked")
	}
	question := map[string]string{"issue": issue, "total_g": c.Pile[len(c.Pile)-1]}
	for name, value := range map[string]string{
		"other": other, "count": c.Count, "wrapper_g": c.Wrapper, "u_wrapper_g": c.WrapperU, "expected_share": c.Expected,
	} {
		if value != "" {
			question[name] = value
		}
	}
	ok, err := askOnce(std, "roll", question)
	if err != nil {
		return err
	}
	var a struct {
		Sentence    string
		From        int
		Low, High   int
		Probability []float64
		Any         *float64
	}
	if err := json.Unmarshal(ok, &a); err != nil {
		return err
	}
	w := bufio.NewWriter(std.Out)
	fmt.Fprintln(w, a.Sentence)
	if a.Any != nil {
		fmt.Fprintf(w, "At least one of the other kind: %.3g in 100.\n", 100**a.Any)
	}
	const most = 12
	if a.High-a.Low < most {
		for n := a.Low; n <= a.High; n++ {
			fmt.Fprintf(w, "%6d  %5.1f%%\n", n, 100*a.Probability[n-a.From])
		}
	}
	return w.Flush()
}
