package look

import (
	"cmp"
	"slices"
	"strings"

	"panside/internal/coin"
	"panside/internal/say"
	"panside/internal/stable"
)

// tools ranks what a look-for is seen with by how much handling it takes. The
// scale stands right after the eye: the coin lies on it already.
var tools = []string{"eye", "scale", "magnet", "calipers", "loupe", "microscope"}

// entry is a look-for with what its place in the order depends on.
type entry struct {
	LookFor
	shows int // place of the explanation that it would bear out
	rank  int // its place in the data

	planchet bool // it is about a planchet
}

// Sheet lists what to inspect on a coin of which there is no verdict; After says in
// which order.
func (b *Book) Sheet(q Query) []LookFor { return b.After(q, Left{}) }

// After lists what a verdict leaves to inspect on a coin, in order:
//
//  1. what would bear out an explanation of the weight, likeliest first;
//  2. the facts of the date, those that say what is normal last, then of the type, then
//     what any coin may show, and at the end what is normal for the type;
//  3. within each, what the eye sees first, then scale, magnet, calipers, loupe, microscope;
//  4. within each tool finds, then the look-alikes.
//
// What weight, alloy or date rule out is left off. A country or denomination without
// facts of its own gets the general entries. Without a year the facts of dates
// are left off, but for those marked for it. The first five to eight are marked.
func (b *Book) After(q Query, left Left) []LookFor {
	for _, run := range left.Years {
		spans, err := parseSpans(strings.ReplaceAll(run, "–", "-"))
		if err != nil {
			left.spans = nil // years that nobody can read rule nothing out
			break
		}
		left.spans = append(left.spans, spans...)
	}
	q.Mint = strings.ToUpper(strings.TrimSpace(q.Mint))
	var entries []entry
	add := func(f *Fact, scope Scope) {
		if e, ok := b.entry(f, scope, q, &left); ok {
			e.rank = len(entries)
			entries = append(entries, e)
		}
	}
	if d, ok := b.denomination(q.Country + "/" + q.Denomination); ok {
		for i := range d.Dates {
			add(&d.Dates[i], OfDate)
		}
		for i := range d.Types {
			add(&d.Types[i], OfType)
		}
	}
	// A type that tells a kind under the kind's own name, or of the planchet that the
	// weight speaks for, replaces the general entry; another one stands beside it.
	told := map[string]bool{}
	for _, e := range entries {
		if e.Scope == OfType && (e.Name == b.kinds[e.Kind].Name || e.planchet && e.shows >= 0) {
			told[e.Kind] = true
		}
	}
	for i := range b.general {
		f := &b.general[i]
		if f.Name != "" || !told[f.Kind] {
			add(f, OfAny)
		}
	}
	stable.Sort(entries, order)
	out := make([]LookFor, len(entries))
	for i, e := range entries {
		out[i] = e.LookFor
	}
	markFirst(out)
	return out
}

// nearness is how closely a look-for is tied to the coin. What is normal for a date
// stands behind the date's finds, what is normal for a type behind everything.
func (e *entry) nearness() int {
	normal := e.Rarity == "normal"
	switch {
	case e.Scope == OfDate:
		return truth(normal)
	case normal:
		return 4
	case e.Scope == OfType:
		return 2
	}
	return 3
}

// order is the rule of After.
func order(a, b entry) int {
	return cmp.Or(
		truth(b.ExplainsWeight)-truth(a.ExplainsWeight),
		cmp.Compare(a.shows, b.shows),
		cmp.Compare(a.nearness(), b.nearness()),
		cmp.Compare(slices.Index(tools, a.With), slices.Index(tools, b.With)),
		truth(a.LookAlike)-truth(b.LookAlike),
		cmp.Compare(a.rank, b.rank),
	)
}

func truth(b bool) int {
	if b {
		return 1
	}
	return 0
}

// entry makes the look-for of a fact, if it belongs on the sheet of q.
func (b *Book) entry(f *Fact, scope Scope, q Query, left *Left) (entry, bool) {
	k := b.kinds[f.Kind]
	// What is normal for some years says nothing while no year is known.
	normal := first(f.Rarity, k.Rarity) == "normal"
	if !f.onDate(scope, q.Year) || !f.ofMint(q.Mint) || q.Year == 0 && normal {
		return entry{}, false
	}
	if len(f.Only) > 0 && !slices.Contains(f.Only, q.Hint) {
		return entry{}, false
	}
	stays, shows := left.weigh(f, k, q.Hint)
	if !stays {
		return entry{}, false
	}
	w := f.words.or(k.words)
	drawings := f.Drawings
	if len(drawings) == 0 {
		drawings = []string{f.Kind}
	}
	l := LookFor{
		ID: f.ID, Kind: f.Kind, Name: b.called(left, first(f.Name, k.Name), scope, shows), Scope: scope,
		Side: w.Side, Where: b.place(w.Where, f.Clock), With: w.With, Light: w.Light,
		See: w.See, Mimics: w.Mimics, Decides: w.Decides, Weight: w.Weight,
		Rarity: w.Rarity, Sure: b.sureness(w.Sure, w.Source), LookAlike: k.LookAlike, Drawings: drawings,
		ExplainsWeight: shows >= 0, English: f.inEnglish(k),
	}
	if unknownMint(q.Mint) && len(f.Mints) > 0 {
		l.Name = b.write(say.New("entry-mints", say.Text("name", l.Name), say.List("mints", say.Comma, mintNames(f.Mints)...)))
	}
	if q.Year == 0 && scope == OfDate {
		l.Name = b.write(say.New("entry-years", say.Text("years", f.Years), say.Text("name", l.Name)))
	}
	return entry{LookFor: l, shows: shows, planchet: len(f.Planchets) > 0}, true
}

// Names reports whether a fact of the date is about this very mint mark, or about
// its lack: such coins are there though no catalogue of regular issues has them.
func (b *Book) Names(q Query) bool {
	d, ok := b.denomination(q.Country + "/" + q.Denomination)
	return ok && q.Year != 0 && slices.ContainsFunc(d.Dates, func(f Fact) bool {
		return len(f.Mints) > 0 && f.onDate(OfDate, q.Year) && slices.Contains(f.Mints, q.Mint)
	})
}

func (f *Fact) onDate(scope Scope, year int) bool {
	if year == 0 {
		return scope != OfDate || f.Undated
	}
	return len(f.spans) == 0 || slices.ContainsFunc(f.spans, func(s span) bool { return s.has(year) })
}

func unknownMint(mint string) bool { return mint == "" || mint == "?" }

// ofMint takes "P" for Philadelphia, with its letter or without: people say P
// of coins that bear none.
func (f *Fact) ofMint(mint string) bool {
	return unknownMint(mint) || len(f.Mints) == 0 || slices.Contains(f.Mints, mint) ||
		mint == "P" && slices.Contains(f.Mints, "-")
}

// mintNames says which mints a fact is for, when the person hasn't said the
// coin's.
func mintNames(mints []string) []say.Arg {
	names := make([]say.Arg, len(mints))
	for i, m := range mints {
		names[i] = say.Text("", m)
		if m == coin.NoMark {
			names[i] = say.Of("", say.New("no-mint-mark"))
		}
	}
	return names
}
