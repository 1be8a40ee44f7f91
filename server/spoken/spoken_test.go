package spoken

import (
	"testing"
	"time"

	"panside/internal/say"
)

// TestLanguageOfAHeader: the order of preference is that of RFC 9110, section 12.5.4, and
// a language that there isn't gives English.
func TestLanguageOfAHeader(t *testing.T) {
	for header, want := range map[string]string{
		"": "en", "*": "en", "en": "en", "en-GB,en;q=0.9": "en", "fr": "en", "fr-CA,fr;q=0.8": "en", "xx-klingon": "en", "ñ": "en", ";;;": "en",
		"es": "es", "ES": "es", "es-ES,es;q=0.9,en;q=0.8": "es", "es-AR": "es", "es-CO": "es",
		"es-MX": "es-419", "es-US,en;q=0.5": "es-419", "es-419": "es-419", "es-PR": "es-419",
		"de, es;q=0.5": "es", "fr;q=0.9, es;q=0.2, en;q=0.5": "en", "en;q=0.3, es-MX;q=0.8": "es-419", "es;q=0, en": "en",
	} {
		if got := Language(header); got != want {
			t.Errorf("%q: %s, want %s", header, got, want)
		}
		if got := Accepted(header).Language(); got != want {
			t.Errorf("%q: the tongue of %s, want %s", header, got, want)
		}
	}
}

func TestEveryLanguageOfTheBookIsFound(t *testing.T) {
	if len(languages()) < 2 {
		t.Error("there is no language beside English")
	}
	for _, tag := range languages() {
		language := tag.String()
		if got := Language(language); got != language {
			t.Errorf("%s is answered in %s", language, got)
		}
	}
}

func TestDay(t *testing.T) {
	day := Day(time.Date(2026, time.December, 5, 12, 0, 0, 0, time.UTC))
	if got := say.English.Write(day); got != "December 5, 2026" {
		t.Errorf("in English %q", got)
	}
	if got := Accepted("es").Write(day); got != "5 de diciembre de 2026" {
		t.Errorf("in Spanish %q", got)
	}
	if got := Accepted("es").Write(Day(time.Date(2026, time.May, 31, 12, 0, 0, 0, time.UTC))); got != "31 de mayo de 2026" {
		t.Errorf("in Spanish %q", got)
	}
}
