package say

// enLook are the lines of sheets, the key, and what the book is asked.
var enLook = map[string]string{
	// How sure a figure or look-for is.
	"grade-primary":  "read in the primary text",
	"grade-reprint":  "read in a reprint or report",
	"grade-computed": "computed from published figures",
	"grade-practice": "common practice, not published",
	"grade-memory":   "from memory, not seen",
	"grade-assumed":  "assumed",
	"sure-from":      "{source} ({sure})",

	// A look-for on a sheet.
	"place-hour":   "{where} ({hour} o’clock)",
	"place-hours":  "{where} ({from} to {to} o’clock)",
	"entry-mints":  "{name} ({mints})",
	"entry-years":  "{years}: {name}",
	"entry-of":     "{name}: {explanation}",
	"no-mint-mark": "no mint mark",

	// What a coin of weight and size is.
	"fits-no-coin": "No coin in the book fits. Check weight and size; it may be a token, a medal, a damaged or a false coin, or one of a country that the book lacks.",
	"fits-one":     "One coin in the book fits: {country}, {coin}. Its lettering must say so.",
	"fits-several": "{n} coins in the book fit, the likeliest first: {country}, {coin}. The lettering decides.",

	// Weighing in water.
	"density-advice": "Shake every bubble off, let the coin hang free, and weigh twice: the two densities should agree within their uncertainty. Dry the coin by dabbing only. Density can exclude a metal; it can’t prove a coin genuine.",
	"tungsten":       "tungsten",
	"tungsten-note":  "As heavy as gold: density alone can’t tell a gilt tungsten core from fine gold.",
	"fine-gold":      "fine gold",
	"lead":           "lead and its alloys with tin",
	"lead-note":      "Spans the density of silver; it is soft and marks paper.",
	"fine-silver":    "fine silver",
	"brass":          "brass",
	"iron":           "iron and steel",
	"iron-note":      "A magnet pulls it.",
	"zinc-casting":   "zinc casting alloy",
	"tin":            "tin and pewter",

	// Rolls and piles.
	"roll-count":          "{n, plural, one {# coin} other {# coins}}.",
	"roll-one-of-two":     "{low} or {high} coins: the weight can’t say which. Count them.",
	"roll-between":        "Between {low} and {high} coins, most likely {best}.",
	"roll-mix":            "{others} A pile with none of them is this far off {pure} of the time. One odd coin would show up {one} of the time (false alarms: 5%).",
	"roll-mix-seen":       "{others} A pile with none of them is this far off {pure} of the time. One odd coin would show up {one} of the time (false alarms: 5%). {seen}",
	"roll-none-other":     "None of the other kind, as far as the weight can tell.",
	"roll-others":         "{n} of the other kind.",
	"roll-others-between": "Between {low} and {high} of the other kind.",
	"roll-untold":         "This weight can’t tell: anything from none to all may be of the other kind.",
	"roll-never-seen":     "Even a pile of nothing else might not show up.",
	"roll-takes":          "It takes {n} to show up 80% of the time.",
	"under-1-percent":     "under 1%",
	"over-99-percent":     "over 99%",
}
