package bridge_test

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"panside/internal/bridge"

	"panside/internal/book/booktest"
)

// kept is what the answer of "judge" says of the hunter's list.
type kept struct {
	OK *struct {
		Call, Claim, Headline string
		Wanted                []struct{ ID, Name string }
		CouldKeep             []struct{ ID, Name string } `json:"could_keep"`
		Tally                 struct{ Name, Keeper any }
	}
	Error *struct{ Code, Field, Sentence string }
}

func askKept(t *testing.T, question string) (a kept) {
	t.Helper()
	raw := bridge.Call("judge", []byte(question))
	if err := json.Unmarshal(raw, &a); err != nil {
		t.Fatalf("%s: %v", raw, err)
	}
	return a
}

// TestKeepIsWritten as a list, as one text, or left out for what one keeps who hasn't
// chosen; an empty list keeps nothing.
func TestKeepIsWritten(t *testing.T) {
	for keep, want := range map[string]string{
		``: "keeper silver", `,"keep":null`: "keeper silver", `,"keep":["silver"]`: "keeper silver", `,"keep":"silver"`: "keeper silver", `,"keep":["Wheat ears", "SILVER"]`: "keeper silver",
		`,"keep":[]`: "ordinary", `,"keep":""`: "ordinary", `,"keep":["wheat ears"]`: "ordinary", `,"keep":["40 %"]`: "ordinary",
		`,"keep":[1942]`: "keeper 1942", `,"keep":["1909-S", "1942"]`: "keeper 1942", `,"keep":"cent 1909-S, dime 1942"`: "keeper dime 1942", `,"keep":["mercury", "silver"]`: "keeper mercury silver",
		`,"keep":["Canadian silver", "florin 1925", "nickel metal"]`: "ordinary",
	} {
		a := askKept(t, `{"denomination":"dime","year":1942,"value":"2.49"`+keep+`}`)
		if a.OK == nil {
			t.Errorf("%s: %+v", keep, a.Error)
			continue
		}
		got := a.OK.Call
		for _, w := range a.OK.Wanted {
			got += " " + w.ID
			if w.Name == "" {
				t.Errorf("%s has no name", w.ID)
			}
		}
		if got != want || a.OK.Wanted == nil || a.OK.CouldKeep == nil || a.OK.Claim != a.OK.Call+"/silver-900//" {
			t.Errorf("%s: %s, %s, want %s", keep, got, a.OK.Claim, want)
		}
		if keeper := a.OK.Tally.Keeper == true; keeper != (a.OK.Call == "keeper") || a.OK.Tally.Name != "90% silver" {
			t.Errorf("%s: %s is counted as %+v", keep, got, a.OK.Tally)
		}
	}
}

// TestOneListIsReadForEachCountry: it means other coins there, asked one after the other.
func TestOneListIsReadForEachCountry(t *testing.T) {
	for range 2 {
		for q, want := range map[string]string{`"country":"GB","denomination":"sixpence","year":1946,"value":"2.83"`: "silver-sixpences", `"denomination":"dime","year":1942,"value":"2.49"`: "mercury"} {
			a := askKept(t, `{`+q+`,"keep":["mercury","silver sixpences"]}`)
			if a.OK == nil || len(a.OK.Wanted) != 1 || a.OK.Wanted[0].ID != want {
				t.Errorf("%s: %+v, want %s", q, a.OK, want)
			}
		}
	}
}

// TestWhatCantBeKept is refused by its field, with what was written.
func TestWhatCantBeKept(t *testing.T) {
	long := `["silver"` + strings.Repeat(`,"silver"`, 500) + `]`
	for keep, says := range map[string]string{
		`["unobtainium"]`: "“unobtainium”", `["silver", "1909-Q"]`: "“1909-Q”", `"silver, moonstone"`: "“moonstone”", `[["silver"]]`: "must be a list", `{"silver":true}`: "must be a list",
		`[true]`: "“true”", `[42]`: "“42”", long: "at most 500",
	} {
		a := askKept(t, `{"denomination":"dime","value":"2.49","keep":`+keep+`}`)
		if a.Error == nil || a.Error.Code != "bad-input" || a.Error.Field != "keep" || !strings.Contains(a.Error.Sentence, says) || !strings.Contains(a.Error.Sentence, "Nothing was judged") {
			t.Errorf("%.60s: %+v", keep, a)
		}
	}
}

