package sync

import (
	"slices"

	"panside/internal/fault"
	"panside/internal/journal"
	"panside/internal/json"
)

// mostAsked is how many photos the laptop looks for at once, and mostReadNow how
// many it reads from its disk for the answer.
const (
	mostAsked   = 1000
	mostReadNow = 20
)

// askWanted asks which photos the laptop lacks that it should have.
func (m *Machine) askWanted(int64) {
	m.askAny(&Request{Method: "GET", Path: "/photos/wanted"}, nil, func(now int64, r *Reply) {
		list := []journal.PhotoWanted{}
		switch refusal := refusalIn(r); {
		case refusal == nil:
			list = wantedIn(r.Body)
		case refusal.Code == string(fault.BadInput) || refusal.Code == string(fault.NotFound):
			// An older program on the laptop takes “wanted” for a photo's name.
		default:
			m.fail(now, refusal)
			return
		}
		if len(list) == 0 {
			m.showWanted(nil, nil)
			m.beginPhotos(now)
			return
		}
		m.look(&Query{What: Held, Photos: sumsOf(list)}, func(now int64, r *Reply) { m.answerWanted(now, r, list) })
	})
}

// answerWanted counts those that are here as unsent again, and tells the laptop
// of the others that they aren't.
func (m *Machine) answerWanted(now int64, r *Reply, list []journal.PhotoWanted) {
	here := map[string]bool{}
	for _, sum := range append(slices.Clip(r.Photos), r.Waiting...) {
		here[sum] = true
	}
	var lacking []string
	for _, w := range list {
		if !w.Told && !here[w.Photo] {
			lacking = append(lacking, w.Photo)
		}
	}
	tell := func(now int64) { m.tellLacking(now, lacking, here, list) }
	if len(r.Photos) > 0 {
		m.storePhotos(&PhotoChange{Unsent: r.Photos}, tell)
	} else {
		tell(now)
	}
}

func (m *Machine) tellLacking(now int64, lacking []string, here map[string]bool, list []journal.PhotoWanted) {
	if len(lacking) == 0 {
		m.showWanted(list, here)
		m.beginPhotos(now)
		return
	}
	some := lacking[:min(mostAsked, len(lacking))]
	body := inJSON(struct {
		V       int      `json:"v"`
		NotHeld []string `json:"not_held"`
	}{journal.WireVersion, some})
	m.ask(&Request{Method: "POST", Path: "/photos/wanted"}, body, func(now int64, body []byte) {
		m.tellLacking(now, lacking[len(some):], here, wantedIn(body))
	})
}

func (m *Machine) showWanted(list []journal.PhotoWanted, here map[string]bool) {
	wanted := make([]Wanted, len(list))
	for i, w := range list {
		wanted[i] = Wanted{w.Photo, w.Why, string(w.Record), here[w.Photo], append([]string{}, w.WaitingFor...)}
	}
	m.shown.Wanted, m.told = wanted, false
}

// wantedIn reads the list; what this version doesn't understand of it is left
// out.
func wantedIn(body []byte) (list []journal.PhotoWanted) {
	var a struct{ Photos []json.RawMessage }
	if json.Unmarshal(body, &a) != nil {
		return nil
	}
	for _, raw := range a.Photos {
		var w journal.PhotoWanted
		known := []string{journal.PhotoDamaged, journal.PhotoGone, journal.PhotoAbsent}
		if json.Unmarshal(raw, &w) == nil && w.Photo != "" && slices.Contains(known, w.Why) {
			list = append(list, w)
		}
	}
	return list
}

func sumsOf(list []journal.PhotoWanted) []string {
	sums := make([]string, len(list))
	for i, w := range list {
		sums[i] = w.Photo
	}
	return sums
}
