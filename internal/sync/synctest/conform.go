package synctest

import (
	"fmt"
	"strings"
	"testing"

	"panside/internal/fault"
	"panside/internal/journal"
	"panside/internal/json"
)

// Conform holds a laptop without entries to what a sync takes for granted, by
// the answers to requests that a phone sends. photo is one that it takes.
func Conform(t *testing.T, photo []byte, serve func(Request) (status int, body []byte)) {
	t.Helper()
	c := conform{t, serve}
	c.takesEntriesOnce()
	c.pages()
	c.knowsWhatItGaveOut()
	c.photos(photo)
}

type conform struct {
	t     *testing.T
	serve func(Request) (int, []byte)
}

// ask sends a request and reads its answer; a refusal's code is returned.
func (c conform) ask(method, path string, headers map[string]string, body []byte, into any) fault.Code {
	c.t.Helper()
	status, raw := c.serve(Request{method, "/api/v1" + path, headers, body})
	var refusal struct{ Error struct{ Code fault.Code } }
	switch {
	case status == 200:
		if err := json.Unmarshal(raw, into); err != nil {
			c.t.Fatalf("%s %s: %v in %s", method, path, err, raw)
		}
		return ""
	case json.Unmarshal(raw, &refusal) != nil || refusal.Error.Code == "":
		c.t.Fatalf("%s %s: %d %s", method, path, status, raw)
	}
	return refusal.Error.Code
}

func (c conform) push(receipt string, entries ...journal.Entry) (r journal.Receipt) {
	c.t.Helper()
	var raws []string
	for _, e := range entries {
		raws = append(raws, string(e.Wire()))
	}
	c.ask("POST", "/journal", nil, []byte(`{"v":1,"receipt":"`+receipt+`","entries":[`+strings.Join(raws, ",")+`]}`), &r)
	if r.V != journal.WireVersion || r.Stored+r.Known+len(r.Refused) != len(entries) {
		c.t.Errorf("of %d entries: %+v", len(entries), r)
	}
	return r
}

// chain makes the first entries of a writer.
func chain(writer journal.Writer, n int) (all []journal.Entry) {
	for i := range n {
		e := journal.Entry{
			ID: journal.ID{Writer: writer, Seq: uint64(i + 1)}, Record: "01977420-dc00-7073-b679-7c7f8285888b",
			Kind: journal.KindFind, Field: "note", Value: json.RawMessage(fmt.Sprintf(`"%s %d"`, writer, i)),
		}
		e.Stamp.Millis = 1_750_000_000_000
		if i > 0 {
			e.Prev = all[i-1].Hash()
		}
		all = append(all, e)
	}
	return all
}

func (c conform) takesEntriesOnce() {
	c.t.Helper()
	a := chain("a", 4)
	if r := c.push("", a[0], a[1]); r.Stored != 2 || r.Cursor == "" || r.Restart {
		c.t.Errorf("two new entries: %+v", r)
	}
	if r := c.push("", a[1], a[2]); r.Stored != 1 || r.Known != 1 {
		c.t.Errorf("one known, one new: %+v", r)
	}
	// Others under a name that is there, one whose predecessor isn't, and one
	// that replaces what isn't.
	other := chain("a", 2)[1]
	other.Value = json.RawMessage(`"other"`)
	early := chain("b", 2)[1]
	stray := chain("c", 1)[0]
	stray.Replaces = []journal.ID{{Writer: "nobody", Seq: 3}}
	r := c.push("", other, early, stray, a[3])
	want := []fault.Code{fault.Forked, fault.Gap, fault.Gap}
	for i, code := range want {
		if len(r.Refused) != len(want) || r.Refused[i].Index != i || r.Refused[i].Code != code || r.Refused[i].Sentence == "" {
			c.t.Errorf("refused %+v, want %v", r.Refused, want)
			break
		}
	}
	if r.Stored != 1 {
		c.t.Errorf("the one behind those refused: %+v", r)
	}
	for _, body := range []string{`{"v":1,"entries":[`, `{"v":2,"entries":[]}`} {
		if code := c.ask("POST", "/journal", nil, []byte(body), &r); code == "" {
			c.t.Errorf("%s is taken", body)
		}
	}
}

func (c conform) pull(after, receipt string, limit int) (p journal.Page) {
	c.t.Helper()
	c.ask("GET", fmt.Sprintf("/journal?after=%s&receipt=%s&v=1&limit=%d", after, receipt, limit), nil, nil, &p)
	return p
}

