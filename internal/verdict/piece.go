package verdict

import (
	"panside/internal/coin"
	"panside/internal/mass"
)

// Piece is the mass of an issue's coins as they are met: normal as made, less
// an exponential loss by wear; all in grams. It is the model that Judge uses,
// for those who weigh many coins at once.
type Piece struct {
	Mean mass.Grams // as made
	SD   mass.Grams // as made
	Wear mass.Grams // mean loss
}

// PieceOf returns the model of an issue in a year; year 0 stands for the
// middle of the issue's years.
func PieceOf(book *coin.Book, i coin.Issue, year int) Piece {
	p := book.Planchet(i.Planchet)
	a := book.Alloy(p.Alloy)
	if year == 0 {
		year = (i.First() + i.Last()) / 2
	}
	loss := a.WearRate * handled(year, handledUntil(a))
	return Piece{
		Mean: mass.Grams(p.Mass.Value),
		SD:   mass.Grams(spread(p, a)),
		Wear: mass.Grams(p.Mass.Value * loss),
	}
}
