package data

import (
	"slices"
	"strconv"
	"strings"
)

// What a phone waits for before its first judgement is written short: half of it would be
// the same few words again and again.

// shorten writes the sources and grades of a country's figures once: ["48 gr","us-1873","P"]
// becomes ["48 gr","3"], the fourth of the file's origins.
func shorten(coins object) {
	var origins index[[2]any]
	short := func(figure any) any {
		f, ok := figure.([]any)
		if !ok || len(f) != 3 {
			return figure
		}
		return []any{f[0], origins.of([2]any{f[1], f[2]})}
	}
	planchets, _ := coins["planchets"].([]any)
	for _, p := range planchets {
		p, ok := p.(object)
		if !ok {
			continue
		}
		for _, field := range []string{"mass", "limit", "diameter", "thickness"} {
			if figure, ok := p[field]; ok {
				p[field] = short(figure)
			}
		}
		if remedy, ok := p["remedy"].(object); ok {
			remedy["figure"] = short(remedy["figure"])
		}
	}
	if origins != nil {
		coins["origins"] = origins
	}
}

// shortenMetals does the same with source and grade of the alloys and of their stiffness.
func shortenMetals(metals object) {
	var origins index[[2]any]
	alloys, _ := metals["alloys"].([]any)
	for _, a := range alloys {
		if a, ok := a.(object); ok {
			a["source"] = origins.of([2]any{a["source"], a["grade"]})
			delete(a, "grade")
			if f, ok := a["elastic"].([]any); ok && len(f) == 3 {
				a["elastic"] = []any{f[0], origins.of([2]any{f[1], f[2]})}
			}
		}
	}
	metals["origins"] = origins
}

// shortenStrangers writes the metals of the strangers once and of an edge its first letter:
// “1 centavo;1905-1949;bronze;3;20;plain” becomes “1 centavo;1905-1949;0;3;20;p”.
func shortenStrangers(abroad object) {
	var metals index[string]
	countries, _ := abroad["countries"].([]any)
	for _, c := range countries {
		c, _ := c.(object)
		lines, _ := c["coins"].([]any)
		for n, line := range lines {
			s, _ := line.(string)
			parts := strings.Split(s, ";")
			if len(parts) < 5 {
				continue
			}
			parts[2] = metals.of(parts[2])
			if len(parts) == 6 && slices.Contains([]string{"plain", "reeded", "lettered", "other"}, parts[5]) {
				parts[5] = parts[5][:1]
			}
			lines[n] = strings.Join(parts, ";")
		}
	}
	abroad["metals"] = metals
}

// index is a list of what was written already.
type index[V comparable] []V

// of is the place of v in the list, which it joins if it isn't there.
func (x *index[V]) of(v V) string {
	n := slices.Index(*x, v)
	if n < 0 {
		n, *x = len(*x), append(*x, v)
	}
	return strconv.Itoa(n)
}
