package e2e

import (
	"bytes"
	"crypto/rand"
	"crypto/sha256"
	"crypto/tls"
	"crypto/x509"
	"encoding/base64"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/gorilla/websocket"

	"panside/server/openapitest"
)

// outsider is a client that knows nothing but the address it was shown and the
// document it reads there. It imports none of the app's and the core's code, looks
// every path, schema and limit up in the document, and holds what it asks and what
// it is answered to that.
type outsider struct {
	t      *testing.T
	base   string
	client *http.Client
	tls    *tls.Config
	doc    openapitest.Document
	token  string

	writer, prev string // of its entries
	seq          int
	last         int64 // at of its newest entry
	cursor       string
}

// newOutsider goes the document's way “from the code to trust” and joins.
func newOutsider(t *testing.T, link string) *outsider {
	t.Helper()
	base, fragment, ok := strings.Cut(link, "/#")
	code, err := url.ParseQuery(fragment)
	if !ok || err != nil {
		t.Fatalf("no code in %s", link)
	}
	der := fetch(t, http.DefaultClient, "http://"+strings.TrimPrefix(base, "https://")+"/panside-authority.crt")
	authority, err := x509.ParseCertificate(der)
	if err != nil {
		t.Fatal(err)
	}
	sum := sha256.Sum256(authority.RawSubjectPublicKeyInfo)
	if got := base64.RawURLEncoding.EncodeToString(sum[:]); got != code.Get("key") {
		t.Fatalf("the authority's key is %s, the code's %s", got, code.Get("key"))
	}
	roots := x509.NewCertPool()
	roots.AddCert(authority)
	o := &outsider{t: t, base: base, tls: &tls.Config{RootCAs: roots}}
	transport := &http.Transport{TLSClientConfig: o.tls}
	t.Cleanup(transport.CloseIdleConnections)
	o.client = &http.Client{Transport: transport, Timeout: patience}
	o.doc = openapitest.Read(fetch(t, o.client, base+"/api/v1/openapi.json"))

	var joined struct {
		Token  string
		Device struct{ Role string }
		Server struct{ Fingerprint string }
	}
	o.ask("post", "/api/v1/join", nil, map[string]string{"secret": code.Get("join"), "name": "An outsider"}, &joined)
	if joined.Device.Role != "phone" || joined.Server.Fingerprint != code.Get("key") {
		t.Fatalf("joined as %+v", joined)
	}
	o.token = joined.Token
	id := make([]byte, 8)
	rand.Read(id)
	o.writer = "outsider-" + hex.EncodeToString(id)
	return o
}

func fetch(t *testing.T, client *http.Client, address string) []byte {
	t.Helper()
	resp, err := client.Get(address)
	if err != nil {
		t.Fatal(err)
	}
	defer resp.Body.Close()
	raw, err := io.ReadAll(resp.Body)
	if err != nil || resp.StatusCode != http.StatusOK {
		t.Fatalf("%s: %s %v", address, resp.Status, err)
	}
	return raw
}

// send makes a request of a described path and gives the answer of a described
// status.
func (o *outsider) send(method, path string, fill map[string]string, body []byte, header http.Header) (status int, answer []byte) {
	o.t.Helper()
	if o.doc.At("paths", path, method) == nil {
		o.t.Fatalf("%s %s is not in the document", method, path)
	}
	address := path
	for name, v := range fill {
		address = strings.ReplaceAll(address, "{"+name+"}", v)
	}
	if query := fill["?"]; query != "" {
		address += "?" + query
	}
	r, err := http.NewRequest(strings.ToUpper(method), o.base+address, bytes.NewReader(body))
	if err != nil {
		o.t.Fatal(err)
	}
	for name := range header {
		r.Header.Set(name, header.Get(name))
	}
	if o.token != "" {
		r.Header.Set("Authorization", "Bearer "+o.token)
	}
	resp, err := o.client.Do(r)
	if err != nil {
		o.t.Fatal(err)
	}
	defer resp.Body.Close()
	if answer, err = io.ReadAll(resp.Body); err != nil {
		o.t.Fatal(err)
	}
	if o.doc.At("paths", path, method, "responses", fmt.Sprint(resp.StatusCode)) == nil {
		o.t.Fatalf("%s %s answers %d, which is not in the document: %s", method, path, resp.StatusCode, answer)
	}
	return resp.StatusCode, answer
}

