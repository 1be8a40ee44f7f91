package coin_test

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"panside/internal/book/data"
	"panside/internal/coin"
)

// TestAlloyDensities: harmonic means of the element densities of NIST SRD 126
// table 1, worked out apart from this program. Each row is looked up as a
// solid piece of the catalogue's own alloy; the linear mean is the wrong rule.
func TestAlloyDensities(t *testing.T) {
	b := data.Coins()
	for _, r := range table(t, "alloy-density.csv") {
		found := 0
		for _, i := range b.All() {
			a := b.Alloy(b.Planchet(i.Planchet).Alloy)
			if !same(a, r["alloy"]) {
				continue
			}
			found++
			d := b.Density(coin.Planchet{Layers: []coin.Layer{{Part: coin.Whole, Alloy: a.ID, Share: 1}}})
			near(t, r["alloy"], d.Value, r["density"])
			if !(d.Low < d.Value && d.Value < d.High) {
				t.Errorf("%s: band %+v", r["alloy"], d)
			}
			if linear := r.number(t, "linear_mean"); linear-r.number(t, "density") > 0.05 && math.Abs(d.Value-linear) < 0.05 {
				t.Errorf("%s: %v is the linear mean", r["alloy"], d.Value)
			}
		}
		if found == 0 && !layerOnly(b, r["alloy"]) {
			t.Errorf("no alloy of the catalogue is %s", r["alloy"])
		}
	}
}

// layerOnly reports whether an alloy of these fractions occurs as a layer.
func layerOnly(b *coin.Book, fractions string) bool {
	for _, i := range b.All() {
		for _, y := range b.Planchet(i.Planchet).Layers {
			if same(b.Alloy(y.Alloy), fractions) {
				return true
			}
		}
	}
	return false
}

// same reports whether the alloy has exactly these fractions.
func same(a coin.Alloy, fractions string) bool {
	f := strings.Fields(fractions)
	if len(a.Fractions) != len(f)/2 {
		return false
	}
	for i := 0; i < len(f); i += 2 {
		share, err := strconv.ParseFloat(f[i+1], 64)
		if err != nil || math.Abs(a.Share(coin.Element(f[i]))-share) > 1e-9 {
			return false
		}
	}
	return true
}

// TestLayersAddVolumes: a layered coin has the density of its whole
// composition, because both rules add volumes.
func TestLayersAddVolumes(t *testing.T) {
	b := data.Coins()
	for _, i := range b.All() {
		p := b.Planchet(i.Planchet)
		if !p.SplitKnown() {
			continue
		}
		whole := b.Density(coin.Planchet{Layers: []coin.Layer{{Part: coin.Whole, Alloy: p.Alloy, Share: 1}}})
		layered := b.Density(p)
		if math.Abs(layered.Value/whole.Value-1) > 0.001 {
			t.Errorf("%s: layers %v, whole %v g/cm³", p.ID, layered.Value, whole.Value)
		}
	}
}

// TestHandbookDensitiesLieInTheBand: handbook values from memory: cartridge
// brass shows how far ideal mixing runs low, coin gold how far it runs high.
func TestHandbookDensitiesLieInTheBand(t *testing.T) {
	b := data.Coins()
	for planchet, handbook := range map[string]float64{
		"us-cent-bronze":    8.86,
		"us-nickel-1982":    8.94,
		"us-dime-silver":    10.34,
		"us-eagle-1873":     17.2,
		"eu-fifty-cent":     8.0,
		"gb-pound-round":    8.55,
		"us-half-cent-1793": 8.94,
	} {
		if d := b.Density(b.Planchet(planchet)); handbook < d.Low || handbook > d.High {
			t.Errorf("%s: %v g/cm³ is outside %+v", planchet, handbook, d)
		}
	}
}

func TestDensityWithoutASplit(t *testing.T) {
	b := data.Coins()
	two := b.Density(b.Planchet("eu-two-euro"))
	core := b.Density(coin.Planchet{Layers: []coin.Layer{{Part: coin.Whole, Alloy: "nickel-brass-75", Share: 1}}})
	ring := b.Density(coin.Planchet{Layers: []coin.Layer{{Part: coin.Whole, Alloy: "cupronickel", Share: 1}}})
	if two.Low != core.Low || two.High != ring.High || two.Value <= two.Low || two.Value >= two.High {
		t.Errorf("2 euro: %+v, core %+v, ring %+v", two, core, ring)
	}
	plated := b.Density(b.Planchet("gb-penny-steel"))
	steel := b.Density(coin.Planchet{Layers: []coin.Layer{{Part: coin.Whole, Alloy: "steel", Share: 1}}})
	if plated.Value != steel.Value || plated.High <= steel.High {
		t.Errorf("plated steel: %+v, steel %+v", plated, steel)
	}
	for _, p := range []coin.Planchet{{}, b.Planchet("gb-pound"), b.Planchet("no such")} {
		if d := b.Density(p); d.Known() {
			t.Errorf("%s: %+v, want none", p.ID, d)
		}
	}
}
