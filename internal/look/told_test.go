package look_test

import (
	"slices"
	"strings"
	"testing"

	"panside/internal/book/data"
	. "panside/internal/look" // the data imports it, so the tests stand outside
)

// Statements that were once told backwards or in the wrong place; a hunter who acts on
// such a line throws the find away. Known by people who are sure of them.
func TestToldTheRightWayAround(t *testing.T) {
	const cent, nickel, dime, quarter, half, dollar = "cent", "nickel", "dime", "quarter", "half", "dollar"
	for _, c := range []struct {
		denomination string
		year         int
		mint, name   string
		says         string // in any of its words
		never        string
	}{
		{cent, 1992, "D", "Close AM", "FG stands farther from the building", "closer"},
		{cent, 1993, "-", "Close AM is normal", "FG stands farther from the building", "nearer"},
		{cent, 1998, "S", "Close AM on a proof", "FG stands farther from the building", "closer"},
		{cent, 1999, "S", "Close AM on a proof", "FG stands farther from the building", "closer"},
		{cent, 1998, "-", "Wide AM", "FG closer to the building, its G with a serif", "farther"},
		{cent, 1999, "-", "Wide AM", "FG closer to the building, its G with a serif", "farther"},
		{cent, 2000, "-", "Wide AM", "FG closer to the building, its G with a serif", "farther"},
		{cent, 1988, "D", "Reverse of 1989", "upright with serifs", "straight upright bar"},
		{cent, 1922, "D", "No D, or a weak D", "(5 o’clock)", ""},
		{cent, 1990, "D", "V.D.B. on the shoulder is normal", "Its absence proves nothing", "on every cent"},
		{nickel, 1937, "D", "Three legs", "(7 o’clock)", "(5 o’clock)"},
		{nickel, 1912, "S", "First mint marks on the nickel", "below the dot", "left of the dot"},
		{dime, 1860, "S", "Legend around Seated Liberty is normal", "all S dimes of 1860 have stars", "some S dimes"},
		{dime, 1916, "D", "Low mintage", "(7 o’clock)", "(8 o’clock)"},
		{dime, 1970, "D", "Reverse of 1968", "two deep valleys", "leaf"},
		{quarter, 2004, "D", "Wisconsin, extra leaf high", "(3 o’clock)", "(8 o’clock)"},
		{quarter, 2005, "P", "Kansas, RUST for TRUST", "(3 to 4 o’clock)", ""},
		{half, 1955, "-", "Clash at the mouth", "(3 o’clock)", "(9 o’clock)"},
		{dollar, 2008, "P", "Date on the edge is normal", "Presidential dollars from 2007", ""},
		{dollar, 2000, "P", "Early reverse with sharp tail feathers", "(3 to 4 o’clock)", "(7 o’clock)"},
		{cent, 1908, "-", "No mint mark is normal for Philadelphia", "(6 o’clock)", "below the date (5 o’clock)"},
		{cent, 1909, "-", "No mint mark is normal on Lincoln cents", "(5 o’clock)", ""},
		{cent, 1990, "-", "No mint mark is normal on Lincoln cents", "a 1990 proof", ""},
		{cent, 1982, "D", "A dull ring is normal", "In 1982 bronze of 3.11 g", "The year."},
		{nickel, 1880, "-", "Low mintage", "altered from 1883", "1889"}, // the type ended in 1883
		{nickel, 1999, "P", "Thin: on quarter or dime strip", "4.3 g on quarter strip", "planchet."},
		{dime, 1898, "S", "Low mintage", "1.7 million", "1.9"},
		{dime, 1899, "S", "Low mintage", "1.9 million", "1.7"},
		{dime, 1983, "-", "Proof without S", "bear P or D", "is usual"},
		{dime, 1943, "D", "Joined bands are usual", "at the center", "o’clock"},
		{dime, 1943, "D", "Silver by the edge", "The edge decides", "hundredths"},
		{quarter, 1943, "D", "Silver by the edge", "The edge decides", "hundredths"},
		{half, 1943, "D", "Silver by the edge", "The edge decides", "a little"},
		{quarter, 0, "", "2000: Quarter obverse with a dollar’s reverse (P)", "bears no date", ""},
		{cent, 1990, "D", "Brockage", "may cover only a part", "the whole face"},
		{cent, 1990, "D", "Clipped planchet", "a good one doesn’t rule it out", ""},
		{cent, 1990, "D", "Multiple strike", "whole or in part", "Two or more whole"},
		{cent, 1857, "-", "Thick and pale is normal", "in 1864 thin bronze", "The year."},
		{cent, 1909, "-", "Wheat reverse", "every Lincoln cent", "every cent"},
		{cent, 1931, "S", "Low mintage", "cents of 1929 and 1930", "1934"}, // no S cents in 1932 to 1934
		{cent, 1890, "-", "Repunched date", "Until 1908", "can’t be a doubled hub"},
		{cent, 1823, "-", "3 over 2", "tool marks", "crack"}, // the restrike has a plain 3
		{cent, 1995, "D", "Bronze after the change to zinc", "Proven for 1983 and 1989 only", "none"},
		{cent, 1983, "-", "Letters of LIBERTY above the date", "raised, sunk or in outline", "Raised letters,"},
		{nickel, 1943, "P", "Split wartime planchet", "the other face weak too", ""},
		{nickel, 1970, "D", "FS below the bust is normal", "in the field", "on the cut"},
		{dime, 2005, "P", "On strip of the wrong thickness", "3.1 g on quarter strip", ""},
		{quarter, 2005, "P", "Doubled die", "without split serifs", "wide doubling at the rim"},
		{quarter, 1959, "-", "Reverse of the proofs", "not a proof", "all three"},
		{half, 1921, "-", "Low mintage", "the mint mark if there is one", "Mint mark of the right"},
		{cent, 1990, "D", "Off-center strike", "on a reeded coin", "edge without reeds"},
		{dime, 1990, "D", "Die clash", "may show sunk", "Raised ghost"},
		{dime, 1990, "D", "Repunched mint mark", "a die chip in the loop", "bubbles"},
		{"CA/quarter", 1973, "", "Large head", "large head has 132 beads", "large head has 120"},
		{"CA/cent", 2006, "", "Mark and magnet that don’t go together", "not pulled with P", ""},
		{"GB/two-pence", 1983, "", "NEW PENCE on 1983", "The date 1983, and no other", ""},
		{"GB/two-pence", 1975, "", "NEW PENCE is normal", "All 2p to 1981", ""},
		{"EU/two-euro", 2002, "", "S in a star, Greece", "struck in Finland: normal", ""},
	} {
		country, denomination, abroad := strings.Cut(c.denomination, "/")
		if !abroad {
			country, denomination = "US", c.denomination
		}
		sheet := data.Looks().Sheet(Query{Country: country, Denomination: denomination, Year: c.year, Mint: c.mint})
		i := slices.IndexFunc(sheet, func(l LookFor) bool { return l.Name == c.name })
		if i < 0 {
			t.Errorf("%s %d %s: no %q", c.denomination, c.year, c.mint, c.name)
			continue
		}
		told := strings.Join([]string{sheet[i].Where, sheet[i].See, sheet[i].Mimics, sheet[i].Decides, sheet[i].Weight}, " | ")
		if !strings.Contains(told, c.says) || c.never != "" && strings.Contains(told, c.never) {
			t.Errorf("%s %d %s: %q tells %q; it must say %q and never %q", c.denomination, c.year, c.mint, c.name, told, c.says, c.never)
		}
	}
	for _, c := range []struct {
		denomination string
		year         int
		mint, name   string
	}{
		{dime, 1950, "D", "D over S"}, // mixed up with the quarter of that year
		{dollar, 2006, "P", "Date on the edge is normal"},
		{cent, 1909, "-", "Repunched date"}, // from 1909 the date stood in the hub
		{nickel, 1912, "D", "Repunched date"},
		{dime, 1916, "D", "Repunched date"},
		{quarter, 1913, "S", "Repunched date"},
		{half, 1913, "S", "Repunched date"},
		{cent, 1908, "S", "No mint mark is normal on Lincoln cents"},
		{cent, 1922, "-", "No mint mark is normal on Lincoln cents"}, // only Denver struck
		{cent, 1982, "D", "Zinc blank without its copper"},           // told twice, and ruled out by its own weight
	} {
		for _, l := range data.Looks().Sheet(Query{Country: "US", Denomination: c.denomination, Year: c.year, Mint: c.mint}) {
			if l.Name == c.name {
				t.Errorf("%s %d %s: %q was never so", c.denomination, c.year, c.mint, c.name)
			}
		}
	}
}
