package syncsim

import (
	"bytes"
	"context"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"panside/server/sqlite"
)

// night is one simulation.
type night struct {
	t      *testing.T
	rng    *rand.Rand
	laptop *laptop
	net    *network
	phones []*phone
	twins  bool
	// values are the unique values whose entry was confirmed to a person and was
	// held by somebody ever since.
	values map[string]bool
	photos map[string][]byte
	undone map[string]bool            // entries that undo something, see keyOf
	saw    map[string]map[string]bool // what each deletion's writer had on the screen, see keyOf
	next   int
}

// faults counts what went wrong, by kind.
type faults map[string]int

// allFaults are those that happen when many nights are played.
var allFaults = []string{
	"request lost", "answer lost", "sent twice", "held up", "arrived late", "cut off",
	"killed at entry", "killed at commit", "killed at committed",
	"killed at write", "killed at sync", "killed at check", "killed at rename", "killed at sync-folder", "killed at kept",
	"killed at set-apart", "bit of a photo flipped", "photo emptied", "photo vanished", "photo that nobody else had rotten",
	"damaged photo found by reading again", "lost photo asked for and had", "list of readings torn",
	"part of a photo torn", "laptop put back", "laptop replaced",
	"deleted unseen",
	"another page had the round", "answered twice",
	"log lost", "log damaged", "fewer than promised", "laptop's clock off",
	"phone ended", "phone ended before it stored", "phone put back", "clock jumped ahead", "clock jumped back",
}

// TestNights plays some nights; see the package comment for more of them.
func TestNights(t *testing.T) { playNights(t, 150, 10_000, false) }

// TestNightsOfTwins plays nights in which two runs of the app often have one
// name, so that histories fork.
func TestNightsOfTwins(t *testing.T) { playNights(t, 50, 2000, true) }

// TestASeedDecidesEverything plays some nights twice.
func TestASeedDecidesEverything(t *testing.T) {
	empty := t.TempDir()
	template(t, empty)
	for seed := range uint64(8) {
		var entries [2][]string
		var went [2]faults
		for i := range entries {
			n := newNight(t, seed, t.TempDir(), empty, seed%2 == 1)
			n.play()
			n.morning()
			entries[i], went[i] = n.laptop.entries(), n.net.faults
			n.laptop.stop()
		}
		if !slices.Equal(entries[0], entries[1]) || !maps.Equal(went[0], went[1]) {
			t.Errorf("seed %d: %d entries after %v, and %d after %v", seed, len(entries[0]), went[0], len(entries[1]), went[1])
		}
	}
}

func playNights(t *testing.T, nights, long int, twins bool) {
	base := t.TempDir()
	if info, err := os.Stat("/dev/shm"); err == nil && info.IsDir() { // a disk in memory, where syncing is quick
		if base, err = os.MkdirTemp("/dev/shm", "panside-nights-*"); err != nil {
			base = t.TempDir()
		}
		t.Cleanup(func() { os.RemoveAll(base) })
	}
	empty := filepath.Join(base, "template")
	if err := os.Mkdir(empty, 0o700); err != nil {
		t.Fatal(err)
	}
	template(t, empty)
	first := 0
	if os.Getenv("PANSIDE_LONG") != "" {
		nights = long
	}
	if text := os.Getenv("PANSIDE_SEED"); text != "" {
		seed, err := strconv.Atoi(text)
		if err != nil {
			t.Fatal(err)
		}
		first, nights = seed, 1
	}
	began := time.Now()
	var sum sync.Mutex
	entries, forks, went, failed := 0, 0, faults{}, false
	// As many at once as there are processors: a night waits for its disk half of
	// the time.
	t.Run("nights", func(t *testing.T) {
		for seed := first; seed < first+nights; seed++ {
			t.Run(fmt.Sprint("seed", seed), func(t *testing.T) {
				t.Parallel()
				sum.Lock()
				stop := failed
				sum.Unlock()
				if stop {
					t.Skip("another night failed")
				}
				defer func() {
					if t.Failed() {
						t.Logf("play it again with PANSIDE_SEED=%d", seed)
						sum.Lock()
						failed = true
						sum.Unlock()
					}
				}()
				dir := filepath.Join(base, t.Name())
				if err := os.MkdirAll(dir, 0o700); err != nil {
					t.Fatal(err)
				}
				defer os.RemoveAll(dir)
				n := newNight(t, uint64(seed), dir, empty, twins)
				n.play()
				n.morning()
				played := len(n.laptop.entries())
				n.laptop.stop()
				sum.Lock()
				defer sum.Unlock()
				entries += played
				forks += n.net.forks
				for kind, times := range n.net.faults {
					went[kind] += times
				}
			})
		}
	})
	if failed {
		return
	}
	if twins && forks == 0 && nights > 1 {
		t.Error("no history forked")
	}
	for _, kind := range allFaults {
		if went[kind] == 0 && nights >= 150 {
			t.Errorf("in no night: %s", kind)
		}
	}
	for kind := range went {
		if !slices.Contains(allFaults, kind) {
			t.Errorf("a fault that isn't listed: %s", kind)
		}
	}
	t.Logf("%d nights with %d entries and %d forks in %v; %v", nights, entries, forks, time.Since(began).Round(time.Millisecond), went)
}

