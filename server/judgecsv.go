package main

import (
	"bufio"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"panside/internal/book/data"
	"panside/internal/coin"
	"panside/internal/fault"
	"panside/internal/say"
)

// csvColumns are the columns that are read, and which of them are evidence.
var csvColumns = map[string]bool{
	"country": false, "denomination": false, "year": false, "mint": false,
	"value": false, "unit": false, "resolution": false, "repeatability": false, "keep": false,
	"magnetic": true, "edge": true, "stripe": true, "colour": true, "color": true,
	"diameter_mm": true, "thickness_mm": true, "density": true, "date": true, "design": true,
}

// added are the columns of the verdict, in order.
var added = []string{
	"call", "headline", "wanted", "could_keep", "alloy", "alloy_probability", "decisive", "tolerance", "conformity", "nominal_g", "limit_g",
	"u_g", "worn_ok", "explanation_kind", "explanation", "expected_g", "likelihood_ratio", "next_test", "question", "hint", "error",
}

// column tells whether a column is read, and whether it is evidence. The ids of the
// book's questions are.
func column(name string) (isEvidence, known bool) {
	if isEvidence, known = csvColumns[name]; known {
		return isEvidence, known
	}
	book := data.Coins()
	for _, c := range book.Countries() {
		if slices.ContainsFunc(book.Questions(c.ID), func(q coin.Question) bool { return q.ID == name }) {
			return true, true
		}
	}
	return false, false
}

func columnList() string { return strings.Join(added, ", ") }

// sheet is a spreadsheet on its way through.
type sheet struct {
	in      *csv.Reader
	out     *csv.Writer
	err     io.Writer
	names   []string // of the columns as read, lower case
	place   []int    // where each of added is written
	width   int      // columns written
	keep    []string // of rows that don't say it, nil for what one keeps from the start
	allGood bool
}

// judgeCSV copies a spreadsheet (RFC 4180) and adds the verdict's columns. Bad
// rows are reported by their number, the header being row 1, in the error
// column and on standard error. Columns of an earlier run are written over.
func judgeCSV(std *stdio, keep []string) error {
	std.await("Waiting for a spreadsheet as CSV, its first row the column names")
	buffered := bufio.NewReader(std.In)
	if mark, err := buffered.Peek(3); err == nil && string(mark) == "\ufeff" {
		buffered.Discard(3) // spreadsheets write it in front
	}
	s := sheet{in: csv.NewReader(buffered), out: csv.NewWriter(std.Out), err: std.Err, keep: keep, allGood: true}
	s.in.FieldsPerRecord = -1
	s.out.UseCRLF = true // RFC 4180, section 2, rule 1
	if err := s.header(); err != nil {
		return err
	}
	for row := 2; ; row++ {
		cells, err := s.in.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		var parse *csv.ParseError
		if err != nil && !errors.As(err, &parse) {
			s.out.Flush()
			return fault.Wrap(fault.BadInput, say.New("sheet-broke-off", say.Count("row", row)), err)
		}
		if err := s.row(row, cells, parse); err != nil {
			return err
		}
	}
	s.out.Flush()
	if err := s.out.Error(); err != nil {
		return err
	}
	if !s.allGood {
		return exitCode(exitBad)
	}
	return nil
}

// header reads the column names and writes them with the new ones.
func (s *sheet) header() error {
	names, err := s.in.Read()
	if err != nil {
		return fault.New(fault.BadInput, say.New("sheet-no-header"))
	}
	header := append([]string{}, names...)
	seen := map[string]bool{}
	for _, n := range names {
		n = strings.ToLower(strings.TrimSpace(n))
		if _, known := column(n); known && seen[n] {
			return fault.New(fault.BadInput, say.New("sheet-two-columns", say.Text("name", n)))
		}
		seen[n] = true
		s.names = append(s.names, n)
	}
	if !seen["denomination"] || !seen["value"] {
		if len(names) == 1 && strings.ContainsAny(names[0], ";\t") {
			return fault.New(fault.BadInput, say.New("sheet-not-by-commas"))
		}
		return fault.New(fault.BadInput, say.New("sheet-header"))
	}
	for _, name := range added {
		at := -1
		for i, n := range s.names {
			if n == name {
				at = i
			}
		}
		if at < 0 {
			at = len(header)
			header = append(header, name)
		}
		s.place = append(s.place, at)
	}
	s.width = len(header)
	return s.out.Write(header)
}

