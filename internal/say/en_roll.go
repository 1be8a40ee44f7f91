package say

// enRoll are the lines of rolls and piles, and of what a strange coin can be.
var enRoll = map[string]string{
	"fits-coins":         "{count} coins in the book fit, the likeliest first: {country}, {coin}. The lettering decides.",
	"fits-no-coin":       "No coin in the book fits. Check weight and size; it may be a token, a medal, a damaged or a false coin, or one of a country that the book lacks.",
	"fits-one-coin":      "One coin in the book fits: {country}, {coin}. Its lettering must say so.",
	"roll-between":       "Between {low} and {high} coins, most likely {likeliest}.",
	"roll-cannot-tell":   "This weight can’t tell: anything from none to all may be of the other kind.",
	"roll-either":        "{low} or {high} coins: the weight can’t say which. Count them.",
	"roll-firm":          "{count, plural, one {# coin} other {# coins}}.",
	"roll-hardly-ever":   "under 1%",
	"roll-least":         "{found} It takes {least} to show up 80% of the time.",
	"roll-nearly-always": "over 99%",
	"roll-never-shows":   "{found} Even a pile of nothing else might not show up.",
	"roll-none-other":    "None of the other kind, as far as the weight can tell.",
	"roll-other":         "{count} of the other kind.",
	"roll-other-between": "Between {low} and {high} of the other kind.",
	"roll-percent":       "{percent}%",
	"roll-shows":         "{found} A pile with none of them is this far off {pure} of the time. One odd coin would show up {seen} of the time (false alarms: 5%).",
}
