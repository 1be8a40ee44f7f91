package syncapi

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http/httptest"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/gofiber/fiber/v2"

	"panside/internal/device"
	"panside/internal/fault"
	"panside/internal/journal"
	"panside/internal/say"
	"panside/server/openapitest"
)

// laptop is entries and photos in memory; the real ones are behind the whole
// server's tests.
type laptop struct {
	device   string
	batch    []json.RawMessage
	receipt  journal.Receipt
	page     journal.Page
	cursor   string
	limit    int
	fail     error
	put      []int64 // offset and total of the last part
	chunk    []byte
	grown    []string
	progress journal.PhotoProgress
	wanted   journal.PhotosWanted
	notHeld  []string
	readNow  bool
	left     atomic.Int32 // photos that are open
}

func (l *laptop) AddEntries(_ context.Context, device string, _ time.Time, batch journal.Batch) (journal.Receipt, error) {
	l.device, l.batch = device, batch.Entries
	return l.receipt, l.fail
}

func (l *laptop) EntriesAfter(_ context.Context, cursor, receipt string, limit int) (journal.Page, error) {
	l.cursor, l.limit = cursor+receipt, limit
	return l.page, l.fail
}

func (l *laptop) Have(string) (journal.PhotoProgress, error) { return l.progress, l.fail }

func (l *laptop) Put(_ string, offset, total int64, chunk []byte) (journal.PhotoProgress, error) {
	l.put, l.chunk = []int64{offset, total}, bytes.Clone(chunk)
	return l.progress, l.fail
}

func (l *laptop) Missing(sums []string, readNow bool) (missing, verified []string, err error) {
	l.readNow = readNow
	return sums[:1], sums[1:], l.fail
}

// open is a photo that reports whether it was closed.
type open struct {
	io.ReadSeeker
	left *atomic.Int32
}

func (o open) Close() error { o.left.Add(-1); return nil }

func (l *laptop) Read(string) (io.ReadSeekCloser, string, error) {
	if l.fail != nil {
		return nil, "", l.fail
	}
	l.left.Add(1)
	return open{strings.NewReader("picture"), &l.left}, "image/png", nil
}

func (l *laptop) Wanted(_ context.Context, device string) (journal.PhotosWanted, error) {
	l.device = device
	return l.wanted, l.fail
}

func (l *laptop) NotHeld(device string, sums []string) { l.notHeld = append(sums, device) }

// app serves the routes as package httpapi does, for a phone named D.
func (l *laptop) app() *fiber.App {
	api := New(Options{Entries: l, Photos: l, Care: l, Now: time.Now, Grown: func(c string) { l.grown = append(l.grown, c) }})
	return openapitest.Serve(api.Routes(), device.Device{ID: "D"})
}

type answered struct {
	status int
	body   []byte
	header map[string][]string
}

func (l *laptop) do(t *testing.T, method, url, body string, header ...string) answered {
	t.Helper()
	r := httptest.NewRequest(method, url, strings.NewReader(body))
	for i := 0; i+1 < len(header); i += 2 {
		r.Header.Set(header[i], header[i+1])
	}
	resp, err := l.app().Test(r, -1)
	if err != nil {
		t.Fatal(err)
	}
	defer resp.Body.Close()
	raw, err := io.ReadAll(resp.Body)
	if err != nil {
		t.Fatal(err)
	}
	return answered{resp.StatusCode, raw, resp.Header}
}

func (a answered) code() fault.Code {
	var e struct{ Error struct{ Code fault.Code } }
	_ = json.Unmarshal(a.body, &e) // no error then
	return e.Error.Code
}

const entry = `{"id":"a.1","at":"5.0","record":"0190a000-0000-7000-8000-000000000001","kind":"find","field":"note","value":"\u003cx"}`

func TestEveryRouteIsDescribed(t *testing.T) {
	if problem := openapitest.Read(Description).Served(New(Options{}).Routes()); problem != "" {
		t.Error(problem)
	}
}

