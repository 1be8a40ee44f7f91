package bridge

import (
	"encoding/json"
	"errors"
	"strings"
	"testing"

	"panside/internal/book"
	"panside/internal/book/data"
	"panside/internal/fault"
	"panside/internal/look"
)

// answer runs a method as the phone would see it.
func answer(t *testing.T, call func(*book.Shelf, []byte) (any, error), in string, out any) {
	t.Helper()
	got, err := call(data.Shelf(), []byte(in))
	if err != nil {
		t.Fatalf("%s: %v", in, err)
	}
	raw, err := json.Marshal(got)
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(raw, out); err != nil {
		t.Fatal(err)
	}
}

type sheetOut struct {
	Look []struct {
		Kind, Name, Scope, Side, Where, With, See, Mimics, Decides, Weight, Rarity, Sure string
	}
	Cautions []struct{ ID, Text string }
}

func TestLookAnswersPerContract(t *testing.T) {
	var out sheetOut
	answer(t, callLook, `{"country":"US","denomination":"cent","year":1955,"mint":"-"}`, &out)
	if out.Look[0].Kind != "doubled-die" || out.Look[0].Scope != "date" || len(out.Cautions) == 0 {
		t.Errorf("first is %+v", out.Look[0])
	}
	for _, l := range out.Look {
		if l.Name == "" || l.Side == "" || l.Where == "" || l.With == "" || l.See == "" || l.Mimics == "" || l.Decides == "" || l.Weight == "" || l.Rarity == "" || l.Sure == "" {
			t.Errorf("an empty field: %+v", l)
		}
	}
}

// A coin without the mark it should have is what the hunter looks for.
func TestLookTakesCoinsThatLackTheirMark(t *testing.T) {
	for _, in := range []string{
		`{"denomination":"dime","year":1982,"mint":"-"}`,
		`{"denomination":"cent","year":1922,"mint":"-"}`,
		`{"denomination":"cent","year":1990,"mint":"-"}`,
		`{"denomination":"nickel","year":1944,"mint":"-"}`,
	} {
		var out sheetOut
		answer(t, callLook, in, &out)
		if out.Look[0].Scope != "date" {
			t.Errorf("%s: first is %+v", in, out.Look[0])
		}
	}
}

func TestLookRefusesInASentence(t *testing.T) {
	for _, c := range []struct {
		in    string
		code  fault.Code
		field string
	}{
		{`{`, fault.BadInput, ""},
		{`{"year":1955}`, fault.BadInput, ""},
		{`{"denomination":"cent","year":55}`, fault.BadInput, ""},
		{`{"denomination":"cent","hint":"odd"}`, fault.BadInput, ""},
		{`{"denomination":"groat"}`, fault.NoSuchIssue, "denomination"},
		{`{"country":"ZZ","denomination":"cent"}`, fault.NoSuchIssue, "country"},
		{`{"denomination":"quarter","year":1975}`, fault.NoSuchIssue, "year"},
		{`{"denomination":"cent","year":1955,"mint":"CC"}`, fault.NoSuchIssue, "mint"},
	} {
		_, err := callLook(data.Shelf(), []byte(c.in))
		if err == nil {
			t.Errorf("%s was answered", c.in)
			continue
		}
		f := fault.Of(err)
		if f.Code != c.code || !strings.HasSuffix(f.English(), ".") {
			t.Errorf("%s: %v", c.in, f)
		}
		var no *fault.Field
		if c.field != "" && (!errors.As(err, &no) || no.Name != c.field) {
			t.Errorf("%s: %v, want field %s", c.in, err, c.field)
		}
	}
}

func TestKeyIsWholeAndFilled(t *testing.T) {
	var out struct {
		Start     string
		Questions []struct {
			ID      string
			Answers []struct{ Say string }
		}
		Ends   []struct{ ID string }
		Kinds  []struct{ ID, Name, See string }
		Filled map[string]int
	}
	answer(t, callKey, `{"hint":"light","explanations":["missing-layer"]}`, &out)
	if out.Start == "" || len(out.Questions) < 20 || len(out.Ends) == 0 || len(out.Kinds) != len(look.FixedKinds) || out.Kinds[0].See == "" {
		t.Errorf("start %q, %d questions, %d ends, %d kinds", out.Start, len(out.Questions), len(out.Ends), len(out.Kinds))
	}
	for _, q := range out.Questions {
		if i, ok := out.Filled[q.ID]; q.ID == "layer" && (!ok || !strings.Contains(q.Answers[i].Say, "sixth")) {
			t.Errorf("the scale's answer to %s is %d, %v", q.ID, i, ok)
		}
	}
	answer(t, callKey, `{}`, &out)
	if _, err := callKey(data.Shelf(), []byte(`[`)); fault.Of(err).Code != fault.BadInput {
		t.Error(err)
	}
}
