package main

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"crypto/tls"
	"encoding/hex"
	"encoding/json"
	"encoding/pem"
	"fmt"
	"io"
	"maps"
	"math/rand/v2"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"panside/internal/bridge"
	"panside/internal/device"
	"panside/internal/fault"
	"panside/internal/journal"
	"panside/internal/sync"
	"panside/internal/sync/synctest"
	"panside/server/config"
	"panside/server/openapitest"
	"panside/server/testjpeg"
)

// pocket is a joined phone with the core and its store, doing what the app does.
type pocket struct {
	k     *kitchen
	token string
	core  *bridge.Phone
	now   int64
	synctest.Phone
}

func (k *kitchen) pocket(seed uint64) *pocket {
	k.t.Helper()
	rng := rand.New(rand.NewPCG(seed, 9))
	p := &pocket{k: k, token: k.join(device.Phone).Token, now: 1_750_000_000_000}
	p.core = bridge.NewPhone(func(b []byte) {
		for i := range b {
			b[i] = byte(rng.Uint32())
		}
	})
	p.ask("journal-open", `{"entries":0}`, &struct{}{})
	p.core.LimitSync(sync.Limits{Page: 7})
	return p
}

func (p *pocket) ask(method, in string, out any) {
	p.k.t.Helper()
	var a struct {
		OK    json.RawMessage
		Error json.RawMessage
	}
	line, _ := p.core.Call(method, []byte(in))
	if err := json.Unmarshal(line, &a); err != nil || a.Error != nil {
		p.k.t.Fatalf("%s: %v %s", method, err, a.Error)
	}
	if err := json.Unmarshal(a.OK, out); err != nil {
		p.k.t.Fatal(err)
	}
}

func (p *pocket) write(kind, record, set string) string {
	p.k.t.Helper()
	p.now += 1000
	var w struct {
		Record  string
		Entries []journal.Row
	}
	p.ask("journal-write", fmt.Sprintf(`{"now":%d,"kind":%q,"record":%q,"set":%s}`, p.now, kind, record, set), &w)
	p.Put(w.Entries, false)
	return w.Record
}

// raw sends a request and returns the body as it is.
func (k *kitchen) raw(method, path, token string, body []byte, header ...string) (status int, answer []byte) {
	k.t.Helper()
	r, err := http.NewRequest(method, k.url(path), bytes.NewReader(body))
	if err != nil {
		k.t.Fatal(err)
	}
	r.Header.Set("Authorization", "Bearer "+token)
	for i := 0; i+1 < len(header); i += 2 {
		r.Header.Set(header[i], header[i+1])
	}
	resp, err := k.client.Do(r)
	if err != nil {
		k.t.Fatal(err)
	}
	defer resp.Body.Close()
	if answer, err = io.ReadAll(resp.Body); err != nil {
		k.t.Fatal(err)
	}
	return resp.StatusCode, answer
}

// push and pull both have a whole round of what the app itself runs: which way
// entries go in it is not the phone's owner's business.
func (p *pocket) push() { p.k.t.Helper(); p.round() }
func (p *pocket) pull() { p.k.t.Helper(); p.round() }

func (p *pocket) round() {
	p.k.t.Helper()
	p.ask("sync-wake", `{"why":"start"}`, &struct{}{})
	said := sync.Ended{}
	for step, body := p.step("sync-next", sync.Reply{}); ; {
		if step.Shown != nil {
			said = step.Shown.Ended
		}
		reply := sync.Reply{Step: step.ID, Alone: true}
		switch step.Do {
		case sync.Wait:
			if said.Is != sync.Well {
				p.k.t.Fatalf("the sync ended with %+v", said)
			}
			return
		case sync.Ask:
			q := p.Request(step, body)
			var header []string
			for k, v := range q.Headers {
				header = append(header, k, v)
			}
			reply.Status, reply.Body = p.k.raw(q.Method, q.Path, p.token, q.Body, header...)
		case sync.Read, sync.Store:
			reply = p.Do(step)
		}
		step, body = p.step("sync-answer", reply)
	}
}

func (p *pocket) step(method string, r sync.Reply) (step sync.Step, body []byte) {
	p.k.t.Helper()
	head, err := json.Marshal(struct {
		Now int64 `json:"now"`
		sync.Reply
	}{p.now, r})
	if err != nil {
		p.k.t.Fatal(err)
	}
	line, body := p.core.Call(method, append(append(head, '\n'), r.Body...))
	var a struct{ OK *sync.Step }
	if err := json.Unmarshal(line, &a); err != nil || a.OK == nil {
		p.k.t.Fatalf("%s: %v %s", method, err, line)
	}
	return *a.OK, body
}

