package main

import "encoding/json"

// JudgeCmd judges weights read from standard input.
type JudgeCmd struct {
	JSON bool `name:"json" xor:"form" help:"One JSON object a line, in and out (the default)."`
	CSV  bool `name:"csv" xor:"form" help:"A spreadsheet as comma-separated values; adds the verdict’s columns."`
	// Keep is nil when it wasn't given.
	Keep []string `name:"keep" sep:"none" placeholder:"WORDS" help:"What you keep, for lines that don’t say it: \"silver, wheat ears, cent 1909-S\". May be given again; \"\" keeps nothing. Left out: silver, 40% silver and the wartime alloy."`
}

// Help is shown under the command's flags.
func (JudgeCmd) Help() string {
	return `JSON fields: denomination and value; optional country (US), year, mint (- for none),
unit (g), resolution, repeatability, source (jar, bank-roll, inherited: where the
coins are from; jar if left out), evidence {magnetic, edge, stripe, colour,
diameter_mm, thickness_mm, density, ring, date, mint, design}, keep. Digits count:
3.110 is a finer weighing than 3.11, unless resolution is given. ring is {"hz": the
lowest tones of the tapped coin, "u": their relative uncertainty}.

keep is what you keep, a list or one text with commas: names that the trade has
(silver, 40%, wartime, bronze cents, wheat ears, buffalo …), denominations, and dates
and mint marks (1955, 1909-S, cent 1909-1958, cent S, S). A regular coin of it has the
call keeper. The answer’s wanted says what of it the coin is, could_keep what else of
it people keep.

Where one thing is left to see, the answer has a question; the id of the choice goes
into evidence under the question’s id, such as {"us-cent-1982-date":"small"}. The
answer’s inspect is a question for look --json.

CSV (RFC 4180, commas, first row the column names): the same names; evidence has
no column of its own, its fields are columns beside the others. Columns with other
names are kept as they are. Added: ` + columnList() + `.

Example: echo '{"denomination":"cent","year":1982,"value":"3.11"}' | panside judge

A line that can’t be judged is answered with its error and the rest go on; the
exit code is then 1.`
}

// Run judges until the input ends.
func (c *JudgeCmd) Run(std *stdio) error {
	if c.CSV {
		return judgeCSV(std, c.Keep)
	}
	return answerLinesOf(std, "judge", c.fill)
}

// fill adds to a question what is kept, if it doesn't say so itself. What is no JSON
// object stays as it is, for the core to refuse.
func (c *JudgeCmd) fill(line []byte) []byte {
	var question map[string]json.RawMessage
	if c.Keep == nil || json.Unmarshal(line, &question) != nil || question == nil || question["keep"] != nil {
		return line
	}
	keep, err := json.Marshal(c.Keep)
	if err != nil {
		return line
	}
	question["keep"] = keep
	filled, err := json.Marshal(question)
	if err != nil {
		return line
	}
	return filled
}
