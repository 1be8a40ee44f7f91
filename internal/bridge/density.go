package bridge

import (
	"cmp"
	"math"
	"slices"

	"panside/internal/book"
	"panside/internal/coin"
	"panside/internal/density"
	"panside/internal/fault"
	"panside/internal/json"
	"panside/internal/mass"
	"panside/internal/say"
	"panside/internal/stable"
)

// densityIn is what "density" takes: two weighings of one coin, in grams.
type densityIn struct {
	Country      text `json:"country"`      // with Denomination: whose alloys come first
	Denomination text `json:"denomination"` // may be left out
	Method       text `json:"method"`       // "hung" or "cup"
	Dry          text `json:"dry_g"`
	Wet          text `json:"wet_g"`
	Thread       text `json:"thread_g"`     // what the thread alone shows; default 0
	Resolution   text `json:"resolution_g"` // default: the last digit of dry_g
	U            text `json:"u_g"`          // of one weighing; default from the resolution
	Water        text `json:"water_c"`
	UWater       text `json:"u_water_c"` // default 0.5
	Pressure     text `json:"pressure_hpa"`
	Humidity     text `json:"humidity_pct"`
	AirTemp      text `json:"air_c"` // pressure, humidity and this together, or none
}

var densityFields = []string{
	"country", "denomination", "method", "dry_g", "wet_g", "thread_g", "resolution_g", "u_g",
	"water_c", "u_water_c", "pressure_hpa", "humidity_pct", "air_c",
}

// weighedOut is the density with 95 % bounds and what it may be made of.
type weighedOut struct {
	density.Result                    // in g/cm³
	Low            density.GramsPerCC `json:"low"` // 95 %
	High           density.GramsPerCC `json:"high"`
	Air            density.GramsPerCC `json:"air_density"`
	Alloys         []metalOut         `json:"alloys"`
	Others         []metalOut         `json:"others"` // metals of false pieces, and pure ones
	Advice         string             `json:"advice"`
}

type metalOut struct {
	density.Match
	Coins []string `json:"coins,omitempty"`
}

// callDensity answers "density". Errors: fault.BadInput and fault.BadNumber,
// with their field or a sentence that names the value.
func callDensity(s *book.Shelf, in []byte) (any, error) {
	if err := knownFields(in, "", densityFields); err != nil {
		return nil, err
	}
	var j densityIn
	if err := json.Unmarshal(in, &j); err != nil {
		return nil, bad("", fault.BadInput, say.New("question-not-an-object-computed"))
	}
	w, err := readWeighing(&j)
	if err != nil {
		return nil, err
	}
	result, err := density.Of(w)
	if err != nil {
		return nil, err
	}
	const k95 = 1.96
	out := weighedOut{
		Result: result, Air: w.Air,
		Low: result.Density - k95*result.U, High: result.Density + k95*result.U,
		Others: metalsOut(density.Compare(result, density.Foreign(s.Tongue())), nil),
	}
	book, err := s.Coins()
	if err != nil {
		return nil, err
	}
	country := coin.CountryID(string(j.Country))
	denomination := book.DenominationID(country, string(j.Denomination))
	of := country
	if j.Country == "" {
		of = "" // any country's
	}
	metals, coins := struckMetals(book, of, denomination, float64(w.Dry))
	if len(metals) == 0 {
		if _, err := book.Find(country, denomination, 0, ""); err != nil {
			return nil, err // which lists those that there are
		}
		return nil, bad("denomination", fault.NoSuchIssue, say.New("density-no-alloys"))
	}
	out.Alloys = metalsOut(density.Compare(result, metals), coins)
	out.Advice = s.Tongue().Write(say.New("density-advice"))
	return out, nil
}

