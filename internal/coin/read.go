package coin

import (
	"strconv"
	"strings"

	"panside/internal/mass"
	"panside/internal/stable"
)

// loader turns the files' entries into the catalogue's and collects what is
// wrong with them.
type loader struct {
	problems []string
	origins  [][2]string // of the file that is being read
}

func (l *loader) bad(where, what string) {
	l.problems = append(l.problems, where+": "+what)
}

// addOnce stores v under id and complains of a second one.
func addOnce[V any](l *loader, file, id string, into map[string]V, v V) {
	if id == "" {
		l.bad(file, "an entry without an id")
	}
	if _, twice := into[id]; twice {
		l.bad(file, id+" is there twice")
	}
	into[id] = v
}

// defaultBand is how far the real density of an alloy may lie from the ideal
// mixing value when its entry doesn't say otherwise. Assumed: handbook values
// of tin bronze, cupronickel and silver-copper lie within 0.3 % of it (from
// memory), and a struck coin is a little less dense than a rolled sheet.
var defaultBand = [2]float64{-0.005, 0.005}

func (l *loader) alloy(j alloyJSON, looks [2]string) Alloy {
	a := Alloy{
		ID: j.ID, Name: j.Name, Source: j.Source, Grade: j.Grade,
		Colour: j.Colour, Magnetic: j.Magnetic, Wear: j.Wear, DensityBand: defaultBand,
		Family: j.Family, Note: j.Note, LooksSource: looks[0], LooksGrade: Grade(looks[1]),
	}
	a.Source, a.Grade = l.origin(a.Source, a.Grade)
	if a.Family == "" {
		a.Family = a.ID
	}
	if a.Magnetic == "" {
		a.Magnetic = NotMagnetic
	}
	if j.Band != nil {
		a.DensityBand = *j.Band
	}
	if j.Elastic != nil {
		a.Young, a.Poisson = l.elastic("metals "+j.ID, j.Elastic)
	}
	for e, share := range j.Parts {
		a.Fractions = append(a.Fractions, Fraction{e, share})
	}
	stable.Sort(a.Fractions, largestFirst)
	return a
}

// largestFirst orders fractions by share, equal ones by symbol.
func largestFirst(x, y Fraction) int {
	switch {
	case x.Share > y.Share:
		return -1
	case x.Share < y.Share:
		return 1
	}
	return strings.Compare(string(x.Element), string(y.Element))
}

func (l *loader) country(b *Book, c countryJSON) {
	file := strings.ToLower(c.ID) + "/coins"
	l.origins = c.Origins
	b.countries = append(b.countries, Country{ID: c.ID, Name: c.Name, Unmarked: c.Unmarked, Neighbour: c.Neighbour, Strays: c.StraysFrom})
	for n, d := range c.Denominations {
		b.denominations = append(b.denominations, Denomination{
			ID: d.ID, Name: d.Name, Plural: d.Plural, Short: d.Short,
			Country: c.ID, Order: n + 1, Current: d.Current,
		})
	}
	for _, p := range c.Planchets {
		addOnce(l, file, p.ID, b.planchets, l.planchet(b, file+" "+p.ID, p, c.EdgesFrom))
	}
	for _, g := range c.StruckForOthers {
		b.foreignStrikes = append(b.foreignStrikes, ForeignStrike{
			Name: g.Name, Country: c.ID, Spans: l.spans(file+" "+g.Name, g.Years, c.Through),
			Planchet: g.Planchet, Where: g.Where, Source: c.StruckForOthersFrom[0], Grade: Grade(c.StruckForOthersFrom[1]),
		})
	}
	for _, o := range c.OffYears {
		b.offYears = append(b.offYears, OffYear{
			Country: c.ID, Denomination: o.Denomination, Planchet: o.Planchet, Spans: l.spans(file+" off years "+o.Planchet, o.Years, c.Through),
			Source: c.OffYearsFrom[0], Grade: Grade(c.OffYearsFrom[1]),
		})
	}
	b.questions[c.ID] = l.questions(c.Questions)
	for _, i := range c.Issues {
		where := file + " " + i.ID
		b.issues = append(b.issues, Issue{
			ID: i.ID, Country: c.ID, Denomination: i.Denomination, Name: i.Name,
			Spans: l.spans(where, i.Years, c.Through), Planchet: i.Planchet,
			Circulating: !i.Collector, Kept: i.Kept, Note: i.Note, Sign: i.Sign, Source: c.DatesFrom[0], Grade: Grade(c.DatesFrom[1]),
		})
	}
}

