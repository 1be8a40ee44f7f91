package coin

import "strings"

// everydayNames are what people call some denominations, beside the book's names.
var everydayNames = map[string]string{
	"US/penny": "cent", "US/pennies": "cent", "US/quarter dollar": "quarter", "US/five-cent": "nickel", "US/five cents": "nickel", "US/five-cent piece": "nickel",
	"US/half-dollar": "half", "US/half dollar": "half", "US/halves": "half", "US/silver dollar": "dollar", "US/nickle": "nickel",
	"CA/penny": "cent", "CA/pennies": "cent", "CA/half-dollar": "half", "CA/half dollar": "half", "CA/loonie": "dollar", "CA/toonie": "two-dollar",
}

// Called finds a country's denomination by its id, its names or what people call it,
// in any case, with its accents or without. It is the one table for all that is typed.
func (b *Book) Called(country, word string) (none Denomination, ok bool) {
	word = folded(word)
	if everyday, ok := everydayNames[country+"/"+word]; ok {
		word = everyday
	}
	one := strings.TrimSuffix(word, "s")
	for _, d := range b.Denominations(country) {
		if word == d.ID || word == folded(d.Name) || word == folded(d.Plural) || one == d.ID {
			return d, true
		}
	}
	return none, false
}

// DenominationID is the id that a denomination is typed as; what the country hasn't got
// stays as it is, for Find to say which there are.
func (b *Book) DenominationID(country, typed string) string {
	if d, ok := b.Called(country, typed); ok {
		return d.ID
	}
	return typed
}

// CountryID is the id that a country is typed as, the United States' if it is empty.
func CountryID(typed string) string {
	switch id := strings.ToUpper(typed); id {
	case "", "USA":
		return "US"
	case "UK":
		return "GB"
	default:
		return id
	}
}