func readWeighing(j *densityIn) (density.Weighing, error) {
	w := density.Weighing{Method: density.Method(j.Method), Air: density.ConventionalAir, UWater: 0.5}
	if j.Dry == "" {
		return w, bad("dry_g", fault.BadInput, say.New("density-no-dry-weight"))
	}
	dry, err := mass.ParseDecimal(string(j.Dry))
	if err != nil {
		return w, inField("dry_g", err)
	}
	if j.Resolution == "" {
		j.Resolution = text(dry.Step().String())
	}
	if j.Water == "" {
		return w, bad("water_c", fault.BadInput, say.New("density-no-water-temperature"))
	}
	var wet, thread, d, u, water, pressure, humidity, airTemp float64
	uWater := float64(w.UWater)
	for _, f := range []struct {
		name string
		text text
		into *float64
	}{
		{"wet_g", j.Wet, &wet}, {"thread_g", j.Thread, &thread}, {"resolution_g", j.Resolution, &d}, {"u_g", j.U, &u},
		{"water_c", j.Water, &water}, {"u_water_c", j.UWater, &uWater},
		{"pressure_hpa", j.Pressure, &pressure}, {"humidity_pct", j.Humidity, &humidity}, {"air_c", j.AirTemp, &airTemp},
	} {
		if err := number(f.name, f.text, f.into); err != nil {
			return w, err
		}
	}
	if j.Wet == "" {
		return w, bad("wet_g", fault.BadInput, say.New("density-no-wet-weight"))
	}
	if j.U == "" {
		if !(d > 0) {
			return w, bad("resolution_g", fault.BadInput, say.New("question-step-not-positive"))
		}
		u = float64(mass.UnprovenScale(mass.Grams(d), mass.Grams(dry.Float64())).U())
	}
	w.Dry, w.Wet, w.Thread, w.U = mass.Grams(dry.Float64()), mass.Grams(wet), mass.Grams(thread), mass.Grams(u)
	w.Water, w.UWater = density.Celsius(water), density.Celsius(uWater)
	if uWater < 0 {
		return w, bad("u_water_c", fault.BadInput, say.New("density-temperature-uncertainty-negative"))
	}
	if given := j.Pressure != ""; given != (j.Humidity != "") || given != (j.AirTemp != "") {
		return w, bad("pressure_hpa", fault.BadInput, say.New("density-air-incomplete"))
	} else if given {
		w.Air, err = density.Air(pressure, humidity, density.Celsius(airTemp))
	}
	return w, err
}

// struckMetals are the compositions of a denomination's coins, or of all, by
// the densities of their planchets, with the coins of each: first those whose
// standard mass is nearest to the dry weight in grams, since that is what lies
// there.
func struckMetals(b *coin.Book, country, denomination string, dry float64) ([]density.Metal, map[string][]string) {
	var metals []density.Metal
	coins := map[string][]string{}
	off := map[string]float64{} // by label
	seen := map[string]bool{}
	for _, i := range b.All() {
		if denomination != "" && (i.Denomination != denomination || country != "" && i.Country != country) {
			continue
		}
		p := b.Planchet(i.Planchet)
		d := b.Density(p)
		if !d.Known() {
			continue
		}
		name := b.Alloy(p.Alloy).Name
		if !seen[name] {
			seen[name] = true
			metals = append(metals, density.Metal{
				Name: name, Low: density.GramsPerCC(d.Low), High: density.GramsPerCC(d.High), Grade: string(coin.Computed),
			})
		}
		if label := i.Country + " " + p.Name; !slices.Contains(coins[name], label) {
			coins[name] = append(coins[name], label)
			off[label] = math.Abs(dry - p.Mass.Value)
		}
	}
	for _, of := range coins {
		stable.Sort(of, func(x, y string) int { return cmp.Compare(off[x], off[y]) })
	}
	return metals, coins
}

func metalsOut(matches []density.Match, coins map[string][]string) []metalOut {
	const mostCoins = 6
	out := make([]metalOut, len(matches))
	for i, m := range matches {
		list := coins[m.Name]
		out[i] = metalOut{m, list[:min(len(list), mostCoins)]}
	}
	return out
}
