package main

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"strings"
	"testing"
)

// feed runs a command on some input.
func feed(t *testing.T, in string, args ...string) (code int, out, errOut string) {
	t.Helper()
	var o, e bytes.Buffer
	code = run(context.Background(), args, &stdio{strings.NewReader(in), &o, &e})
	return code, o.String(), e.String()
}

func TestJudgeLines(t *testing.T) {
	in := strings.Join([]string{
		`{"denomination":"cent","value":"3.11"}`,
		``,
		`{"denomination":"cent","value":"heavy"}`,
		`not json`,
		`{"denomination":"dime","value":"2.50"}`,
		`{"denomination":"cent","value":"` + strings.Repeat("1", longest) + `"}`,
		`{"denomination":"cent","value":"2.50"}`, // no line feed at the end
	}, "\n")
	for _, args := range [][]string{{"judge"}, {"judge", "--json"}} {
		code, out, errOut := feed(t, in, args...)
		lines := strings.Split(strings.TrimSuffix(out, "\n"), "\n")
		if code != 1 || errOut != "" || len(lines) != 6 {
			t.Fatalf("%v: code %d, %d lines, stderr %q\n%s", args, code, len(lines), errOut, out)
		}
		for i, want := range []string{`"headline":"Bronze cent`, `{"line":3,"error":"`, `{"line":4,"error":"`, `"headline":"90% silver dime`, `{"line":6,"error":"`, `"headline":"Copper-plated zinc cent`} {
			if !json.Valid([]byte(lines[i])) || !strings.Contains(lines[i], want) {
				t.Errorf("answer %d is %.200s, want %s", i+1, lines[i], want)
			}
		}
		if !strings.Contains(lines[1], `"field":"value"`) || !strings.Contains(lines[1], `"code":"bad-number"`) {
			t.Errorf("the field isn’t named: %s", lines[1])
		}
	}
	if code, out, _ := feed(t, `{"denomination":"cent","value":"3.11"}`+"\n", "judge", "--json"); code != 0 || strings.Count(out, "\n") != 1 {
		t.Errorf("good input: code %d, %q", code, out)
	}
	if code, out, _ := feed(t, "", "judge"); code != 0 || out != "" {
		t.Errorf("no input: code %d, %q", code, out)
	}
	if code, _, errOut := feed(t, "", "judge", "--json", "--csv"); code != 2 || errOut == "" {
		t.Errorf("both forms: code %d, %q", code, errOut)
	}
}

// table parses the output and gives a cell by row and column name.
func table(t *testing.T, out string) (rows int, cell func(row int, name string) string) {
	t.Helper()
	all, err := csv.NewReader(strings.NewReader(out)).ReadAll()
	if err != nil {
		t.Fatalf("the output is not RFC 4180: %v\n%s", err, out)
	}
	return len(all), func(row int, name string) string {
		for i, n := range all[0] {
			if n == name {
				return all[row-1][i]
			}
		}
		t.Fatalf("no column %s in %v", name, all[0])
		return ""
	}
}

func TestJudgeCSV(t *testing.T) {
	in := "\ufeffBox,Denomination,year,value,colour,note\r\n" +
		"1,cent,1975,3.11,,plain\r\n" +
		"1,cent,1943,3.11,,\"a “find”, they say\"\r\n" +
		"2,cent,,abc,,\r\n" +
		"2,dollar,,8.10,golden,\"two\r\nlines\"\r\n" +
		"2,dime\r\n" +
		"3,cent,1815,3.11,,\r\n" +
		"3,quarter,,4.73,mauve,\r\n" +
		"4,quarter,,4.73,,last"
	code, out, errOut := feed(t, in, "judge", "--csv")
	rows, cell := table(t, out)
	if code != 1 || rows != 9 {
		t.Fatalf("code %d, %d rows\n%s", code, rows, out)
	}
	for _, tc := range []struct {
		row        int
		name, want string
	}{
		{1, "Box", "Box"}, {2, "Box", "1"}, {2, "note", "plain"}, {2, "call", "ordinary"}, {2, "alloy", "bronze, 95% copper"},
		{2, "tolerance", "within"}, {2, "error", ""}, {3, "note", "a “find”, they say"}, {3, "call", "look"},
		{3, "explanation_kind", "transitional-alloy"}, {4, "call", ""}, {5, "note", "two\nlines"}, {5, "tolerance", "unpublished"}, {5, "limit_g", ""},
		{5, "decisive", "true"}, {9, "explanation_kind", "missing-layer"}, {9, "note", "last"},
	} {
		if got := cell(tc.row, tc.name); got != tc.want {
			t.Errorf("row %d, %s: %q, want %q", tc.row, tc.name, got, tc.want)
		}
	}
	for row, want := range map[int]string{4: "value: ", 6: "2 cells", 7: "year: ", 8: "colour: "} {
		if !strings.Contains(cell(row, "error"), want) {
			t.Errorf("row %d: error %q, want %q", row, cell(row, "error"), want)
		}
		if !strings.Contains(errOut, "row "+string(rune('0'+row))+": ") {
			t.Errorf("row %d isn’t reported: %s", row, errOut)
		}
	}
	// What was judged once can be judged again; the columns are written over.
	_, again, _ := feed(t, out, "judge", "--csv")
	if rows2, cell2 := table(t, again); rows2 != rows || cell2(2, "call") != "ordinary" || strings.Count(strings.SplitN(again, "\n", 2)[0], "headline") != 1 {
		t.Errorf("judged twice:\n%s", again)
	}
}