// ask sends JSON and reads JSON, both as described.
func (o *outsider) ask(method, path string, fill map[string]string, in, out any) {
	o.t.Helper()
	var body []byte
	if in != nil {
		var err error
		if body, err = json.Marshal(in); err != nil {
			o.t.Fatal(err)
		}
		if problem := o.doc.Question(method, path, body); problem != "" {
			o.t.Fatalf("%s %s: the question: %s", method, path, problem)
		}
	}
	status, answer := o.send(method, path, fill, body, http.Header{"Content-Type": {"application/json"}})
	if problem := o.doc.Answer(method, path, status, answer); problem != "" {
		o.t.Fatalf("%s %s: the answer: %s", method, path, problem)
	}
	if status != http.StatusOK {
		o.t.Fatalf("%s %s: %d %s", method, path, status, answer)
	}
	if err := json.Unmarshal(answer, out); err != nil {
		o.t.Fatal(err)
	}
}

// entry writes one, as the document's Entry wants its bytes.
func (o *outsider) entry(record, field string, value any) json.RawMessage {
	o.t.Helper()
	raw, err := json.Marshal(value) // compact, and with the escapes that are wanted
	if err != nil {
		o.t.Fatal(err)
	}
	whole, err := json.Marshal(map[string]any{field: value})
	if err != nil {
		o.t.Fatal(err)
	}
	if problem := o.doc.Schema("FindFields", whole); problem != "" {
		o.t.Fatalf("%s: %s", field, problem)
	}
	o.seq++
	o.last = max(o.last, time.Now().UnixMilli())
	line := fmt.Sprintf(`{"id":"%s.%d","at":"%d.%d","record":"%s","kind":"find","field":"%s","value":%s`, o.writer, o.seq, o.last, o.seq, record, field, raw)
	if o.prev != "" {
		line += `,"prev":"` + o.prev + `"`
	}
	line += "}"
	if problem := o.doc.Schema("Entry", []byte(line)); problem != "" {
		o.t.Fatalf("%s: %s", line, problem)
	}
	o.prev = shaOf([]byte(line))
	return json.RawMessage(line)
}

func shaOf(b []byte) string {
	sum := sha256.Sum256(b)
	return hex.EncodeToString(sum[:])
}

// newRecord is a UUID of version 7 (RFC 9562, 5.7).
func newRecord() string {
	b := make([]byte, 16)
	rand.Read(b)
	now := time.Now().UnixMilli()
	for i := range 6 {
		b[i] = byte(now >> (40 - 8*i))
	}
	b[6], b[8] = b[6]&0x0f|0x70, b[8]&0x3f|0x80
	return fmt.Sprintf("%x-%x-%x-%x-%x", b[:4], b[4:6], b[6:8], b[8:10], b[10:])
}

// push sends entries and wants all of them taken.
func (o *outsider) push(entries ...json.RawMessage) {
	o.t.Helper()
	var receipt struct {
		Stored  int
		Refused []json.RawMessage
	}
	o.ask("post", "/api/v1/journal", nil, map[string]any{"v": 1, "entries": entries}, &receipt)
	if receipt.Stored != len(entries) || len(receipt.Refused) != 0 {
		o.t.Fatalf("stored %d of %d, refused %s", receipt.Stored, len(entries), receipt.Refused)
	}
}

