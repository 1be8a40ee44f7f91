package synctest

import (
	"crypto/sha256"
	"encoding/hex"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"panside/internal/fault"
	"panside/internal/journal"
	"panside/internal/json"
	"panside/internal/say"
)

// Laptop is one in memory that answers as the real one does; Conform holds both
// to the same. What it does wrong, it is told to.
type Laptop struct {
	Life    int // that of another one knows no cursor of this
	Entries []json.RawMessage
	Photos  map[string][]byte
	Parts   map[string][]byte // of photos that aren't all there
	// Read are photos that were read back from the disk. With Slow, none is by
	// itself.
	Read map[string]bool
	Slow bool
	// Rotten are photos that the disk has lost since, which is found when they
	// are read.
	Rotten map[string]bool
	Wanted []journal.PhotoWanted

	// Refuse, if set, says why an entry isn't taken; "" if it is.
	Refuse func(id journal.ID) fault.Code
	// Before is asked before a request is looked at, and After when it is done.
	// false loses the request or its answer.
	Before, After func(n int, q Request) bool
	Asked         []string // the requests that came, without queries
}

// NewLaptop returns an empty one.
func NewLaptop() *Laptop {
	return &Laptop{Life: 1, Photos: map[string][]byte{}, Parts: map[string][]byte{}, Read: map[string]bool{}, Rotten: map[string]bool{}}
}

// Serve answers a request; a status of 0 says that no answer came.
func (l *Laptop) Serve(q Request) (status int, body []byte) {
	path, query, _ := strings.Cut(q.Path, "?")
	l.Asked = append(l.Asked, q.Method+" "+strings.TrimPrefix(path, "/api/v1"))
	n := len(l.Asked)
	if l.Before != nil && !l.Before(n, q) {
		return 0, nil
	}
	values, err := url.ParseQuery(query)
	if err != nil {
		values = nil
	}
	answer, f := l.answer(q, strings.TrimPrefix(path, "/api/v1"), values)
	status = 200
	if f != nil {
		status = 409
		answer = map[string]any{"error": map[string]any{"code": f.Code, "sentence": f.English()}}
	}
	body, err = json.Marshal(answer)
	if err != nil {
		return 500, nil
	}
	if l.After != nil && !l.After(n, q) {
		return 0, nil
	}
	return status, body
}

func (l *Laptop) answer(q Request, path string, values url.Values) (any, *fault.Error) {
	switch q.Method + " " + path {
	case "POST /journal":
		return l.push(q.Body)
	case "GET /journal":
		return l.pull(values)
	case "POST /photos/missing":
		return l.missing(q.Body)
	case "GET /photos/wanted":
		return l.wanted(), nil
	case "POST /photos/wanted":
		var in struct {
			V       int
			NotHeld []string `json:"not_held"`
		}
		if json.Unmarshal(q.Body, &in) != nil || in.V != journal.WireVersion {
			return nil, fault.New(fault.BadInput, say.New("sync-phone-not-understood"))
		}
		for i, w := range l.Wanted {
			if slices.Contains(in.NotHeld, w.Photo) {
				l.Wanted[i].Told, l.Wanted[i].WaitingFor = true, []string{"another phone"}
			}
		}
		return l.wanted(), nil
	}
	sum, rest, _ := strings.Cut(strings.TrimPrefix(path, "/photos/"), "/")
	switch {
	case q.Method == "PUT" && rest == "":
		if f := l.put(sum, q.Headers["Content-Range"], q.Body); f != nil {
			return nil, f
		}
		return l.have(sum), nil
	case q.Method == "GET" && rest == "progress":
		return l.have(sum), nil
	}
	return nil, fault.New(fault.NotFound, say.New("http-no-such-path"))
}

// cursor is that of the first n entries.
func (l *Laptop) cursor(n int) string {
	if n == 0 {
		return ""
	}
	return strconv.Itoa(n) + ".life" + strconv.Itoa(l.Life)
}

func (l *Laptop) knows(cursor string) (n int, ok bool) {
	if cursor == "" {
		return 0, true
	}
	place, life, _ := strings.Cut(cursor, ".life")
	n, err := strconv.Atoi(place)
	return n, err == nil && life == strconv.Itoa(l.Life) && n <= len(l.Entries)
}

func (l *Laptop) push(body []byte) (any, *fault.Error) {
	batch, err := journal.ParseBatch(body)
	if err != nil || batch.V != journal.WireVersion || len(batch.Entries) > journal.MaxBatch {
		return nil, fault.New(fault.BadInput, say.New("sync-phone-not-understood"))
	}
	_, ours := l.knows(batch.Receipt)
	receipt := journal.Receipt{V: journal.WireVersion, Refused: []journal.Refusal{}, Restart: !ours}
	heads, hashes := map[journal.Writer]uint64{}, map[journal.ID]journal.Hash{}
	keep := func(e journal.Entry) { heads[e.ID.Writer], hashes[e.ID] = e.ID.Seq, e.Hash() }
	for _, raw := range l.Entries {
		e, err := journal.ParseEntry(raw)
		if err != nil {
			return nil, fault.New(fault.Damaged, say.New("phone-entry-unreadable"))
		}
		keep(e)
	}
	for i, raw := range batch.Entries {
		e, err := journal.ParseEntry(raw)
		code := fault.BadInput
		if err == nil {
			code = l.place(e, heads, hashes)
		}
		switch code {
		case "":
			receipt.Stored++
			l.Entries = append(l.Entries, slices.Clone(raw))
			keep(e)
		case known:
			receipt.Known++
		default:
			receipt.Refused = append(receipt.Refused, journal.Refusal{Index: i, Code: code, Sentence: "It is a " + string(code) + "."})
		}
	}
	receipt.Cursor = l.cursor(len(l.Entries))
	return receipt, nil
}

