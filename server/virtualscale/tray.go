package virtualscale

import (
	"panside/internal/coin"
	"panside/internal/mass"
)

// Coin is one piece of the tray, demo data of an invented household. Its mass
// is a figure of the catalogue where the piece is regular.
type Coin struct {
	ID    string
	Name  string // what the eye sees
	Note  string // what it is, which the scale is there to find out
	Grams mass.Grams
}

// piece describes a coin of the tray by its planchet.
type piece struct {
	id, name, note string
	planchet       string
	lost           float64 // grams lost to wear; invented
	faceGone       bool    // one of the two clad faces is missing
}

var household = []piece{
	{id: "bronze-cent", name: "Cent, 1969-D", note: "bronze, hardly worn", planchet: "us-cent-bronze"},
	{id: "worn-cent", name: "Cent, 1919, worn smooth", note: "bronze, light from long use", planchet: "us-cent-bronze", lost: 0.09},
	{id: "zinc-cent", name: "Cent, 1998", note: "zinc, copper plated", planchet: "us-cent-zinc"},
	{id: "steel-cent", name: "Cent, 1943, gray", note: "zinc-coated steel of the war year", planchet: "us-cent-steel"},
	{id: "cent-1982-bronze", name: "Cent, 1982, large date", note: "one of the bronze ones of that year", planchet: "us-cent-brass-1982", lost: 0.01},
	{id: "cent-1982-zinc", name: "Cent, 1982, large date again", note: "one of the zinc ones of that year", planchet: "us-cent-zinc"},
	{id: "cent-on-dime", name: "Cent, 1981, silvery and small", note: "cent dies on a clad dime’s planchet", planchet: "us-dime-clad"},
	{id: "wartime-nickel", name: "Nickel, 1944-P", note: "wartime silver: weighs what any nickel weighs", planchet: "us-nickel-silver", lost: 0.04},
	{id: "nickel", name: "Nickel, 1987-P", note: "the ordinary one", planchet: "us-nickel"},
	{id: "silver-dime", name: "Dime, 1946", note: "90% silver, worn", planchet: "us-dime-silver", lost: 0.03},
	{id: "clad-dime", name: "Dime, 1989-D", note: "clad, the ordinary one", planchet: "us-dime-clad"},
	{id: "canadian-dime", name: "Ten cents, 1981, a ship on it", note: "a stray from Canada, of nickel", planchet: "ca-dime-nickel"},
	{id: "silver-quarter", name: "Quarter, 1951", note: "90% silver, worn", planchet: "us-quarter-silver", lost: 0.05},
	{id: "clad-quarter", name: "Quarter, 1995-P", note: "clad, the ordinary one", planchet: "us-quarter-clad"},
	{id: "thin-quarter", name: "Quarter, 1970, copper-red on one side", note: "one clad layer is missing", planchet: "us-quarter-clad", faceGone: true},
	{id: "half", name: "Half dollar, 1968-D", note: "40% silver", planchet: "us-half-400"},
}

// Tray is the demo tray with the masses of the catalogue.
func Tray(book *coin.Book) []Coin {
	var tray []Coin
	for _, p := range household {
		planchet := book.Planchet(p.planchet)
		g := planchet.Mass.Value - p.lost
		if p.faceGone {
			g -= planchet.Mass.Value * faces(planchet) / 2
		}
		tray = append(tray, Coin{p.id, p.name, p.note, mass.Grams(g)})
	}
	return tray
}

// faces is the share of both clad faces together.
func faces(p coin.Planchet) float64 {
	for _, l := range p.Layers {
		if l.Part == coin.Face {
			return l.Share
		}
	}
	return 0
}