// upload sends a photo in parts that one body may have.
func (o *outsider) upload(photo []byte) {
	o.t.Helper()
	const path = "/api/v1/photos/{sha256}"
	sum := shaOf(photo)
	part := min(int(o.doc.Limits()["body_bytes"]), 9_000) // several
	var progress struct {
		Have     int
		Complete bool
	}
	for !progress.Complete {
		end := min(progress.Have+part, len(photo))
		status, answer := o.send("put", path, map[string]string{"sha256": sum}, photo[progress.Have:end], http.Header{
			"Content-Type":  {"application/octet-stream"},
			"Content-Range": {fmt.Sprintf("bytes %d-%d/%d", progress.Have, end-1, len(photo))},
		})
		if problem := o.doc.Answer("put", path, status, answer); problem != "" || status != http.StatusOK {
			o.t.Fatalf("the photo: %d %s %s", status, answer, problem)
		}
		if err := json.Unmarshal(answer, &progress); err != nil {
			o.t.Fatal(err)
		}
	}
}

// change is what the outsider needs of an entry to tell what a field shows.
type change struct {
	ID, At, Record, Kind, Field string
	Value                       json.RawMessage
	Replaces                    []string
}

// pull fetches what is new.
func (o *outsider) pull() (entries []change) {
	o.t.Helper()
	for more := true; more; {
		var page struct {
			Entries []change
			Cursor  string
			More    bool
		}
		o.ask("get", "/api/v1/journal", map[string]string{"?": "limit=7&after=" + url.QueryEscape(o.cursor)}, nil, &page)
		entries = append(entries, page.Entries...)
		o.cursor, more = page.Cursor, page.More
	}
	return entries
}

// shown is what each field of a record shows, by the document's rule.
func shown(entries []change, record string) map[string]json.RawMessage {
	replaced, newest := map[string]bool{}, map[string]change{}
	for _, e := range entries {
		for _, r := range e.Replaces {
			replaced[r] = true
		}
	}
	for _, e := range entries {
		if e.Record == record && !replaced[e.ID] && (newest[e.Field].ID == "" || stamp(newest[e.Field].At) < stamp(e.At)) {
			newest[e.Field] = e
		}
	}
	fields := map[string]json.RawMessage{}
	for name, e := range newest {
		if string(e.Value) != "null" {
			fields[name] = e.Value
		}
	}
	return fields
}

// stamp makes an at that sorts as text.
func stamp(at string) string {
	millis, count, _ := strings.Cut(at, ".")
	return fmt.Sprintf("%020s.%020s", millis, count)
}

// await reads the live stream, as described, and looks at each message whether
// something is there; at least one comes a second.
func (o *outsider) await(what string, found func() bool) {
	o.t.Helper()
	dialer := websocket.Dialer{TLSClientConfig: o.tls}
	live, _, err := dialer.Dial("wss"+strings.TrimPrefix(o.base, "https")+"/api/v1/live", nil)
	if err != nil {
		o.t.Fatal(err)
	}
	defer live.Close()
	hello, err := json.Marshal(map[string]string{"type": "hello", "token": o.token})
	if err != nil {
		o.t.Fatal(err)
	}
	if problem := o.doc.Schema("Hello", hello); problem != "" {
		o.t.Fatal(problem)
	}
	if err := live.WriteMessage(websocket.TextMessage, hello); err != nil {
		o.t.Fatal(err)
	}
	if err := live.SetReadDeadline(time.Now().Add(patience)); err != nil {
		o.t.Fatal(err)
	}
	for {
		_, raw, err := live.ReadMessage()
		if err != nil {
			o.t.Fatalf("waiting for %s: %v", what, err)
		}
		if problem := o.doc.Check(raw, "paths", "/api/v1/live", "get", "responses", "101", "content", "application/json", "schema"); problem != "" {
			o.t.Fatalf("a message of the live stream: %s: %s", raw, problem)
		}
		if found() {
			return
		}
	}
}

