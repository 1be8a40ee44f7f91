package syncsim

import (
	"fmt"
	"slices"
	"strings"
)

// delete deletes the find on the phone's screen, which may be an old one, and
// notes what that screen showed.
func (n *night) delete(p *phone) {
	n.t.Helper()
	p.look()
	if n.rng.IntN(2) == 0 {
		p.sync() // the screen stays as it was
	}
	if p.screen.record == "" {
		return
	}
	seen := map[string]bool{}
	for _, e := range p.own(p.screen.record) {
		if e.Field != "deleted" && sawAnywhere(p.screen.ids, e.ID.String()) {
			seen[keyOf(n.t, e.Raw)] = true
		}
	}
	q := map[string]any{"now": max(p.now, 0), "kind": "find", "record": p.screen.record, "set": map[string]any{"deleted": true}, "saw": p.screen.ids}
	for _, e := range p.wrote(p.screen.ids, "journal-write", inJSON(q)+lines(p.own(p.screen.record))) {
		n.saw[keyOf(n.t, e.Raw)] = seen
	}
}

func sawAnywhere(saw map[string][]string, id string) bool {
	for _, ids := range saw {
		if slices.Contains(ids, id) {
			return true
		}
	}
	return false
}

// deletionsAskWhatTheyOverlooked: of each deleted find exactly those values are
// to be decided about that no deleter had on the screen, whatever the clocks
// said. Finds of which a deletion was undone are left out.
func (n *night) deletionsAskWhatTheyOverlooked(laptop []string) {
	n.t.Helper()
	keys := map[string]string{} // by the entry's id
	times := map[string]int{}   // by key; several where a history was written again and its first form came back
	left := map[string]bool{}
	for _, raw := range laptop {
		var e struct{ ID, Record, Field string }
		decode(n.t, []byte(raw), &e)
		keys[e.ID] = keyOf(n.t, raw)
		times[keys[e.ID]]++
		if e.Field == "deleted" && len(n.saw[keys[e.ID]]) == 0 {
			left[e.Record] = true
		}
	}
	p := n.phones[0] // all show the same
	var list struct{ Records []struct{ Record string } }
	p.ask("journal-list", `{"kind":"find","deleted":true,"limit":500}`, &list)
	for _, r := range list.Records {
		if left[r.Record] {
			continue
		}
		var d struct {
			Find struct {
				IDs        map[string][]string
				Overlooked []struct{ ID string }
			}
		}
		p.ask("journal-record", fmt.Sprintf(`{"record":%q,"now":%d}`, r.Record, max(p.now, 0))+lines(p.own(r.Record)), &d)
		for field, ids := range d.Find.IDs {
			for _, id := range ids {
				if field == "deleted" {
					continue
				}
				unseen := !slices.ContainsFunc(d.Find.IDs["deleted"], func(deletion string) bool { return n.saw[keys[deletion]][keys[id]] })
				said := slices.ContainsFunc(d.Find.Overlooked, func(o struct{ ID string }) bool { return o.ID == id })
				// Asked about a second form of what was seen, or about one that was
				// written again once the laptop had the deletion, which names the first.
				again := said && (times[keys[id]] > 1 || strings.HasPrefix(id, "again-"))
				if said != unseen && !again {
					n.t.Errorf("%s of a deleted find: overlooked %v, unseen %v", id, said, unseen)
				}
				if unseen {
					n.net.faults["deleted unseen"]++
				}
			}
		}
	}
}