func newNight(t *testing.T, seed uint64, dir, empty string, twins bool) *night {
	rng := rand.New(rand.NewPCG(seed, 0))
	n := &night{t: t, rng: rng, twins: twins, values: map[string]bool{}, photos: map[string][]byte{}, undone: map[string]bool{}, saw: map[string]map[string]bool{}}
	went := faults{}
	n.laptop = &laptop{t: t, rng: rng, base: dir, faults: went, lost: n.mourn}
	first := n.laptop.folder()
	copyFolder(t, empty, first)
	n.laptop.start(first)
	n.net = &network{rng: rng, laptop: n.laptop, faults: went}
	for i := range 2 + rng.IntN(3) {
		n.phones = append(n.phones, newPhone(t, fmt.Sprint("phone ", i), rng, n.net, twins))
	}
	return n
}

func (n *night) play() {
	for range 20 + n.rng.IntN(60) {
		p := n.phones[n.rng.IntN(len(n.phones))]
		n.passTime(p)
		if n.twins && n.rng.IntN(8) == 0 {
			// Put back to before what the laptop has already.
			p.old = []store{p.disk.clone()}
			n.write(p)
			p.sync()
			p.putBack()
			n.mourn()
			n.write(p)
		}
		switch n.rng.IntN(48) {
		default:
			n.write(p)
		case 0, 1, 2, 3, 4:
			p.sync()
		case 5, 6:
			p.look()
		case 7:
			for _, e := range p.undo() {
				n.undone[keyOf(n.t, e.Raw)] = true
			}
		case 34, 35:
			n.delete(p)
		case 8:
			p.crash()
		case 9:
			p.keepSnapshot()
		case 10:
			p.old = append(p.old, p.disk.clone())
		case 11, 16, 17, 18, 19:
			sum := p.takePhoto()
			n.photos[sum] = p.disk.Photos[sum].Bytes
		case 12:
			if n.rng.IntN(3) == 0 {
				p.putBack()
				n.mourn()
			}
		case 13:
			n.laptop.backUp()
		case 14:
			if n.rng.IntN(3) == 0 {
				n.laptop.putBack()
				n.mourn()
			}
		case 15:
			n.laptop.killed()
		case 20, 21, 22, 23, 24, 25, 26:
			n.readPhotosAgain()
		case 27, 28, 29, 30:
			n.rot()
		}
	}
	if n.rng.IntN(2) == 0 {
		n.badDisk()
	}
}

// write lets a phone write a value of its own.
func (n *night) write(p *phone) {
	n.next++
	value := fmt.Sprintf("value %d of %s", n.next, p.name)
	for range p.write(value) {
		n.values[value] = true
	}
}

// passTime lets a phone's clock go on, or jump by anything up to years.
func (n *night) passTime(p *phone) {
	p.now += n.rng.Int64N(60_000)
	if n.rng.IntN(10) == 0 {
		jump := n.rng.Int64N(2e11) - 1e11 // three years either way
		p.now += jump
		if jump > 0 {
			n.net.faults["clock jumped ahead"]++
		} else {
			n.net.faults["clock jumped back"]++
		}
	}
}

// mourn forgets what nobody has any more after a disk went back in time: no
// program can bring that back.
func (n *night) mourn() {
	held := map[string]bool{}
	for _, raw := range n.laptop.entries() {
		held[valueOf(n.t, raw)] = true
	}
	pictures := map[string]bool{}
	for _, p := range n.phones {
		for _, e := range p.disk.Entries {
			held[valueOf(n.t, e.Raw)] = true
		}
		for sum, pic := range p.disk.Photos {
			pictures[sum] = pictures[sum] || pic.Bytes != nil
		}
	}
	maps.DeleteFunc(n.values, func(v string, _ bool) bool { return !held[v] })
	for sum := range n.photos {
		if p, err := n.laptop.photos.Have(sum); err != nil {
			n.t.Fatal(err)
		} else if !p.Complete && !pictures[sum] {
			delete(n.photos, sum)
		}
	}
}

// keyOf tells an entry from all others whatever name its writer goes by.
func keyOf(t testing.TB, raw string) string {
	var e struct {
		At, Record, Field string
		Value             any
	}
	decode(t, []byte(raw), &e)
	return fmt.Sprint(e)
}

func valueOf(t testing.TB, raw string) string {
	var e struct {
		Value any
	}
	decode(t, []byte(raw), &e)
	s, _ := e.Value.(string)
	return s
}

