package coin_test

import (
	"strings"
	"testing"

	"panside/internal/coin"
)

const soundStrangers = `{"through":2000,"from":["talk","from memory"],"metals":["white","copper on white"],"countries":[
{"id":"AB","name":"Abland","coins":["1 bob;1900-1950 1952-;copper;3.5;20.5;plain","1/2 bob;1900;1;4;21","2 bob;1910;white round copper;5;22;r","3 bob;1901;=p-solid","5 bob;1960;0;6;24;l"]},
{"id":"CD","name":"Ceedee","like":"AB"}]}`

// wholesOfStrangers are the metals that faces, and ring and core, add up to.
const wholesOfStrangers = `{"id":"white-copper","name":"copper on white","source":"act","grade":"P","wear":"hard"},{"id":"ring-and-core","name":"ring and core","source":"act","grade":"P","wear":"hard"},{"id":"two",`

func loadStrangers(strangers string) (*coin.Book, error) {
	metals := strings.TrimSuffix(soundSources, "}") + "," + strings.TrimPrefix(strings.Replace(soundAlloys, `{"id":"two",`, wholesOfStrangers, 1), "{")
	b, err := coin.Open([]byte(metals), []byte(strangers), []byte(strings.Replace(soundCountry, `"order":1,`, `"order":1,"strays_from":["AB","CD"],`, 1)))
	if err != nil {
		return nil, err
	}
	return b, b.Check()
}

func TestStrangersAreRead(t *testing.T) {
	b, err := loadStrangers(soundStrangers)
	if err != nil {
		t.Fatal(err)
	}
	all := b.Strangers()
	if len(all) != 10 || len(b.All()) != 3 || len(b.Countries()) != 1 {
		t.Fatalf("%d strangers, %d issues, %d countries", len(all), len(b.All()), len(b.Countries()))
	}
	if k, ok := b.Abroad("CD"); !ok || k.Name != "Ceedee" || all[5].ID != "cd-1-bob-1900" || all[5].Country != "CD" {
		t.Errorf("%+v %+v", k, all[5])
	}
	if i := all[0]; i.ID != "ab-1-bob-1900" || i.Name != "1 bob" || !i.Circulating || !i.Struck(1999) || i.Struck(1951) || i.Grade != coin.Memory || i.Source != "talk" {
		t.Errorf("%+v", i)
	}
	p := b.Planchet("ab-1-bob-1900")
	if p.Mass.Value != 3.5 || p.Mass.Text != "3.5 g" || p.Mass.Grade != coin.Memory || p.Diameter.Value != 20.5 || p.Edge != coin.EdgePlain || p.Colour != coin.Red || p.Name != "1 bob (Abland)" || !p.SplitKnown() {
		t.Errorf("%+v", p)
	}
	if p := b.Planchet("ab-1-2-bob-1900"); p.Edge != coin.EdgeUnknown || p.Alloy != "white-copper" || p.Layers[0] != (coin.Layer{Part: coin.Face, Alloy: "copper"}) || p.Colour != coin.Red || !p.Stripe || p.SplitKnown() {
		t.Errorf("faces %+v", p)
	}
	if p := b.Planchet("ab-2-bob-1910"); p.Edge != coin.EdgeReeded || p.Alloy != "ring-and-core" || p.Colour != coin.TwoHue {
		t.Errorf("ring and core %+v", p)
	}
	if all[3].Planchet != "p-solid" || b.Planchet("ab-5-bob-1960").Edge != coin.EdgeLettered {
		t.Errorf("%+v", all[3])
	}
}

// TestStrangersNameWhatIsWrong breaks the sound strangers in one place at a time.
func TestStrangersNameWhatIsWrong(t *testing.T) {
	for _, tc := range []struct{ old, new, says string }{
		{`1 bob;1900-1950 1952-;copper;3.5;20.5;plain`, `1 bob;1900-1950 1952-;copper;3.5`, "is not a line of 3, 5 or 6 parts"},
		{`=p-solid`, `p-solid`, "is not a line of 3, 5 or 6 parts"},
		{`=p-solid`, `=p-sold`, "stranger ab-3-bob-1901: names the unknown planchet “p-sold”"},
		{`1900-1950 1952-`, ``, "has no years"},
		{`1900-1950 1952-`, `1900-50`, "“50” is not a year"},
		{`1900-1950 1952-`, `1952-1990 1900`, "stranger ab-1-bob-1952: its years are out of order near 1900"},
		{`;copper;`, `;cooper;`, "planchet ab-1-bob-1900: names the unknown alloy “cooper”"},
		{`;3.5;`, `;3,5g;`, "bad-number"},
		{`;3.5;`, `;350;`, "planchet ab-1-bob-1900 mass: “350 g” is not of a coin’s size"},
		{`;20.5;`, `;205;`, "planchet ab-1-bob-1900 diameter: “205 mm” is not of a coin’s size"},
		{`;plain`, `;milled`, "has the unknown edge “milled”"},
		{`2 bob;1910`, `1 bob;1900`, "ab-1-bob-1900 is there twice"},
		{`3 bob;1901`, `1/2 bob;1900`, "stranger ab-1-2-bob-1900: is there twice"},
		{`["talk","from memory"]`, `["walk","from memory"]`, "names the unknown source “walk”"},
		{`["talk","from memory"]`, `["talk","M"]`, "has the unknown grade “M”"},
		{`"id":"CD"`, `"id":"AB"`, "the country “AB” is there twice"},
		{`"id":"CD"`, `"id":"XY"`, "the country “XY” is there twice"},
		{`"name":"Ceedee",`, ``, "strangers CD: the country has no name"},
		{`"like":"AB"`, `"like":"BA"`, "is like “BA”, which must come before it"},
		{`"like":"AB"`, `"likes":"AB"`, `unknown field "likes"`},
		{`"id":"CD"`, `"id":"DC"`, "has strays from the unknown country “CD”"},
	} {
		if !strings.Contains(soundStrangers, tc.old) {
			t.Errorf("%s isn't among the sound strangers", tc.old)
			continue
		}
		_, err := loadStrangers(strings.Replace(soundStrangers, tc.old, tc.new, 1))
		if err == nil || !strings.Contains(err.Error(), tc.says) {
			t.Errorf("%s instead of %s: %v\nwant “%s”", tc.new, tc.old, err, tc.says)
		}
	}
}

// FuzzStrangers: no line brings the loader down.
func FuzzStrangers(f *testing.F) {
	f.Add(`1 bob;1900-1950 1952-;copper;3.5;20.5;plain`)
	f.Add(`;-;=;;`)
	f.Fuzz(func(t *testing.T, line string) {
		b, err := loadStrangers(strings.Replace(soundStrangers, `1 bob;1900-1950 1952-;copper;3.5;20.5;plain`, line, 1))
		if err == nil {
			for _, i := range b.Strangers() {
				i.Last()
				b.Density(b.Planchet(i.Planchet))
			}
		}
	})
}
