package journal

import (
	"strconv"
	"strings"

	"panside/internal/fault"
	"panside/internal/json"
	"panside/internal/say"
	"panside/internal/stable"
)

// Hunt is one search of one source.
type Hunt struct {
	Common
	Source string `json:"source,omitempty"` // jar, rolls, box, inherited, shop
	// JudgeSource is the source as the judge takes it: jar, bank-roll or inherited;
	// empty where none was said.
	JudgeSource  string `json:"judge_source,omitempty"`
	Place        string `json:"place,omitempty"` // the branch's nickname, the jar's name
	Country      string `json:"country,omitempty"`
	Denomination string `json:"denomination,omitempty"`
	Rolls        int64  `json:"rolls,omitempty"` // how many there are
	Coins        int64  `json:"coins,omitempty"` // how many there are
	Paid         *Face  `json:"paid,omitempty"`
	Returned     *Face  `json:"returned,omitempty"`
	Begun        int64  `json:"begun,omitempty"` // ms since 1970
	Ended        int64  `json:"ended,omitempty"`
	// State is how it stands: planned, going, paused or ended.
	State string `json:"state"`
	// EndsBeforeBegin says that its two times contradict one another: an earlier
	// version wrote them, or two phones wrote one each.
	EndsBeforeBegin bool `json:"ends_before_begin,omitempty"`
	// Active is how long the search went on, without its pauses, in ms.
	Active int64 `json:"active_ms"`
	// Progress is how far each roll was searched.
	Progress []RollProgress `json:"progress"`
	// Counted are the coins judged hands-free by what their verdict called for,
	// summed over the phones that counted; none below 0.
	Counted map[string]int64 `json:"counted"`
	// Metals are those coins by their metal, the most first. Coins without a metal, and
	// those counted by earlier versions, aren't among them.
	Metals []MetalCount `json:"metals"`
	// Searched is how many coins were searched: what a person wrote, else the
	// larger of the coins counted hands-free and those of the rolls, because a
	// coin of a roll is often counted both ways.
	Searched int64 `json:"searched"`

	paused bool // a pause is open
}

// States of a hunt. Coins weighed while one is going are counted for it.
const (
	HuntPlanned = "planned"
	HuntGoing   = "going"
	HuntPaused  = "paused"
	HuntEnded   = "ended"
)

// RollProgress is one roll of a hunt.
type RollProgress struct {
	Number int  `json:"roll"` // from 1
	Coins  int  `json:"coins"`
	Done   bool `json:"done"`
}

// HuntOf reads a hunt at a moment (ms since 1970), to which a search that goes
// on lasts.
func HuntOf(s *State, id Record, now int64) Hunt {
	sh := s.sheet(id)
	h := Hunt{
		Common:       sh.Common,
		Source:       sh.text(huntSource),
		JudgeSource:  judgeSource[sh.text(huntSource)],
		Place:        sh.text(huntPlace),
		Country:      sh.text(huntCountry),
		Denomination: sh.text(huntDenomination),
		Rolls:        sh.number(huntRolls),
		Coins:        sh.number(huntCoins),
		Paid:         part[Face](sh, huntPaid),
		Returned:     part[Face](sh, huntReturned),
		Begun:        sh.number(huntBegun),
		Ended:        sh.number(huntEnded),
		Progress:     []RollProgress{},
		Counted:      map[string]int64{},
	}
	var pauses [][2]int64
	var inRolls int64
	for _, name := range stable.Keys(sh.fields) {
		family := familyOf(name)
		own := name[len(family):]
		switch family {
		case huntPause:
			if from, err := strconv.ParseInt(own, 10, 64); err == nil {
				to := sh.number(name)
				h.paused = h.paused || to == 0 && h.Ended == 0
				pauses = append(pauses, [2]int64{from, to})
			}
		case huntRoll:
			if n, err := strconv.Atoi(own); err == nil && n > 0 {
				r := *part[Roll](sh, name)
				h.Progress = append(h.Progress, RollProgress{n, r.Coins, r.Done})
				inRolls += int64(r.Coins)
			}
		case huntCount:
			call, _, _ := strings.Cut(own, "/")
			h.Counted[call] += sh.number(name)
		case huntMetal:
			h.Metals = join(h.Metals, []MetalCount{*part[MetalCount](sh, name)})
		}
		if isCount(name) {
			delete(h.IDs, name) // each is written by its own phone alone
		}
	}
	stable.Sort(h.Progress, func(a, b RollProgress) int { return a.Number - b.Number })
	h.Metals = onTheTable(h.Metals)
	counted := int64(0)
	for call, n := range h.Counted {
		h.Counted[call] = max(n, 0)
		counted += max(n, 0)
	}
	h.Searched = max(inRolls, counted)
	if _, ok := sh.fields[huntSearched]; ok {
		h.Searched = sh.number(huntSearched)
	}
	h.State = h.state()
	h.EndsBeforeBegin = endsBefore(h.Begun, h.Ended)
	h.Active = activeTime(h.Begun, h.Ended, now, pauses)
	return h
}

// judgeSource says how sources are alike in what is rare in them: a bank's box
// is its rolls, and a shop's lot somebody's jar (common practice).
var judgeSource = map[string]string{
	"jar": "jar", "shop": "jar",
	"rolls": "bank-roll", "box": "bank-roll",
	"inherited": "inherited",
}

func endsBefore(begun, ended int64) bool { return begun != 0 && ended != 0 && ended < begun }

// checkSpan refuses times of a hunt that would let it end before it begins.
func (n *Notebook) checkSpan(c Change, set map[string]json.RawMessage) error {
	if c.Kind != KindHunt {
		return nil
	}
	wrong := ""
	at := func(field string) int64 {
		value, written := set[field]
		if written {
			wrong = field
		} else if held := n.state.Field(c.Record, field); len(held) > 0 {
			value = held[0].Value
		}
		ms, _ := asCount(value)
		return ms
	}
	if !endsBefore(at(huntBegun), at(huntEnded)) || wrong == "" {
		return nil
	}
	return fault.InField(wrong, fault.BadInput, say.New("hunt-ends-before-it-begins"))
}

// Counting is the hunt that coins are counted for: of those going on, the one
// made last. hunts are as Notebook.Hunts lists them; "" if none is going on.
func Counting(hunts []HuntAccount) Record {
	for _, h := range hunts {
		if h.State == HuntGoing && !h.Deleted {
			return h.Record
		}
	}
	return ""
}

func (h *Hunt) state() string {
	switch {
	case h.Ended != 0:
		return HuntEnded
	case h.Begun == 0:
		return HuntPlanned
	case h.paused:
		return HuntPaused
	}
	return HuntGoing
}

// activeTime is the time from begun to ended (or now) that no pause covers.
// Pauses of several phones may overlap; one without an end lasts to the end.
func activeTime(begun, ended, now int64, pauses [][2]int64) int64 {
	if begun == 0 {
		return 0
	}
	end := ended
	if end == 0 {
		end = now
	}
	stable.Sort(pauses, func(a, b [2]int64) int { return int(min(max(a[0]-b[0], -1), 1)) })
	active, at := int64(0), begun
	for _, p := range pauses {
		from, to := p[0], p[1]
		if to == 0 {
			to = end
		}
		if from = min(max(from, begun), end); from > at {
			active += from - at
		}
		at = max(at, min(to, end))
	}
	return active + max(end-at, 0)
}
