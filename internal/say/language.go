package say

import "strings"

// What differs between languages beside their words.

// spanish reports whether a language is Spanish of some region.
func spanish(language string) bool { return language == "es" || strings.HasPrefix(language, "es-") }

// pointInSpanish are the regions of Spanish that write a decimal point. Source: CLDR,
// the symbols of es-419 and its children; es-419 stands for Latin America as a whole.
var pointInSpanish = " 419 BZ CU DO GT HN MX NI PA PE PR SV US "

// decimalComma reports whether a language writes a comma. Source: CLDR, numbers/symbols.
func decimalComma(language string) bool {
	if !spanish(language) {
		return false
	}
	region := language[strings.LastIndexByte(language, '-')+1:]
	return !strings.Contains(pointInSpanish, " "+region+" ")
}

// pluralOf is the category of a number, which is given as it is written too. Source: CLDR,
// supplemental/plurals:
//
//	en  one: i = 1 and v = 0
//	es  one: n = 1; many: i ≠ 0, i mod 1,000,000 = 0 and v = 0
//
// with n the number, i its whole part, v the digits after the sign. Compact forms (“1M”)
// aren't written here.
func pluralOf(language string, n float64, written string) string {
	whole := strings.IndexByte(written, '.') < 0
	if n < 0 {
		n = -n
	}
	switch {
	case n == 1 && (whole || spanish(language)):
		return "one"
	case spanish(language) && whole && n >= 1e6 && n == 1e6*float64(int64(n/1e6)):
		return "many"
	}
	return "other"
}

// articleOf is a noun's indefinite article.
func articleOf(language string, f *Forms) string {
	switch {
	case f.Article != "":
		return f.Article
	case !spanish(language):
		return "a"
	case f.Gender == "f":
		return "una"
	}
	return "un"
}

// conjunction is what stands before the last item of a list. In Spanish y becomes e
// before the sound of i, but not before a diphthong (hielo), and o becomes u before that
// of o, as in 8, 80 and 11. Source: the list patterns of CLDR for es, and ICU's
// ListFormatter, which knows these two; Real Academia Española, Diccionario
// panhispánico de dudas, “y” and “o”.
func conjunction(language, join, next string) string {
	if !spanish(language) {
		return join
	}
	next = strings.ToLower(next)
	starts := func(with ...string) bool {
		for _, s := range with {
			if strings.HasPrefix(next, s) {
				return true
			}
		}
		return false
	}
	switch {
	case join == And && starts("i", "í", "hi", "hí") && !starts("hia", "hie"):
		return "e"
	case join == And:
		return "y"
	case starts("o", "ó", "ho", "hó", "8"), next == "11", starts("11 ", "11,"):
		return "u"
	}
	return "o"
}
