// Package spoken finds the language that a reader of the laptop's answers wants, and
// the tongue that writes them in it. What the terminal and the log say is English.
package spoken

import (
	"maps"
	"slices"
	"sync"

	"github.com/gofiber/fiber/v2"
	"golang.org/x/text/language"

	"panside/internal/book"
	"panside/internal/book/data"
	"panside/internal/say"
)

// languages are those of the coin book, English first, which stands in for all others.
var languages = sync.OnceValue(func() []language.Tag {
	m, err := book.ReadManifest(data.Files()[book.ManifestName])
	if err != nil {
		panic(err) // a test of package data builds it
	}
	tags := []language.Tag{language.English}
	for _, l := range slices.Sorted(maps.Keys(m.Languages)) {
		if l != book.DefaultLanguage {
			tags = append(tags, language.MustParse(l))
		}
	}
	return tags
})

var matcher = sync.OnceValue(func() language.Matcher { return language.NewMatcher(languages()) })

// Accepted is the tongue of an Accept-Language header (RFC 9110, section 12.5.4);
// English where it names none that there is.
func Accepted(header string) *say.Tongue { return data.ShelfIn(Language(header)).Tongue() }

// To is the tongue for whoever sent a request.
func To(c *fiber.Ctx) *say.Tongue { return Accepted(c.Get(fiber.HeaderAcceptLanguage)) }

// pointed is a region that stands for all those of Spanish which write a decimal point;
// only that differs, and each region by itself would keep a shelf of the book in memory.
const pointed = "es-419"

// Language is that of an Accept-Language header, or of a single tag, as book.Shelf.Open
// takes it.
func Language(header string) string {
	wanted, _, err := language.ParseAcceptLanguage(header)
	if err != nil {
		return book.DefaultLanguage
	}
	for _, tag := range wanted {
		_, n, sure := matcher().Match(tag)
		if sure == language.No {
			continue
		}
		base := languages()[n].String()
		region, said := tag.Region() // else it is guessed
		if base == "es" && said == language.Exact && say.In("es-"+region.String()).Number("0.5") == "0.5" {
			return pointed
		}
		return base
	}
	return book.DefaultLanguage
}
