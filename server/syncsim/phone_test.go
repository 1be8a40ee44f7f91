package syncsim

import (
	"bytes"
	"encoding/json"
	"fmt"
	"image"
	"image/jpeg"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"panside/internal/bridge"
	"panside/internal/sync/synctest"
)

// store is what a phone has on its own disk. It changes as a whole or not at
// all, as a transaction of the browser's database does.
type store struct {
	synctest.Phone
	snapshot string
	upto     int // entries the snapshot has
}

type stored = synctest.Entry

func (s store) clone() store {
	s.Phone = s.Phone.Clone()
	return s
}

// phone is the core with its store, used as the app uses it.
type phone struct {
	t    testing.TB
	name string
	rng  *rand.Rand
	net  *network
	core *bridge.Phone
	disk store
	now  int64
	// screen is a record as it was shown some time ago.
	screen struct {
		record string
		ids    map[string][]string
	}
	old []store // earlier states of the disk
	// twins makes the app choose the same name again at times, as no sound
	// source of randomness does.
	twins bool
	seed  uint64
}

func newPhone(t testing.TB, name string, rng *rand.Rand, net *network, twins bool) *phone {
	p := &phone{t: t, name: name, rng: rng, net: net, now: rng.Int64N(4e12), twins: twins, seed: rng.Uint64()}
	p.disk.Photos = map[string]synctest.Photo{}
	p.open()
	return p
}

// crash ends the app; only its disk stays.
func (p *phone) crash() {
	p.screen.record = ""
	p.open()
}

// open starts the app from its disk.
func (p *phone) open() {
	p.t.Helper()
	random := p.rng
	if p.twins && p.rng.IntN(3) > 0 {
		random = rand.New(rand.NewPCG(p.seed, 1))
	}
	p.core = bridge.NewPhone(func(b []byte) {
		for i := range b {
			b[i] = byte(random.Uint32())
		}
	})
	p.openBook()
}

// openBook opens the notebook from the disk.
func (p *phone) openBook() {
	p.t.Helper()
	snapshot, from := p.disk.snapshot, p.disk.upto
	if snapshot == "" {
		from = 0
	}
	var opened struct{ Rebuild bool }
	p.ask("journal-open", fmt.Sprintf(`{"entries":%d}`, len(p.disk.Entries))+"\n"+snapshot, &opened)
	if opened.Rebuild {
		p.t.Fatalf("%s: the snapshot is not usable", p.name)
	}
	var added struct {
		Complete   bool
		Unreadable []int
	}
	p.ask("journal-add", fmt.Sprintf(`{"total":%d}`, len(p.disk.Entries))+lines(p.disk.Entries[from:]), &added)
	if !added.Complete || len(added.Unreadable) > 0 {
		p.t.Fatalf("%s: opened with %+v", p.name, added)
	}
}

func lines(entries []stored) string {
	var b strings.Builder
	for _, e := range entries {
		b.WriteString("\n" + e.Raw)
	}
	return b.String()
}

func inJSON(v any) string {
	raw, err := json.Marshal(v)
	if err != nil {
		panic(err)
	}
	return string(raw)
}

// try calls the core and returns the code of its error.
func (p *phone) try(method, in string, into any) (code string) {
	p.t.Helper()
	var a struct {
		OK    json.RawMessage
		Error *struct{ Code string }
	}
	line, _ := p.core.Call(method, []byte(in))
	decode(p.t, line, &a)
	if a.Error != nil {
		return a.Error.Code
	}
	decode(p.t, a.OK, into)
	return ""
}

func (p *phone) ask(method, in string, into any) {
	p.t.Helper()
	if code := p.try(method, in, into); code != "" {
		p.t.Fatalf("%s: %s answers %s to %.300s", p.name, method, code, in)
	}
}

func (p *phone) own(record string) (own []stored) {
	for _, e := range p.disk.Entries {
		if string(e.Record) == record {
			own = append(own, e)
		}
	}
	return own
}

