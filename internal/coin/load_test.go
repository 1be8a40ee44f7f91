package coin_test

import (
	"strings"
	"testing"

	"panside/internal/coin"
)

// The smallest sound catalogue: a solid coin with a limit, a clad one with a
// remedy, a bimetal one whose split isn’t published, and a foreign strike.
const (
	soundSources = `{"sources":[{"id":"act","title":"An act"},{"id":"talk","title":"What is told"}]}`
	soundAlloys  = `{"looks_from":["talk","common practice"],"wear_rates":[{"id":"soft","a_year":["0.0006","talk","assumed"]},{"id":"hard","a_year":["0.0003","talk","assumed"]}],"alloys":[
{"id":"copper","name":"copper","parts":{"Cu":1},"source":"act","grade":"P","colour":"red","wear":"soft"},
{"id":"white","name":"white","parts":{"Cu":0.75,"Ni":0.25},"source":"act","grade":"P","colour":"white","wear":"hard"},
{"id":"clad","name":"clad","parts":{"Cu":0.9,"Ni":0.1},"source":"act","grade":"C","wear":"hard"},
{"id":"two","name":"white ring, copper core","source":"act","grade":"P","wear":"hard"}
]}`
	soundCountry = `{"id":"XY","name":"Xyland","order":1,"through":2000,"dates_from":["talk","from memory"],"edges_from":["act","P"],"struck_for_others_from":["talk","S"],
"denominations":[{"id":"bit","name":"bit","plural":"bits","short":"1b"}],
"planchets":[
{"id":"p-solid","name":"solid","alloy":"copper","mass":["48 gr","act","P"],"limit":["2 gr","act","P"],"diameter":["0.75 in","act","P"],"edge":"plain"},
{"id":"p-clad","name":"clad","alloy":"clad","mass":["5 g","act","P"],"remedy":{"figure":["20 g","act","P"],"pieces":200,"rule":"of 200 pieces"},"thickness":["1.5 mm","act","S"],"layers":[{"part":"face","alloy":"white","share":0.4},{"part":"core","alloy":"copper","share":0.6}],"layers_from":["act","P"]},
{"id":"p-two","name":"two","alloy":"two","mass":["7 g","act","P"],"layers":[{"part":"ring","alloy":"white"},{"part":"core","alloy":"copper"}],"layers_from":["act","P"]},
{"id":"p-foreign","name":"foreign","alloy":"white","mass":["6 g","act","P"],"diameter":["20 mm","act","P"],"edge":"reeded","edge_from":["talk","C"]}
],
"issues":[
{"id":"i-solid","denomination":"bit","name":"Solid bit","years":"1900-1950:-,D 1952:D,(-)","planchet":"p-solid"},
{"id":"i-clad","denomination":"bit","name":"Clad bit","years":"1951-","planchet":"p-clad"},
{"id":"i-two","denomination":"bit","name":"Bit of two metals","years":"1960","planchet":"p-two","collector":true}
],
"struck_for_others":[{"name":"Abland bit","years":"1910-1911","planchet":"p-foreign"}]}`
)

// load opens and checks a catalogue; sources and alloys are one file.
func load(sources, alloys, country string) (*coin.Book, error) {
	metals := strings.TrimSuffix(sources, "}") + "," + strings.TrimPrefix(alloys, "{")
	b, err := coin.Open([]byte(metals), nil, []byte(country))
	if err != nil {
		return nil, err
	}
	return b, b.Check()
}

func TestLoadSound(t *testing.T) {
	b, err := load(soundSources, soundAlloys, soundCountry)
	if err != nil {
		t.Fatal(err)
	}
	p := b.Planchet("p-clad")
	if l := p.Limit; l.Value != 0.1 || l.Scope != coin.PerBatch || l.Text != "20 g" || l.Batch != "of 200 pieces" {
		t.Errorf("remedy %+v", l)
	}
	if p := b.Planchet("p-solid"); p.EdgeSource != "act" || p.EdgeGrade != coin.Primary || p.Diameter.Value != 19.05 || p.Diameter.Text != "0.75 in" || p.Mass.Quantity.String() != "48 gr" {
		t.Errorf("solid %+v", p)
	}
	issues := b.Issues("XY", "bit")
	if len(issues) != 3 || issues[0].ID != "i-solid" || issues[1].Last() != 2000 || issues[2].Circulating {
		t.Errorf("issues %+v", issues)
	}
	if g := b.ForeignStrikes("XY"); len(g) != 1 || g[0].Spans[0].Last != 1911 || g[0].Grade != coin.Reprint || b.Planchet(g[0].Planchet).EdgeSource != "talk" || len(b.ForeignStrikes("XX")) != 0 {
		t.Errorf("struck for others %+v", g)
	}
	if a := b.Alloy("white"); a.LooksSource != "talk" || a.LooksGrade != coin.Practice {
		t.Errorf("looks %+v", a)
	}
	if b.Source("act").Title != "An act" || len(b.Issues("XY", "none")) != 0 {
		t.Error("look-ups by id")
	}
}

