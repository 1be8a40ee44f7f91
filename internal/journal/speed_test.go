package journal

import (
	"fmt"
	"math/rand/v2"
	"os"
	"testing"
	"time"

	"panside/internal/json"
)

// sample makes a big journal: finds with 20 entries each, ten finds a minute,
// written by three phones that see one another's, among hunts of 500 finds. An
// invented household.
func sample(t testing.TB, finds int) (entries []Entry) {
	t.Helper()
	rng := rand.New(rand.NewPCG(1, 2))
	random := func(b []byte) {
		for i := range b {
			b[i] = byte(rng.Uint32())
		}
	}
	s := newState(keepAtHand)
	authors := make([]*Author, 3)
	for i := range authors {
		authors[i], _ = NewAuthor(newWriter(random), s)
	}
	now := int64(1_750_000_000_000)
	write := func(kind string, id Record, field string, value any) {
		now += 300
		raw, err := json.Marshal(value)
		if err != nil {
			t.Fatal(err)
		}
		e, err := authors[rng.IntN(3)].Write(s, now, kind, id, field, raw)
		if err != nil {
			t.Fatal(err)
		}
		entries = append(entries, e)
	}
	var hunt Record
	for i := range finds {
		if i%500 == 0 {
			hunt = NewRecord(now, random)
			write(KindHunt, hunt, huntSource, "rolls")
			write(KindHunt, hunt, huntPlace, "by the mill")
			write(KindHunt, hunt, huntPaid, Face{"250.00", "USD"})
			write(KindHunt, hunt, huntBegun, now)
			write(KindHunt, hunt, huntSearched, 25_000)
		}
		id := NewRecord(now, random)
		write(KindFind, id, findHunt, hunt)
		write(KindFind, id, findFound, now)
		write(KindFind, id, findCoin, Coin{Country: "US", Denomination: "cent", Year: 1950 + rng.IntN(70), Mint: "D"})
		write(KindFind, id, findWeight, Weight{Value: "3.11", Unit: "g", MeanG: 3.1102, UG: 0.0076, ResolutionG: 0.01, Status: "stable", At: now,
			Scale: &ScaleUsed{"virtual scale", "virtual", "status-comma", true}, Calibration: &Calibration{RepeatabilityG: 0.003, CalibrationG: 0.006, Assumed: true}})
		tr := Trace{Unit: "g", From: now - 3000}
		for j := range 30 {
			tr.After, tr.Shown, tr.Status = append(tr.After, int64(j*100)), append(tr.Shown, fmt.Sprintf("%.2f", 3.11*float64(j)/30)), append(tr.Status, "moving")
		}
		write(KindFind, id, findTrace, tr)
		write(KindFind, id, findVerdict, map[string]any{"call": "look", "headline": "Bronze cent, 95 % copper.", "decisive": true,
			"alloys":    []any{map[string]any{"name": "bronze", "probability": 0.9991}, map[string]any{"name": "copper-plated zinc", "probability": 0.0009}},
			"tolerance": map[string]any{"state": "within", "nominal_g": 3.11, "conformity": 0.99}})
		write(KindFind, id, findKind, []string{"doubled-die", "off-centre", "die-clash", "wrong-planchet"}[rng.IntN(4)])
		write(KindFind, id, findCertainty, "guess")
		write(KindFind, id, fieldNote, "Looks doubled at the date, seen by loupe under the kitchen lamp.")
		for side := range 3 {
			var sum [32]byte
			random(sum[:])
			write(KindFind, id, findPhoto+string(hashOf(sum)), Photo{SHA256: string(hashOf(sum)), Type: "image/jpeg", Bytes: 312_000, Width: 1600, Height: 1600, Side: []string{"obverse", "reverse", "detail"}[side], Taken: now})
		}
		write(KindFind, id, findLies, Place{In: "flip", Label: fmt.Sprint(i)})
		write(KindFind, id, findFate, "keep")
		for range 2 {
			write(KindFind, id, findCertainty, "likely")
			write(KindFind, id, fieldNote, "Seen again by daylight: doubled, north.")
			write(KindFind, id, findFate, "second-opinion")
		}
	}
	return entries
}

// TestStartFromASnapshot prints how long a phone needs from its stored snapshot
// to the first screen, and from the entries alone. With PANSIDE_LONG it is for
// 10,000 finds in 200,000 entries; run as WebAssembly it gives the phone's
// figure, a quarter of that at four-fold throttling.
func TestStartFromASnapshot(t *testing.T) {
	finds := 500
	if os.Getenv("PANSIDE_LONG") != "" {
		finds = 10_000
	}
	entries := sample(t, finds)
	lines := make([][]byte, len(entries))
	total := 0
	for i, e := range entries {
		lines[i] = e.Wire()
		total += len(lines[i])
	}
	n := NewNotebook(zeros)
	began := time.Now()
	for _, l := range lines {
		if _, _, err := n.Add(l); err != nil {
			t.Fatal(err)
		}
	}
	firstScreen(t, n, finds)
	t.Logf("%d entries, %d kB: from the entries alone %v", len(lines), total>>10, time.Since(began))

	began = time.Now()
	text := n.Snapshot()
	t.Logf("snapshot of %d kB made in %v", len(text)>>10, time.Since(began))

	best, bestAfter := time.Hour, time.Hour
	for range 5 {
		again := NewNotebook(zeros)
		began = time.Now()
		if err := again.Open(string(text)); err != nil {
			t.Fatal(err)
		}
		firstScreen(t, again, finds)
		best = min(best, time.Since(began))
		id := again.List(Wanted{Kind: KindFind, Limit: 1}).Records[0]
		began = time.Now()
		if _, _, err := again.Write(1_800_000_000_000, Change{Kind: KindFind, Record: id, Set: map[string]json.RawMessage{"note": json.RawMessage(`"x"`)}}); err != nil {
			t.Fatal(err)
		}
		firstScreen(t, again, finds)
		bestAfter = min(bestAfter, time.Since(began))
	}
	t.Logf("from the snapshot to the first screen %v; anew after one more entry %v", best, bestAfter)
}

func zeros(b []byte) { clear(b) }

// firstScreen is what the first screen shows: fifty finds, and the hunts'
// accounts.
func firstScreen(t *testing.T, n *Notebook, finds int) {
	t.Helper()
	p := n.List(Wanted{Kind: KindFind})
	if p.Total != finds || len(p.Records) != 50 {
		t.Fatalf("%d finds on a page of %d", p.Total, len(p.Records))
	}
	for _, id := range p.Records {
		if f := FindOf(n.State(), id); f.Coin == nil || f.Weight == nil || len(f.Photos) != 3 {
			t.Fatalf("find %+v", f)
		}
	}
	if got := n.Hunts(1_800_000_000_000); len(got) != (finds+499)/500 || got[0].Account.Finds == 0 {
		t.Fatalf("hunts %+v", got[0])
	}
}