func (p *phone) records(kind string) (ids []string) {
	var list struct{ Records []struct{ Record string } }
	p.ask("journal-list", `{"kind":"`+kind+`","limit":500}`, &list)
	for _, r := range list.Records {
		ids = append(ids, r.Record)
	}
	return ids
}

// look puts a record on the screen.
func (p *phone) look() {
	p.t.Helper()
	finds := p.records("find")
	if len(finds) == 0 {
		return
	}
	id := finds[p.rng.IntN(len(finds))]
	var d struct {
		Find struct{ IDs map[string][]string }
	}
	p.ask("journal-record", fmt.Sprintf(`{"record":%q,"now":%d}`, id, max(p.now, 0))+lines(p.own(id)), &d)
	p.screen.record, p.screen.ids = id, d.Find.IDs
}

// write changes a record, or makes one, and stores it unless the app crashes
// before. It returns what a person saw confirmed.
func (p *phone) write(value string) (confirmed []stored) {
	p.t.Helper()
	q := map[string]any{"now": max(p.now, 0), "kind": "find", "record": "", "set": map[string]any{"note": value}}
	saw := map[string][]string{}
	if p.screen.record != "" && p.rng.IntN(3) > 0 {
		saw = p.screen.ids
		q["record"], q["saw"] = p.screen.record, saw
		return p.wrote(saw, "journal-write", inJSON(q)+lines(p.own(p.screen.record)))
	}
	return p.wrote(saw, "journal-write", inJSON(q))
}

// wrote calls a method that writes and stores what it answers.
func (p *phone) wrote(saw map[string][]string, method, in string) (confirmed []stored) {
	p.t.Helper()
	var w struct{ Entries []stored }
	if code := p.try(method, in, &w); code != "" {
		if method == "journal-undo" && code == "bad-input" { // changed since
			return nil
		}
		p.t.Fatalf("%s: %s answers %s to %.300s", p.name, method, code, in)
	}
	for _, e := range w.Entries {
		var entry struct{ Replaces []string }
		decode(p.t, []byte(e.Raw), &entry)
		for _, r := range entry.Replaces {
			if saw != nil && !slices.Contains(saw[e.Field], r) && !(e.Field == "deleted" && sawAnywhere(saw, r)) {
				p.t.Fatalf("%s: %s replaces %s, which was not on the screen", p.name, e.ID, r)
			}
		}
	}
	if p.rng.IntN(15) == 0 {
		p.net.faults["phone ended before it stored"]++
		p.crash()
		return nil
	}
	p.disk.Entries = append(p.disk.Entries, w.Entries...)
	return w.Entries
}

func (p *phone) undo() []stored {
	p.t.Helper()
	if len(p.disk.Entries) == 0 {
		return nil
	}
	e := p.disk.Entries[p.rng.IntN(len(p.disk.Entries))]
	return p.wrote(nil, "journal-undo", fmt.Sprintf(`{"now":%d,"entries":[%q]}`, max(p.now, 0), e.ID)+lines(p.own(string(e.Record))))
}

func (p *phone) keepSnapshot() {
	_, kept := p.core.Call("journal-snapshot", []byte(`{}`))
	p.disk.snapshot, p.disk.upto = string(kept), len(p.disk.Entries)
}

// takePhoto keeps a photo on the phone; its hash is returned.
func (p *phone) takePhoto() string {
	m := image.NewGray(image.Rect(0, 0, 16, 16))
	for i := range m.Pix {
		m.Pix[i] = uint8(p.rng.Uint32())
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, m, nil); err != nil {
		p.t.Fatal(err)
	}
	sum := shaOf(b.Bytes())
	p.disk.Photos[sum] = synctest.Photo{Bytes: b.Bytes(), Type: "image/jpeg"}
	return sum
}

func (p *phone) mayCrash() bool {
	if p.rng.IntN(40) > 0 {
		return false
	}
	p.net.faults["phone ended"]++
	p.crash()
	return true
}

// putBack is the phone put back from an old copy of its disk.
func (p *phone) putBack() {
	if len(p.old) == 0 {
		return
	}
	p.net.faults["phone put back"]++
	p.disk = p.old[p.rng.IntN(len(p.old))].clone()
	p.crash()
}