// TestLoadNamesWhatIsWrong breaks the sound catalogue in one place at a time.
func TestLoadNamesWhatIsWrong(t *testing.T) {
	for _, tc := range []struct{ old, new, says string }{
		// ids
		{`"alloy":"copper","mass"`, `"alloy":"cooper","mass"`, "planchet p-solid: names the unknown alloy “cooper”"},
		{`"planchet":"p-solid"`, `"planchet":"p-sold"`, "issue i-solid: names the unknown planchet “p-sold”"},
		{`"denomination":"bit","name":"Solid`, `"denomination":"bat","name":"Solid`, "unknown denomination “bat”"},
		{`["48 gr","act","P"]`, `["48 gr","acts","P"]`, "planchet p-solid mass: names the unknown source “acts”"},
		{`"dates_from":["talk",`, `"dates_from":["walk",`, "unknown source “walk”"},
		{`"edges_from":["act",`, `"edges_from":["cat",`, "planchet p-solid edge: names the unknown source “cat”"},
		{`"looks_from":["talk",`, `"looks_from":["walk",`, "alloy copper looks: names the unknown source “walk”"},
		{`"struck_for_others_from":["talk",`, `"struck_for_others_from":["walk",`, "coin struck for others on p-foreign, Abland bit: names the unknown source “walk”"},
		{`"planchet":"p-foreign"`, `"planchet":"p-ghost"`, "coin struck for others on p-ghost, Abland bit: names the unknown planchet “p-ghost”"},
		{`"diameter":["20 mm","act","P"],`, ``, "coin struck for others on p-foreign, Abland bit: is on a planchet without a diameter"},
		{`"years":"1910-1911"`, `"years":""`, "coin struck for others on p-foreign, Abland bit: has no years"},
		{`"order":1,`, `"order":1,"neighbour":"XZ",`, "country XY: has the unknown neighbor “XZ”"},
		{`"order":1,`, `"order":1,"neighbour":"XZ",`, "country XY: its neighbor isn’t among those it has strays from"},
		{`"order":1,`, `"order":1,"strays_from":["XZ"],`, "country XY: has strays from the unknown country “XZ”"},
		{`"id":"p-two"`, `"id":"p-clad"`, "p-clad is there twice"},
		{`"id":"i-two"`, `"id":"i-clad"`, "issue i-clad: id is empty or there twice"},
		// unused
		{`{"id":"talk",`, `{"id":"idle","title":"x"},{"id":"talk",`, "source idle: nothing uses it"},
		{`{"id":"copper",`, `{"id":"idle","name":"x","parts":{"Cu":1},"source":"act","grade":"P","wear":"soft"},{"id":"copper",`, "alloy idle: no planchet uses it"},
		{`"planchet":"p-two"`, `"planchet":"p-clad"`, "planchet p-two: no issue or foreign strike uses it"},
		{`{"id":"bit","name":"bit"`, `{"id":"bot","name":"bot","plural":"bots","short":"b"},{"id":"bit","name":"bit"`, "denomination XY/bot: has no issue"},
		// shares
		{`{"Cu":0.75,"Ni":0.25}`, `{"Cu":0.75,"Ni":0.26}`, "alloy white: its shares don’t sum to 1"},
		{`{"Cu":0.75,"Ni":0.25}`, `{"Cu":1.25,"Ni":-0.25}`, "alloy white: has a share outside 0 to 1"},
		{`{"Cu":0.75,"Ni":0.25}`, `{"Cu":0.75,"Kr":0.25}`, "element without a density, Kr"},
		{`"share":0.4`, `"share":0.5`, "planchet p-clad: its layers' shares don’t sum to 1"},
		{`"share":0.4},{"part":"core","alloy":"copper","share":0.6}`, `"share":0.5},{"part":"core","alloy":"copper","share":0.5}`, "its layers don’t give the whole’s share of Ni"},
		{`"alloy":"white","share":0.4`, `"alloy":"white"`, "gives the shares of some layers only"},
		{`{"part":"ring","alloy":"white"},{"part":"core","alloy":"copper"}`, `{"part":"ring","alloy":"white","share":0.5},{"part":"core","alloy":"copper","share":0.5}`, "planchet p-two: its layers have shares but its whole has no fractions"},
		{`"alloy":"clad","mass"`, `"alloy":"two","mass"`, "planchet p-clad: its layers have shares but its whole has no fractions"},
		{`"alloy":"two","mass"`, `"alloy":"clad","mass"`, "planchet p-two: its whole has fractions but its layers have no shares"},
		{`,"layers_from":["act","P"]},
{"id":"p-two"`, `},
{"id":"p-two"`, "p-clad: layers without layers_from"},
		// figures
		{`"48 gr"`, `"48 stone"`, "xy/coins p-solid mass: unknown-unit"},
		{`"48 gr"`, `"forty gr"`, "xy/coins p-solid mass: bad-number"},
		{`"48 gr"`, `"0.48 gr"`, "planchet p-solid mass: “0.48 gr” is not of a coin’s size"},
		{`"2 gr"`, `"20 gr"`, "planchet p-solid limit: “20 gr” is not of a coin’s size"},
		{`"0.75 in"`, `"0.75 cm"`, "a length must be in mm or in"},
		{`"0.75 in"`, `"75 in"`, "planchet p-solid diameter: “75 in” is not of a coin’s size"},
		{`"1.5 mm"`, `"15 mm"`, "planchet p-clad thickness"},
		{`["48 gr","act","P"]`, `["48 gr","act","M-low"]`, "has the unknown grade “M-low”"},
		{`"pieces":200`, `"pieces":0`, "a remedy needs its number of pieces"},
		{`"limit":["2 gr","act","P"],`, `"limit":["2 gr","act","P"],"remedy":{"figure":["2 gr","act","P"],"pieces":1,"rule":"x"},`, "both a limit of a piece and a remedy"},
		// words
		{`"edge":"plain"`, `"edge":"milled"`, "has the unknown edge “milled”"},
		{`"part":"face"`, `"part":"skin"`, "has the unknown layer “skin”"},
		{`"colour":"white",`, `"colour":"silvery",`, "its outer layer’s alloy has no color"},
		{`"wear":"soft"`, `"wear":"fast"`, "has the unknown wear class “fast”"},
		{`"wear":"soft"`, `"wear":"medium"`, "alloy copper: its wear class has no rate"},
		{`"wear":"soft"`, `"wear":"gold"`, "gold has the wear class gold, and nothing else has"},
		{`"0.0006"`, `"0.6"`, "wear rate soft: “0.6” is not of a coin’s size"},
		{`["0.0003","talk"`, `["0.0003","walk"`, "wear rate hard: names the unknown source “walk”"},
		{`"colour":"red",`, `"colour":"red","magnetic":"maybe",`, "alloy copper: has the unknown magnetism “maybe”"},
		{`"colour":"red",`, `"colour":"red","band":[0.1,0.2],`, "has a density band that isn’t around its value"},
		// years
		{`1900-1950:-,D 1952:D,(-)`, `1952:D 1900-1950:-,D`, "issue i-solid: its years are out of order near 1900"},
		{`1900-1950:-,D 1952`, `1900-1952:-,D 1952`, "its years are out of order near 1952"},
		{`1900-1950:`, `1950-1900:`, "its years are out of order near 1950"},
		{`1900-1950:-,D`, `1900-50:-,D`, "“50” is not a year"},
		{`1900-1950:-,D`, `1900-1950:-,d`, "“d” is not a mint mark"},
		{`1952:D,(-)`, `1952:-,(-)`, "“(-)” is for years in which every coin should carry a mark"},
		{`"years":"1960"`, `"years":""`, "issue i-two: has no years"},
		// shape
		{`"edge":"plain"`, `"egde":"plain"`, `unknown field "egde"`},
	} {
		broken := [3]string{soundSources, soundAlloys, soundCountry}
		hit := false
		for i := range broken {
			if !hit && strings.Contains(broken[i], tc.old) {
				broken[i] = strings.Replace(broken[i], tc.old, tc.new, 1)
				hit = true
			}
		}
		if !hit {
			t.Errorf("%s isn’t in the sound catalogue", tc.old)
			continue
		}
		_, err := load(broken[0], broken[1], broken[2])
		if err == nil || !strings.Contains(err.Error(), tc.says) {
			t.Errorf("%s instead of %s: %v\nwant “%s”", tc.new, tc.old, err, tc.says)
		}
	}
}

func TestOpenWithoutFiles(t *testing.T) {
	if _, err := coin.Open(nil, nil); err == nil {
		t.Error("nothing is a catalogue")
	}
	if _, err := coin.Open([]byte("{"), nil); err == nil {
		t.Error("a cut file is a catalogue")
	}
}

// FuzzLoad: no country file brings the loader down, and what it accepts can be
// asked for.
func FuzzLoad(f *testing.F) {
	f.Add(soundCountry)
	f.Add(strings.Replace(soundCountry, "1900-1950:-,D 1952:D,(-)", "1900-:,-", 1))
	f.Add(`{"id":"XY","issues":[{"years":"-"}]}`)
	f.Fuzz(func(t *testing.T, country string) {
		b, err := load(soundSources, soundAlloys, country)
		if err != nil {
			return
		}
		for _, i := range b.All() {
			if _, err := b.Find(i.Country, i.Denomination, i.First(), ""); err != nil {
				t.Error(err)
			}
			if d := b.Density(b.Planchet(i.Planchet)); d.Low > d.Value || d.Value > d.High {
				t.Errorf("density %+v", d)
			}
		}
	})
}
