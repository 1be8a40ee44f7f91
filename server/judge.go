package main

// JudgeCmd judges weights read from standard input.
type JudgeCmd struct {
	JSON bool `name:"json" xor:"form" help:"One JSON object a line, in and out (the default)."`
	CSV  bool `name:"csv" xor:"form" help:"A spreadsheet as comma-separated values; adds the verdict’s columns."`
}

// Help is shown under the command's flags.
func (JudgeCmd) Help() string {
	return `JSON fields: denomination and value; optional country (US), year, mint (- for none),
unit (g), resolution, repeatability, evidence {magnetic, edge, stripe, colour,
diameter_mm, thickness_mm, density, date, mint, design}. Digits count: 3.110 is a
finer weighing than 3.11, unless resolution is given. Where one thing is left to see,
the answer has a question; the id of the choice goes into evidence under the
question's id, such as {"us-cent-1982-date":"small"}. The answer's inspect is a
question for look --json.

CSV (RFC 4180, commas, first row the column names): the same names; evidence has
no column of its own, its fields are columns beside the others. Columns with other
names are kept as they are. Added: ` + columnList() + `.

A line that can't be judged is answered with its error and the rest go on; the
exit code is then 1.`
}

// Run judges until the input ends.
func (c *JudgeCmd) Run(std *stdio) error {
	if c.CSV {
		return judgeCSV(std)
	}
	return answerLines(std, "judge")
}