// row judges one row and writes it. broken is set if it couldn't be read.
func (s *sheet) row(number int, cells []string, broken *csv.ParseError) error {
	out := make([]string, s.width)
	copy(out, cells)
	var cols map[string]string
	problem := ""
	switch {
	case broken != nil:
		problem = "The row is not valid CSV: " + broken.Err.Error() + "."
		clear(out)
	case len(cells) != len(s.names):
		problem = fmt.Sprintf("The row has %d cells where the header has %d.", len(cells), len(s.names))
		out = append(out[:0:0], make([]string, s.width)...)
		copy(out, cells[:min(len(cells), len(s.names))])
	default:
		var err error
		if cols, problem, err = s.judge(cells); err != nil {
			return err
		}
	}
	if problem != "" {
		s.allGood = false
		fmt.Fprintf(s.err, "row %d: %s\n", number, problem)
		cols = map[string]string{"error": problem}
	}
	for i, name := range added {
		out[s.place[i]] = cols[name]
	}
	return s.out.Write(out)
}

// judge asks for one row's verdict. problem is for the person; err is ours.
func (s *sheet) judge(cells []string) (cols map[string]string, problem string, err error) {
	question, evidence := map[string]any{}, map[string]string{}
	for i, name := range s.names {
		isEvidence, known := column(name)
		cell := strings.TrimSpace(cells[i])
		switch {
		case !known || cell == "":
		case isEvidence:
			evidence[name] = cell
		default:
			question[name] = cell
		}
	}
	if _, said := question["keep"]; !said && s.keep != nil {
		question["keep"] = s.keep
	}
	if len(evidence) > 0 {
		question["evidence"] = evidence
	}
	raw, err := json.Marshal(question)
	if err != nil {
		return nil, "", err
	}
	a, err := ask("judge", raw)
	if err != nil {
		return nil, "", err
	}
	if a.Error != nil {
		field := strings.TrimPrefix(a.Error.Field, "evidence.")
		if field != "" {
			field += ": "
		}
		return nil, field + a.Error.Sentence, nil
	}
	cols, err = verdictColumns(a.OK)
	return cols, "", err
}

// verdictColumns picks the columns out of a verdict.
func verdictColumns(raw json.RawMessage) (map[string]string, error) {
	var v struct {
		Call, Headline, Hint string
		Decisive             bool
		Wanted               []named
		CouldKeep            []named `json:"could_keep"`
		Alloys               []struct {
			Name        string
			Probability float64
		}
		Tolerance struct {
			State      string
			Conformity *float64
			Nominal    *float64 `json:"nominal_g"`
			Limit      *float64 `json:"limit_g"`
			U          *float64 `json:"u_g"`
			WornOK     bool     `json:"worn_ok"`
		}
		Explanations []struct {
			Kind, Name string
			Expected   *float64 `json:"expected_g"`
			Ratio      *float64 `json:"likelihood_ratio"`
		}
		NextTest *struct{ Test string } `json:"next_test"`
		Question *struct{ ID string }
	}
	if err := json.Unmarshal(raw, &v); err != nil {
		return nil, err
	}
	cols := map[string]string{
		"call": v.Call, "headline": v.Headline, "wanted": listed(v.Wanted), "could_keep": listed(v.CouldKeep), "hint": v.Hint, "decisive": strconv.FormatBool(v.Decisive),
		"tolerance": v.Tolerance.State, "conformity": figure(v.Tolerance.Conformity), "nominal_g": figure(v.Tolerance.Nominal),
		"limit_g": figure(v.Tolerance.Limit), "u_g": figure(v.Tolerance.U), "worn_ok": strconv.FormatBool(v.Tolerance.WornOK),
	}
	if len(v.Alloys) > 0 {
		cols["alloy"], cols["alloy_probability"] = v.Alloys[0].Name, figure(&v.Alloys[0].Probability)
	}
	if len(v.Explanations) > 0 {
		e := v.Explanations[0]
		cols["explanation_kind"], cols["explanation"] = e.Kind, e.Name
		cols["expected_g"], cols["likelihood_ratio"] = figure(e.Expected), figure(e.Ratio)
	}
	if v.NextTest != nil {
		cols["next_test"] = v.NextTest.Test
	}
	if v.Question != nil {
		cols["question"] = v.Question.ID
	}
	return cols, nil
}

// named is something of a list.
type named struct{ Name string }

// listed joins names in one cell; none has a semicolon.
func listed(list []named) string {
	var names []string
	for _, n := range list {
		names = append(names, n.Name)
	}
	return strings.Join(names, "; ")
}

// figure prints a number, or nothing where there is none.
func figure(x *float64) string {
	if x == nil {
		return ""
	}
	return strconv.FormatFloat(*x, 'g', -1, 64)
}