// known stands for an entry that is there already.
const known fault.Code = "known"

// place says why an entry isn't put behind those that are there; "" if it is.
func (l *Laptop) place(e journal.Entry, heads map[journal.Writer]uint64, hashes map[journal.ID]journal.Hash) fault.Code {
	if l.Refuse != nil {
		if code := l.Refuse(e.ID); code != "" {
			return code
		}
	}
	head := heads[e.ID.Writer]
	switch {
	case e.ID.Seq <= head && hashes[e.ID] == e.Hash():
		return known
	case e.ID.Seq <= head:
		return fault.Forked
	case e.ID.Seq > head+1:
		return fault.Gap
	case head > 0 && e.Prev != hashes[journal.ID{Writer: e.ID.Writer, Seq: head}]:
		return fault.Forked
	}
	for _, r := range e.Replaces {
		if r.Seq > heads[r.Writer] {
			return fault.Gap
		}
	}
	return ""
}

func (l *Laptop) pull(q url.Values) (any, *fault.Error) {
	at, ours := l.knows(q.Get("after"))
	_, mine := l.knows(q.Get("receipt"))
	page := journal.Page{V: journal.WireVersion, Entries: []json.RawMessage{}, Restart: !ours || !mine}
	if page.Restart {
		at = 0
	}
	limit, err := strconv.Atoi(q.Get("limit"))
	if err != nil {
		limit = journal.MaxPage
	}
	to := min(at+limit, len(l.Entries))
	page.Entries = append(page.Entries, l.Entries[at:to]...)
	page.Cursor, page.More = l.cursor(to), to < len(l.Entries)
	return page, nil
}

func (l *Laptop) missing(body []byte) (any, *fault.Error) {
	var in struct {
		Photos  []string
		ReadNow bool `json:"read_now"`
	}
	if json.Unmarshal(body, &in) != nil || len(in.Photos) > 1000 || in.ReadNow && len(in.Photos) > 20 {
		return nil, fault.New(fault.BadInput, say.New("sync-phone-not-understood"))
	}
	missing, verified := []string{}, []string{}
	for _, sum := range in.Photos {
		if in.ReadNow {
			if l.Rotten[sum] {
				delete(l.Photos, sum)
			}
			l.Read[sum] = true
		}
		switch {
		case l.Photos[sum] == nil:
			missing = append(missing, sum)
		case l.Read[sum]:
			verified = append(verified, sum)
		}
	}
	return map[string]any{"v": journal.WireVersion, "missing": missing, "verified": verified}, nil
}

func (l *Laptop) wanted() journal.PhotosWanted {
	list := []journal.PhotoWanted{}
	for _, w := range l.Wanted {
		if l.Photos[w.Photo] == nil {
			list = append(list, w)
		}
	}
	return journal.PhotosWanted{V: journal.WireVersion, Photos: list}
}

func (l *Laptop) have(sum string) journal.PhotoProgress {
	if whole := l.Photos[sum]; whole != nil {
		return journal.PhotoProgress{V: journal.WireVersion, Have: int64(len(whole)), Complete: true, Verified: l.Read[sum]}
	}
	return journal.PhotoProgress{V: journal.WireVersion, Have: int64(len(l.Parts[sum]))}
}

func (l *Laptop) put(sum, span string, part []byte) *fault.Error {
	if l.Photos[sum] != nil {
		return nil
	}
	from, to, total, ok := readRange(span)
	had := l.Parts[sum]
	if !ok || to-from+1 != len(part) || to >= total {
		return fault.New(fault.BadInput, say.New("photo-range-wrong"))
	}
	if from <= len(had) && to+1 > len(had) {
		had = append(had, part[len(had)-from:]...)
		l.Parts[sum] = had
	}
	if len(had) < total {
		return nil
	}
	delete(l.Parts, sum)
	if SumOf(had) != sum {
		return fault.New(fault.PhotoTorn, say.New("photo-torn"))
	}
	l.Photos[sum] = had
	l.Read[sum] = !l.Slow
	return nil
}

// readRange reads “bytes FIRST-LAST/TOTAL” (RFC 9110, section 14.4).
func readRange(s string) (from, to, total int, ok bool) {
	span, size, _ := strings.Cut(strings.TrimPrefix(s, "bytes "), "/")
	first, last, _ := strings.Cut(span, "-")
	from, err1 := strconv.Atoi(first)
	to, err2 := strconv.Atoi(last)
	total, err3 := strconv.Atoi(size)
	return from, to, total, err1 == nil && err2 == nil && err3 == nil
}

// SumOf is the name of a photo.
func SumOf(b []byte) string {
	sum := sha256.Sum256(b)
	return hex.EncodeToString(sum[:])
}
