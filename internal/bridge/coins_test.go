package bridge

import (
	"encoding/json"
	"math"
	"panside/internal/book/data"
	"strings"
	"testing"

	"panside/internal/fault"
)

func coins(t *testing.T, in string) coinsOut {
	t.Helper()
	out, err := callCoins(data.Shelf(), []byte(in))
	if err != nil {
		t.Fatalf("%s: %v", in, err)
	}
	return out.(coinsOut)
}

func found(c coinsOut) string {
	var ids []string
	for _, i := range c.Coins {
		ids = append(ids, i.ID)
	}
	return strings.Join(ids, " ")
}

func TestCoinsSearch(t *testing.T) {
	for _, tc := range []struct{ in, want string }{
		{`{"text":"steel cent 1943"}`, "us-cent-steel-early us-cent-steel"},
		{`{"text":"WARTIME"}`, "us-nickel-wartime"},
		{`{"text":"us-half-400"}`, "us-half-400 us-half-400-sets"},
		{`{"text":"tombac"}`, "ca-nickel-tombac"},
		{`{"text":"silver","country":"US","year":1942}`, "us-nickel-wartime us-dime-mercury us-quarter-silver us-half-walking"},
		{`{"denomination":"cent","year":1982,"mint":"D"}`, "us-cent-memorial-brass-1982 us-cent-zinc"},
		{`{"denomination":"cent","year":1982,"text":"zinc"}`, "us-cent-zinc"},
		{`{"country":"GB","denomination":"pound"}`, "gb-pound-round gb-pound"},
		{`{"text":"no such thing"}`, ""},
	} {
		if got := found(coins(t, tc.in)); got != tc.want {
			t.Errorf("%s: %s, want %s", tc.in, got, tc.want)
		}
	}
}

func TestCoinsCarryFiguresAndSources(t *testing.T) {
	zinc := coins(t, `{"text":"us-cent-zinc","year":1999}`)
	c := zinc.Coins[0]
	p := c.Planchet
	if p.Mass.Text != "2.5 g" || p.Mass.Value != 2.5 || p.Mass.Grade != "P" || p.Mass.Sure != "read in the primary text" {
		t.Errorf("mass %+v", p.Mass)
	}
	if p.Limit == nil || p.Limit.Scope != "piece" || p.Limit.Value != 0.13 {
		t.Errorf("limit %+v", p.Limit)
	}
	if len(p.Layers) != 2 || p.Layers[0].Alloy.Fractions["Cu"] != 1 || p.LayersBy == nil || p.LayersBy.Sure != "from memory, not seen" {
		t.Errorf("layers %+v by %+v", p.Layers, p.LayersBy)
	}
	if p.Alloy.Fractions["Zn"] != 0.975 || p.Density == nil || p.Diameter.Value != 19.05 {
		t.Errorf("planchet %+v", p)
	}
	// Every source named is told, and none besides.
	raw, err := json.Marshal(zinc.Coins)
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range zinc.Sources {
		if s.Title == "" || !strings.Contains(string(raw), `"`+s.ID+`"`) {
			t.Errorf("source %+v isn't used", s)
		}
	}
	if n := len(zinc.Sources); n != 6 {
		t.Errorf("%d sources: %+v", n, zinc.Sources)
	}
	if p := coins(t, `{"text":"us-dollar-brass"}`).Coins[0].Planchet; p.Limit != nil {
		t.Errorf("an unpublished limit is %+v", p.Limit)
	}
	if p := coins(t, `{"text":"gb-pound"}`).Coins[0].Planchet; p.Density != nil || p.Layers[0].Share != 0 {
		t.Errorf("twelve-sided pound %+v", p)
	}
}

// TestStruckForOthers: coins struck for others are found by name, metal and year, with
// how sure that is.
func TestStruckForOthers(t *testing.T) {
	for in, want := range map[string]string{
		`{"text":"belgian"}`: "Belgian 2 francs", `{"text":"struck for others nickel","year":1968}`: "Canadian ten cents",
		`{"text":"guilder 1944"}`: "Netherlands guilder", `{"text":"guilder 1950"}`: "", `{"text":"others","country":"GB"}`: "",
	} {
		got := ""
		for _, g := range coins(t, in).StruckForOthers {
			got += g.Name
			if g.By.Grade != "from memory" || g.Planchet.Mass.Value == 0 || len(g.Struck) == 0 {
				t.Errorf("%+v", g)
			}
		}
		if got != want {
			t.Errorf("%s: %q, want %q", in, got, want)
		}
	}
}

