package journal

import (
	"slices"

	"panside/internal/stable"
)

// Renew writes entries again under other writers. It is for what the laptop
// refuses as a fork, which takes two runs of the app under one name or a program
// that isn't ours. unsent are all entries the laptop doesn't have, in the order
// they are stored; of these, it takes the forked ones, those behind them of the
// same writer, and those that replace one of them, and returns the same changes
// as first entries of other writers, in the same order. drop are the ones to be
// stored no more.
//
// The other writers' names follow from the entries, so that every phone that
// holds them renews them alike, and nothing is there twice.
func Renew(forked []ID, unsent []Entry) (entries []Entry, drop []ID) {
	from := renewedFrom(forked, unsent)
	chains := map[Writer][]Entry{}
	for _, e := range unsent {
		if at, ok := from[e.ID.Writer]; ok && e.ID.Seq >= at {
			chains[e.ID.Writer] = append(chains[e.ID.Writer], e)
			drop = append(drop, e.ID)
		}
	}
	renamed := map[ID]ID{}
	for _, chain := range chains {
		slices.SortFunc(chain, func(a, b Entry) int { return compareIDs(a.ID, b.ID) })
		name := Writer("again-" + chain[0].Hash()[:20])
		for i, e := range chain {
			renamed[e.ID] = ID{name, uint64(i + 1)}
		}
	}
	renewed := map[ID]Entry{}
	for _, chain := range chains {
		prev := Hash("")
		for _, e := range chain {
			old := e.ID
			e.ID, e.Prev = renamed[old], prev
			e.Replaces = slices.Clone(e.Replaces)
			for j, r := range e.Replaces {
				if now, ok := renamed[r]; ok {
					e.Replaces[j] = now
				}
			}
			stable.Sort(e.Replaces, compareIDs)
			prev = e.Hash()
			renewed[old] = e
		}
	}
	for _, id := range drop {
		entries = append(entries, renewed[id])
	}
	return entries, drop
}

// renewedFrom finds, for each writer concerned, the first of its entries to be
// written again.
func renewedFrom(forked []ID, unsent []Entry) map[Writer]uint64 {
	from := map[Writer]uint64{}
	begin := func(id ID) bool {
		if at, ok := from[id.Writer]; ok && at <= id.Seq {
			return false
		}
		from[id.Writer] = id.Seq
		return true
	}
	for _, id := range forked {
		begin(id)
	}
	here := map[ID]bool{}
	for _, e := range unsent {
		here[e.ID] = true
	}
	for more := true; more; {
		more = false
		for _, e := range unsent {
			for _, r := range e.Replaces {
				if at, ok := from[r.Writer]; ok && r.Seq >= at && here[r] {
					more = begin(e.ID) || more
				}
			}
		}
	}
	return from
}