func (l *loader) planchet(b *Book, where string, j planchetJSON, edges [2]string) Planchet {
	if j.EdgeFrom != nil {
		edges = *j.EdgeFrom
	}
	p := Planchet{
		ID: j.ID, Name: j.Name, Alloy: j.Alloy, Edge: j.Edge, EdgeNote: j.EdgeNote, Note: j.Note,
		Mass:      l.weight(where+" mass", &j.Mass),
		Diameter:  l.length(where+" diameter", j.Diameter),
		Thickness: l.length(where+" thickness", j.Thickness),
	}
	if p.Edge != EdgeUnknown {
		p.EdgeSource, p.EdgeGrade = edges[0], Grade(edges[1])
	}
	switch {
	case j.Limit != nil && j.Remedy != nil:
		l.bad(where, "has both a limit of a piece and a remedy of a batch")
	case j.Limit != nil:
		p.Limit = Limit{Figure: l.weight(where+" limit", j.Limit), Scope: PerPiece}
	case j.Remedy != nil:
		p.Limit = Limit{Figure: l.weight(where+" remedy", &j.Remedy.Figure), Scope: PerBatch, Batch: j.Remedy.Rule}
		if j.Remedy.Pieces < 1 || j.Remedy.Rule == "" {
			l.bad(where, "a remedy needs its number of pieces (1 for a mean per piece) and its rule in words")
		}
		p.Limit.Value /= float64(max(j.Remedy.Pieces, 1))
	}
	whole := b.alloys[j.Alloy]
	p.Layers = []Layer{{Part: Whole, Alloy: j.Alloy, Share: 1}}
	p.LayersSource, p.LayersGrade = whole.Source, whole.Grade
	if len(j.Layers) > 0 {
		p.Layers = nil
		for _, y := range j.Layers {
			p.Layers = append(p.Layers, Layer(y))
		}
		if j.LayersOf == nil {
			l.bad(where, "layers without layers_from, their source and grade")
		} else {
			p.LayersSource, p.LayersGrade = j.LayersOf[0], Grade(j.LayersOf[1])
		}
	}
	p.Colour, p.Stripe, p.Magnetic = seen(b, p.Layers)
	if j.Magnetic != nil {
		p.Magnetic = *j.Magnetic
	}
	return p
}

// seen derives from the layers what eye and magnet find: the colour of the
// faces, whether the edge shows a stripe of another colour, and the pull of the
// most magnetic layer.
func seen(b *Book, layers []Layer) (Colour, bool, Magnetism) {
	outer := layers[0] // layers are listed from the outside in
	colour, core := b.alloys[outer.Alloy].Colour, coreColour(b, layers)
	if outer.Part == Ring && colour != core {
		colour = TwoHue
	}
	magnetic := NotMagnetic
	for _, y := range layers {
		if a := b.alloys[y.Alloy]; pull[a.Magnetic] > pull[magnetic] {
			magnetic = a.Magnetic
		}
	}
	return colour, outer.Part == Face && colour != core, magnetic
}

// coreColour is the colour of the outermost core layer.
func coreColour(b *Book, layers []Layer) Colour {
	for _, y := range layers {
		if y.Part == Core {
			return b.alloys[y.Alloy].Colour
		}
	}
	return ""
}

var pull = map[Magnetism]int{NotMagnetic: 0, WeakMagnetic: 1, VeryMagnetic: 2}