func TestCoinsOfAllTheBook(t *testing.T) {
	for _, in := range []string{"", "{}", " \n"} {
		all := coins(t, in)
		if len(all.Coins) < 200 {
			t.Errorf("%q: %d coins", in, len(all.Coins))
		}
		for _, c := range all.Coins {
			if len(c.Struck) == 0 || c.Planchet.Mass.Value == 0 || c.Planchet.Alloy.Name == "" || c.Planchet.Alloy.Sure == "" || c.Planchet.LooksBy.Sure == "" || (c.Planchet.Edge != "") != (c.Planchet.EdgeBy != nil) {
				t.Errorf("%+v lacks something", c)
			}
		}
	}
}

func TestCoinsErrors(t *testing.T) {
	for in, want := range map[string]struct {
		code fault.Code
		says string
	}{
		`{"year":"x"}`:                        {fault.BadInput, "year as a number"},
		`[`:                                   {fault.BadInput, "couldn’t be read"},
		`{"denomination":"cent","year":1815}`: {fault.NoSuchIssue, "1793–1814 and 1816–2026"},
		`{"denomination":"cent","year":1955,"mint":"W"}`: {fault.NoSuchIssue, "no mark, D or S"},
		`{"country":"ZZ","denomination":"cent"}`:         {fault.NoSuchIssue, "US (United States)"},
	} {
		_, err := callCoins(data.Shelf(), []byte(in))
		if f := fault.Of(err); f == nil || f.Code != want.code || !strings.Contains(f.English(), want.says) {
			t.Errorf("%s: %v", in, err)
		}
	}
}

func TestBookOffersYearsAndMarks(t *testing.T) {
	out, err := callBook(data.Shelf(), nil)
	if err != nil {
		t.Fatal(err)
	}
	raw, err := json.Marshal(out)
	if err != nil {
		t.Fatal(err)
	}
	if len(raw) > 40_000 {
		t.Errorf("the keys of the phone take %d bytes", len(raw))
	}
	b := out.(bookOut)
	if b.Countries[0].ID != "US" || len(b.Countries) != 4 {
		t.Fatalf("countries %+v", b.Countries)
	}
	for _, d := range b.Countries[0].Denominations {
		if d.ID != "cent" {
			continue
		}
		for _, s := range d.Dates {
			if s.First <= 1922 && 1922 <= s.Last {
				if got := strings.Join(s.Marks, " "); got != "- D" || s.First != 1922 || s.Last != 1922 {
					t.Errorf("1922: %+v; the mark is known to be missing on some", s)
				}
			}
			if s.First <= 1815 && 1815 <= s.Last {
				t.Errorf("1815 is offered in %+v", s)
			}
		}
		if last := d.Dates[len(d.Dates)-1]; !last.Open {
			t.Errorf("the last run %+v is closed", last)
		}
	}
	for _, d := range b.Countries[1].Denominations {
		for _, s := range d.Dates {
			if s.Marks != nil {
				t.Errorf("Canadian %s: marks %v are offered", d.ID, s.Marks)
			}
		}
	}
}

func TestBookGivesTheKeysTheirOutline(t *testing.T) {
	var got bookOut
	ask(t, "book", `{}`, &got)
	want := map[string]struct {
		diameter float64
		edge     string
	}{"cent": {19.05, "plain"}, "quarter": {24.26, "reeded"}} // 31 U.S.C. 5112(a), in millimetres
	for _, c := range got.Countries {
		for _, d := range c.Denominations {
			if w, ok := want[d.ID]; ok && c.ID == "US" {
				if math.Abs(d.Diameter-w.diameter) > 0.01 || string(d.Edge) != w.edge {
					t.Errorf("%s: %v mm, %s", d.ID, d.Diameter, d.Edge)
				}
				delete(want, d.ID)
			}
		}
	}
	if len(want) > 0 {
		t.Errorf("no keys for %v", want)
	}
}
