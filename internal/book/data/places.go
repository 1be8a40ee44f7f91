package data

import (
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"path"
	"slices"
	"strconv"
	"strings"

	"panside/internal/look"
)

// design is one side of the coins of some years, and where things stand on it.
type design struct {
	ID           string
	Denomination string
	Side         string // obverse, reverse
	Faces        string // the way a head or animal looks: left, right, or "" for none
	runs         [][2]int
	places       map[string]hours
}

// hours is a stretch of the clock's face, first to last in the hands' way.
type hours struct{ first, last int }

// facing are places at the front of a head: they lie on the side that it looks to.
var facing = []string{"mouth", "nose", "chin", "eye", "beak", "front-leg"}

// placeOfKind is where a kind's facts are looked for when they name no place.
var placeOfKind = map[string]string{
	"repunched-mint-mark": "mint-mark", "over-mint-mark": "mint-mark", "missing-mint-mark": "mint-mark", "mint-mark-style": "mint-mark",
	"repunched-date": "date", "overdate": "date", "date-style": "date",
	"missing-designer-initials": "initials",
}

// designsOf reads a country's table of designs; nil if it has none.
func (b *builder) designsOf(folder string) []design {
	name := path.Join(folder, designsSource) + ".json"
	file, err := read(b.from, name)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		b.bad(err)
	}
	var all []design
	seen := map[string]bool{}
	for _, e := range entries(file["designs"]) {
		d := design{ID: text(e["id"]), Denomination: text(e["denomination"]), Side: text(e["side"]), Faces: text(e["faces"]), places: map[string]hours{}}
		bad := func(what string, about ...any) {
			b.bad(fmt.Errorf("%s: %s: "+what, append([]any{b.line(name, e), d.ID}, about...)...))
		}
		if seen[d.ID] || d.ID == "" {
			bad("its id is empty or there twice")
		}
		seen[d.ID] = true
		if d.runs, err = look.YearRuns(text(e["years"])); err != nil || len(d.runs) == 0 {
			bad("no years, or wrong ones: %v", err)
		}
		if !slices.Contains([]string{"obverse", "reverse"}, d.Side) || !slices.Contains([]string{"", "left", "right"}, d.Faces) {
			bad("side is %q, faces %q", d.Side, d.Faces)
		}
		places, _ := e["places"].(object)
		for _, p := range slices.Sorted(maps.Keys(places)) {
			h, ok := readHours(text(places[p]))
			if !ok {
				bad("%s: %q isn’t an hour or a stretch of them", p, text(places[p]))
			}
			if slices.Contains(facing, p) && !h.on(d.Faces) {
				bad("%s at %s lies behind a head that faces %s", p, h, d.Faces)
			}
			d.places[p] = h
		}
		all = append(all, d)
	}
	return all
}

// placed holds where facts are to be looked for to the designs of their years. A fact
// that names a place, or whose kind does, gets side and hour from there if all the
// designs with it agree; what it says itself must fit one of them.
func (b *builder) placed(name string, file object, designs []design) {
	if designs == nil {
		return
	}
	denomination := text(file["denomination"])
	for _, list := range factLists {
		for _, f := range entries(file[list]) {
			bad := func(what string, about ...any) {
				b.bad(fmt.Errorf("%s: %s "+what, append([]any{b.line(name, f), f["id"]}, about...)...))
			}
			place, told := text(f["at"]), true
			delete(f, "at")
			if place == "" {
				place, told = placeOfKind[text(f["kind"])], false
			}
			if _, err := look.YearRuns(text(f["years"])); err != nil {
				continue // whoever reads the fact says so
			}
			if place == "" {
				if text(f["clock"]) != "" {
					bad("gives an hour, and no place that stands there")
				}
				continue
			}
			fit(f, place, told, having(designs, denomination, text(f["years"]), place), bad)
		}
	}
}

// having are the designs of the years that have the place.
func having(designs []design, denomination, years, place string) []design {
	runs, _ := look.YearRuns(years)
	return slices.DeleteFunc(slices.Clone(designs), func(d design) bool {
		_, has := d.places[place]
		return !has || d.Denomination != denomination || !slices.ContainsFunc(d.runs, func(x [2]int) bool {
			return slices.ContainsFunc(runs, func(y [2]int) bool { return x[0] <= y[1] && y[0] <= x[1] })
		})
	})
}

// fit fits one fact to the designs that have its place; told says that it names that
// place itself.
func fit(f object, place string, told bool, designs []design, bad func(what string, about ...any)) {
	if len(designs) == 0 {
		if told {
			bad("is on no design of its years: none has the place %q", place)
		}
		return
	}
	side, clock := text(f["side"]), text(f["clock"])
	said, ok := readHours(clock)
	if clock != "" && !ok {
		return // whoever reads the fact says so
	}
	fits := slices.DeleteFunc(slices.Clone(designs), func(d design) bool {
		return side != "" && d.Side != side || clock != "" && !d.places[place].hold(said)
	})
	if len(fits) == 0 {
		// A side of “both sides” stands for itself unless the place was named.
		if told || side == "obverse" || side == "reverse" {
			d := designs[0]
			bad("says %s %s; on %s the %s stands on the %s at %s", side, clock, d.ID, place, d.Side, d.places[place])
		}
		return
	}
	one := fits[0]
	if slices.ContainsFunc(fits, func(d design) bool { return d.Side != one.Side || d.places[place] != one.places[place] }) {
		return
	}
	if side == "" {
		f["side"] = one.Side
	}
	if clock == "" {
		f["clock"] = one.places[place].String()
	}
}

func readHours(s string) (hours, bool) {
	a, b, ranged := strings.Cut(s, "-")
	first, err := strconv.Atoi(a)
	if err != nil || first < 1 || first > 12 {
		return hours{}, false
	}
	if !ranged {
		return hours{first, first}, true
	}
	last, err := strconv.Atoi(b)
	return hours{first, last}, err == nil && last >= 1 && last <= 12 && last != first
}

// String writes the stretch as a fact does.
func (h hours) String() string {
	if h.first == h.last {
		return strconv.Itoa(h.first)
	}
	return strconv.Itoa(h.first) + "-" + strconv.Itoa(h.last)
}

// all lists the stretch's hours.
func (h hours) all() []int {
	out := []int{h.first}
	for at := h.first; at != h.last; {
		at = at%12 + 1
		out = append(out, at)
	}
	return out
}

// hold reports whether the other lies within h.
func (h hours) hold(other hours) bool {
	mine := h.all()
	return !slices.ContainsFunc(other.all(), func(hour int) bool { return !slices.Contains(mine, hour) })
}

// on reports whether all of h lies on the half of the face that a head looks to.
func (h hours) on(faces string) bool {
	half := map[string]hours{"right": {12, 6}, "left": {6, 12}}[faces]
	return half.first != 0 && half.hold(h)
}
