package verdict

import (
	"math"

	"panside/internal/coin"
)

// guest is a coin that a mint struck for another country, whose planchets thus
// lay in the house beside its own. Every figure is from memory; none has been
// seen in a primary text, which is why they are here and not in the coin book.
type guest struct {
	name        string
	mint        string // the country whose mint struck it
	spans       []coin.Span
	mass, width float64 // g, mm
	density     float64 // g/cm³, ideal mixing
	alloy       coin.Alloy
	magnetic    coin.Magnetism
}

var (
	guestSilver925 = coin.Alloy{ID: "guest-silver-925", Name: "92.5 % silver", Fractions: []coin.Fraction{{Element: "Ag", Share: 0.925}, {Element: "Cu", Share: 0.075}}, Colour: coin.White, Wear: coin.WearSoft}
	guestSilver750 = coin.Alloy{ID: "guest-silver-750", Name: "75 % silver", Fractions: []coin.Fraction{{Element: "Ag", Share: 0.75}, {Element: "Cu", Share: 0.25}}, Colour: coin.White, Wear: coin.WearSoft}
	guestSilver720 = coin.Alloy{ID: "guest-silver-720", Name: "72 % silver", Fractions: []coin.Fraction{{Element: "Ag", Share: 0.72}, {Element: "Cu", Share: 0.28}}, Colour: coin.White, Wear: coin.WearSoft}
	guestSilver640 = coin.Alloy{ID: "guest-silver-640", Name: "64 % silver", Fractions: []coin.Fraction{{Element: "Ag", Share: 0.64}, {Element: "Cu", Share: 0.36}}, Colour: coin.White, Wear: coin.WearSoft}
	guestNickel    = coin.Alloy{ID: "guest-nickel", Name: "nickel", Fractions: []coin.Fraction{{Element: "Ni", Share: 1}}, Colour: coin.White, Wear: coin.WearHard}
	guestSteel     = coin.Alloy{ID: "guest-steel", Family: "steel-zinc", Name: "zinc-coated steel", Fractions: []coin.Fraction{{Element: "Fe", Share: 0.99}, {Element: "Zn", Share: 0.01}}, Colour: coin.Grey, Wear: coin.WearHard}
)

// guests are common ones of sizes that fit United States dies. From memory.
var guests = []guest{
	{"Belgian 2 francs", "US", []coin.Span{{First: 1944, Last: 1944}}, 2.75, 19, 7.87, guestSteel, coin.VeryMagnetic},
	{"Canadian ten cents", "US", []coin.Span{{First: 1968, Last: 1969}}, 2.07, 18, 8.90, guestNickel, coin.VeryMagnetic},
	{"Australian threepence", "US", []coin.Span{{First: 1942, Last: 1944}}, 1.41, 16, 10.37, guestSilver925, coin.NotMagnetic},
	{"Australian sixpence", "US", []coin.Span{{First: 1942, Last: 1944}}, 2.83, 19, 10.37, guestSilver925, coin.NotMagnetic},
	{"Australian shilling", "US", []coin.Span{{First: 1942, Last: 1944}}, 5.66, 23.5, 10.37, guestSilver925, coin.NotMagnetic},
	{"Australian florin", "US", []coin.Span{{First: 1942, Last: 1944}}, 11.31, 28.5, 10.37, guestSilver925, coin.NotMagnetic},
	{"Philippine ten centavos", "US", []coin.Span{{First: 1907, Last: 1920}, {First: 1944, Last: 1945}}, 2, 16.7, 10.07, guestSilver750, coin.NotMagnetic},
	{"Philippine twenty centavos", "US", []coin.Span{{First: 1907, Last: 1920}, {First: 1944, Last: 1945}}, 4, 20.8, 10.07, guestSilver750, coin.NotMagnetic},
	{"Philippine fifty centavos", "US", []coin.Span{{First: 1907, Last: 1920}, {First: 1944, Last: 1945}}, 10, 27.5, 10.07, guestSilver750, coin.NotMagnetic},
	{"Netherlands ten cents", "US", []coin.Span{{First: 1941, Last: 1945}}, 1.4, 15, 9.89, guestSilver640, coin.NotMagnetic},
	{"Netherlands twenty-five cents", "US", []coin.Span{{First: 1941, Last: 1945}}, 3.58, 19, 9.89, guestSilver640, coin.NotMagnetic},
	{"Netherlands guilder", "US", []coin.Span{{First: 1943, Last: 1945}}, 10, 28, 10.02, guestSilver720, coin.NotMagnetic},
}

// guests adds planchets that lay in the mint for other countries' coins.
func (c *compiler) guests(country string) {
	for _, g := range guests {
		if g.mint != country {
			continue
		}
		p := coin.Planchet{
			ID: "guest " + g.name, Name: g.name, Alloy: g.alloy.ID, Colour: g.alloy.Colour, Magnetic: g.magnetic,
			Mass:     coin.Figure{Value: g.mass, Grade: coin.Memory},
			Diameter: coin.Figure{Value: g.width, Grade: coin.Memory},
		}
		struck := coin.Issue{Spans: g.spans}
		at := yearsOf(&struck, "", "").grown(1)
		n := c.addBlank(p, g.alloy)
		q := &c.blanks[n]
		q.clean.density = gauge{g.density, densityU * g.density}
		var years yearSet
		for k := range c.issues {
			if own := &c.issues[k]; c.fits(q, own) {
				years = years.or(own.years.and(at))
			}
		}
		t := q.clean
		t.edge = mix(c.edgeOf(years), edgeReads[0])
		t.diameter.sd = math.Hypot(diameterU, 0.03*g.width)
		c.add(strange{
			kind: WrongPlanchet, name: "planchet of the " + g.name + ", which this mint struck (from memory)", word: "a planchet of the " + g.name, blank: n,
			mu: q.mu, sigma: q.sigma, rate: wearRate(g.alloy), until: handledUntil(g.alloy), traits: t, years: years, weight: years.weight(),
			confirm: "First make sure the design is a " + c.noun + "’s." + about(" Then measure: the ", g.name, g.width) +
				" The figures of that planchet are from memory. Don’t clean it; ask an expert.",
		})
	}
}