func TestAnswersAreAsDescribed(t *testing.T) {
	doc := openapitest.Read(Description)
	l := &laptop{
		receipt:  journal.Receipt{V: 1, Stored: 1, Refused: []journal.Refusal{{Index: 1, ID: "a.2", Code: fault.Forked, Why: say.New("x")}, {Index: 2, Code: fault.BadInput, Why: say.New("x")}}, Cursor: "1.00"},
		page:     journal.Page{V: 1, Entries: []json.RawMessage{json.RawMessage(entry), json.RawMessage(strings.Replace(entry, `}`, `,"replaces":["b.1"],"prev":"`+strings.Repeat("0", 64)+`"}`, 1))}, Cursor: "1.00", More: true},
		progress: journal.PhotoProgress{V: 1, Have: 7},
		wanted: journal.PhotosWanted{V: 1, Photos: []journal.PhotoWanted{
			{Photo: "x", Why: journal.PhotoAbsent, Record: "r", WaitingFor: []string{"Ann's phone"}},
			{Photo: "y", Why: journal.PhotoDamaged, Told: true, WaitingFor: []string{}},
			{Photo: "z", Why: journal.PhotoGone, WaitingFor: []string{}},
		}},
	}
	for _, tc := range []struct{ method, path, url, body string }{
		{"POST", "/api/v1/journal", "/api/v1/journal", `{"v":1,"entries":[` + entry + `]}`},
		{"GET", "/api/v1/journal", "/api/v1/journal?after=x&limit=10", ""},
		{"POST", "/api/v1/photos/missing", "/api/v1/photos/missing", `{"photos":["x","y"]}`},
		{"GET", "/api/v1/photos/wanted", "/api/v1/photos/wanted", ""},
		{"POST", "/api/v1/photos/wanted", "/api/v1/photos/wanted", `{"v":1,"not_held":["x"]}`},
		{"GET", "/api/v1/photos/{sha256}/progress", "/api/v1/photos/x/progress", ""},
		{"PUT", "/api/v1/photos/{sha256}", "/api/v1/photos/x", "picture"},
	} {
		a := l.do(t, tc.method, tc.url, tc.body)
		if problem := doc.Answer(tc.method, tc.path, a.status, a.body); problem != "" {
			t.Errorf("%s %s: %s\n%s", tc.method, tc.url, problem, a.body)
		}
	}
	l.page = journal.Page{V: 1, Entries: []json.RawMessage{}, Restart: true}
	a := l.do(t, "GET", "/api/v1/journal", "")
	if problem := doc.Answer("GET", "/api/v1/journal", a.status, a.body); problem != "" {
		t.Errorf("an empty page: %s\n%s", problem, a.body)
	}
}

// TestAPageIsEncodedAsByTheLibrary, byte by byte.
func TestAPageIsEncodedAsByTheLibrary(t *testing.T) {
	for _, p := range []journal.Page{
		{V: 1, Entries: []json.RawMessage{}},
		{V: 1, Entries: []json.RawMessage{json.RawMessage(entry)}, Cursor: "1.0a", Restart: true},
		{V: 1, Entries: []json.RawMessage{json.RawMessage(entry), json.RawMessage(entry)}, Cursor: "22.ff", More: true},
	} {
		want, err := json.Marshal(p)
		if err != nil {
			t.Fatal(err)
		}
		if got := encodePage(p); !bytes.Equal(got, want) {
			t.Errorf("%s\nwant %s", got, want)
		}
	}
}

func TestPush(t *testing.T) {
	l := &laptop{receipt: journal.Receipt{V: 1, Stored: 1, Cursor: "7.aa"}}
	a := l.do(t, "POST", "/api/v1/journal", `{"v":1,"entries":[`+entry+`]}`)
	if a.status != 200 || l.device != "D" || len(l.batch) != 1 || string(l.batch[0]) != entry {
		t.Errorf("%d %s: batch %s by %s", a.status, a.body, l.batch, l.device)
	}
	if !slices.Equal(l.grown, []string{"7.aa"}) {
		t.Errorf("told of %q", l.grown)
	}
	l.receipt = journal.Receipt{V: 1, Known: 1, Cursor: "7.aa"}
	l.do(t, "POST", "/api/v1/journal", `{"v":1,"entries":[`+entry+`]}`)
	if len(l.grown) != 1 {
		t.Error("told of nothing new")
	}
	l.batch = nil
	for body, want := range map[string]fault.Code{
		`{"v":2,"entries":[]}`: fault.WireVersion,
		`{"entries":[]}`:       fault.WireVersion,
		`{"v":1,"entries":[`:   fault.BadInput,
		`{"v":1,"entries":[` + strings.Repeat("1,", journal.MaxBatch) + `1]}`: fault.BadInput,
	} {
		if a := l.do(t, "POST", "/api/v1/journal", body); a.code() != want || l.batch != nil {
			t.Errorf("%.40s: %d %s", body, a.status, a.body)
		}
	}
	l.fail = fault.New(fault.DataFolder, say.New("The disk is full."))
	if a := l.do(t, "POST", "/api/v1/journal", `{"v":1,"entries":[]}`); a.code() != fault.DataFolder {
		t.Errorf("%d %s", a.status, a.body)
	}
}

