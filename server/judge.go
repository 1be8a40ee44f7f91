package main

import (
	"bufio"
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"

	"panside/internal/bridge"
	"panside/internal/fault"
)

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
finer weighing than 3.11, unless resolution is given.

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
	return judgeLines(std)
}

// longest is more than any question needs, in bytes.
const longest = 1 << 20

// answer is what the bridge says of a question.
type answer struct {
	OK    json.RawMessage `json:"ok"`
	Error *struct {
		Code     fault.Code `json:"code"`
		Sentence string     `json:"sentence"`
		Field    string     `json:"field"`
	} `json:"error"`
}

func ask(question []byte) (answer, error) {
	var a answer
	err := json.Unmarshal(bridge.Call("judge", question), &a)
	return a, err
}

// lineError is printed instead of a verdict.
type lineError struct {
	Line  int        `json:"line"`
	Error string     `json:"error"`
	Field string     `json:"field,omitempty"`
	Code  fault.Code `json:"code,omitempty"`
}

// judgeLines answers each line of JSON with one. Empty lines are skipped.
func judgeLines(std *stdio) error {
	in := bufio.NewReader(std.In)
	out := bufio.NewWriter(std.Out)
	allGood := true
	for n := 1; ; n++ {
		line, tooLong, err := readLine(in)
		if err != nil && !errors.Is(err, io.EOF) {
			out.Flush()
			return fault.Wrap(fault.BadInput, fmt.Sprintf("The input broke off at line %d. What was judged before is printed.", n), err)
		}
		ended := err != nil
		if line = bytes.TrimSpace(line); len(line) > 0 || tooLong {
			var reply []byte
			if tooLong {
				reply, err = json.Marshal(lineError{Line: n, Error: "The line is longer than any question. Nothing was judged.", Code: fault.BadInput})
			} else {
				reply, err = judgeLine(n, line)
			}
			if err != nil {
				return err
			}
			allGood = allGood && !bytes.HasPrefix(reply, []byte(`{"line":`))
			out.Write(append(reply, '\n'))
			// A person typing, or a program asking one by one, waits for it.
			if in.Buffered() == 0 {
				if err := out.Flush(); err != nil {
					return err
				}
			}
		}
		if ended {
			break
		}
	}
	if err := out.Flush(); err != nil {
		return err
	}
	if !allGood {
		return exitCode(exitBad)
	}
	return nil
}

func judgeLine(n int, line []byte) ([]byte, error) {
	a, err := ask(line)
	if err != nil {
		return nil, err
	}
	if a.Error != nil {
		return json.Marshal(lineError{n, a.Error.Sentence, a.Error.Field, a.Error.Code})
	}
	return a.OK, nil
}

// readLine reads to the next line feed. A line over the limit is read away and
// reported.
func readLine(r *bufio.Reader) (line []byte, tooLong bool, err error) {
	for {
		part, err := r.ReadSlice('\n')
		if len(line)+len(part) > longest {
			tooLong = true
		}
		if !tooLong {
			line = append(line, part...)
		}
		if !errors.Is(err, bufio.ErrBufferFull) {
			return line, tooLong, err
		}
	}
}