func (p *pocket) raws() []string {
	all := map[string]bool{}
	for _, e := range p.Entries {
		all[e.Raw] = true
	}
	return slices.Sorted(maps.Keys(all))
}

// TestANightsFindsReachTheOtherPhone: what one phone wrote is on the other after
// the notice, also when the server was stopped in between.
func TestANightsFindsReachTheOtherPhone(t *testing.T) {
	dir := t.TempDir()
	k := open(t, config.Config{Data: dir})
	a, b := k.pocket(1), k.pocket(2)
	hears := func(p *pocket) chan string {
		conn := k.socket(p.token)
		cursors := make(chan string, 1)
		go func() {
			defer close(cursors)
			for {
				var m struct{ Type, Cursor string }
				if conn.ReadJSON(&m) != nil {
					return
				}
				if m.Type == "notice" {
					cursors <- m.Cursor
					return
				}
			}
		}()
		return cursors
	}
	heard := hears(b)
	hunt := a.write("hunt", "", `{"source":"jar","place":"on the shelf"}`)
	find := a.write("find", "", `{"hunt":"`+hunt+`","note":"<doubled> & “sharp”","kind":"doubled-die"}`)
	for i := range 10 {
		a.write("find", "", fmt.Sprintf(`{"hunt":%q,"note":"find %d"}`, hunt, i))
	}
	a.push()
	if a.Unsent() != 0 {
		t.Errorf("%d entries only on this phone", a.Unsent())
	}
	notice := <-heard
	b.pull()
	if b.Cursor != notice || !slices.Equal(a.raws(), b.raws()) {
		t.Errorf("pulled to %s after the notice of %s; %d entries of %d", b.Cursor, notice, len(b.Entries), len(a.Entries))
	}
	b.write("find", find, `{"fate":"keep"}`)
	b.push()
	k.close()

	k = open(t, config.Config{Data: dir})
	a.k, b.k = k, k
	if got := <-hears(a); got == notice || got == "" {
		t.Errorf("after a restart the notice is of %q", got)
	}
	a.pull()
	if !slices.Equal(a.raws(), b.raws()) {
		t.Error("the phones differ")
	}
	var list struct {
		Total   int
		Records []struct{ Record, Fate string }
	}
	a.ask("journal-list", `{"kind":"find","fate":"keep"}`, &list)
	if list.Total != 1 || list.Records[0].Record != find {
		t.Errorf("kept finds %+v", list)
	}
}

func sha(b []byte) string {
	sum := sha256.Sum256(b)
	return hex.EncodeToString(sum[:])
}

// TestAPhotoGoesOnWhereItStopped: the server is stopped in the middle of an
// upload; the rest goes to the next one.
func TestAPhotoGoesOnWhereItStopped(t *testing.T) {
	dir := t.TempDir()
	k := open(t, config.Config{Data: dir})
	phone := k.join(device.Phone)
	photo := testjpeg.Noise(1, 1200)
	path := "/api/v1/photos/" + sha(photo)
	const step = 100_000
	send := func(from int64) journal.PhotoProgress {
		t.Helper()
		to := min(from+step, int64(len(photo)))
		status, body := k.raw("PUT", path, phone.Token, photo[from:to], "Content-Range", fmt.Sprintf("bytes %d-%d/%d", from, to-1, len(photo)))
		var p journal.PhotoProgress
		if err := json.Unmarshal(body, &p); err != nil || status != 200 {
			t.Fatalf("%d %s", status, body)
		}
		return p
	}
	if p := send(0); p.Have != step || p.Complete {
		t.Fatalf("%+v", p)
	}
	if status, _ := k.raw("GET", path, phone.Token, nil); status != 404 {
		t.Errorf("half a photo: %d", status)
	}
	k.close()
	k = open(t, config.Config{Data: dir})
	var p journal.PhotoProgress
	if k.ask("GET", path+"/progress", phone.Token, nil, &p); p.Have != step {
		t.Errorf("after a restart %+v", p)
	}
	for !p.Complete {
		p = send(p.Have)
	}
	if status, body := k.raw("GET", path, phone.Token, nil); status != 200 || !bytes.Equal(body, photo) {
		t.Errorf("%d with %d bytes, want %d", status, len(body), len(photo))
	}
	var missing struct{ Missing []string }
	k.ask("POST", "/api/v1/photos/missing", phone.Token, map[string]any{"photos": []string{sha(photo), sha(nil)}}, &missing)
	if !slices.Equal(missing.Missing, []string{sha(nil)}) {
		t.Errorf("missing %v", missing)
	}
	if status := k.announce("PUT", path, phone.Token, 1<<20+1); status != 413 {
		t.Errorf("a part of more than 1 MiB: %d", status)
	}
}