// TestAnotherVersionSaysWhatToDo: an old phone at a new laptop and a new one at
// an old laptop each hear what helps, and that nothing is lost.
func TestAnotherVersionSaysWhatToDo(t *testing.T) {
	for v, want := range map[int]string{
		journal.WireVersion - 1: "close the app and open it again",
		journal.WireVersion + 1: "update the program on the laptop",
	} {
		l := &laptop{}
		for _, a := range []answered{
			l.do(t, "POST", "/api/v1/journal", fmt.Sprintf(`{"v":%d,"entries":[]}`, v)),
			l.do(t, "GET", fmt.Sprintf("/api/v1/journal?v=%d", v), ""),
		} {
			var e struct{ Error struct{ Sentence string } }
			if err := json.Unmarshal(a.body, &e); err != nil || !strings.Contains(e.Error.Sentence, want) || !strings.Contains(e.Error.Sentence, "Nothing is lost") {
				t.Errorf("version %d: %s, want “%s”", v, a.body, want)
			}
		}
	}
}

func TestPull(t *testing.T) {
	l := &laptop{page: journal.Page{V: 1}}
	for query, want := range map[string]struct {
		cursor string
		limit  int
		code   fault.Code
	}{
		"":                       {"", journal.MaxPage, ""},
		"?after=12.0a&limit=7":   {"12.0a", 7, ""},
		"?after=12.0a&limit=1e9": {code: fault.BadInput},
		"?after=1&receipt=2":     {"12", journal.MaxPage, ""},
		"?limit=0":               {code: fault.BadInput},
		"?limit=99999999":        {"", journal.MaxPage, ""},
		"?v=1":                   {"", journal.MaxPage, ""},
		"?v=0":                   {code: fault.WireVersion},
		"?v=2":                   {code: fault.WireVersion},
		"?v=x":                   {code: fault.BadInput},
	} {
		l.cursor, l.limit = "", 0
		a := l.do(t, "GET", "/api/v1/journal"+query, "")
		if a.code() != want.code || l.cursor != want.cursor || l.limit != want.limit {
			t.Errorf("%q: %d %s, cursor %q, limit %d", query, a.status, a.body, l.cursor, l.limit)
		}
	}
}

func TestPhotoParts(t *testing.T) {
	l := &laptop{progress: journal.PhotoProgress{V: 1, Have: 7}}
	for header, want := range map[string][]int64{
		"":                                    {0, 7},
		"bytes 0-6/7":                         {0, 7},
		"bytes 10-16/100":                     {10, 100},
		"bytes 10-17/100":                     nil,
		"bytes 10-5/100":                      nil,
		"bytes 10-16/*":                       nil,
		"bytes */100":                         nil,
		"10-16/100":                           nil,
		"bytes -1-5/100":                      nil,
		"bytes 0-9223372036854775807/1":       nil,
		"bytes 99999999999999999999-1/1":      nil,
		"bytes 4611686018427387897-6/1234567": nil,
	} {
		l.put = nil
		var a answered
		if header == "" {
			a = l.do(t, "PUT", "/api/v1/photos/x", "picture")
		} else {
			a = l.do(t, "PUT", "/api/v1/photos/x", "picture", "Content-Range", header)
		}
		if !slices.Equal(l.put, want) || (want == nil) != (a.code() == fault.BadInput) {
			t.Errorf("%q: %v, want %v; %d %s", header, l.put, want, a.status, a.body)
		}
	}
	if string(l.chunk) != "picture" {
		t.Errorf("bytes %q", l.chunk)
	}
}

func TestAPhotoIsSentOnce(t *testing.T) {
	l := &laptop{}
	a := l.do(t, "GET", "/api/v1/photos/abc", "")
	if a.status != 200 || string(a.body) != "picture" || a.header["Content-Type"][0] != "image/png" || a.header["Etag"][0] != `"abc"` || !strings.Contains(a.header["Cache-Control"][0], "immutable") || a.header["Accept-Ranges"][0] != "bytes" {
		t.Errorf("%d %q %v", a.status, a.body, a.header)
	}
	if a := l.do(t, "GET", "/api/v1/photos/abc", "", "If-None-Match", `"abc"`); a.status != 304 || len(a.body) != 0 {
		t.Errorf("again: %d %q", a.status, a.body)
	}
	l.fail = fault.New(fault.NotFound, say.New("not here"))
	for _, method := range []string{"GET", "HEAD"} {
		if a := l.do(t, method, "/api/v1/photos/abc", ""); a.status != openapitest.Refused || method == "GET" && a.code() != fault.NotFound {
			t.Errorf("%s %d %s", method, a.status, a.body)
		}
	}
}