// weight reads a figure like ["48 gr", source, grade].
func (l *loader) weight(where string, j *figureJSON) Figure {
	f, number, unit := l.figure(where, j)
	u, err := mass.ParseUnit(unit)
	if err != nil {
		l.bad(where, err.Error())
		return f
	}
	f.Quantity = mass.Quantity{Value: number, Unit: u}
	grams, err := f.Quantity.Grams()
	if err != nil {
		l.bad(where, err.Error())
	}
	f.Value = grams.Float64()
	return f
}

// mmPerInch is exact by the international yard and pound agreement of 1959.
var mmPerInch = mass.MustDecimal("25.4")

// length reads a figure like ["19.05 mm", source, grade] or one in inches; nil
// gives a figure that isn't Known.
func (l *loader) length(where string, j *figureJSON) Figure {
	if j == nil {
		return Figure{}
	}
	f, number, unit := l.figure(where, j)
	switch unit {
	case "mm":
		f.Value = number.Float64()
	case "in":
		mm, err := number.Mul(mmPerInch)
		if err != nil {
			l.bad(where, err.Error())
		}
		f.Value = mm.Float64()
	default:
		l.bad(where, "a length must be in mm or in, not “"+unit+"”")
	}
	return f
}

// elastic reads a figure like ["80 GPa 0.37", source, grade]: Young's modulus and Poisson's
// ratio.
func (l *loader) elastic(where string, j *figureJSON) (young Figure, poisson float64) {
	young, number, rest := l.figure(where, j)
	young.Value = number.Float64()
	unit, ratio, _ := strings.Cut(rest, " ")
	poisson, err := strconv.ParseFloat(ratio, 64)
	if unit != "GPa" || err != nil {
		l.bad(where, "stiffness is written like “80 GPa 0.37”")
	}
	return young, poisson
}

func (l *loader) figure(where string, j *figureJSON) (Figure, mass.Decimal, string) {
	f := Figure{Text: j[0], Source: j[1], Grade: Grade(j[2])}
	f.Source, f.Grade = l.origin(f.Source, f.Grade)
	number, unit, _ := strings.Cut(f.Text, " ")
	d, err := mass.ParseDecimal(number)
	if err != nil {
		l.bad(where, err.Error())
	}
	return f, d, unit
}

// origin is a source with its grade, which a built file may give as a place among its
// origins instead.
func (l *loader) origin(source string, grade Grade) (string, Grade) {
	if n, err := strconv.Atoi(source); grade == "" && err == nil && n >= 0 && n < len(l.origins) {
		return l.origins[n][0], Grade(l.origins[n][1])
	}
	return source, grade
}

// spans reads years with their marks, such as
//
//	1909-1910:-,S 1911-1914:-,D,S 1922:D,(-) 1999-:P,D 1936
//
// A run without marks leaves them unknown; “(-)” says that the mark is known
// to be missing on some. A run open at the end goes to the catalogue's own
// year, through, and a little beyond.
func (l *loader) spans(where, text string, through int) []Span {
	var spans []Span
	for _, run := range strings.Fields(text) {
		years, marks, marked := strings.Cut(run, ":")
		first, last, ranged := strings.Cut(years, "-")
		var s Span
		s.First = l.year(where, first)
		s.Last = s.First
		switch {
		case ranged && last == "":
			s.Open, s.Last = true, through
		case ranged:
			s.Last = l.year(where, last)
		}
		if marked {
			for _, m := range strings.Split(marks, ",") {
				if m == "(-)" {
					s.MarkLost = true
					continue
				}
				s.Mints = append(s.Mints, m)
			}
		}
		spans = append(spans, s)
	}
	return spans
}

func (l *loader) year(where, s string) int {
	y, err := strconv.Atoi(s)
	if err != nil || len(s) != 4 {
		l.bad(where, "“"+s+"” is not a year")
	}
	return y
}