// TestTheBookListsWhatCanBeKept by country, and each id of it can be asked with.
func TestTheBookListsWhatCanBeKept(t *testing.T) {
	var b struct {
		OK struct {
			Countries []struct {
				ID    string
				Wants []struct {
					ID, Name, Note string
					Start          bool
				}
			}
		}
	}
	if err := json.Unmarshal(bridge.Call("book", nil), &b); err != nil || len(b.OK.Countries) < 4 {
		t.Fatal(err, b)
	}
	var all, start []string
	for _, c := range b.OK.Countries {
		if len(c.Wants) == 0 {
			t.Errorf("%s lists nothing", c.ID)
		}
		for _, w := range c.Wants {
			if w.Name == "" || w.Note == "" {
				t.Errorf("%s %s: %+v", c.ID, w.ID, w)
			}
			all = append(all, w.ID)
			if w.Start && c.ID == "US" {
				start = append(start, w.ID)
			}
		}
	}
	if !slices.Equal(start, []string{"silver", "silver-40", "wartime"}) {
		t.Errorf("from the start: %q", start)
	}
	list, err := json.Marshal(all)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range b.OK.Countries {
		denomination := map[string]string{"GB": "penny", "EU": "one-euro"}[c.ID]
		if denomination == "" {
			denomination = "cent"
		}
		if a := askKept(t, fmt.Sprintf(`{"country":%q,"denomination":%q,"value":"3","keep":%s}`, c.ID, denomination, list)); a.OK == nil {
			t.Errorf("%s: %+v", c.ID, a.Error)
		}
	}
}

// TestOtherCountriesWantsAreKnown where a judgement takes fewer files: they are
// fetched then, and the list isn't refused.
func TestOtherCountriesWantsAreKnown(t *testing.T) {
	p := newBookPhone(t, booktest.FewerStrays(t))
	if got := p.ask("judge", `{"denomination":"dime","value":"2.49","keep":["silver"]}`); !strings.Contains(got, `"call":"keeper"`) || strings.Contains(strings.Join(p.fetched, " "), "/gb-") {
		t.Errorf("fetched %v: %.200s", p.fetched, got)
	}
	if got := p.ask("judge", `{"denomination":"dime","value":"2.49","keep":["round pounds","silver"]}`); !strings.Contains(got, `"call":"keeper"`) || !strings.Contains(strings.Join(p.fetched, " "), "/gb-") {
		t.Errorf("fetched %v: %.200s", p.fetched, got)
	}
	if got := p.ask("judge", `{"denomination":"dime","value":"2.49","keep":["square pounds"]}`); !strings.Contains(got, `"field":"keep"`) {
		t.Errorf("%.200s", got)
	}
}

// TestTheGlassTellsAKeeper: a list that changes under the coin is another question,
// and the keeper stands by its own claim, whatever its figures.
func TestTheGlassTellsAKeeper(t *testing.T) {
	p := &phone{t: t}
	weigh := func(asked, keep string, grams float64, ms int) shownAnswer {
		p.n++
		return p.ask(fmt.Sprintf(`{"load":7,"asked":%q}`, asked), fmt.Sprintf(
			`,"n":%d,"at_ms":%d,"settled":true,"question":{"denomination":"dime","mean_g":%v,"u_g":0.006,"resolution_g":0.01%s}`, p.n, ms, grams, keep))
	}
	if a := weigh("start", "", 2.49, 0); a.OK.Verdict.Claim != "keeper/silver-900//" || a.OK.View.Now != 1 {
		t.Fatalf("%+v", a.OK)
	}
	if a := weigh("start", "", 2.485, 40); a.OK.View.Now != 2 || a.OK.View.Waiting {
		t.Fatalf("newer figures of the same claim: %+v", a.OK)
	}
	if a := weigh("start", `,"keep":[]`, 2.485, 80); a.OK.Verdict.Claim != "ordinary/silver-900//" || a.OK.View.Now != 2 || !a.OK.View.Waiting {
		t.Fatalf("another claim took the glass at once: %+v", a.OK)
	}
	if a := weigh("nothing", `,"keep":[]`, 2.485, 120); a.OK.View.Now != 4 || a.OK.View.After != 4 {
		t.Fatalf("asked anew: %+v", a.OK)
	}
}

// TestWhatAnEntryMeans: the form for the list asks the core, which reads an entry as a
// judgement would.
func TestWhatAnEntryMeans(t *testing.T) {
	for entry, want := range map[string]string{
		"1955": "1955", " 1909 s": "1909-S", "1909-s": "1909-S", "Cent 1909 – 1958": "cent 1909-1958", "cent S": "cent S", "cc": "CC",
		"half dollar 1964": "half 1964", "silver": "silver", "cent 1909 s vdb": "", "soon": "", "": "",
	} {
		var a struct {
			OK *struct{ Wanted []struct{ ID, Name string } }
		}
		if err := json.Unmarshal(bridge.Call("keep", fmt.Appendf(nil, `{"entry":%q}`, entry)), &a); err != nil || a.OK == nil {
			t.Fatalf("%q: %v", entry, err)
		}
		got := ""
		for _, w := range a.OK.Wanted {
			got += w.ID
			if w.Name == "" {
				t.Errorf("%q: no name", entry)
			}
		}
		if got != want {
			t.Errorf("%q means %q, want %q", entry, got, want)
		}
	}
}
