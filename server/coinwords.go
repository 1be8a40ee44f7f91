package main

import (
	"regexp"
	"strconv"
	"strings"

	"panside/internal/book/data"
	"panside/internal/coin"
)

// typedCoin is a coin as it is typed at the command line, the same for every command.
type typedCoin struct {
	Country, Denomination string
	Year                  int
	Mint                  string // "-" for a coin without a mark
}

// coinSyntax is what a help says of it.
const coinSyntax = `A coin is typed as people say it, with or without quotes: cent 1955, "dime 1964-D",
1909-S penny, CA cent 1990. A mark may stand alone (cent 1955 D); none is for a coin
without one, ? for one that isn’t read.`

// datedWord is a year, perhaps with a mark: 1955, 1909-S, 1964D.
var datedWord = regexp.MustCompile(`^(\d{4})-?([A-Za-z]{0,2})$`)

// readCoin reads the words of a coin in any order. country is the one meant if the
// words name none.
func readCoin(args []string, country string) (typedCoin, error) {
	c := typedCoin{Country: coin.CountryID(country)}
	book, err := data.Shelf().Coins()
	if err != nil {
		return c, err
	}
	words := strings.Fields(strings.ToLower(strings.Join(args, " ")))
	var rest []string
	for i, w := range words {
		switch dated := datedWord.FindStringSubmatch(w); {
		case dated != nil && c.Year == 0:
			c.Year, _ = strconv.Atoi(dated[1]) // four digits
			if dated[2] != "" {
				c.Mint = strings.ToUpper(dated[2])
			}
		case dated != nil:
			return c, usageError("one coin has one year; “" + w + "” is a second one")
		case strings.ContainsAny(w[:1], "0123456789") && i > 0:
			return c, usageError("“" + w + "” isn’t a year; a year has four digits, such as 1955")
		default:
			rest = append(rest, w)
		}
	}
	if len(rest) > 1 {
		if _, ok := book.Country(coin.CountryID(rest[0])); ok {
			c.Country, rest = coin.CountryID(rest[0]), rest[1:]
		}
	}
	// The longest name wins: a half dime is no half.
	for n := len(rest); n > 0; n-- {
		if d, ok := book.Called(c.Country, strings.Join(rest[:n], " ")); ok {
			c.Denomination, rest = d.ID, rest[n:]
			break
		}
	}
	if c.Denomination == "" && len(rest) > 0 {
		c.Denomination, rest = rest[0], rest[1:] // for the book to refuse
	}
	if len(rest) > 0 && c.Mint == "" {
		switch mark := strings.Join(rest, " "); {
		case mark == "none" || mark == "no mark" || mark == "-":
			c.Mint, rest = coin.NoMark, nil
		case len(rest) == 1 && (len(mark) <= 2):
			c.Mint, rest = strings.ToUpper(mark), nil
		}
	}
	if len(rest) > 0 {
		return c, usageError("“" + strings.Join(rest, " ") + "” isn’t part of a coin; write it like cent 1955-D")
	}
	return c, nil
}