// morning mends the network, lets everybody meet, and looks at what is there.
func (n *night) morning() {
	t := n.t
	n.net.good, n.laptop.calm = true, true
	for round := 0; ; round++ {
		whole := true
		n.laptop.now += int64(8 * 24 * time.Hour) // every photo is due
		n.laptop.readAgain(1000)
		for _, p := range n.phones {
			for tries := 0; !p.sync(); tries++ { // crashes go on
				if tries == 200 {
					t.Fatalf("%s never gets through: %d entries unsent", p.name, p.disk.Unsent())
				}
			}
			whole = whole && len(p.disk.Entries) == len(n.laptop.entries()) && p.disk.Unsent() == 0 && len(p.disk.Photos) == 0
		}
		if whole && round > 0 {
			break
		}
		if round == 20 {
			for _, p := range n.phones {
				t.Errorf("%s has %d entries, of them %d unsent, and %d photos that it can't give away", p.name, len(p.disk.Entries), p.disk.Unsent(), len(p.disk.Photos))
			}
			t.Fatalf("the devices never agree; the laptop has %d entries", len(n.laptop.entries()))
		}
	}
	laptop := n.laptop.entries()
	want := slices.Sorted(slices.Values(laptop))
	for i := 1; i < len(want); i++ {
		if want[i] == want[i-1] {
			t.Errorf("twice: %s", want[i])
		}
	}
	times := map[string]int{}
	for _, raw := range laptop {
		times[valueOf(t, raw)]++
	}
	if !n.twins {
		// A fork can be decided twice when the laptop is put back from a backup in
		// between; then the same change may be there under two names.
		n.unchangedByUndo(times, laptop)
	}
	for v := range n.values {
		if times[v] == 0 {
			t.Errorf("%q was confirmed and is gone", v)
		}
	}
	snapshots := map[string]bool{}
	for _, p := range n.phones {
		var got []string
		for _, e := range p.disk.Entries {
			got = append(got, e.Raw)
		}
		slices.Sort(got)
		if !slices.Equal(got, want) {
			t.Errorf("%s has %d entries that are not the laptop's %d", p.name, len(got), len(want))
		}
		p.disk.snapshot, p.disk.upto = "", 0
		p.open()
		p.keepSnapshot()
		snapshots[p.disk.snapshot] = true
	}
	if n.net.forks > 0 && !n.twins {
		t.Errorf("%d forks, though each run of the app has its own name", n.net.forks)
	}
	if len(snapshots) != 1 || snapshots[""] {
		t.Errorf("the phones show %d different states", len(snapshots))
	}
	n.nothingIsOverwritten(laptop)
	n.deletionsAskWhatTheyOverlooked(laptop)
	n.photosAreThere()
	n.nothingDamagedIsComplete()
	if facts, err := sqlite.Inspect(context.Background(), filepath.Join(n.laptop.dir, "panside.db")); err != nil || facts.Entries != len(laptop) {
		t.Errorf("the records: %+v, %v", facts, err)
	}
}

// unchangedByUndo: beside undos, which write an earlier value again on purpose,
// every value was written by one entry, however often it was sent, and whatever
// name its writer goes by now.
func (n *night) unchangedByUndo(times map[string]int, laptop []string) {
	for v, k := range times {
		if k < 2 || !strings.HasPrefix(v, "value ") {
			continue
		}
		first := 0
		for _, raw := range laptop {
			var e struct{ Replaces []string }
			decode(n.t, []byte(raw), &e)
			if valueOf(n.t, raw) == v && !n.undone[keyOf(n.t, raw)] {
				first++
			}
		}
		if first != 1 {
			n.t.Errorf("%q was written by %d entries", v, first)
		}
	}
}

// nothingIsOverwritten: every value that no entry says it has replaced is still
// one of its field's. Which these are is counted here from the entries alone.
func (n *night) nothingIsOverwritten(laptop []string) {
	replaced := map[[3]string]bool{}            // by record, field and id: a deletion names other fields' entries, which stay
	written := map[string]map[string][]string{} // by record and field
	for _, raw := range laptop {
		var e struct {
			ID, Record, Field string
			Replaces          []string
		}
		decode(n.t, []byte(raw), &e)
		if written[e.Record] == nil {
			written[e.Record] = map[string][]string{}
		}
		written[e.Record][e.Field] = append(written[e.Record][e.Field], e.ID)
		for _, id := range e.Replaces {
			replaced[[3]string{e.Record, e.Field, id}] = true
		}
	}
	p := n.phones[0] // all show the same
	for record, fields := range written {
		var d struct {
			Find struct{ IDs map[string][]string }
		}
		p.ask("journal-record", fmt.Sprintf(`{"record":%q,"now":%d}`, record, max(p.now, 0))+lines(p.own(record)), &d)
		for field, ids := range fields {
			for _, id := range ids {
				gone := replaced[[3]string{record, field, id}]
				if held := slices.Contains(d.Find.IDs[field], id); held == gone {
					n.t.Errorf("%s of %s/%s: shown %v, replaced %v", id, record, field, held, gone)
				}
			}
		}
	}
}

func (n *night) photosAreThere() {
	for sum, b := range n.photos {
		photo, err := n.laptop.photos.Find(sum)
		if err != nil {
			n.t.Errorf("a photo is gone: %v", err)
			continue
		}
		if raw, err := os.ReadFile(photo.Path); err != nil || !bytes.Equal(raw, b) {
			n.t.Errorf("a photo has other bytes: %v", err)
		}
	}
}