// TestPartsOfAPhoto asks as RFC 9110, sections 13 and 14, lets a client ask.
func TestPartsOfAPhoto(t *testing.T) {
	l := &laptop{}
	for _, tc := range []struct {
		header []string
		status int
		body   string
		part   string
	}{
		{[]string{"Range", "bytes=0-2"}, 206, "pic", "bytes 0-2/7"},
		{[]string{"Range", "bytes=3-"}, 206, "ture", "bytes 3-6/7"},
		{[]string{"Range", "bytes=-2"}, 206, "re", "bytes 5-6/7"},
		{[]string{"Range", "bytes=5-900"}, 206, "re", "bytes 5-6/7"},
		{[]string{"Range", "bytes=7-"}, 416, "", "bytes */7"},
		{[]string{"Range", "bytes=4-2"}, 416, "", ""},
		{[]string{"Range", "lines=1-2"}, 416, "", ""},
		{[]string{"Range", "bytes=3-", "If-Range", `"abc"`}, 206, "ture", "bytes 3-6/7"},
		{[]string{"Range", "bytes=3-", "If-Range", `"abd"`}, 200, "picture", ""},
		{[]string{"Range", "bytes=3-", "If-Range", `W/"abc"`}, 200, "picture", ""}, // weak ones don't do
		{[]string{"Range", "bytes=0-2", "If-None-Match", `"x", "abc"`}, 304, "", ""},
		{[]string{"If-Match", `"abd"`}, 412, "", ""},
	} {
		for _, method := range []string{"GET", "HEAD"} {
			a := l.do(t, method, "/api/v1/photos/abc", "", tc.header...)
			want := tc.body
			if method == "HEAD" {
				want = ""
			}
			if a.status != tc.status || tc.status < 300 && string(a.body) != want {
				t.Errorf("%s %q: %d %q", method, tc.header, a.status, a.body)
			}
			if got := a.header["Content-Range"]; tc.part != "" && !slices.Equal(got, []string{tc.part}) {
				t.Errorf("%s %q: Content-Range %q", method, tc.header, got)
			}
			if got := a.header["Content-Length"]; tc.status < 300 && !slices.Equal(got, []string{fmt.Sprint(len(tc.body))}) {
				t.Errorf("%s %q: Content-Length %q", method, tc.header, got)
			}
		}
	}
	a := l.do(t, "GET", "/api/v1/photos/abc", "", "Range", "bytes=0-0,2-3")
	if a.status != 206 || !strings.HasPrefix(a.header["Content-Type"][0], "multipart/byteranges; boundary=") || !strings.Contains(string(a.body), "Content-Range: bytes 2-3/7\r\nContent-Type: image/png\r\n\r\nct\r\n") {
		t.Errorf("two parts: %d %v %q", a.status, a.header, a.body)
	}
	for deadline := time.Now().Add(10 * time.Second); l.left.Load() != 0; time.Sleep(time.Millisecond) {
		if time.Now().After(deadline) {
			t.Fatalf("%d photos stay open", l.left.Load())
		}
	}
}

func TestWhatADeviceDoesntHave(t *testing.T) {
	l := &laptop{wanted: journal.PhotosWanted{V: 1, Photos: []journal.PhotoWanted{}}}
	if a := l.do(t, "POST", "/api/v1/photos/wanted", `{"v":1,"not_held":["x","y"]}`); a.status != 200 || string(a.body) != `{"v":1,"photos":[]}` || !slices.Equal(l.notHeld, []string{"x", "y", "D"}) {
		t.Errorf("%d %s; %q", a.status, a.body, l.notHeld)
	}
	l.notHeld = nil
	for body, want := range map[string]fault.Code{
		`{`:               fault.BadInput,
		`{"not_held":[]}`: fault.WireVersion,
		`{"v":2}`:         fault.WireVersion,
		`{"v":1,"not_held":["` + strings.Repeat(`x","`, maxAsked) + `x"]}`: fault.BadInput,
	} {
		if a := l.do(t, "POST", "/api/v1/photos/wanted", body); a.code() != want || l.notHeld != nil {
			t.Errorf("%.40s: %d %s", body, a.status, a.body)
		}
	}
}

func TestTooManyQuestions(t *testing.T) {
	l := &laptop{}
	body := `{"photos":["` + strings.Repeat(`x","`, maxAsked) + `x"]}`
	if a := l.do(t, "POST", "/api/v1/photos/missing", body); a.code() != fault.BadInput {
		t.Errorf("%d %s", a.status, a.body)
	}
	body = `{"read_now":true,"photos":["` + strings.Repeat(`x","`, maxRead) + `x"]}`
	if a := l.do(t, "POST", "/api/v1/photos/missing", body); a.code() != fault.BadInput || l.readNow {
		t.Errorf("%d %s", a.status, a.body)
	}
	if l.do(t, "POST", "/api/v1/photos/missing", `{"read_now":true,"photos":["x"]}`); !l.readNow {
		t.Error("not read")
	}
	if a := l.do(t, "POST", "/api/v1/photos/missing", `{`); a.code() != fault.BadInput {
		t.Errorf("%d %s", a.status, a.body)
	}
	l.fail = errors.New("no disk")
	if a := l.do(t, "POST", "/api/v1/photos/missing", `{"photos":["x"]}`); a.code() != fault.Internal {
		t.Errorf("%d %s", a.status, a.body)
	}
}
