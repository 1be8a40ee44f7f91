package journal

import (
	"bytes"
	"maps"

	"panside/internal/json"
)

// Why a photo is wanted from the phones.
const (
	PhotoDamaged = "damaged" // it was here and has other bytes now; it is set apart
	PhotoGone    = "gone"    // it was here and its file isn't any more
	PhotoAbsent  = "absent"  // a find names it and it never came, or nobody knows that it did
)

// PhotoWanted is a photo that should be on the laptop and isn't.
type PhotoWanted struct {
	Photo string `json:"photo"`
	Why   string `json:"why"`
	// Record is a find that names it, empty if none is known.
	Record Record `json:"record,omitempty"`
	// Told says that the device that asks has said that it doesn't have it.
	Told bool `json:"told"`
	// WaitingFor are the names of the devices that haven't said so yet. None
	// means that nobody has it.
	WaitingFor []string `json:"waiting_for"`
}

// PhotosWanted lists them.
type PhotosWanted struct {
	V      int           `json:"v"`
	Photos []PhotoWanted `json:"photos"`
}

// NamedPhotos follows which photos the finds of a journal name. A deleted find
// still names its own, since the deletion can be taken back; a photo that was
// removed from its find is named no more. The zero value is ready.
type NamedPhotos struct {
	now  map[ID]named    // by the entry that names them, unless another replaces it
	ever map[string]bool // by hash
}

type named struct {
	sums   []string
	record Record
	field  string
	at     Stamp
}

// Add takes in the next entries, each after those it replaces. What can't be
// read names nothing.
func (n *NamedPhotos) Add(entries []json.RawMessage) {
	if n.now == nil {
		n.now, n.ever = map[ID]named{}, map[string]bool{}
	}
	for _, raw := range entries {
		if !bytes.Contains(raw, []byte(`"field":"`+findPhoto)) { // most name none
			continue
		}
		e, err := ParseEntry(raw)
		if err != nil || e.Kind != KindFind || familyOf(e.Field) != findPhoto {
			continue
		}
		for _, id := range e.Replaces {
			// Two runs of the app that once had one name may have used an id for
			// different entries; only that of this field is meant.
			if it := n.now[id]; it.record == e.Record && it.field == e.Field {
				delete(n.now, id)
			}
		}
		var p Photo
		if string(e.Value) == "null" || json.Unmarshal(e.Value, &p) != nil {
			continue
		}
		it := named{record: e.Record, field: e.Field, at: e.Stamp}
		for _, sum := range []string{p.SHA256, p.From} {
			if isHash(sum) {
				it.sums = append(it.sums, sum)
				n.ever[sum] = true
			}
		}
		n.now[e.ID] = it
	}
}

// PhotoName is how a find names a photo.
type PhotoName struct {
	Record Record
	At     Stamp // when it did; the earliest if several do
}

// Now gives the photos that are named, by hash.
func (n *NamedPhotos) Now() map[string]PhotoName {
	all := map[string]PhotoName{}
	for _, it := range n.now {
		for _, sum := range it.sums {
			had, ok := all[sum]
			if !ok || it.at.Less(had.At) || it.at == had.At && it.record < had.Record {
				all[sum] = PhotoName{it.record, it.at}
			}
		}
	}
	return all
}

// Removed gives the photos that finds named once and none names now.
func (n *NamedPhotos) Removed() map[string]bool {
	gone := maps.Clone(n.ever)
	for _, it := range n.now {
		for _, sum := range it.sums {
			delete(gone, sum)
		}
	}
	return gone
}
