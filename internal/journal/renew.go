package journal

import "slices"

// Renew writes entries again under another writer. It is for entries that the
// laptop refuses as a fork, which takes two runs of the app under one name or a
// program that isn't ours. Given the entries of one writer from the refused one
// on, it returns the same changes as the first entries of the other writer, to
// be stored in their place.
//
// The other writer's name follows from the first entry, so that every phone that
// holds these entries renews them alike, and nothing is there twice.
func Renew(refused []Entry) []Entry {
	old := slices.Clone(refused)
	slices.SortFunc(old, func(a, b Entry) int { return compareIDs(a.ID, b.ID) })
	renamed := map[ID]ID{}
	var entries []Entry
	var w Writer
	prev := Hash("")
	for i, e := range old {
		if i == 0 {
			w = Writer("again-" + e.Hash()[:20])
		}
		renamed[e.ID] = ID{w, uint64(i + 1)}
		e.ID, e.Prev = renamed[e.ID], prev
		e.Replaces = slices.Clone(e.Replaces)
		for j, r := range e.Replaces {
			if now, ok := renamed[r]; ok {
				e.Replaces[j] = now
			}
		}
		slices.SortFunc(e.Replaces, compareIDs)
		prev = e.Hash()
		entries = append(entries, e)
	}
	return entries
}