func (c conform) pages() {
	c.t.Helper()
	first := c.pull("", "", 3)
	second := c.pull(first.Cursor, first.Cursor, 3)
	if len(first.Entries) != 3 || !first.More || len(second.Entries) != 1 || second.More || first.Restart || second.Restart {
		c.t.Errorf("pages %+v and %+v", first, second)
	}
	if string(second.Entries[0]) != string(chain("a", 4)[3].Wire()) {
		c.t.Errorf("an entry came as %s", second.Entries[0])
	}
	if end := c.pull(second.Cursor, second.Cursor, 3); len(end.Entries) != 0 || end.More || end.Cursor != second.Cursor {
		c.t.Errorf("behind the end: %+v", end)
	}
}

func (c conform) knowsWhatItGaveOut() {
	c.t.Helper()
	all := c.pull("", "", 100)
	for _, strange := range []string{"1.0000000000000000", "999.aaaaaaaaaaaaaaaa", "rubbish"} {
		if p := c.pull(strange, "", 2); !p.Restart || len(p.Entries) != 2 {
			c.t.Errorf("after %s: %+v", strange, p)
		}
		if p := c.pull(all.Cursor, strange, 100); !p.Restart || len(p.Entries) != len(all.Entries) {
			c.t.Errorf("with the receipt %s: %+v", strange, p)
		}
		if r := c.push(strange); !r.Restart || r.Cursor != all.Cursor {
			c.t.Errorf("pushed with %s: %+v", strange, r)
		}
	}
}

func (c conform) photos(photo []byte) {
	c.t.Helper()
	sum, half := SumOf(photo), len(photo)/2
	put := func(from, to int, of []byte) (at journal.PhotoProgress, code fault.Code) {
		c.t.Helper()
		headers := map[string]string{"Content-Type": "image/jpeg", "Content-Range": fmt.Sprintf("bytes %d-%d/%d", from, to-1, len(of))}
		code = c.ask("PUT", "/photos/"+sum, headers, of[from:to], &at)
		return at, code
	}
	var at journal.PhotoProgress
	if c.ask("GET", "/photos/"+sum+"/progress", nil, nil, &at); at.Have != 0 || at.Complete {
		c.t.Errorf("before anything: %+v", at)
	}
	if at, _ := put(0, half, photo); at.Have != int64(half) || at.Complete {
		c.t.Errorf("after a half: %+v", at)
	}
	if at, _ := put(0, half, photo); at.Have != int64(half) {
		c.t.Errorf("after the same half: %+v", at)
	}
	// Bytes that aren't the photo's are found at its end, and it begins anew.
	other := append([]byte{}, photo...)
	other[len(other)-1] ^= 1
	if _, code := put(half, len(photo), other); code != fault.PhotoTorn {
		c.t.Errorf("with other bytes: %q", code)
	}
	if c.ask("GET", "/photos/"+sum+"/progress", nil, nil, &at); at.Have != 0 {
		c.t.Errorf("after it was torn: %+v", at)
	}
	if at, code := put(0, len(photo), photo); code != "" || !at.Complete {
		c.t.Errorf("whole: %+v %q", at, code)
	}
	if at, _ := put(half, len(photo), photo); !at.Complete {
		c.t.Errorf("once more: %+v", at)
	}
	absent := strings.Repeat("0", 64)
	var s struct{ Missing, Verified []string }
	c.ask("POST", "/photos/missing", nil, []byte(fmt.Sprintf(`{"photos":[%q,%q],"read_now":true}`, sum, absent)), &s)
	if fmt.Sprint(s.Missing, s.Verified) != fmt.Sprint([]string{absent}, []string{sum}) {
		c.t.Errorf("missing %v, read back %v", s.Missing, s.Verified)
	}
	many, err := json.Marshal(map[string]any{"photos": strings.Fields(strings.Repeat(absent+" ", 21)), "read_now": true})
	if err != nil {
		c.t.Fatal(err)
	}
	if code := c.ask("POST", "/photos/missing", nil, many, &s); code == "" {
		c.t.Error("more photos are read at once than a sync may ask for")
	}
	var w journal.PhotosWanted
	c.ask("GET", "/photos/wanted", nil, nil, &w)
	if w.V != journal.WireVersion || w.Photos == nil || len(w.Photos) != 0 {
		c.t.Errorf("wanted %+v", w)
	}
	c.ask("POST", "/photos/wanted", nil, []byte(fmt.Sprintf(`{"v":1,"not_held":[%q]}`, absent)), &w)
	if len(w.Photos) != 0 {
		c.t.Errorf("wanted %+v", w)
	}
}
