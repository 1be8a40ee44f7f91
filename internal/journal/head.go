package journal

import "slices"

// Head is how far one writer's chain goes on the laptop, or was promised to go.
type Head struct {
	Writer Writer `json:"writer"`
	Seq    uint64 `json:"seq"`  // 0 if nothing of the writer is there
	Hash   Hash   `json:"hash"` // of entry Seq
	At     int64  `json:"at"`   // milliseconds since 1970, when that entry came
	By     string `json:"by"`   // the device that brought it, by its name then
}

// Lack is a stretch of a writer's chain that the laptop acknowledged and hasn't
// got any more.
type Lack struct {
	Writer Writer `json:"writer"`
	After  uint64 `json:"after"` // the last entry that was still there
	To     uint64 `json:"to"`
	Hash   Hash   `json:"hash"`  // of entry To: with it, the whole chain is back
	Since  int64  `json:"since"` // when entry After came; 0 for not known
	Until  int64  `json:"until"` // when entry To came
	By     string `json:"by"`
}

// Count is how many entries are missing.
func (l Lack) Count() uint64 { return l.To - l.After }

// Lacking compares what was promised with what is there. holds reports whether an
// entry of that writer, number and hash is there: since every entry has the hash
// of the one before it, that one stands for all before it. The result is in
// order of writers.
func Lacking(promised, there []Head, holds func(Head) (bool, error)) ([]Lack, error) {
	has := map[Writer]Head{}
	for _, h := range there {
		has[h.Writer] = h
	}
	var lacks []Lack
	for _, p := range promised {
		got := has[p.Writer]
		if got.Seq == p.Seq && got.Hash == p.Hash {
			continue
		}
		whole := false
		if got.Seq > p.Seq {
			var err error
			if whole, err = holds(p); err != nil {
				return nil, err
			}
		}
		switch {
		case whole:
		case got.Seq < p.Seq:
			lacks = append(lacks, Lack{p.Writer, got.Seq, p.Seq, p.Hash, got.At, p.At, p.By})
		default: // another history under the same name: how much of ours is in it isn't known
			lacks = append(lacks, Lack{p.Writer, 0, p.Seq, p.Hash, 0, p.At, p.By})
		}
	}
	slices.SortFunc(lacks, func(a, b Lack) int {
		if a.Writer < b.Writer {
			return -1
		}
		return 1
	})
	return lacks, nil
}