// announce sends the head of a request with a body of so many bytes, and none
// of them. A server that refuses for the size answers to the head; had bytes
// been on their way, it would reset the connection and the answer could be lost.
func (k *kitchen) announce(method, path, token string, size int) (status int) {
	k.t.Helper()
	conn, err := tls.Dial("tcp", k.Addr().String(), k.client.Transport.(*http.Transport).TLSClientConfig)
	if err != nil {
		k.t.Fatal(err)
	}
	defer conn.Close()
	if err := conn.SetDeadline(time.Now().Add(patience)); err != nil {
		k.t.Fatal(err)
	}
	if _, err := fmt.Fprintf(conn, "%s %s HTTP/1.1\r\nHost: %s\r\nAuthorization: Bearer %s\r\nContent-Length: %d\r\n\r\n", method, path, k.Addr(), token, size); err != nil {
		k.t.Fatal(err)
	}
	resp, err := http.ReadResponse(bufio.NewReader(conn), nil)
	if err != nil {
		k.t.Fatal(err)
	}
	defer resp.Body.Close()
	return resp.StatusCode
}

// TestNothingOfTheJournalForStrangers asks every route of the description that
// isn't open to all.
func TestNothingOfTheJournalForStrangers(t *testing.T) {
	k := open(t, config.Config{})
	for _, path := range []string{"/api/v1/journal", "/api/v1/photos/" + sha(nil), "/api/v1/photos/" + sha(nil) + "/progress"} {
		var e struct{ Error struct{ Code fault.Code } }
		if status := k.ask("GET", path, "wrong", nil, &e); status != 401 || e.Error.Code != fault.NotJoined {
			t.Errorf("%s: %d %+v", path, status, e)
		}
	}
}

// TestTheServedDescriptionHasEveryRoute compares what is served with what the
// description says, over all adapters.
func TestTheServedDescriptionHasEveryRoute(t *testing.T) {
	k := open(t, config.Config{})
	_, raw := k.raw("GET", "/api/v1/openapi.json", "", nil)
	const core = "POST /api/v1/core/"
	// One route serves all of the core's methods; package httpapi holds their
	// descriptions to the methods there are.
	want := slices.DeleteFunc(openapitest.Read(raw).Routes(), func(route string) bool {
		return strings.HasPrefix(route, core) && route != core+"{method}"
	})
	var got []string
	for _, r := range k.secure.GetRoutes(true) {
		route := openapitest.Route(r.Method, r.Path)
		// Beside each GET there is a HEAD, which is described where it is of use.
		if r.Path != "/*" && (r.Method != "HEAD" || slices.Contains(want, route)) {
			got = append(got, route)
		}
	}
	slices.Sort(got)
	if got = slices.Compact(got); !slices.Equal(got, want) {
		t.Errorf("served %q\ndescribed %q", got, want)
	}
}

// TestAnIndependentClient lets a shell script, written from the description
// alone, join, push, pull and send a photo.
func TestAnIndependentClient(t *testing.T) {
	for _, tool := range []string{"sh", "curl", "sed"} {
		if _, err := exec.LookPath(tool); err != nil {
			t.Skipf("%s isn't here, so the shell client can't run: %v", tool, err)
		}
	}
	k := open(t, config.Config{})
	a := k.pocket(1)
	for i := range 5 {
		a.write("find", "", fmt.Sprintf(`{"note":"find %d"}`, i))
	}
	a.push()
	ca := filepath.Join(t.TempDir(), "ca.pem")
	if err := os.WriteFile(ca, pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: k.authority.DER()}), 0o600); err != nil {
		t.Fatal(err)
	}
	photo := filepath.Join(t.TempDir(), "photo.jpg")
	if err := os.WriteFile(photo, testjpeg.Noise(2, 1100), 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.CommandContext(t.Context(), "sh", "../testdata/wire/sync.sh", k.Invite(device.Phone), ca, photo).CombinedOutput()
	if err != nil || string(out) != "joined\npushed\npulled\nphoto kept\n" {
		t.Fatalf("%v\n%s", err, out)
	}
	a.pull()
	if len(a.Entries) != 7 || !strings.Contains(strings.Join(a.raws(), ""), "written again") {
		t.Errorf("the phone has %d entries", len(a.Entries))
	}
}
