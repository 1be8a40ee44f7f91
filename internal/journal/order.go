package journal

import (
	"slices"

	"panside/internal/stable"
)

// sortShown puts the value to show first: the later stamp, then the higher id,
// so that every device decides alike. A clock that runs years ahead is shown
// before what was written without having seen it; the conflict is listed, and
// whoever writes next has seen it. No rule over the other stamps of the set could
// do better: it can't tell a clock that is ahead from phones that were silent.
func sortShown(held []Held) {
	stable.Sort(held, func(a, b Held) int {
		if a.Stamp != b.Stamp {
			return b.Stamp.compare(a.Stamp)
		}
		return compareIDs(b.ID, a.ID)
	})
}

func (s Stamp) compare(o Stamp) int {
	switch {
	case s.Less(o):
		return -1
	case o.Less(s):
		return 1
	}
	return 0
}

// InOrder sorts entries so that each comes after those it replaces and after
// its writer's earlier ones, and otherwise by stamp: the order in which people
// saw things happen, whatever the clocks said.
func InOrder(entries []Entry) {
	at := make(map[ID]int, len(entries))
	for i, e := range entries {
		at[e.ID] = i
	}
	byWriter := slices.Clone(entries)
	slices.SortFunc(byWriter, func(a, b Entry) int { return compareIDs(a.ID, b.ID) })
	earlier := make(map[ID]ID, len(entries))
	for i, e := range byWriter[min(1, len(byWriter)):] {
		if byWriter[i].ID.Writer == e.ID.Writer {
			earlier[e.ID] = byWriter[i].ID
		}
	}
	// An entry counts as no earlier than what came before it. A depth-first walk
	// with its own stack, since a history may be long; what is met again while
	// it is being walked is a ring and is passed by.
	counts := make(map[ID]Stamp, len(entries))
	depth := make(map[ID]int, len(entries))
	open := map[ID]bool{}
	for _, e := range entries {
		stack := []ID{e.ID}
		for len(stack) > 0 {
			id := stack[len(stack)-1]
			if _, done := counts[id]; done {
				stack = stack[:len(stack)-1]
				continue
			}
			e := entries[at[id]]
			before := e.Replaces
			if prev, ok := earlier[id]; ok {
				before = append(slices.Clip(before), prev)
			}
			waits := false
			stamp, deep := e.Stamp, 0
			for _, b := range before {
				if _, here := at[b]; !here {
					continue
				}
				if known, done := counts[b]; done {
					if stamp.Less(known) {
						stamp = known
					}
					deep = max(deep, depth[b]+1)
				} else if !open[id] && !open[b] {
					stack = append(stack, b)
					waits = true
				}
			}
			if waits {
				open[id] = true
				continue
			}
			counts[id], depth[id] = stamp, deep
			delete(open, id)
			stack = stack[:len(stack)-1]
		}
	}
	slices.SortFunc(entries, func(a, b Entry) int {
		if c := counts[a.ID].compare(counts[b.ID]); c != 0 {
			return c
		}
		if c := depth[a.ID] - depth[b.ID]; c != 0 {
			return c
		}
		return compareIDs(a.ID, b.ID)
	})
}