// TestAClientFromTheDocumentAlone checks the laptop's key, joins, makes a find
// with a photo that the app shows, and reads one that the app made.
func TestAClientFromTheDocumentAlone(t *testing.T) {
	t.Parallel()
	_, s, phone := atTheTable(t, phoneScreen)
	o := newOutsider(t, s.offer())

	// What the judge says of the weight goes into the find.
	var verdict struct {
		OK struct{ Call, Headline string } `json:"ok"`
	}
	o.ask("post", "/api/v1/core/judge", nil, map[string]any{"country": "US", "denomination": "cent", "year": 1944, "mint": "D", "value": "2.70"}, &verdict)
	photo := picture(t, 5)
	record, sum := newRecord(), shaOf(photo)
	const note = `a dull one & "light" <2.70 g> — ça va?` + "\u2028" + `Next to the rim`
	o.upload(photo)
	o.push(
		o.entry(record, "coin", map[string]any{"country": "US", "denomination": "cent", "year": 1944, "mint": "D"}),
		o.entry(record, "weight", map[string]any{"value": "2.70", "unit": "g", "mean_g": 2.7, "u_g": 0.006, "resolution_g": 0.01, "status": "stable"}),
		o.entry(record, "found", time.Now().UnixMilli()),
		o.entry(record, "verdict", map[string]string{"call": verdict.OK.Call, "headline": verdict.OK.Headline}),
		o.entry(record, "certainty", "likely"),
		o.entry(record, "lies", map[string]string{"in": "flip", "label": "A-17"}),
		o.entry(record, "note", note),
		o.entry(record, "photo/"+sum, map[string]any{"sha256": sum, "type": "image/jpeg", "bytes": len(photo), "width": 320, "height": 240, "side": "obverse"}),
	)
	phone.goTo("finds")
	phone.until("the outsider's find", `document.querySelector('[data-find]')`)
	phone.tap(`[data-find]`)
	phone.until("its coin and weight", `(w => w.includes("1944") && w.includes("2.70"))(document.querySelector('[data-part="find"]').innerText)`)
	phone.until("what was claimed", fmt.Sprintf(`document.querySelector('[data-part="find"]').innerText.replaceAll("\u00a0", " ").includes(%s)`, quoted(verdict.OK.Headline)))
	phone.edit()
	phone.until("its note", fmt.Sprintf(`document.querySelector('textarea[name="note"]').value === %s`, quoted(note)))
	phone.until("where it lies", `document.querySelector('[name="lies-label"]').value === "A-17"`)
	phone.until("its photo", fmt.Sprintf(`document.querySelector('[data-photo-link="%s"] img')?.naturalWidth > 0`, sum))
	phone.until("no conflict", `!document.querySelector('[data-part="conflict"]')`)
	phone.shoot("outsider")

	// Now the app makes one.
	phone.goTo("weigh")
	phone.until("the core on the phone", `document.documentElement.dataset.core === "phone"`)
	phone.tap(`button[data-denomination="cent"]`)
	phone.typeFind("3.11")
	phone.details()
	phone.addPhoto(9)
	phone.edit()
	phone.write("note", "from the blue jar")

	var entries []change
	var find map[string]json.RawMessage
	o.await("the app's find with its note and photo", func() bool {
		entries = append(entries, o.pull()...)
		for _, e := range entries {
			if e.Kind == "find" && e.Record != record {
				find = shown(entries, e.Record)
				photos := 0
				for name := range find {
					if strings.HasPrefix(name, "photo/") {
						photos++
					}
				}
				return photos == 1 && string(find["note"]) == `"from the blue jar"`
			}
		}
		return false
	})
	whole, err := json.Marshal(find)
	if err != nil {
		t.Fatal(err)
	}
	if problem := o.doc.Schema("FindFields", whole); problem != "" {
		t.Errorf("the app's find: %s\n%s", problem, whole)
	}
	var coin struct{ Country, Denomination string }
	var weight struct{ Value, Unit string }
	for name, into := range map[string]any{"coin": &coin, "weight": &weight} {
		if err := json.Unmarshal(find[name], into); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	if coin.Country != "US" || coin.Denomination != "cent" || weight.Value != "3.11" || weight.Unit != "g" {
		t.Errorf("read %+v, %+v", coin, weight)
	}
	for name := range find {
		sum, isPhoto := strings.CutPrefix(name, "photo/")
		if !isPhoto {
			continue
		}
		o.await("the app's photo", func() bool {
			status, picture := o.send("get", "/api/v1/photos/{sha256}", map[string]string{"sha256": sum}, nil, nil)
			return status == http.StatusOK && shaOf(picture) == sum
		})
	}
}