// TestJudgeKeeps: what is kept comes by flag, by line and by column; a line's own goes
// before the flag's, and without either it is what one keeps from the start.
func TestJudgeKeeps(t *testing.T) {
	in := `{"denomination":"dime","year":1942,"value":"2.49"}` + "\n" +
		`{"denomination":"dime","year":1942,"value":"2.49","keep":["mercury"]}` + "\n" +
		`{"denomination":"dime","year":1942,"value":"2.49","keep":[]}` + "\n"
	for _, tc := range []struct {
		args []string
		want [3]string
	}{
		{nil, [3]string{"silver", "mercury", ""}},
		{[]string{"--keep", "barber, 1942"}, [3]string{"1942", "mercury", ""}},
		{[]string{"--keep", "barber", "--keep", "mercury"}, [3]string{"mercury", "mercury", ""}},
		{[]string{"--keep", ""}, [3]string{"", "mercury", ""}},
	} {
		code, out, _ := feed(t, in, append([]string{"judge"}, tc.args...)...)
		lines := strings.Split(strings.TrimSpace(out), "\n")
		if code != 0 || len(lines) != 3 {
			t.Fatalf("%v: code %d\n%s", tc.args, code, out)
		}
		for i, line := range lines {
			var v struct {
				Call   string
				Wanted []struct{ ID string }
			}
			if err := json.Unmarshal([]byte(line), &v); err != nil {
				t.Fatal(err)
			}
			got, call := "", "ordinary"
			for _, w := range v.Wanted {
				got = w.ID
			}
			if tc.want[i] != "" {
				call = "keeper"
			}
			if got != tc.want[i] || v.Call != call {
				t.Errorf("%v, line %d: %s %q, want %q", tc.args, i+1, v.Call, got, tc.want[i])
			}
		}
	}
	if code, out, _ := feed(t, "not json\n", "judge", "--keep", "silver"); code != 1 || !strings.Contains(out, `"line":1`) {
		t.Errorf("code %d: %s", code, out)
	}
	if code, out, _ := feed(t, in, "judge", "--keep", "moonstone"); code != 1 || strings.Count(out, `"field":"keep"`) != 1 {
		t.Errorf("code %d: %s", code, out)
	}

	code, out, _ := feed(t, "denomination,year,value,keep\ndime,1942,2.49,\ndime,1942,2.49,\"mercury, 1942\"\ncent,,3.11,moonstone\n", "judge", "--csv", "--keep", "bronze")
	_, cell := table(t, out)
	for _, tc := range []struct {
		row        int
		name, want string
	}{
		{2, "call", "ordinary"}, {2, "wanted", ""}, {2, "could_keep", "silver; Mercury dimes"},
		{3, "call", "keeper"}, {3, "wanted", "Mercury dimes; 1942"}, {3, "could_keep", "silver"}, {4, "call", ""},
	} {
		if got := cell(tc.row, tc.name); got != tc.want {
			t.Errorf("row %d, %s: %q, want %q", tc.row, tc.name, got, tc.want)
		}
	}
	if code != 1 || !strings.Contains(cell(4, "error"), "keep: “moonstone”") {
		t.Errorf("code %d, %s", code, cell(4, "error"))
	}
}

func TestJudgeCSVBrokenQuotes(t *testing.T) {
	code, out, errOut := feed(t, "denomination,value\ncent,3.11\ncent,\"3\"11\"\ncent,2.50\n", "judge", "--csv")
	rows, cell := table(t, out)
	if code != 1 || rows != 4 || cell(2, "call") != "ordinary" || cell(3, "error") == "" || cell(4, "call") != "ordinary" || !strings.Contains(errOut, "row 3") {
		t.Errorf("code %d\n%s\n%s", code, out, errOut)
	}
}

func TestJudgeCSVHeaders(t *testing.T) {
	for _, tc := range []struct{ in, want string }{
		{"", "header"},
		{"coin,weight\ncent,3.11\n", "denomination and value"},
		{"denomination;value\ncent;3.11\n", "commas"},
		{"denomination,value,value\n", "Two columns"},
	} {
		code, _, errOut := feed(t, tc.in, "judge", "--csv")
		if code != exitBad || !strings.Contains(errOut, tc.want) {
			t.Errorf("%q: code %d, %q", tc.in, code, errOut)
		}
	}
	if code, out, _ := feed(t, "denomination,value\n", "judge", "--csv"); code != 0 || strings.Count(out, "\n") != 1 {
		t.Errorf("a sheet without rows: code %d, %q", code, out)
	}
	_, out, _ := feed(t, "", "judge", "--help")
	for _, name := range append([]string{"denomination", "value", "diameter_mm"}, added...) {
		if !strings.Contains(out, name) {
			t.Errorf("the help doesn’t name %s", name)
		}
	}
}

// TestJudgeCSVAsks: the open question is a column, and its id is a column of evidence.
func TestJudgeCSVAsks(t *testing.T) {
	code, out, errOut := feed(t, "denomination,year,mint,value,us-cent-1982-date\ncent,1982,D,3.11,\ncent,1982,D,3.11,small\ncent,1983,D,2.50,small\n", "judge", "--csv")
	_, cell := table(t, out)
	if code != 1 || cell(2, "question") != "us-cent-1982-date" || cell(2, "call") != "ordinary" || cell(3, "question") != "" || cell(3, "call") != "look" || !strings.HasPrefix(cell(4, "error"), "us-cent-1982-date: ") {
		t.Errorf("code %d\n%s%s", code, out, errOut)
	}
}
