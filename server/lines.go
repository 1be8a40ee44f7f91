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
	"panside/internal/say"
)

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

// ask calls a method of the core.
func ask(method string, question []byte) (answer, error) {
	var a answer
	err := json.Unmarshal(bridge.Call(method, question), &a)
	return a, err
}

// askOnce asks for a person at the command line; a refusal is printed.
func askOnce(std *stdio, method string, question map[string]string) (json.RawMessage, error) {
	raw, err := json.Marshal(question)
	if err != nil {
		return nil, err
	}
	a, err := ask(method, raw)
	if err != nil {
		return nil, err
	}
	if a.Error != nil {
		if _, err := fmt.Fprintln(std.Err, "panside: "+a.Error.Sentence); err != nil {
			return nil, err
		}
		return nil, exitCode(exitBad)
	}
	return a.OK, nil
}

// lineError is printed in place of an answer.
type lineError struct {
	Line  int        `json:"line"`
	Error string     `json:"error"`
	Field string     `json:"field,omitempty"`
	Code  fault.Code `json:"code,omitempty"`
}

// answerLines asks the core's method about each line of JSON and prints one
// line for it, in order. Empty lines are skipped.
func answerLines(std *stdio, method string) error {
	return answerLinesOf(std, method, func(line []byte) []byte { return line })
}

// answerLinesOf does so with questions that fill completes.
func answerLinesOf(std *stdio, method string, fill func(line []byte) []byte) error {
	std.await("Waiting for one JSON object a line")
	in := bufio.NewReader(std.In)
	out := bufio.NewWriter(std.Out)
	allGood := true
	for n := 1; ; n++ {
		line, tooLong, err := readLine(in)
		if err != nil && !errors.Is(err, io.EOF) {
			out.Flush()
			return fault.Wrap(fault.BadInput, say.New("lines-broke-off", say.Count("line", n)), err)
		}
		ended := err != nil
		if line = bytes.TrimSpace(line); len(line) > 0 || tooLong {
			reply, wrong, err := answerLine(method, fill(line), tooLong)
			if wrong != nil {
				allGood, wrong.Line = false, n
				reply, err = json.Marshal(wrong)
			}
			if err != nil {
				return err
			}
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

// answerLine asks about one line. wrong says why there is no answer, without the
// line's number; nil if there is one.
func answerLine(method string, line []byte, tooLong bool) (reply []byte, wrong *lineError, err error) {
	if tooLong {
		return nil, &lineError{Error: "The line is longer than any question. It was passed over.", Code: fault.BadInput}, nil
	}
	a, err := ask(method, line)
	if err != nil {
		return nil, nil, err
	}
	if a.Error != nil {
		return nil, &lineError{Error: a.Error.Sentence, Field: a.Error.Field, Code: a.Error.Code}, nil
	}
	return a.OK, nil, nil
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
